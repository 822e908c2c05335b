"""What was measured of a thread, from its fields: the same for `port` and `thread`, so that both ask one question."""

from __future__ import annotations

from typing import TYPE_CHECKING

from catalog import fasteners
from tui.fields.field import FieldError
from tui.fields.quantities import in_mm
from tui.fields.threads import DIAMETER_PLUS_MINUS_MM, OVER, OVER_PLUS_MINUS_MM, PITCHES, THREADS

if TYPE_CHECKING:
    from catalog.fasteners.thread import Measured, Reading
    from tui.operations.operation import Values


def measured(values: Values, example: str) -> Measured:
    """The readings. Raises `FieldError`; `example`: what to type where the diameter is missing."""
    if values["diameter"] is None:
        raise FieldError(f"--diameter is missing; type it like {example}", "-")
    value, plus_minus = in_mm(values["diameter"])
    return fasteners.thread.Measured(
        fasteners.thread.Reading(value, plus_minus or DIAMETER_PLUS_MINUS_MM),
        _pitch(values),
        values["female"],
        fasteners.thread.Wear(values["wear"]),
        values["tapered"] == "yes" if values["tapered"] else None,
        values["flank"],
    )


def _pitch(values: Values) -> Reading | None:
    """The pitch, by the one way it was told."""
    given = [one for one in PITCHES if values[one.name] is not None]
    if len(given) > 1:
        raise FieldError("two readings both give the pitch; keep one of them", given[1].flag)
    over, count = values["over"], values["threads"]
    if over is not None and count is None:
        raise FieldError("type how many threads the length over them spans, such as 10", THREADS.flag)
    if over is None and count is not None:
        raise FieldError("type the length over these threads, such as 18.14 mm", OVER.flag)
    if over is not None:
        length, plus_minus = in_mm(over)
        return fasteners.thread.pitch_over(length, count, plus_minus or OVER_PLUS_MINUS_MM)
    pitch = values["pitch"] or values["tpi"]
    return None if pitch is None else fasteners.thread.Reading(pitch.mm, pitch.plus_minus_mm)
