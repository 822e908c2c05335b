"""What was measured on a thread, from options: the same for `port` and `thread`, so that both ask the same question."""

from __future__ import annotations

import argparse
import re
from typing import TYPE_CHECKING, Any

from tui.commands.parsing import UsageError, shown, whole

if TYPE_CHECKING:
    from catalog.fasteners.flank import Flank
    from catalog.fasteners.thread import Measured, Reading

DIAMETER_PLUS_MINUS_MM = 0.05
PITCH_PLUS_MINUS_MM = 0.03
TPI_PLUS_MINUS = 0.25
OVER_PLUS_MINUS_MM = 0.1
USUAL = """\
Unless you type a ±: diameter 0.05 mm, pitch 0.03 mm, threads per inch 0.25,
and 0.1 mm over several threads."""
_FLANK = re.compile(r"(\d{1,3}(?:[.,]\d{1,3})?)\s*°?(?:\s*(?:±|\+/?-)\s*(\d{1,3}(?:[.,]\d{1,3})?)\s*°?)?")
READINGS = ("diameter", "pitch", "tpi", "over", "threads")


def add_reading_arguments(group: argparse._ActionsContainer) -> None:
    """Add the readings of a thread."""
    group.add_argument("--diameter", metavar="LENGTH", help="over the crests")
    group.add_argument("--pitch", metavar="LENGTH", help="crest to crest")
    group.add_argument("--tpi", metavar="NUMBER", help="threads per inch")
    group.add_argument("--over", metavar="LENGTH", help="length over several threads, with --threads")
    group.add_argument("--threads", metavar="N", help="how many threads --over spans")
    group.add_argument("--female", action="store_true", help="measured inside a nut, hole or port")
    group.add_argument("--wear", metavar="WORD", help="how the crests look: sound, worn or damaged")
    group.add_argument("--tapered", metavar="YES|NO", help="does it grow along its length?")
    group.add_argument("--flank", metavar="DEGREES", help="gauge leaf that fits: 55 or 60; or measured, as 56±2")


def measured(arguments: argparse.Namespace, example: str) -> Measured:
    """The readings. Raises UsageError in one sentence."""
    from catalog.fasteners.thread import Measured, Reading, Wear
    from tui.commands.judging import length, one_of

    if arguments.diameter is None:
        raise UsageError(f"--diameter is missing; type it like {example}")
    value, plus_minus = length("--diameter", arguments.diameter, arguments.unit)
    wear = one_of("--wear", arguments.wear, [one.value for one in Wear]) if arguments.wear is not None else "sound"
    tapered = None if arguments.tapered is None else one_of("--tapered", arguments.tapered, ("yes", "no")) == "yes"
    flank = None if arguments.flank is None else _flank(arguments.flank)
    return Measured(
        Reading(value, plus_minus or DIAMETER_PLUS_MINUS_MM),
        _pitch(arguments),
        arguments.female,
        Wear(wear),
        tapered,
        flank,
    )


def flank(text: str) -> Flank:
    """`55`, `60°`, `56±2`: a leaf, or an angle with its ±. Raises ValueError in one sentence."""
    from catalog.fasteners.flank import Flank

    found = _FLANK.fullmatch(text.strip())
    if found is None:
        raise ValueError(f"{shown(text)} is no flank angle; type 55 or 60 for a gauge's leaf, or an angle such as 56±2")
    angle, plus_minus = (None if part is None else float(part.replace(",", ".")) for part in found.groups())
    asked = Flank(angle or 0.0, plus_minus)
    asked.check()
    return asked


def _flank(text: str) -> Flank:
    from tui.commands.judging import naming

    with naming("--flank"):
        return flank(text)


def _pitch(arguments: argparse.Namespace) -> Reading | None:
    from catalog.fasteners.thread import Reading, pitch_from_tpi, pitch_over
    from tui.commands.judging import length, naming, number

    given = [option for option in ("pitch", "tpi", "over") if getattr(arguments, option) is not None]
    if len(given) > 1:
        raise UsageError(f"--{given[0]} and --{given[1]} both give the pitch; give one of them")
    if (arguments.over is None) != (arguments.threads is None):
        raise UsageError("--over and --threads belong together, as in --over 18.14mm --threads 10")
    if arguments.tpi is not None:
        per_inch = number("--tpi", arguments.tpi, "18")
        if not 4 <= per_inch <= 80:
            raise UsageError(f"--tpi: {per_inch:g} is outside 4 to 80; count the threads over 25.4 mm (1 in) again")
        with naming("--tpi"):
            return pitch_from_tpi(per_inch, TPI_PLUS_MINUS)
    if arguments.over is not None:
        value, plus_minus = length("--over", arguments.over, arguments.unit)
        return pitch_over(value, whole("--threads", arguments.threads, 1, 200), plus_minus or OVER_PLUS_MINUS_MM)
    if arguments.pitch is None:
        return None
    value, plus_minus = length("--pitch", arguments.pitch, arguments.unit)
    if not 0.3 <= value <= 6.5:
        raise UsageError(f"--pitch: {value:g} mm is outside 0.3 to 6.5 mm; type for example 1.5mm")
    return Reading(value, plus_minus or PITCH_PLUS_MINUS_MM)


def readings_object(measured: Measured) -> dict[str, Any]:
    """What was understood, as JSON."""
    return {
        "diameter_mm": round(measured.diameter.value_mm, 4),
        "diameter_plus_minus_mm": round(measured.diameter.plus_minus_mm, 4),
        "pitch_mm": None if measured.pitch is None else round(measured.pitch.value_mm, 4),
        "pitch_plus_minus_mm": None if measured.pitch is None else round(measured.pitch.plus_minus_mm, 4),
        "female": measured.internal,
        "wear": measured.wear.value,
        "tapered": measured.tapered,
        "flank_deg": None if measured.flank is None else measured.flank.angle_deg,
        "flank_plus_minus_deg": None if measured.flank is None else measured.flank.plus_minus_deg,
    }


def understood(measured: Measured, unit: str, where: tuple[str, str]) -> str:
    """What was understood, in both units. `where`: inside, outside."""
    from catalog.quantity import both_units

    read = f"diameter {both_units(measured.diameter.value_mm, first=unit)} ± {measured.diameter.plus_minus_mm:.2g} mm"
    read += " across the crests" if measured.internal else " over the crests"
    if measured.pitch is not None:
        read += f", pitch {both_units(measured.pitch.value_mm, first=unit)} ± {measured.pitch.plus_minus_mm:.2g} mm"
    else:
        read += ", pitch not measured"
    if measured.flank is not None:
        angle = measured.flank
        read += (
            f", {angle.angle_deg:g}° leaf"
            if angle.plus_minus_deg is None
            else (f", flanks {angle.angle_deg:g}° ± {angle.plus_minus_deg:g}°")
        )
    return f"Understood ({where[0] if measured.internal else where[1]}, crests {measured.wear}): {read}."
