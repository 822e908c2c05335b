"""What a picture of a ring gives, and the sheet's bar that all of it is scaled by. Needs no OpenCV."""

from __future__ import annotations

from typing import Final, NamedTuple

from catalog.photo.refusal import PhotoError
from catalog.photo.sheet import BAR_MM

BAR_PLUS_MINUS_MM: Final = 0.1
"""Of a bar measured by caliper, its jaws laid to two lines by eye (common practice, no source)."""
BAR_OFF: Final = 0.05
"""A bar that is longer or shorter by more than this share was misread, or the sheet was printed to fit."""


class Measured(NamedTuple):
    """A ring by its picture, in mm; each ± holds in 95 of 100 pictures. `oval_mm`: longest less shortest ID."""

    id_mm: float
    id_plus_minus_mm: float
    width_mm: float
    width_plus_minus_mm: float
    oval_mm: float
    tilt_deg: float
    mm_per_px: float
    missing_marks: int


class Bar(NamedTuple):
    """The printed bar as measured, in mm."""

    length_mm: float
    plus_minus_mm: float = BAR_PLUS_MINUS_MM


def checked(bar: Bar) -> float:
    """The printed sheet's scale by its bar. Raises `PhotoError` for a bar that can't be ours."""
    share = bar.length_mm / BAR_MM
    if not abs(share - 1.0) <= BAR_OFF:
        raise PhotoError(
            f"the bar is printed {BAR_MM:g} mm long and can't measure {bar.length_mm:g} mm: measure it between its "
            "outer ends, and print at 100 %"
        )
    return share
