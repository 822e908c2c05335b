"""Numbers of a fit record as a file has them: decimals without the dust that arithmetic leaves, never an exponent."""

from __future__ import annotations

from typing import Final

from catalog.orings.groove import Groove
from catalog.orings.span import Range

PLACES: Final = 9
"""Decimals of a millimetre. 2.8 + 0.05 is 2.8499999999999996 in binary; nothing in a shop is known to a picometre."""
SPANS: Final = ("inner", "outer", "depth", "width", "chamfer")


def decimal(value: float) -> str:
    """The number in plain digits, as short as it goes: `2.85`, `0.000001`, `0`."""
    text = f"{value:.{PLACES}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def as_written(groove: Groove | None) -> Groove | None:
    """The groove as it reads in a file: two that are written alike are one groove."""
    if groove is None:
        return None
    spans = {
        name: Range(*(float(decimal(value)) for value in span))
        for name in SPANS
        if (span := getattr(groove, name)) is not None
    }
    gaps = {name: float(decimal(gap)) for name in ("clearance", "play") if (gap := getattr(groove, name)) is not None}
    return groove._replace(**spans, **gaps)  # type: ignore[arg-type]  # names of fields, each with its own type
