"""How a need and a kit stand, by their numbers alone. No database needed to import it: a quick look tells the same."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from models.kitting.fill_entries import InSump
from models.words import KitState


class NeedProgress(NamedTuple):
    """One need in numbers: wanted in all, promised and not yet picked, picked, and whether it was looked for.

    Of a fluid that is tallied, `left_in` is what is in the sump and came from no pack (it was held and not drained, or
    drained and poured back): so much less is wanted. `poured` came from packs. `enough`, up to the low mark, is not
    short.
    """

    wanted: int
    promised: int
    picked: int
    looked_for: bool
    enough: int
    poured: int = 0
    left_in: int = 0

    @property
    def covered(self) -> int:
        """What is promised, and what is picked or was poured without having been picked."""
        return self.promised + max(self.picked, self.poured)

    @property
    def room(self) -> int:
        """How much more it takes, a fluid up to its full mark."""
        return max(0, self.wanted - self.covered)

    @property
    def missing(self) -> int:
        """What it is short of; a fluid between its marks is short of nothing."""
        return self.lacks()

    @property
    def taken(self) -> bool:
        """Whether all of it is picked or poured, or enough of it and nothing more is promised."""
        out = max(self.picked, self.poured)
        return out >= self.wanted or (out >= self.enough and not self.promised)

    @property
    def between(self) -> bool:
        """Whether a fluid comes to stand between its marks."""
        return self.enough <= self.covered < self.wanted

    def lacks(self, coming: int = 0) -> int:
        """What it is short of once so much more has come."""
        return 0 if self.covered + coming >= self.enough else max(0, self.room - coming)


def reckoned(
    most: int, least: int | None, promised: int, picked: int, sump: InSump, *, looked_for: bool
) -> NeedProgress:
    """A need that takes so much, and of a fluid at least `least` (its low mark; none: all of it)."""
    return NeedProgress(
        max(0, most - sump.left_in),
        promised,
        picked,
        looked_for,
        max(0, (least or most) - sump.left_in),
        sump.poured,
        sump.left_in,
    )


def state_of(standing: Iterable[NeedProgress]) -> KitState:
    """Where an open kit stands."""
    needs = tuple(standing)
    if needs and all(need.taken for need in needs):
        return KitState.PICKED
    missing = [need for need in needs if need.missing]
    if needs and not missing:
        return KitState.READY
    if not needs or any(not need.looked_for for need in missing):
        return KitState.DRAFT
    return KitState.SHORT
