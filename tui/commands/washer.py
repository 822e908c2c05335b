"""`kitwright washer`: a measured sealing washer in, its size out; or a plug's thread in, its washers out."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from tui.commands.output import say, say_json, table
from tui.commands.parsing import UsageError, add_json_option, add_unit_option
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from catalog.seals.evidence import Readings
    from catalog.seals.washers import WasherAnswer, WasherKind

NAME = "washer"
HELP = "measured sealing washer, or a plug's thread → the washer"
DESCRIPTION = """\
Tell what was measured on a copper, aluminium or bonded washer; get the size it was and
how sure that is. Or give a plug's thread and get the washers that go under it.

examples:
  kitwright washer --inside 14.2mm --outside 17.9mm --thick 1.4mm
  kitwright washer --inside 13.8mm --outside 20.6mm --kind bonded
  kitwright washer --inside 0.866in --outside 1.06in --new
  kitwright washer --thread M14x1.5
  kitwright washer --thread "G 1/4" --json
"""
EPILOG = """\
Unless you type a ±: 0.1 mm. A washer that was tightened is crushed, so the limits are
wide; --new narrows them. A soft metal washer is new at every opening.
exit codes: 0 a washer fits, 1 none does, 2 wrong options.
"""
SCHEMA = "kitwright.washer/1"
PLUS_MINUS_MM = 0.1
_OPTIONS = {"inside": "inside diameter", "outside": "outside diameter", "thick": "thickness"}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    readings = parser.add_argument_group("readings")
    readings.add_argument("--inside", metavar="LENGTH", help="inside diameter; of a bonded one inside its rubber lip")
    readings.add_argument("--outside", metavar="LENGTH", help="outside diameter")
    readings.add_argument("--thick", metavar="LENGTH", help="thickness of the metal")
    readings.add_argument("--new", action="store_true", help="it was never tightened")
    parser.add_argument("--kind", metavar="WORD", help="flat (soft metal) or bonded (steel with a rubber lip)")
    parser.add_argument("--thread", metavar="THREAD", help="or ask by the plug's thread: M14x1.5, G 1/4")
    add_unit_option(parser)
    add_json_option(parser)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Name a washer, or list those of a thread."""
    given = [option for option in _OPTIONS if getattr(arguments, option) is not None]
    if bool(given) == (arguments.thread is not None):
        raise UsageError("give readings such as --inside 14.2mm --outside 17.9mm, or a thread such as --thread M14x1.5")
    kind = _kind(arguments.kind)
    return _of_thread(arguments, kind) if arguments.thread is not None else _measured(arguments, kind)


def _kind(text: str | None) -> WasherKind | None:
    from catalog.seals.washers import WasherKind
    from tui.commands.judging import one_of

    return None if text is None else WasherKind(one_of("--kind", text, [one.value for one in WasherKind]))


def _measured(arguments: argparse.Namespace, kind: WasherKind | None) -> ExitCode:
    from catalog.seals.washers import identify_washer
    from tui.commands.judging import naming
    from tui.commands.seal_text import read

    readings = read(arguments, _OPTIONS, PLUS_MINUS_MM)
    with naming("the washer"):
        answer = identify_washer(readings, used=not arguments.new, kind=kind)
    sure = bool(answer.matches) and answer.none_probability <= 0.5
    if arguments.json:
        say_json(_object(readings, answer, used=not arguments.new))
    else:
        for line in _lines(readings, answer, sure, arguments.unit):
            say(line)
    return ExitCode.FOUND if sure else ExitCode.NOTHING


def _object(readings: Readings, answer: WasherAnswer, *, used: bool) -> dict[str, Any]:
    from catalog.seals.washers import CAUTION
    from tui.answers.answer import plain
    from tui.answers.reasons import reasons_of
    from tui.answers.washers import washer_of
    from tui.commands.seal_text import readings_object

    return {
        "schema": SCHEMA,
        "asked": "readings",
        "readings": {**readings_object(readings, _OPTIONS), "used": used},
        "washers": [
            {**plain(washer_of(one.washer)), "probability": round(one.probability, 6)} for one in answer.matches
        ],
        "none_probability": round(answer.none_probability, 6),
        "settle": answer.settle or None,
        "notes": list(answer.notes),
        "because": plain(reasons_of(answer.because)),
        "caution": CAUTION,
    }


def _lines(readings: Readings, answer: WasherAnswer, sure: bool, unit: str) -> list[str]:
    from catalog.seals.washers import CAUTION
    from tui.answers.chances import percent
    from tui.answers.reasons import reasons_of, why_lines
    from tui.commands.seal_text import offs, understood

    if sure:
        best = answer.matches[0]
        under = " and ".join(best.washer.threads)
        lines = [
            f"{best.washer.kind.words} {best.washer.label} mm ({percent(best.probability)}): "
            f"{best.washer.standard}, under {under}; {best.washer.standing.words}"
        ]
    else:
        lines = [f"No washer of the tables ({percent(answer.none_probability)})"]
    if answer.settle:
        lines.append(f"Next: {answer.settle}")
    lines += answer.notes
    if answer.matches:
        rows = [
            (one.washer.label, one.washer.kind.value, percent(one.probability), " ".join(one.washer.threads),
             offs(one.off_mm), one.washer.standing.word)
            for one in answer.matches
        ]  # fmt: skip
        header = ("washer mm", "kind", "how sure", "under", "past limits mm", "row")
        lines += ["", *table(header, rows, right=(2,)), f"{percent(answer.none_probability)}  none of these"]
    return [*lines, "", understood(readings, unit), *why_lines(reasons_of(answer.because)), CAUTION]


def _of_thread(arguments: argparse.Namespace, kind: WasherKind | None) -> ExitCode:
    from catalog.fasteners.sizes import thread_named
    from catalog.seals.washers import CAUTION, washers_for
    from tui.commands.judging import naming, word

    with naming("--thread"):
        thread = thread_named(word("--thread", arguments.thread))
    found = washers_for(thread, kind)
    if arguments.json:
        from tui.answers.answer import plain
        from tui.answers.washers import washer_of

        listed = [plain(washer_of(one)) for one in found]
        say_json(
            {"schema": SCHEMA, "asked": "thread", "thread": thread.designation, "washers": listed, "caution": CAUTION}
        )
    elif found:
        say(f"Washers under a plug of {thread.designation}, the usual one first:")
        rows = [
            (one.kind.words, one.label, one.standard, one.standing.words, "" if one.source == "memory" else one.source)
            for one in found
        ]
        for line in table(("kind", "inside × outside × thick mm", "standard", "row", "source"), rows):
            say(line)
        say(CAUTION)
    else:
        say(f"No washer of the tables is for {thread.designation}: measure the old one, inside, outside and thickness.")
    return ExitCode.FOUND if found else ExitCode.NOTHING
