"""The entries of a fluid's tally: which of them stand, and what they come to."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, NamedTuple

from models.filled import Filled

NANOLITRES: Final = 1000
"""In a microlitre."""


class Written(NamedTuple):
    """One entry as it was written, in nanolitres; `takes_back_id`: the entry that it takes back."""

    entry_id: int
    what: Filled
    volume_nl: int
    takes_back_id: int | None


class InSump(NamedTuple):
    """What is in the sump, in microlitres: what came from packs, and what was in it or was drained and poured back.

    `left_in` is below zero where more than that was let out again after pouring: so much more is wanted.
    """

    poured: int
    left_in: int


def standing(entries: Iterable[tuple[int, int | None]]) -> set[int]:
    """Of entries (id, id of what it takes back), those that nothing takes back, or only what was itself taken back."""
    rows = sorted(entries, reverse=True)
    gone: set[int] = set()
    for entry_id, takes_back_id in rows:
        if takes_back_id is not None and entry_id not in gone:
            gone.add(takes_back_id)
    return {entry_id for entry_id, _ in rows} - gone


def in_sump(entries: Iterable[Written]) -> InSump:
    """What the entries that stand come to. Nothing is in a sump of which nobody said what it held before."""
    rows = sorted(entries)
    if not rows:
        return InSump(0, 0)
    there = standing((one.entry_id, one.takes_back_id) for one in rows)
    said = [one for one in rows if one.takes_back_id is None and one.entry_id in there]

    def total(what: Filled) -> int:
        return sum(one.volume_nl for one in said if one.what is what)

    held = next((one.volume_nl for one in reversed(said) if one.what is Filled.HELD), 0)
    left_in = max(0, held - total(Filled.DRAINED)) + total(Filled.REUSED) - total(Filled.LET_OUT)
    return InSump(round(total(Filled.POURED) / NANOLITRES), round(left_in / NANOLITRES))
