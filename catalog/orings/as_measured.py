"""A ring that no table holds and that measures a round metric size: the trade makes and stocks those.

Whole and half millimetres on a stocked width are sold in sizes that stand in no standard (common practice, no source).
Such a ring is named as measured, "25 × 3.5 metric, as measured", and not denied.
"""

from __future__ import annotations

from typing import Final, NamedTuple

from catalog.because import Because
from catalog.standing import Standing

STOCKED_WIDTHS_MM: Final = (1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 4.5, 5.0, 5.5, 6.0, 7.0, 8.0, 9.0, 10.0)
HALVES_UP_TO_MM: Final = 100.0
"""Up to this ID half millimetres are usual, above it whole ones (common practice, no source)."""
LEAST_REACH_MM: Final = 0.1
"""A ring is within this of its nominal even where the reading is finer: none is made closer (ISO 3601-1 class B)."""
LARGEST_REACH_MM: Final = 0.2
"""Beyond a coarser reading than this every ring would be near a half millimetre: nothing is named."""
WIDTH_REACH_MM: Final = (0.08, 0.12)
"""Least and largest distance of a width from its nominal, the reading's own ± between (common practice, no source)."""


class AsMeasured(NamedTuple):
    """A round metric size near the readings, in mm."""

    id_mm: float
    cross_section_mm: float

    @property
    def label(self) -> str:
        """`25 × 3.5`."""
        return f"{self.id_mm:g} × {self.cross_section_mm:g}"

    @property
    def because(self) -> Because:
        """Why it is named."""
        rule = f"{self.label}: whole or half millimetres on a stocked width are made and sold outside any standard"
        return Because(rule, "common practice, no source", Standing.PRACTICE)


def as_measured(id_mm: float, id_pm_mm: float, width_mm: float, width_pm_mm: float) -> AsMeasured | None:
    """The round metric size that the readings point to (mm, with their ±), or None where they point to none."""
    step = 0.5 if id_mm < HALVES_UP_TO_MM else 1.0
    inner = round(id_mm / step) * step
    width = min(STOCKED_WIDTHS_MM, key=lambda one: abs(one - width_mm))
    reach = min(max(id_pm_mm, LEAST_REACH_MM), LARGEST_REACH_MM * max(1.0, 2.0 * step))
    if inner <= 0.0 or abs(inner - id_mm) > reach:
        return None
    if abs(width - width_mm) > min(max(width_pm_mm, WIDTH_REACH_MM[0]), WIDTH_REACH_MM[1]):
        return None
    return AsMeasured(inner, width)
