"""`kitwright shaft-seal`: a measured shaft, bore and width in, the rotary shaft seal's size out."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from tui.commands.output import say, say_json, table
from tui.commands.parsing import UsageError, add_json_option, add_unit_option
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from catalog.seals.evidence import Readings
    from catalog.seals.shaft_seals import ShaftSealAnswer

NAME = "shaft-seal"
HELP = "measured shaft, bore and width → shaft seal size"
DESCRIPTION = """\
Tell the shaft, the bore it sits in and the width of a rotary shaft lip seal (oil seal);
get the size it was, how sure that is, and what else is near.

examples:
  kitwright shaft-seal --shaft 34.95mm --bore 52mm --width 7mm
  kitwright shaft-seal --shaft 1.375in --bore 2.062in
  kitwright shaft-seal --shaft 40 --od 62.3 --width 10
  kitwright shaft-seal --shaft 25mm --json
"""
EPILOG = """\
Measure the shaft beside the lip's track, not in it. The seal's own outside (--od) is
larger than its bore; its lip is smaller than the shaft, so do not measure the lip.
Unless you type a ±: 0.1 mm. exit codes: 0 a size fits, 1 none does, 2 wrong options.
"""
SCHEMA = "kitwright.shaft-seal/1"
PLUS_MINUS_MM = 0.1
_OPTIONS = {"shaft": "shaft", "bore": "bore", "od": "seal's outside diameter", "width": "width"}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("--shaft", metavar="LENGTH", help="the shaft's diameter beside the lip's track")
    parser.add_argument("--bore", metavar="LENGTH", help="the housing's bore")
    parser.add_argument("--od", metavar="LENGTH", help="the seal's own outside diameter, in place of the bore")
    parser.add_argument("--width", metavar="LENGTH", help="the seal's width")
    add_unit_option(parser)
    add_json_option(parser)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Name the seal."""
    from catalog.seals.shaft_seals import identify_shaft_seal
    from tui.commands.judging import naming
    from tui.commands.seal_text import read

    if arguments.shaft is None and arguments.bore is None and arguments.od is None:
        raise UsageError("give readings such as --shaft 34.95mm --bore 52mm --width 7mm")
    readings = read(arguments, _OPTIONS, PLUS_MINUS_MM)
    with naming("the seal"):
        answer = identify_shaft_seal(readings)
    sure = bool(answer.matches) and answer.none_probability <= 0.5
    if arguments.json:
        say_json(_object(readings, answer))
    else:
        for line in _lines(readings, answer, sure, arguments.unit):
            say(line)
    return ExitCode.FOUND if sure else ExitCode.NOTHING


def _object(readings: Readings, answer: ShaftSealAnswer) -> dict[str, Any]:
    from catalog.seals.shaft_seals import CAUTIONS
    from tui.answers.answer import plain
    from tui.answers.reasons import reasons_of
    from tui.commands.seal_text import readings_object

    return {
        "schema": SCHEMA,
        "readings": readings_object(readings, _OPTIONS),
        "seals": [
            {
                "standard": one.seal.standard,
                "size": one.seal.label,
                "shaft_mm": one.seal.shaft_mm,
                "bore_mm": one.seal.bore_mm,
                "width_mm": one.seal.width_mm,
                "probability": round(one.probability, 6),
                "source": one.seal.source,
                "standing": one.seal.standing.value,
                "note": one.seal.note,
            }
            for one in answer.matches
        ],
        "none_probability": round(answer.none_probability, 6),
        "settle": answer.settle or None,
        "notes": list(answer.notes),
        "because": plain(reasons_of(answer.because)),
        "cautions": list(CAUTIONS),
    }


def _lines(readings: Readings, answer: ShaftSealAnswer, sure: bool, unit: str) -> list[str]:
    from catalog.seals.shaft_seals import CAUTIONS
    from tui.answers.chances import percent
    from tui.answers.reasons import reasons_of, why_lines
    from tui.commands.seal_text import offs, understood

    if sure:
        best = answer.matches[0]
        lines = [
            f"{best.seal.label} mm ({percent(best.probability)}): shaft × bore × width, {best.seal.standard}; "
            f"{best.seal.standing.words}"
        ]
    else:
        lines = [f"No shaft seal of the tables ({percent(answer.none_probability)})"]
    if answer.settle:
        lines.append(f"Next: {answer.settle}")
    lines += answer.notes
    if answer.matches:
        rows = [
            (one.seal.label, percent(one.probability), one.seal.standard, offs(one.off_mm), one.seal.standing.word)
            for one in answer.matches
        ]
        header = ("shaft × bore × width mm", "how sure", "standard", "past limits mm", "row")
        lines += ["", *table(header, rows, right=(1,)), f"{percent(answer.none_probability)}  none of these"]
    return [*lines, "", understood(readings, unit), *why_lines(reasons_of(answer.because)), *CAUTIONS]
