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
  kitwright rubber --fluid "dot 3" --from -40C --to 120C --json
  kitwright rubber --fluid "mineral brake oil" --from -30C --to 80C
  kitwright rubber --fluid HM_HV --to 90C --pressure 160bar --gap 0.2mm
  kitwright rubber --fluid diesel --family FKM --to 60C
  kitwright rubber --age NBR --cured 2019-03
  kitwright rubber --age FKM --cured 2Q2014 --rule "SAE ARP5316"
  kitwright rubber --look "black, soft"
  kitwright rubber --fluids
"""
EPILOG = """\
families (ASTM D1418): NBR, HNBR, EPDM, FKM, CR, ACM, AEM, VMQ, FVMQ, AU/EU, SBR, NR, IIR, and PTFE.
a word that several fluids go by (synthetic, brake fluid, hydraulic oil) is asked back with its choices.
"not known": no rating is in the tables, so it is not offered; ask the ring's maker. Test if in doubt.
exit codes: 0 some family may be used, or the ring is in its life; 1 none, or it has
  expired, or a look alone was given; 2 wrong options, or a fluid that could be several.
"""
SCHEMA = "kitwright.rubber/1"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    service = parser.add_argument_group("service")
    service.add_argument(
        "--fluid", metavar="NAME", help='a code from --fluids, a trade word such as "DOT 4", or words of its name'
    )
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
    from catalog.orings.elastomer import choice_of, families_for, rubber_verdict
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
    return choice_of(what, [found])


def fluid_named(text: str) -> FluidRow:
    """The fluid of this code, trade word or words of its name. Raises UsageError that asks which, or says what is near.

    Words may be cut short: `hydraul mineral`.
    """
    from catalog.orings.fluid_words import UnknownFluidError, WhichFluidError, fluid_called
    from catalog.orings.rubber_tables import fluids
    from tui.commands.judging import plain, word
    from tui.commands.parsing import did_you_mean

    clean = word("--fluid", text)
    try:
        return fluid_called(clean)
    except WhichFluidError as problem:
        raise UsageError(f"--fluid: {plain(str(problem))}") from None
    except UnknownFluidError:
        # A class with another number is another fluid, so no figure is ever guessed at.
        known = [one.lower() for row in fluids().values() for one in (row.code, *row.words)]
        figures = any(letter.isdigit() for letter in clean)
        near = "" if figures else did_you_mean(clean.replace(" ", "_"), [one for one in known if one.isalpha()])
        raise UsageError(f"--fluid: {shown(text)} is not known{near or '.'} See kitwright rubber --fluids") from None


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
        say_json({"schema": SCHEMA, "fluids": [_fluid_object(row) for row in rows]})
    else:
        for line in table(("code", "fluid", "or type"), [(row.code, row.name, ", ".join(row.words)) for row in rows]):
            say(line)
    return ExitCode.FOUND


def _object(choice: FamilyChoice | None, age: Age | None, look: LookAnswer | None) -> dict[str, Any]:
    from tui.answers.advice import ADVICE
    from tui.answers.answer import plain
    from tui.answers.reasons import reasons_of
    from tui.commands.rubber_age import age_object

    return {
        "schema": SCHEMA,
        "fluid": None if choice is None else _fluid_object(choice.fluid),
        "allowed": None if choice is None else [_verdict_object(one) for one in choice.allowed],
        "not_known": None if choice is None else [_verdict_object(one) for one in choice.not_known],
        "never": None if choice is None else [_verdict_object(one) for one in choice.never],
        "age": None if age is None else age_object(age),
        "look": None if look is None else {"families": [], "text": look.text},
        "because": plain(
            reasons_of(
                one
                for answer in (choice, None if age is None else age.life, look)
                if answer is not None
                for one in answer.because
            )
        ),
        "caution": ADVICE,
    }


def _fluid_object(row: FluidRow) -> dict[str, Any]:
    return {"code": row.code, "name": row.name, "words": list(row.words), "note": row.note or None}


def _verdict_object(verdict: RubberVerdict) -> dict[str, Any]:
    from tui.answers.answer import plain
    from tui.answers.reasons import reasons_of

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
        "because": plain(reasons_of(verdict.because)),
    }


def _understood(arguments: argparse.Namespace) -> str:
    """The service as understood, in both families of units."""
    from catalog.quantity import Kind
    from tui.commands.judging import typed

    if arguments.fluid is None:
        return ""
    said = [
        f"{name} {typed(option, text, kind, arguments.unit).echo()}"
        for name, option, text, kind in (
            ("coldest", "--from", arguments.coldest or "20 °C", Kind.TEMPERATURE),
            ("hottest", "--to", arguments.hottest or "20 °C", Kind.TEMPERATURE),
            ("pressure", "--pressure", arguments.pressure, Kind.PRESSURE),
            ("gap on diameter", "--gap", arguments.gap, Kind.LENGTH),
        )
        if text is not None
    ]
    told = f"Understood: {'; '.join(said)}; {'moving' if arguments.moving else 'standing still'}."
    if arguments.coldest is None and arguments.hottest is None:
        told += " No temperature was given: judged at 20 °C alone. Add --from and --to."
    return told


def _lines(choice: FamilyChoice | None, age: Age | None, look: LookAnswer | None, understood: str) -> list[str]:
    from tui.answers.advice import ADVICE, cautions
    from tui.commands.rubber_age import age_lines

    lines: list[str] = []
    if look is not None:
        lines += [look.text, ""]
    if age is not None:
        lines += [*age_lines(age), ""]
    if choice is not None:
        best = ", ".join(f"{one.family} ({one.suitability})" for one in choice.allowed)
        alone = len(choice.allowed) + len(choice.never) + len(choice.not_known) == 1
        none = "it is not to be used" if alone else "no family may be used"
        if alone and choice.not_known:
            none = f"nothing is known of {choice.not_known[0].family}; ask the ring's maker"
        lines.append(f"In {choice.fluid.name}: {best}" if best else f"In {choice.fluid.name}: {none}")
        if choice.fluid.note:
            lines.append(choice.fluid.note)
        for one in choice.allowed:
            lines += ["", f"{one.family}: {one.suitability}", *map(_reason, one.reasons)]
        if choice.not_known:
            lines += ["", f"Not known, ask the ring's maker: {', '.join(one.family for one in choice.not_known)}"]
            lines += [_reason(one.reasons[0]) for one in choice.not_known]
        if choice.never:
            lines += ["", f"Never here: {', '.join(one.family for one in choice.never)}"]
            lines += [_reason(one.reasons[0]) for one in choice.never]
        lines += ["", understood]
    lines += cautions("burnt-fkm") if look is not None or choice is not None else []
    return [*lines, "Compounds of one family differ: the data sheet of the ring decides. Test if in doubt.", ADVICE]


def _reason(reason: RubberReason) -> str:
    from catalog.standing import Standing

    said = "memory" in reason.source or reason.standing is Standing.PUBLISHED
    return f"  {reason.text} [{reason.source}{'' if said else f'; {reason.standing.words}'}]"
