"""The readings of a thread from the fields of a judgement: the same for the thread and for the port."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from catalog.fasteners.thread import Measured, Reading
    from tui.screens.judge.reading import Reader


def measured(reader: Reader, *, internal: bool) -> Measured | None:
    """What was measured; None where no diameter is typed, or a field could not be read."""
    from catalog.fasteners.thread import Measured, Reading, Wear
    from tui.commands.thread_input import DIAMETER_PLUS_MINUS_MM, flank

    diameter = reader.length("diameter")
    pitch = _pitch(reader)
    angle = None
    if (typed := reader.text("flank")) and typed != "?":
        try:
            angle = flank(typed)
        except ValueError as problem:
            reader.refuse("flank", problem)
    if diameter is None or reader.wrong:
        return None
    return Measured(
        Reading(diameter, reader.plus_minus_mm("diameter", DIAMETER_PLUS_MINUS_MM)),
        pitch,
        internal,
        Wear(reader.text("wear") or "sound"),
        reader.yes("tapered"),
        angle,
    )


def _pitch(reader: Reader) -> Reading | None:
    from catalog.fasteners.thread import Reading, pitch_from_tpi
    from tui.commands.thread_input import PITCH_PLUS_MINUS_MM, TPI_PLUS_MINUS

    pitch = reader.length("pitch")
    per_inch = reader.number("tpi", "threads counted along one inch", "16")
    if pitch is not None and per_inch is not None:
        reader.refuse("tpi", "The pitch is typed already; keep one of the two.")
        return None
    if per_inch is not None:
        found = pitch_from_tpi(per_inch, TPI_PLUS_MINUS)
        reader.echo("tpi", f"{found.value_mm:.3f} mm")
        return found
    return None if pitch is None else Reading(pitch, reader.plus_minus_mm("pitch", PITCH_PLUS_MINUS_MM))
