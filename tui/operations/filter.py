"""What can be asked of a filter: does this element fit that housing, which of a list would, what does a medium hold?"""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import models
from catalog import filters
from tui import operations
from tui.answers.filters import (
    BetaRatio,
    CleanlinessCode,
    CodeCounts,
    FilterFields,
    FilterFit,
    FilterSearch,
    FilterShop,
    MeshOpening,
    NearestSieve,
    fit_of,
    range_of,
    search_of,
    shop_of,
)
from tui.fields.field import Asked, FieldError, under
from tui.fields.filters import (
    BETA,
    CODE,
    COUNTS,
    DESCRIBE,
    ELEMENT,
    ELEMENT_PAIRS,
    FIELDS,
    FILE,
    HOUSING,
    HOUSING_PAIRS,
    LIMIT,
    LIST,
    MESH,
    MISSES,
    OPENING,
    SEARCH,
    SHOP,
    element_read,
    housing_read,
)
from tui.operations.operation import Operation

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from sqlmodel import Session

    from catalog.filters.element import Element
    from catalog.filters.housing import Housing
    from models.elements import Answer as Ranking
    from tui.answers.answer import Answer
    from tui.fields.field import Field
    from tui.operations.operation import Bench, Values

HELP = "does this element fit that housing; search by measure; mesh and beta"
DESCRIPTION = """\
Judge a filter element in a housing, criterion by criterion, worst first. Or search what the
shop keeps and what suppliers list, by what was measured on the old one, by the housing, or
by both. Or convert what a medium is rated by.

examples:
  kitwright filter --element kind=cartridge length=120 --housing depth=118
  kitwright filter --file strainer.json
  kitwright filter --file strainer.json --element length=116 --json
  kitwright filter --describe "strainer, 60 x 120, open 30" --housing depth=125
  kitwright filter --search "cartridge, 60 x 120, open 30 at one end" --demo
  kitwright filter --search "spin-on, 93 x 142, 1-12" --housing thread=1-12 --demo
  kitwright filter --shop --housing takes=spin-on thread=1-12 --demo --json
  kitwright filter --search "spin-on, 93 x 142, 3/4-16" --list elements.csv --json
  kitwright filter --mesh 60
  kitwright filter --beta 200
  kitwright filter --counts 1800 500 60
  kitwright filter --fields
"""
EPILOG = """\
--file: JSON {"element": {"od": "60 mm"}, "housing": {"depth": "118 mm"}}, or a CSV file
  of part,field,value. --element and --housing on the command line win over the file.
--search looks through the shop's filters and the suppliers' lists, or through --list: a CSV
  file, one element a row, with element fields as columns. --shop alone asks what fits --housing.
An element nobody measured is read from its text; that is said with how sure it is, and such
  a one fits with care at the most.
What is left out is unknown, and listed as "measure this", never taken as fitting.
exit codes: 0 it fits or fits with care, or something was found; 1 it does not, something
  must be measured first, or nothing was found; 2 wrong options or input.
"""
CONVERSIONS = (MESH, OPENING, BETA, COUNTS, CODE)


@contextmanager
def _naming(field: Field[Any]) -> Iterator[None]:
    """What the catalog refuses is a refusal of the option it was typed for."""
    try:
        yield
    except ValueError as problem:
        if isinstance(problem, FieldError):
            raise
        raise FieldError(" ".join(str(problem).split()), field.flag) from problem


def _given(values: Values, field: Field[Any]) -> bool:
    return values[field.name] not in (None, "", (), False)


def _filter(values: Values, bench: Bench) -> Answer:
    """Judge, search or convert."""
    converts = [one for one in CONVERSIONS if _given(values, one)]
    judged = bool(values[ELEMENT_PAIRS.name] or values[HOUSING_PAIRS.name] or values[FILE.name])
    described, sought, shop, listed = (_given(values, one) for one in (DESCRIBE, SEARCH, SHOP, LIST))
    if values[FIELDS.name]:
        return FilterFields(_meanings(ELEMENT), _meanings(HOUSING))
    if converts and (judged or sought or shop or described):
        raise FieldError(f"{converts[0].flag} is a question of its own; leave the element and the search out", "-")
    if converts:
        return _convert(values, converts)
    if described:
        return _described(values, bench)
    if sought and listed:
        return _search(values, bench)
    if sought or shop:
        return _shop(values, bench)
    if listed:
        raise FieldError('--list needs what is sought; add --search, such as --search "cartridge, 60 x 120"', "-")
    if not judged:
        raise FieldError(
            "nothing asked; give --element and --housing, or --file, or --search, or --shop, or --mesh 60", "-"
        )
    parts = _parts(values)
    texts = {**parts.get("element", {}), **(values[ELEMENT_PAIRS.name] or {})}
    if not texts:
        raise FieldError("the element is missing; describe it by --element kind=cartridge od=60 length=120", "-")
    return fits(element_read(texts, Asked(bench.units)), _housing(values, parts, bench), bench.units.length)


def _meanings(fields: tuple[Field[Any], ...]) -> dict[str, str]:
    return {one.name.replace("_", "-"): one.help for one in fields}


def fits(element: Element, housing: Housing, unit: str = "mm") -> FilterFit:
    """An element judged in a housing."""
    return fit_of(element, housing, filters.fit.judge(element, housing), unit)


def _parts(values: Values) -> Mapping[str, Mapping[str, str]]:
    return operations.filter_files.parts_of(values[FILE.name]) if values[FILE.name] else {}


def _housing(values: Values, parts: Mapping[str, Mapping[str, str]], bench: Bench) -> Housing:
    texts = {**parts.get("housing", {}), **(values[HOUSING_PAIRS.name] or {})}
    if not texts:
        raise FieldError("the housing is missing; describe it by --housing takes=cartridge depth=118 bore=70", "-")
    return housing_read(texts, Asked(bench.units))


def _described(values: Values, bench: Bench) -> FilterFit:
    """A described element judged in a housing, with nothing to look through."""
    if any(_given(values, one) for one in (ELEMENT_PAIRS, SEARCH, SHOP, LIST)):
        raise FieldError(
            "--describe stands in the place of --element; leave out --element, --search, --shop and --list", "-"
        )
    described, housing = values[DESCRIBE.name], _housing(values, _parts(values), bench)
    kind = described.kind or housing.takes
    if kind is None:
        raise FieldError("say what it is, such as cartridge, spin-on, strainer or in-line", DESCRIBE.flag)
    return fits(described.as_element(kind), housing, bench.units.length)


def _search(values: Values, bench: Bench) -> FilterSearch:
    """The elements of a file that answer to what is sought."""
    if values[ELEMENT_PAIRS.name] or values[HOUSING_PAIRS.name] or values[FILE.name]:
        raise FieldError("a search through a list stands alone; leave out --element, --housing and --file", "-")
    listed = operations.filter_files.candidates_of(values[LIST.name], Asked(bench.units))
    found = filters.search.rank(
        values[SEARCH.name], listed.elements, keep=len(listed.elements) or 1, misses=values[MISSES.name]
    )
    return search_of(found, len(listed.elements), listed.problems, values[LIMIT.name], bench.units.length)


def _shop(values: Values, bench: Bench) -> FilterShop:
    """The shop's filters and the suppliers' lists, by description, by housing or by both."""
    if values[ELEMENT_PAIRS.name]:
        raise FieldError("--element is judged, not searched by; say what is sought by --search", "-")
    if values[LIST.name]:
        raise FieldError("--shop or --list, not both; --list looks in a file, with --search", "-")
    described, parts = values[SEARCH.name], _parts(values)
    housing = _housing(values, parts, bench) if values[HOUSING_PAIRS.name] or parts.get("housing") else None
    if described is None and housing is None:
        raise FieldError(
            "describe the housing by --housing takes=spin-on thread=1-12, or the element by --search", SHOP.flag
        )

    def look(session: Session) -> Ranking:
        with _naming(SEARCH):
            return models.elements.look(session, described, housing, misses=values[MISSES.name])

    text = None if described is None else SEARCH.echo(described, Asked(bench.units))
    return shop_of(bench.look(look), text, housing, values[LIMIT.name], bench.units.length)


def _convert(values: Values, converts: Sequence[Field[Any]]) -> Answer:
    """Answer one conversion."""
    field = converts[0]
    if len(converts) > 1:
        raise FieldError(f"{field.flag} and {converts[1].flag} are two questions; ask one at a time", "-")
    value = values[field.name]
    with _naming(field):
        if field is MESH:
            return MeshOpening(value, filters.media.opening_um(value))
        if field is OPENING:
            opening = float(value.to("mm")) * 1000
            sieve, off = filters.media.nearest_sieve(opening)
            return NearestSieve(round(opening, 3), sieve.mesh, sieve.opening_um, round(off, 3))
        if field is BETA:
            return BetaRatio(value, round(filters.media.efficiency_pct(value), 4))
        if field is COUNTS:
            return CleanlinessCode(filters.cleanliness.cleanliness_code(*value), value)
        return CodeCounts(value, tuple(map(range_of, filters.cleanliness.code_counts(value))))


FILTER = Operation(
    area="filter",
    name="filter",
    label="Filter",
    help=HELP,
    fields=(
        *under("judge an element in a housing", ELEMENT_PAIRS, HOUSING_PAIRS, FILE, DESCRIBE, FIELDS),
        *under("search by measure", SEARCH, SHOP, LIST, MISSES, LIMIT),
        *under("convert", *CONVERSIONS),
    ),
    answers=_filter,
    looks=True,
    examples=(
        "filter --element kind=cartridge length=120 --housing depth=118",
        'filter --describe "strainer, 60 x 120, open 30" --housing depth=125',
        'filter --search "cartridge, 60 x 120, open 30 at one end"',
        'filter --search "spin-on, 93 x 142, 1-12" --housing thread=1-12',
        "filter --shop --housing takes=spin-on thread=1-12",
        "filter --mesh 60",
        "filter --beta 200",
        "filter --counts 1800 500 60",
        "filter --fields",
    ),
)

OPERATIONS = (FILTER,)
