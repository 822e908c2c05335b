"""`kitwright thread`: a measured thread in, its name, its wrench and what would settle a doubt out."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from tui.commands.output import say, say_json, table
from tui.commands.parsing import UsageError, add_json_option, add_unit_option
from tui.commands.thread_input import USUAL, add_reading_arguments
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from catalog.fasteners.sizes import Thread
    from catalog.fasteners.thread import Identification, Measured
    from catalog.fasteners.wrench import Hex

NAME = "thread"
HELP = "measured thread → its name and its wrench"
DESCRIPTION = """\
Tell what was measured on a bolt, nut, plug or hole; get the threads it can be, how sure
each is, the wrench it takes, and the gauge that settles a doubt. Or ask by name or wrench.

examples:
  kitwright thread --diameter 7.85mm --pitch 1.25mm
  kitwright thread --diameter 0.37in --tpi 24
  kitwright thread --diameter 9.45mm --tpi 16 --flank 55
  kitwright thread --diameter 20.8mm --over 18.14mm --threads 10
  kitwright thread --diameter 15.4mm --pitch 2mm --wear damaged
  kitwright thread --diameter 6.78mm --pitch 1.25mm --female
  kitwright thread --name M8
  kitwright thread --wrench 13mm --json
"""
EPILOG = f"""\
The diameter is over the crests; with --female across the crests of a nut or hole.
{USUAL} A damaged thread never goes back under load.
A 55° leaf tells Whitworth and BSP from UNC, UNF and metric (60°); how often a leaf is
misread is allowed for. A port or plug: `kitwright port` says how it seals.
exit codes: 0 a thread fits, 1 none does, 2 wrong options.
"""
SCHEMA = "kitwright.thread/1"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    readings = parser.add_argument_group("readings")
    add_reading_arguments(readings)
    asked = parser.add_argument_group("or ask by")
    asked.add_argument("--name", metavar="THREAD", help="a thread's name: M16x2, 3/8-16 UNC, G 1/2, 3/8 BSW")
    asked.add_argument("--wrench", metavar="LENGTH", help="across flats: which threads have such a hex?")
    add_unit_option(parser)
    add_json_option(parser)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Identify a thread, describe a named one, or find threads by their hex."""
    readings = [name for name in ("diameter", "pitch", "tpi", "over") if getattr(arguments, name) is not None]
    ways = [name for name in ("name", "wrench") if getattr(arguments, name) is not None]
    if len(ways) + bool(readings) != 1:
        raise UsageError("give readings such as --diameter 7.85mm --pitch 1.25mm, or --name M8, or --wrench 13mm")
    if arguments.name is not None:
        return _named(arguments)
    return _by_wrench(arguments) if arguments.wrench is not None else _measured(arguments)


def _measured(arguments: argparse.Namespace) -> ExitCode:
    from catalog.fasteners.thread import identify
    from tui.commands.judging import naming
    from tui.commands.thread_input import measured as readings

    measured = readings(arguments, "--diameter 7.85mm --pitch 1.25mm")
    with naming("the thread"):
        found = identify(measured)
    sure = bool(found.candidates) and found.none_probability <= 0.5
    if arguments.json:
        say_json(_object(measured, found))
    else:
        for line in _lines(measured, found, sure, arguments.unit):
            say(line)
    return ExitCode.FOUND if sure else ExitCode.NOTHING


def _object(measured: Measured, found: Identification) -> dict[str, Any]:
    from tui.answers.answer import plain
    from tui.answers.reasons import reasons_of
    from tui.commands.thread_input import readings_object

    return {
        "schema": SCHEMA,
        "asked": "readings",
        "readings": readings_object(measured),
        "threads": [
            {
                **_thread_object(one.thread),
                "probability": round(one.probability, 6),
                "diameter_residual_mm": round(one.diameter_residual_mm, 4),
                "pitch_residual_mm": None if one.pitch_residual_mm is None else round(one.pitch_residual_mm, 4),
            }
            for one in found.candidates
        ],
        "none_probability": round(found.none_probability, 6),
        "settle": found.settle or None,
        "notes": list(found.notes),
        "because": plain(reasons_of(found.because)),
    }


def _thread_object(thread: Thread) -> dict[str, Any]:
    from catalog.fasteners.wrench import drain_plug_hexes, hexes
    from catalog.orings.joints import takes_washer
    from catalog.seals.washers import washers_for
    from tui.commands.washer import washer_object

    return {
        "designation": thread.designation,
        "system": thread.system.value,
        "series": thread.series,
        "diameter_mm": round(thread.diameter_mm, 4),
        "pitch_mm": round(thread.pitch_mm, 4),
        "threads_per_inch": thread.threads_per_inch,
        "flank_deg": thread.flank_angle_deg,
        "tapered": thread.tapered,
        "bolt_crests_mm": [round(thread.major_low_mm, 4), round(thread.major_high_mm, 4)],
        "nut_crests_mm": [round(thread.minor_low_mm, 4), round(thread.minor_high_mm, 4)],
        "hexes": [_hex_object(one) for one in hexes(thread)],
        "drain_plug_hexes": [_hex_object(one) for one in drain_plug_hexes(thread)],
        "washers": [washer_object(one) for one in washers_for(thread)] if takes_washer(thread) else [],
        "source": thread.source,
        "standing": thread.standing.value,
    }


def _hex_object(one: Hex) -> dict[str, Any]:
    return {
        "standard": one.standard,
        "across_flats_mm": round(one.across_flats_mm, 4),
        "wrench": one.wrench,
        "source": one.source,
        "standing": one.standing.value,
        "note": one.note,
    }


def _lines(measured: Measured, found: Identification, sure: bool, unit: str) -> list[str]:
    from catalog.fasteners.wrench import hexes
    from tui.answers.chances import percent
    from tui.answers.reasons import reasons_of, why_lines
    from tui.commands.thread_input import understood

    if sure:
        best = found.candidates[0]
        lines = [f"{best.thread.designation} ({percent(best.probability)}): {_said(best.thread, unit)}"]
        lines += _wrenches(best.thread)
    else:
        lines = [f"No standard thread ({percent(found.none_probability)})"]
    if found.settle:
        lines.append(f"Next: {found.settle}")
    lines += found.notes
    if found.candidates:
        rows = [
            (
                one.thread.designation,
                percent(one.probability),
                one.thread.pitch_text,
                f"{one.diameter_residual_mm:+.2f}",
                "" if one.pitch_residual_mm is None else f"{one.pitch_residual_mm:+.3f}",
                ", ".join(dict.fromkeys(size.wrench for size in hexes(one.thread))),
            )
            for one in found.candidates
        ]
        header = ("thread", "how sure", "gauge", "past limits mm", "pitch off mm", "wrench")
        lines += ["", *table(header, rows, right=(1, 3, 4)), f"{percent(found.none_probability)}  none of these"]
    understood_line = understood(measured, unit, ("inside a nut or hole", "on a bolt or plug"))
    return [*lines, "", understood_line, *why_lines(reasons_of(found.because))]


def _said(thread: Thread, unit: str) -> str:
    from catalog.quantity import both_units

    return f"diameter {both_units(thread.diameter_mm, first=unit)}, pitch {both_units(thread.pitch_mm, first=unit)}"


def _wrenches(thread: Thread) -> list[str]:
    from catalog.fasteners.wrench import drain_plug_hexes, hexes
    from catalog.standing import Standing
    from tui.commands.washer import washers_line

    lines = []
    if known := hexes(thread):
        lines.append(f"Wrench: {'; '.join(f'{one.wrench} ({one.standard})' for one in known)}")
        lines += dict.fromkeys(one.note for one in known if one.note)
    if plugs := drain_plug_hexes(thread):
        memory = ", from memory" if any(one.standing is Standing.MEMORY for one in plugs) else ""
        lines.append(f"As a drain plug: {', '.join(one.wrench for one in plugs)} (usual{memory}; measure the plug)")
        if washer := washers_line(thread):
            lines.append(washer)
    return lines or ["Wrench: no table says; measure across the flats."]


def _named(arguments: argparse.Namespace) -> ExitCode:
    from catalog.fasteners.lookalikes import look_alikes
    from catalog.fasteners.sizes import thread_named
    from catalog.quantity import both_units
    from tui.commands.judging import naming, word

    with naming("--name"):
        thread = thread_named(word("--name", arguments.name))
    alike = look_alikes(thread)
    if arguments.json:
        near = [{"designation": one.other.designation, "tell": one.tell} for one in alike]
        say_json({"schema": SCHEMA, "asked": "name", "thread": _thread_object(thread), "look_alikes": near})
        return ExitCode.FOUND
    say(f"{thread.designation}: {_said(thread, arguments.unit)}")
    for name, low, high in (
        ("Over the crests of a sound bolt or plug", thread.major_low_mm, thread.major_high_mm),
        ("Across the crests of a sound nut or hole", thread.minor_low_mm, thread.minor_high_mm),
    ):
        say(f"{name}: {' to '.join(both_units(one, first=arguments.unit) for one in (low, high))}")
    for line in _wrenches(thread):
        say(line)
    if alike:
        say("\nTaken for it:")
    for one in alike:
        say(f"  {one.tell}")
    return ExitCode.FOUND


def _by_wrench(arguments: argparse.Namespace) -> ExitCode:
    from catalog.fasteners.wrench import threads_for_wrench
    from catalog.quantity import both_units
    from tui.commands.judging import length

    across, plus_minus = length("--wrench", arguments.wrench, arguments.unit)
    found = threads_for_wrench(across, plus_minus) if plus_minus else threads_for_wrench(across)
    if arguments.json:
        listed = [{"designation": name, **_hex_object(size)} for name, size in found]
        say_json({"schema": SCHEMA, "asked": "wrench", "across_flats_mm": round(across, 4), "threads": listed})
    elif found:
        say(f"Hexes of {both_units(across, first=arguments.unit)} across flats:")
        for line in table(("thread", "wrench", "standard"), [(name, one.wrench, one.standard) for name, one in found]):
            say(line)
    else:
        say(f"No thread in the tables has a hex of {both_units(across, first=arguments.unit)} across flats.")
    return ExitCode.FOUND if found else ExitCode.NOTHING
