"""`kitwright rubber`: which rubber for this service, how long a ring may lie on the shelf, what a look tells."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from tui.commands.output import say, say_json
from tui.commands.parsing import UsageError, add_json_option, add_unit_option, shown, whole
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from catalog.orings.elastomer import FamilyChoice, LookAnswer, RubberReason, RubberVerdict
    from catalog.orings.rubber_tables import FluidRow
    from tui.commands.rubber_age import Age

NAME = "rubber"
HELP = "service → which rubber; cure date → is the ring still good"
DESCRIPTION = """\
Name the fluid and its temperatures; get the rubber families that may be used, best first,
and those that never may. Or give a ring's rubber and cure date; is it still in its life?

examples:
  kitwright rubber --fluid UTTO --from -20C --to 100C
  kitwright rubber --fluid "brake fluid dot 3" --from -40C --to 120C --json
  kitwright rubber --fluid HM_HV --to 90C --pressure 160bar --gap 0.2mm
  kitwright rubber --fluid diesel --family FKM --to 60C
  kitwright rubber --age NBR --cured 2019-03
  kitwright rubber --age FKM --cured 2Q2014 --rule "SAE ARP5316"
  kitwright rubber --look "black, soft"
  kitwright rubber --fluids
"""
EPILOG = """\
families (ASTM D1418): NBR, HNBR, EPDM, FKM, CR, ACM, AEM, VMQ, FVMQ, AU/EU, SBR, and PTFE.
sources such as S26 are listed in catalog/data/elastomers/SOURCES.md. Test if in doubt.
exit codes: 0 some family may be used, or the ring is in its life; 1 none, or it has
  expired, or a look alone was given; 2 wrong options.
"""
SCHEMA = "kitwright.rubber/1"
_MOST_LISTED = 6


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    service = parser.add_argument_group("service")
    service.add_argument("--fluid", metavar="NAME", help="a code from --fluids, or words of its name")
    service.add_argument("--fluids", action="store_true", help="list the fluids")
    service.add_argument("--from", dest="coldest", metavar="TEMP", help="coldest (20 °C unless you say otherwise)")
    service.add_argument("--to", dest="hottest", metavar="TEMP", help="hottest (20 °C unless you say otherwise)")
    service.add_argument("--pressure", metavar="PRESSURE", help="such as 160bar")
    service.add_argument("--gap", metavar="LENGTH", help="gap on diameter that pressure may push the ring into")
    service.add_argument("--hardness", metavar="SHORE", help="Shore A hardness (70 unless you say otherwise)")
    service.add_argument("--moving", action="store_true", help="the ring slides")
    service.add_argument("--family", metavar="CODE", help="judge this family alone")
    age = parser.add_argument_group("shelf age")
    age.add_argument("--age", metavar="FAMILY", help="the ring's rubber")
    age.add_argument("--cured", metavar="DATE", help="cure date: 2019-03-14, 2019-03 or 1Q2019")
    age.add_argument("--rule", metavar="RULE", help='"ISO 2230" (unless you say otherwise) or "SAE ARP5316"')
    age.add_argument("--today", metavar="DATE", help="judge for this day instead of today")
    parser.add_argument("--look", metavar="WORDS", help='what is seen and felt: "black, soft"')
    add_unit_option(parser)
    add_json_option(parser)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Choose a rubber, judge a ring's age, or say what a look is worth."""
    if arguments.fluids:
        return _list_fluids(as_json=arguments.json)
    if arguments.fluid is None and arguments.age is None and arguments.look is None:
        raise UsageError("nothing asked; give --fluid with --from and --to, or --age with --cured, or --look")
    look = None if arguments.look is None else _look(arguments.look)
    choice = None if arguments.fluid is None else _choice(arguments)
    age = None if arguments.age is None else _age(arguments)
    if arguments.json:
        say_json(_object(choice, age, look))
    else:
        for line in _lines(choice, age, look, _understood(arguments)):
            say(line)
    if choice is None and age is None:
        return ExitCode.NOTHING
    good = (choice is None or bool(choice.allowed)) and (age is None or age.good)
    return ExitCode.FOUND if good else ExitCode.NOTHING


def _choice(arguments: argparse.Namespace) -> FamilyChoice:
    from catalog.orings.elastomer import FamilyChoice, Suitability, families_for, rubber_verdict
    from catalog.orings.rubber_tables import family
    from catalog.quantity import Kind
    from tui.commands.judging import length, naming, quantity, word

    what = fluid_named(arguments.fluid)
    coldest, hottest = (
        20.0 if text is None else quantity(option, text, Kind.TEMPERATURE, "°C")
        for option, text in (("--from", arguments.coldest), ("--to", arguments.hottest))
    )
    pressure = gap = None
    if arguments.pressure is not None:
        pressure = quantity("--pressure", arguments.pressure, Kind.PRESSURE, "bar")
    if arguments.gap is not None:
        if pressure is None:
            raise UsageError("--gap matters under pressure; add --pressure, such as --pressure 160bar")
        gap = 0.0 if arguments.gap.strip() == "0" else length("--gap", arguments.gap, arguments.unit)[0]
    hardness = 70 if arguments.hardness is None else whole("--hardness", arguments.hardness, 50, 95)
    if arguments.family is None:
        with naming("the service"):
            return families_for(what.code, coldest, hottest, pressure, gap, shore_a=hardness, moving=arguments.moving)
    with naming("--family"):
        which = family(word("--family", arguments.family))
    with naming("the service"):
        found = rubber_verdict(
            *(which, what.code, coldest, hottest),
            pressure_bar=pressure,
            gap_mm=gap,
            shore_a=hardness,
            moving=arguments.moving,
        )
    bad = found.suitability is Suitability.UNSUITABLE
    return FamilyChoice(what, () if bad else (found,), (found,) if bad else ())


def fluid_named(text: str) -> FluidRow:
    """The fluid of this code, or the one whose name holds every word typed. Raises UsageError that lists what is near.

    Words may be cut short: `hydraul mineral`.
    """
    from catalog.orings.rubber_tables import fluids
    from tui.commands.judging import word
    from tui.commands.parsing import did_you_mean

    clean = word("--fluid", text)
    known = fluids()
    code = clean.upper().replace(" ", "_").replace("-", "_")
    if code in known:
        return known[code]
    wanted = clean.casefold().split()
    found = [row for row in known.values() if all(part in f"{row.code} {row.name}".casefold() for part in wanted)]
    if len(found) == 1:
        return found[0]
    if found:
        names = "; ".join(f"{row.code} ({row.name})" for row in found[:_MOST_LISTED])
        raise UsageError(f"--fluid: {shown(text)} could be several; type one of: {names}")
    near = did_you_mean(code, [one.lower() for one in known])
    raise UsageError(f"--fluid: {shown(text)} is not known{near or '.'} See kitwright rubber --fluids")


def _age(arguments: argparse.Namespace) -> Age:
    from datetime import date

    from tui.commands.rubber_age import age, day

    if arguments.cured is None:
        raise UsageError("--cured is missing; type the cure date on the bag, such as --cured 2019-03 or 1Q2019")
    today = date.today() if arguments.today is None else day("--today", arguments.today).day
    return age(arguments.age, arguments.cured, arguments.rule, today)


def _look(text: str) -> LookAnswer:
    from catalog.orings.elastomer import identify_by_look
    from tui.commands.judging import word

    colour, _, feel = word("--look", text).partition(",")
    return identify_by_look(colour, feel)


def _list_fluids(*, as_json: bool) -> ExitCode:
    from catalog.orings.rubber_tables import fluids
    from tui.commands.output import table

    rows = list(fluids().values())
    if as_json:
        say_json({"schema": SCHEMA, "fluids": [{"code": row.code, "name": row.name} for row in rows]})
    else:
        for line in table(("code", "fluid"), [(row.code, row.name) for row in rows]):
            say(line)
    return ExitCode.FOUND


def _object(choice: FamilyChoice | None, age: Age | None, look: LookAnswer | None) -> dict[str, Any]:
    from tui.commands.judging import ADVICE
    from tui.commands.rubber_age import age_object

    return {
        "schema": SCHEMA,
        "fluid": None if choice is None else {"code": choice.fluid.code, "name": choice.fluid.name},
        "allowed": None if choice is None else [_verdict_object(one) for one in choice.allowed],
        "never": None if choice is None else [_verdict_object(one) for one in choice.never],
        "age": None if age is None else age_object(age),
        "look": None if look is None else {"families": [], "text": look.text},
        "caution": ADVICE,
    }


def _verdict_object(verdict: RubberVerdict) -> dict[str, Any]:
    return {
        "family": verdict.family.value,
        "suitability": verdict.suitability.value,
        "rating": verdict.rating,
        "reasons": [
            {
                "about": reason.about,
                "suitability": reason.suitability.value,
                "text": reason.text,
                "source": reason.source,
                "standing": reason.standing.value,
            }
            for reason in verdict.reasons
        ],
    }


def _understood(arguments: argparse.Namespace) -> str:
    """The service as understood, in both families of units."""
    from catalog.quantity import Kind
    from tui.commands.judging import typed

    if arguments.fluid is None:
        return ""
    said = [
        f"{name} {typed(option, text, kind, unit).echo()}"
        for name, option, text, kind, unit in (
            ("coldest", "--from", arguments.coldest or "20 °C", Kind.TEMPERATURE, "°C"),
            ("hottest", "--to", arguments.hottest or "20 °C", Kind.TEMPERATURE, "°C"),
            ("pressure", "--pressure", arguments.pressure, Kind.PRESSURE, "bar"),
            ("gap on diameter", "--gap", arguments.gap, Kind.LENGTH, arguments.unit),
        )
        if text is not None
    ]
    return f"Understood: {'; '.join(said)}; {'moving' if arguments.moving else 'standing still'}."


def _lines(choice: FamilyChoice | None, age: Age | None, look: LookAnswer | None, understood: str) -> list[str]:
    from tui.commands.judging import ADVICE, cautions
    from tui.commands.rubber_age import age_lines

    lines: list[str] = []
    if look is not None:
        lines += [look.text, ""]
    if age is not None:
        lines += [*age_lines(age), ""]
    if choice is not None:
        best = ", ".join(f"{one.family} ({one.suitability})" for one in choice.allowed)
        lines.append(f"In {choice.fluid.name}: {best}" if best else f"In {choice.fluid.name}: no family may be used")
        for one in choice.allowed:
            lines += ["", f"{one.family}: {one.suitability}", *map(_reason, one.reasons)]
        if choice.never:
            lines += ["", f"Never here: {', '.join(one.family for one in choice.never)}"]
            lines += [_reason(one.reasons[0]) for one in choice.never]
        lines += ["", understood]
    lines += cautions("burnt-fkm") if look is not None or choice is not None else []
    return [*lines, "Compounds of one family differ: the data sheet of the ring decides. Test if in doubt.", ADVICE]


def _reason(reason: RubberReason) -> str:
    from catalog.standing import Standing

    memory = ", from memory" if reason.standing is Standing.MEMORY and "memory" not in reason.source else ""
    source = "from memory" if reason.source == "memory" else reason.source
    return f"  {reason.text} [{source}{memory}]"
