"""The fields of an element and of its housing, and how they are read. Which of them show depends on the kind.

They are the fields of `kitwright filter`; those of the housing that an element has too are told apart by `h_`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

import tui
from catalog import filters
from tui.fields.field import Field, FieldError
from tui.fields.filters import DUTIES, ELEMENT, ENDS, FORMS, HOUSING, KINDS, PLACES, POSITIONS, SEALS, SEATS, InALine
from tui.fields.quantities import in_mm
from tui.screens.judge.ruling import Ask, ask

if TYPE_CHECKING:
    from catalog.filters.element import Element, Kind
    from catalog.filters.housing import Housing
    from catalog.filters.search import Described
    from tui.screens.judge.reading import Reader

CAN, CARTRIDGE, STRAINER, IN_LINE = KINDS
DROPPED = (CARTRIDGE, STRAINER)
ENDED = (CARTRIDGE, STRAINER, IN_LINE)
SCREWED = (CAN, STRAINER)
USUAL_PLUS_MINUS_MM: Final = 0.5
"""What a size may be off where no ± was typed."""
LINE = InALine("line", "In a line")
_BY_NAME: Final[Mapping[str, Field[Any]]] = {one.name: one for one in ELEMENT}
H_NAMES: Final[Mapping[str, str]] = {one.name: f"h_{one.name}" if one.name in _BY_NAME else one.name for one in HOUSING}
"""What a field of the housing is called here."""
_HOUSING: Final[Mapping[str, Field[Any]]] = {one.name: replace(one, name=H_NAMES[one.name]) for one in HOUSING}


def _element(name: str, words: tuple[str, ...] = (), **told: Any) -> Ask:
    return ask(_BY_NAME[name], words=("?", *words) if words else (), **told)


def _housing(name: str, words: tuple[str, ...] = (), **told: Any) -> Ask:
    return ask(_HOUSING[name], words=("?", *words) if words else (), **told)


YES_NO = ("yes", "no")
ELEMENT_ASKS = (
    _element("kind", KINDS, heading="The element"),
    ask(LINE, wide=True),
    _element("od"),
    _element("length"),
    _element("first", FORMS, when=DROPPED, heading="Its ends"),
    _element("first_id", when=ENDED),
    _element("first_seal", SEALS, when=DROPPED),
    _element("second", FORMS, when=DROPPED),
    _element("second_id", when=ENDED),
    _element("second_seal", SEALS, when=DROPPED),
    _element("spring_free", when=DROPPED),
    _element("spring_compressed", when=DROPPED),
    _element("thread", when=SCREWED),
    _element("gasket_id", when=(CAN,)),
    _element("gasket_od", when=(CAN,)),
    _element("gasket_thickness", when=(CAN,)),
    _element("medium", heading="What it does", wide=True),
    _element("bypass", YES_NO),
    _element("bypass_opens"),
    _element("anti_drain_back", YES_NO, when=(CAN,)),
    _element("collapse"),
    _element("flow"),
)
HOUSING_ASKS = (
    _housing("depth", heading="The housing"),
    _housing("bore"),
    _housing("outlet", ENDS, when=DROPPED),
    _housing("head", SEATS, when=ENDED),
    _housing("head_diameter", when=ENDED),
    _housing("head_land", when=DROPPED),
    _housing("cover", SEATS, when=ENDED),
    _housing("cover_diameter", when=ENDED),
    _housing("cover_land", when=DROPPED),
    _housing("spring", YES_NO, when=DROPPED),
    _housing("spring_free", when=DROPPED),
    _housing("spring_compressed", when=DROPPED),
    _housing("thread", when=SCREWED),
    _housing("land_id", when=(CAN,)),
    _housing("land_od", when=(CAN,)),
    _housing("groove_depth", when=(CAN,)),
    _housing("position", POSITIONS, when=(CAN,)),
    _housing("duty", DUTIES, heading="What the machine asks"),
    _housing("medium", wide=True),
    _housing("bypass", PLACES),
    _housing("bypass_opens"),
    _housing("max_differential"),
    _housing("flow"),
)


def read_element(reader: Reader) -> Element | None:
    """The element: the line of words first, every field that is filled over it; None while its kind is not known."""
    return _read(reader)[0]


def _read(reader: Reader) -> tuple[Element | None, Mapping[str, Any]]:
    values = reader.read_fields((LINE, *ELEMENT))
    described: filters.search.Described | None = values["line"]
    kind = filters.element.Kind(values["kind"]) if values["kind"] else described.kind if described else None
    if kind is None:
        return None, values
    base = (described or filters.search.Described()).as_element(kind)._replace(kind=kind)
    element = _put_together(
        reader, lambda told: tui.fields.filters.element_of(told, base), values, ELEMENT, lambda name: name
    )
    return element, values


def _put_together(reader: Reader, build: Any, values: dict[str, Any], fields: Iterable[Field[Any]], key: Any) -> Any:
    """What the fields make; one that can't go with the others says so, and counts as not measured."""
    empty = {one.name: one.empty for one in fields}
    for _ in empty:
        try:
            return build(values)
        except FieldError as problem:
            reader.refuse(key(problem.option), problem)
            values = {**values, problem.option: empty[problem.option]}
    return build({**values, **empty})


def describe_element(reader: Reader) -> Described | None:
    """The element as it is sought: what a search compares; None where nothing of that was typed."""
    element, values = _read(reader)
    if element is None:
        return None

    def size(name: str, value_mm: float | None) -> filters.search.Dimension | None:
        if value_mm is None:
            return None
        plus_minus = None if values[name] is None else in_mm(values[name])[1]
        return filters.search.Dimension(value_mm, plus_minus or USUAL_PLUS_MINUS_MM)

    found = filters.search.Described(
        element.kind,
        size("od", element.od_mm),
        size("length", element.length_mm),
        element.first,
        element.second,
        thread=element.thread,
        gasket=element.gasket,
        medium=element.medium,
    )
    return None if found._replace(kind=None) == filters.search.Described() else found


def read_housing(reader: Reader, kind: Kind | None) -> Housing:
    """The housing as far as it was measured."""
    read = reader.read_fields(_HOUSING.values())
    values = {name: read[key] for name, key in H_NAMES.items()}
    housing: Housing = _put_together(reader, tui.fields.filters.housing_of, values, HOUSING, H_NAMES.__getitem__)
    return housing._replace(takes=kind)


EXAMPLE: Mapping[str, str] = {
    "kind": CARTRIDGE, "line": "cartridge, 60 × 120, open 30 at one end, 60 mesh", "first_seal": "grommet",
    "bypass": "no", "collapse": "10 bar", "flow": "60", "depth": "130", "bore": "75", "outlet": "head",
    "head": "spigot", "head_diameter": "30.5", "cover": "none", "h_spring": "yes", "h_spring_free": "18",
    "h_spring_compressed": "6", "duty": "return", "h_medium": "100 mesh", "h_bypass": "housing",
    "max_differential": "3 bar", "h_flow": "60",
}  # fmt: skip
"""An invented return filter with everything measured."""
