"""Dimensions in what a person typed: "3.5 x 25 nbr" asks for rings near 25 mm inside and 3.5 mm wide."""

from __future__ import annotations

import re
from bisect import bisect_left
from functools import cache
from operator import itemgetter
from typing import Final, NamedTuple

from catalog.orings.fractions import sizes_called
from catalog.orings.sizes import all_sizes

PER_MM: Final = 10_000
_NUMBER: Final = r"\d{0,4}[.,]\d{1,4}|\d{1,4}"
_PAIR: Final = re.compile(
    rf"(?<![\w.,/-])({_NUMBER})\s*(mm|\"|in\b)?\s*[x×*]\s*({_NUMBER})\s*(mm\b|\"|in\b)?(?![\d.,/]|\s*[x×*])",
    re.IGNORECASE,
)
_NEAR: Final = 0.02
_LEAST_NEAR_100NM: Final = 1_500
"""How far a ring may be from what was typed: 2 %, and 0.15 mm at least, in each of the two lengths."""


class Near(NamedTuple):
    """A ring to look for: ID and width in units of 100 nm, how far off each may be, and the words left over."""

    id_100nm: int
    width_100nm: int
    id_off: int
    width_off: int
    rest: str


def near(text: str) -> Near | None:
    """The dimensions in the text, the smaller one the width; None where there are none that a ring could have.

    Trade fractions (`1 x 1/8 in`) are the name of a size: what is near is near that size, not near the fractions.
    """
    called = sizes_called(text)
    if len(called) == 1:
        inner, width = (round(one * PER_MM) for one in (called[0].id_mm, called[0].cross_section_mm))
        return Near(inner, width, _off(inner), _off(width), "")
    pair = _PAIR.search(text)
    if pair is None:
        return None
    first, first_unit, second, second_unit = pair.groups()
    inches = (second_unit or first_unit or "").casefold() in ('"', "in")
    lengths = [round(float(said.replace(",", ".")) * (25.4 if inches else 1) * PER_MM) for said in (first, second)]
    width, inner = sorted(lengths)
    if not (5_000 <= width <= 300_000 and inner <= 20_000_000):
        return None
    rest = f"{text[: pair.start()]} {text[pair.end() :]}"
    return Near(inner, width, _off(inner), _off(width), rest)


def in_inches(text: str) -> str:
    """The text with its pair of lengths in inches, where nobody said a unit: as a bare number is meant."""
    pair = _PAIR.search(text)
    if pair is None or any(pair.group(2, 4)):
        return text
    return f"{text[: pair.end(3)]} in{text[pair.end(3) :]}"


def _off(length: int) -> int:
    return max(_LEAST_NEAR_100NM, round(length * _NEAR))


def distance(wanted: Near, id_100nm: int, width_100nm: int) -> int:
    """How far a ring is from what was typed: both differences added up, in units of 100 nm."""
    return abs(id_100nm - wanted.id_100nm) + abs(width_100nm - wanted.width_100nm)


def sizes_near(wanted: Near) -> dict[str, int]:
    """The standard sizes that are near, by key, with their distance."""
    sizes = _by_inner()
    low, high = wanted.id_100nm - wanted.id_off, wanted.id_100nm + wanted.id_off
    return {
        key: distance(wanted, inner, width)
        for inner, width, key in sizes[
            bisect_left(sizes, low, key=itemgetter(0)) : bisect_left(sizes, high + 1, key=itemgetter(0))
        ]
        if abs(width - wanted.width_100nm) <= wanted.width_off
    }


@cache
def _by_inner() -> list[tuple[int, int, str]]:
    """Every size's ID and width in units of 100 nm, and its key, by ID."""
    return sorted((round(size.id_mm * PER_MM), round(size.cross_section_mm * PER_MM), size.key) for size in all_sizes())
