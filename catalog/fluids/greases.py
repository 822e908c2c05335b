"""Grease over grease: what the published charts say of two thickeners, taken at their worst.

Charts go by the thickener alone and contradict each other; base oil and additives count too. So the worst of them
counts, a chart that is only remembered never gives a plain yes, and the advice is always the same: purge when unsure.
"""

from __future__ import annotations

from enum import StrEnum
from functools import cache
from typing import Final, NamedTuple

from catalog.fluids import tables
from catalog.publications import named
from catalog.standing import Standing

PURGE: Final = "purge until clean grease comes out, or clean the old grease out; when unsure, always purge"
CAVEAT: Final = "charts go by the thickener alone and disagree with each other; base oil and additives count too"


class Rating(StrEnum):
    """What a chart says of two thickeners."""

    COMPATIBLE = "compatible"
    BORDERLINE = "borderline"
    INCOMPATIBLE = "incompatible"


_ORDER: Final = tuple(Rating)


class Entry(NamedTuple):
    """One chart's word on a pair: the chart in words with its year, the rating, the source."""

    says: str
    year: int
    rating: Rating
    source: str
    standing: Standing


class Mixing(NamedTuple):
    """What all charts together say of a pair. `rating` is the worst of them, None where no chart has the pair."""

    rating: Rating | None
    entries: tuple[Entry, ...]

    @property
    def disagree(self) -> bool:
        """Whether the charts say different things."""
        return len({one.rating for one in self.entries}) > 1

    @property
    def seen(self) -> bool:
        """Whether somebody here has seen the pair in print."""
        return any(one.standing is not Standing.MEMORY for one in self.entries)


class Heat(NamedTuple):
    """Up to about which temperature in °C a grease of this thickener is used, and its step from 1 (least) to 3."""

    step: int
    to_c: int
    standing: Standing


@cache
def _by_class() -> dict[str, str]:
    return {row["class"]: row["thickener"] for row in tables.rows("thickeners")}


def thickener(code: str) -> str | None:
    """The thickener's name of a class code, or None if the class is no thickener."""
    return _by_class().get(code)


@cache
def heats() -> dict[str, Heat]:
    """What heat each thickener bears."""
    return {
        row["thickener"]: Heat(int(row["heat"]), int(row["to_c"]), Standing(row["standing"]))
        for row in tables.rows("thickeners")
    }


@cache
def _charts() -> dict[str, tuple[str, int, str, Standing]]:
    return {
        row["chart"]: (row["says"], int(row["year"]), named(row["source"]), Standing(row["standing"]))
        for row in tables.rows("grease_charts")
    }


@cache
def _pairs() -> dict[frozenset[str], tuple[Entry, ...]]:
    found: dict[frozenset[str], list[Entry]] = {}
    for row in tables.rows("grease_chart"):
        says, year, source, standing = _charts()[row["chart"]]
        entry = Entry(says, year, Rating(row["rating"]), source, standing)
        found.setdefault(frozenset((row["first"], row["second"])), []).append(entry)
    return {pair: tuple(entries) for pair, entries in found.items()}


def mixing(first: str, second: str) -> Mixing:
    """What the charts say of two thickeners by name; the same either way round."""
    entries = _pairs().get(frozenset((first, second)), ())
    worst = max((one.rating for one in entries), key=_ORDER.index, default=None)
    return Mixing(worst, entries)
