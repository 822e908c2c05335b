"""`kitwright filter`: does this element fit that housing, which of a list would, what does a medium hold back."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.output import say, say_json, talk
from tui.commands.parsing import UsageError, add_json_option, add_unit_option, add_workshop_options
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from catalog.filters.element import Element
    from catalog.filters.housing import Housing

NAME = "filter"
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


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    judged = parser.add_argument_group("judge an element in a housing")
    judged.add_argument("--element", nargs="+", default=[], metavar="FIELD=VALUE", help="the element, see --fields")
    judged.add_argument("--housing", nargs="+", default=[], metavar="FIELD=VALUE", help="the housing, see --fields")
    judged.add_argument("--file", metavar="FILE", help="both from a JSON or CSV file")
    judged.add_argument("--describe", metavar="TEXT", help="the element in words, in the place of --element")
    judged.add_argument("--fields", action="store_true", help="list the fields")
    search = parser.add_argument_group("search by measure")
    search.add_argument("--search", metavar="TEXT", help='what was measured: "cartridge, 60 x 120, open 30 at one end"')
    search.add_argument("--shop", action="store_true", help="what is there that fits --housing")
    search.add_argument("--list", metavar="FILE", help="look in this CSV file, not in the shop")
    search.add_argument("--misses", action="store_true", help="list those that do not fit too")
    search.add_argument("--limit", metavar="N", help="how many to list (10 unless you say otherwise)")
    media = parser.add_argument_group("convert")
    media.add_argument("--mesh", metavar="NUMBER", help="sieve number → opening (ASTM E11)")
    media.add_argument("--opening", metavar="LENGTH", help="opening, such as 250um → nearest sieve")
    media.add_argument("--beta", metavar="RATIO", help="beta ratio → share held back (ISO 16889)")
    media.add_argument("--counts", nargs=3, metavar="N", help="particles per mL at 4, 6 and 14 µm → ISO 4406 code")
    media.add_argument("--code", metavar="CODE", help="ISO 4406 code such as 18/16/13 → particles per mL")
    add_unit_option(parser)
    add_json_option(parser)
    add_workshop_options(parser)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Judge, search or convert."""
    converts = [name for name in ("mesh", "opening", "beta", "counts", "code") if getattr(arguments, name) is not None]
    judged = bool(arguments.element or arguments.housing or arguments.file)
    if arguments.fields:
        return _fields(as_json=arguments.json)
    if converts and (judged or arguments.search is not None or arguments.shop or arguments.describe is not None):
        raise UsageError(f"--{converts[0]} is a question of its own; leave the element and the search out")
    if converts:
        from tui.commands.filter_media import convert

        return convert(arguments, converts)
    if arguments.describe is not None:
        return _described_in_housing(arguments)
    if arguments.search is not None and arguments.list is not None:
        return _search(arguments)
    if arguments.search is not None or arguments.shop:
        return _shop(arguments)
    if arguments.list is not None:
        raise UsageError('--list needs what is sought; add --search, such as --search "cartridge, 60 x 120"')
    if not judged:
        raise UsageError("nothing asked; give --element and --housing, or --file, or --search, or --shop, or --mesh 60")
    return _judge(arguments)


def _judge(arguments: argparse.Namespace) -> ExitCode:
    from tui.commands.filter_fields import element_of
    from tui.commands.filter_files import pairs_of, parts_of

    parts = parts_of(arguments.file) if arguments.file is not None else {}
    fields = {**parts.get("element", {}), **pairs_of("--element", arguments.element)}
    if not fields:
        raise UsageError("the element is missing; describe it by --element kind=cartridge od=60 length=120")
    return _fit(arguments, element_of(fields, arguments.unit), _housing(arguments, parts))


def _housing(arguments: argparse.Namespace, parts: dict[str, dict[str, str]]) -> Housing:
    from tui.commands.filter_fields import housing_of
    from tui.commands.filter_files import pairs_of

    fields = {**parts.get("housing", {}), **pairs_of("--housing", arguments.housing)}
    if not fields:
        raise UsageError("the housing is missing; describe it by --housing takes=cartridge depth=118 bore=70")
    return housing_of(fields, arguments.unit)


def _fit(arguments: argparse.Namespace, element: Element, housing: Housing) -> ExitCode:
    from catalog.filters.fit import judge
    from catalog.filters.grade import Grade
    from tui.commands.filter_answer import fit_lines, fit_object

    fit = judge(element, housing)
    if arguments.json:
        say_json(fit_object(element, housing, fit))
    else:
        for line in fit_lines(element, housing, fit, arguments.unit):
            say(line)
    return ExitCode.FOUND if fit.overall in (Grade.FITS, Grade.WITH_CARE) else ExitCode.NOTHING


def _described_in_housing(arguments: argparse.Namespace) -> ExitCode:
    """A described element judged in a housing, with nothing to look through."""
    from catalog.filters.describe import describe
    from tui.commands.filter_files import parts_of
    from tui.commands.judging import naming

    if arguments.element or arguments.search is not None or arguments.shop or arguments.list is not None:
        raise UsageError(
            "--describe stands in the place of --element; leave out --element, --search, --shop and --list"
        )
    with naming("--describe"):
        described = describe(arguments.describe, arguments.unit)
    housing = _housing(arguments, parts_of(arguments.file) if arguments.file is not None else {})
    kind = described.kind or housing.takes
    if kind is None:
        raise UsageError("--describe: say what it is, such as cartridge, spin-on, strainer or in-line")
    return _fit(arguments, described.as_element(kind), housing)


def _shop(arguments: argparse.Namespace) -> ExitCode:
    """The shop's filters and the suppliers' lists, by description, by housing or by both."""
    from catalog.filters.describe import describe
    from tui.commands.filter_files import parts_of
    from tui.commands.filter_shop import search_shop
    from tui.commands.judging import naming
    from tui.commands.parsing import whole

    if arguments.element:
        raise UsageError("--element is judged, not searched by; say what is sought by --search")
    if arguments.list is not None:
        raise UsageError("--shop or --list, not both; --list looks in a file, with --search")
    most = 10 if arguments.limit is None else whole("--limit", arguments.limit, 1, 1000)
    described = None
    if arguments.search is not None:
        with naming("--search"):
            described = describe(arguments.search, arguments.unit)
    parts = parts_of(arguments.file) if arguments.file is not None else {}
    housing = _housing(arguments, parts) if arguments.housing or parts.get("housing") else None
    if described is None and housing is None:
        raise UsageError(
            "--shop: describe the housing by --housing takes=spin-on thread=1-12, or the element by --search"
        )
    return search_shop(arguments, described, housing, most)


def _search(arguments: argparse.Namespace) -> ExitCode:
    from catalog.filters.describe import describe
    from catalog.filters.grade import Grade
    from catalog.filters.search import rank
    from tui.commands.filter_answer import search_lines, search_object
    from tui.commands.filter_files import candidates_of
    from tui.commands.judging import naming
    from tui.commands.parsing import whole

    if arguments.element or arguments.housing or arguments.file:
        raise UsageError("a search through a list stands alone; leave out --element, --housing and --file")
    most = 10 if arguments.limit is None else whole("--limit", arguments.limit, 1, 1000)
    with naming("--search"):
        described = describe(arguments.search, arguments.unit)
    listed = candidates_of(arguments.list, arguments.unit)
    found = rank(described, listed.elements, keep=len(listed.elements) or 1, misses=arguments.misses)
    for problem in listed.problems:
        talk(f"--list: {problem}")
    if arguments.json:
        say_json(search_object(found, listed, most))
    else:
        for line in search_lines(found, len(listed.elements), most, arguments.unit):
            say(line)
    if listed.problems:
        return ExitCode.USAGE
    usable = any(one.fit.overall in (Grade.FITS, Grade.WITH_CARE) for one in found)
    return ExitCode.FOUND if usable else ExitCode.NOTHING


def _fields(*, as_json: bool) -> ExitCode:
    from tui.commands.filter_answer import SCHEMA
    from tui.commands.filter_fields import ELEMENT, HOUSING
    from tui.commands.output import table

    if as_json:
        say_json({"schema": SCHEMA, "asked": "fields", "element": dict(ELEMENT), "housing": dict(HOUSING)})
        return ExitCode.FOUND
    for title, fields in (("element", ELEMENT), ("housing", HOUSING)):
        for line in table((title, "meaning"), list(fields.items())):
            say(line)
        say()
    return ExitCode.FOUND
