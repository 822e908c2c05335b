"""ISO 4406:1999: particle counts to a cleanliness code and back."""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise
from typing import NamedTuple

from catalog.compare import at_most, over
from catalog.filters.media import rows
from catalog.quantity.errors import excerpt

OVER_SCALE = 29  # written “>28”: more than 2,500,000 particles per millilitre
SIZES = ("≥4 µm(c)", "≥6 µm(c)", "≥14 µm(c)")


class CountRange(NamedTuple):
    """Particles per millilitre a scale number stands for: more than `over`, up to and including `up_to` (None: no end).

    `at_least` marks a number written with ≥: too few particles were counted to be sure that it is not higher.
    """

    over: float
    up_to: float | None
    at_least: bool = False


@cache
def _scale() -> tuple[CountRange, ...]:
    return tuple(CountRange(float(row["over_per_ml"]), float(row["up_to_per_ml"])) for row in rows("iso4406.csv"))


def scale_number(count_per_ml: float) -> int:
    """Scale number of a count per millilitre; 29 (`OVER_SCALE`) above 2,500,000. ValueError for a negative count."""
    if not count_per_ml >= 0:
        raise ValueError(f"A count of {count_per_ml:g} particles per millilitre cannot be: type 0 or more.")
    for number, span in enumerate(_scale()):
        if span.up_to is not None and at_most(count_per_ml, span.up_to):
            return number
    return OVER_SCALE


def count_range(number: int) -> CountRange:
    """The counts a scale number stands for; ValueError outside 0 to 29."""
    scale = _scale()
    if number == OVER_SCALE:
        return CountRange(scale[-1].up_to or 0.0, None)
    if not 0 <= number < len(scale):
        raise ValueError(f"ISO 4406 has no number {number}: the scale runs from 0 to 28, and >28.")
    return scale[number]


def _written(number: int) -> str:
    return ">28" if number == OVER_SCALE else str(number)


def cleanliness_code(over_4: float | None, over_6: float | None, over_14: float | None) -> str:
    """The code `R4/R6/R14` from cumulative counts per millilitre at 4, 6 and 14 µm(c); None is written “-”.

    Counts are cumulative, so they cannot rise with size: ValueError if they do.
    """
    known = [count for count in (over_4, over_6, over_14) if count is not None]
    if any(over(later, earlier) for earlier, later in pairwise(known)):
        raise ValueError(
            "Counts cannot rise with size: each takes in all larger particles. Type them for ≥4, ≥6 and ≥14 µm."
        )
    return "/".join("-" if count is None else _written(scale_number(count)) for count in (over_4, over_6, over_14))


_PART = re.compile(r"(≥|>=)?\s*(\d{1,2})|(>\s*28)|([-–*])")


def code_counts(code: str) -> tuple[CountRange | None, CountRange | None, CountRange | None]:
    """Counts per millilitre at 4, 6 and 14 µm(c) for a code such as `18/16/13`; None where the code has “-” or “*”.

    A code of two numbers is the older form without the 4 µm count: the first entry is None.
    """
    parts = [part.strip() for part in code.strip().split("/")]
    if len(parts) == 2:
        parts = ["-", *parts]
    found: list[CountRange | None] = []
    for part in parts:
        match = _PART.fullmatch(part)
        if match is None or len(parts) != 3:
            raise ValueError(f"{excerpt(code.strip())} is not an ISO 4406 code: type three numbers like 18/16/13.")
        if match[4]:
            found.append(None)
        elif match[3]:
            found.append(count_range(OVER_SCALE))
        else:
            found.append(count_range(int(match[2]))._replace(at_least=bool(match[1])))
    return found[0], found[1], found[2]
