"""Viscosity index by ASTM D2270 (ISO 2909): how little an oil thins between 40 and 100 °C."""

from __future__ import annotations

from bisect import bisect_right
from functools import cache
from math import log10
from typing import Final, NamedTuple

from catalog.fluids import tables
from catalog.fluids.viscosity import ViscosityLine, two_points

TABLE_TOP: Final = 70.0
"""Above this viscosity at 100 °C, in mm²/s, the standard gives equations in place of its table."""


class ViscosityIndex(NamedTuple):
    """The index rounded as the standard says (half to even), the exact value, the procedure (A or B), and L and H."""

    value: int
    exact: float
    procedure: str
    l: float  # noqa: E741  (the standard's own letter)
    h: float


@cache
def _table() -> tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...]]:
    rows = tables.rows("viscosity_index")
    return (
        tuple(float(row["kv100"]) for row in rows),
        tuple(float(row["l"]) for row in rows),
        tuple(float(row["h"]) for row in rows),
    )


def reference_oils(cst_100: float) -> tuple[float, float]:
    """L and H: viscosities in mm²/s at 40 °C of the oils of index 0 and 100 that have this viscosity at 100 °C.

    From the table of ASTM D2270 by linear interpolation, from its equations above 70 mm²/s. Raises ValueError under 2.
    """
    if not cst_100 >= 2:
        raise ValueError(
            f"The viscosity index is not defined under 2 mm²/s at 100 °C, and {cst_100:g} was typed; "
            "compare the two viscosities instead."
        )
    if cst_100 > TABLE_TOP:
        square = cst_100 * cst_100
        return 0.8353 * square + 14.67 * cst_100 - 216, 0.1684 * square + 11.85 * cst_100 - 97
    at, low, high = _table()
    below = min(bisect_right(at, cst_100) - 1, len(at) - 2)
    share = (cst_100 - at[below]) / (at[below + 1] - at[below])
    return (
        low[below] + share * (low[below + 1] - low[below]),
        high[below] + share * (high[below + 1] - high[below]),
    )


def viscosity_index(cst_40: float, cst_100: float) -> ViscosityIndex:
    """The index from the kinematic viscosities in mm²/s at 40 and 100 °C (ASTM D2270).

    Procedure A up to 100, procedure B above. Raises ValueError under 2 mm²/s at 100 °C, or if the oil does not thin.
    """
    low, high = reference_oils(cst_100)
    if not cst_40 > cst_100:
        raise ValueError(
            f"Oil is thicker at 40 °C than at 100 °C, but {cst_40:g} is not above {cst_100:g} mm²/s; "
            "check which reading belongs to which temperature."
        )
    if cst_40 > high:
        exact = (low - cst_40) / (low - high) * 100
        return ViscosityIndex(round(exact), exact, "A", low, high)
    power = (log10(high) - log10(cst_40)) / log10(cst_100)
    exact = (10**power - 1) / 0.00715 + 100
    return ViscosityIndex(round(exact), exact, "B", low, high)


def line_from_index(cst_40: float, index: float) -> ViscosityLine:
    """The viscosity line of an oil known by its viscosity in mm²/s at 40 °C and its index, as a drum's label gives it.

    Raises ValueError if no viscosity at 100 °C of 2 mm²/s or more has that index.
    """
    least, most = 2.0, cst_40 * (1 - 1e-9)

    def miss(cst_100: float) -> float:
        return viscosity_index(cst_40, cst_100).exact - index

    if least >= most or not miss(least) <= 0 <= miss(most):
        raise ValueError(
            f"No oil of {cst_40:g} mm²/s at 40 °C has a viscosity index of {index:g}; "
            "check both, or type the viscosity at 100 °C."
        )
    for _ in range(100):
        middle = (least + most) / 2
        least, most = (middle, most) if miss(middle) < 0 else (least, middle)
    return two_points(40.0, cst_40, 100.0, (least + most) / 2)
