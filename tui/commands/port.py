"""`kitwright port`: a measured port or plug thread in, the port standard and its ring out."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from tui.commands.output import say, say_json, table
from tui.commands.parsing import UsageError, add_json_option, add_unit_option
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from catalog.orings.port import Port, PortAnswer, PortMatch, ThreadReading

NAME = "port"
HELP = "measured port or plug thread → port standard and its ring"
DESCRIPTION = """\
Tell what was measured on a threaded port or plug; get the port standards it can be, the
ring each takes, and the gauge check that settles a doubt.

examples:
  kitwright port --diameter 11.0mm --tpi 20
  kitwright port --diameter 13.9mm --pitch 1.5mm --seal chamfer
  kitwright port --diameter 19.2mm --female
  kitwright port --diameter 13.1±0.05mm --tpi 19 --json

The diameter is over the crests of a plug; with --female it is across the crests of a port.
"""
EPILOG = """\
seal: chamfer (an O-ring in the port's mouth), washer (a bonded washer on a flat face),
  taper (the thread itself wedges tight).
exit codes: 0 a port fits, 1 none does, 2 wrong options.
"""
SCHEMA = "kitwright.port/1"
USUAL_PLUS_MINUS_MM = 0.1
_SEALS = {"chamfer": "chamfer", "washer": "bonded washer", "taper": "taper"}
_FROM_MEMORY = "from memory"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("--diameter", metavar="LENGTH", help="over the crests, with its ± (0.1 mm unless you say)")
    pitch = parser.add_mutually_exclusive_group()
    pitch.add_argument("--pitch", metavar="LENGTH", help="crest to crest, as on a metric thread gauge")
    pitch.add_argument("--tpi", metavar="NUMBER", help="threads per inch, as on an inch thread gauge")
    parser.add_argument("--female", action="store_true", help="measured inside the port, not on the plug")
    parser.add_argument("--seal", metavar="WORD", help="what is seen: chamfer, washer or taper")
    add_unit_option(parser)
    add_json_option(parser)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Name the port."""
    from catalog.orings.port import ports_for
    from tui.commands.judging import naming

    reading = _reading(arguments)
    with naming("the thread"):
        answer = ports_for(reading)
    if arguments.json:
        say_json(_object(reading, answer))
    else:
        for line in _lines(reading, answer, arguments.unit):
            say(line)
    return ExitCode.FOUND if answer.candidates else ExitCode.NOTHING


def _reading(arguments: argparse.Namespace) -> ThreadReading:
    from catalog.orings.port import PortSeal, ThreadReading
    from tui.commands.judging import length, number, one_of

    if arguments.diameter is None:
        raise UsageError("--diameter is missing; type it like --diameter 11.0mm --tpi 20")
    diameter, plus_minus = length("--diameter", arguments.diameter, arguments.unit)
    seal = None if arguments.seal is None else PortSeal(_SEALS[one_of("--seal", arguments.seal, list(_SEALS))])
    return ThreadReading(
        diameter,
        plus_minus or USUAL_PLUS_MINUS_MM,
        None if arguments.pitch is None else length("--pitch", arguments.pitch, arguments.unit)[0],
        None if arguments.tpi is None else number("--tpi", arguments.tpi, "20"),
        not arguments.female,
        seal,
    )


def _object(reading: ThreadReading, answer: PortAnswer) -> dict[str, Any]:
    from tui.commands.judging import ADVICE

    return {
        "schema": SCHEMA,
        "reading": {
            "diameter_mm": round(reading.diameter_mm, 4),
            "plus_minus_mm": round(reading.plus_minus_mm, 4),
            "pitch_mm": None if reading.pitch_mm is None else round(reading.pitch_mm, 4),
            "threads_per_inch": reading.threads_per_inch,
            "male": reading.male,
            "seal": None if reading.seal is None else reading.seal.value,
        },
        "settled": answer.settled,
        "ports": [_port_object(match) for match in answer.candidates],
        "checks": list(answer.checks),
        "text": answer.text,
        "caution": ADVICE,
    }


def _port_object(match: PortMatch) -> dict[str, Any]:
    from tui.commands.sizes import size_object

    port = match.port
    return {
        "standard": port.standard,
        "thread": port.thread,
        "form": port.form.value,
        "major_mm": round(port.major_mm, 4),
        "pitch_mm": round(port.pitch_mm, 4),
        "threads_per_inch": port.threads_per_inch,
        "seal": port.seal.value,
        "ring": None if port.ring is None else size_object(port.ring),
        "chamfer_deg": port.chamfer_deg,
        "off_mm": round(match.off_mm, 4),
        "agrees_with_seal": match.agrees,
        "source": port.source,
        "standing": port.standing.value,
        "note": port.note,
    }


def _lines(reading: ThreadReading, answer: PortAnswer, unit: str) -> list[str]:
    from catalog.quantity import both_units
    from tui.commands.judging import ADVICE, cautions

    lines = [answer.text]
    if answer.candidates:
        header = ("port", "thread", "pitch", "sealed by", "ring", "ID × width mm", "in", "row")
        lines += ["", *table(header, [_row(match.port) for match in answer.candidates])]
        if reading.seal is not None and not answer.candidates[0].agrees:
            lines += ["", f"None of them is sealed by {reading.seal}; look at the port's mouth again."]
    side = "plug" if reading.male else "port"
    pitch = "pitch not measured"
    if reading.threads_per_inch is not None:
        pitch = f"{reading.threads_per_inch:g} threads per inch"
    elif reading.pitch_mm is not None:
        pitch = f"pitch {both_units(reading.pitch_mm, first=unit)}"
    said = f"{side}, {both_units(reading.diameter_mm, first=unit)} ± {reading.plus_minus_mm:.2g} mm over the crests"
    lines += ["", f"Understood: {said if reading.male else said.replace('over', 'across')}, {pitch}."]
    return [*lines, *cautions("relieve", "no-hand"), ADVICE]


def _row(port: Port) -> tuple[str, ...]:
    from catalog.orings.sizes import MM_PER_INCH
    from catalog.standing import Standing

    ring = port.ring
    return (
        port.standard,
        port.thread,
        port.pitch_label,
        str(port.seal),
        "none" if ring is None else ring.label,
        "" if ring is None else f"{ring.id_mm:.2f} × {ring.cross_section_mm:.2f}",
        "" if ring is None else f"{ring.id_mm / MM_PER_INCH:.3f} × {ring.cross_section_mm / MM_PER_INCH:.3f}",
        _FROM_MEMORY if port.standing is Standing.MEMORY else "published",
    )
