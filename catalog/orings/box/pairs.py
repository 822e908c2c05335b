"""How likely each size seals where another was, as arrays that fill as they are asked for (`decide.chance`).

At most some forty thousand pairs of sizes may stand in for each other at all. A pair is 17 numbers here: its chances as
asked and in each kind of joint, and in which grooves of each kind the one is as good as the other.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np

from catalog.orings.box.normal import Floats, Places
from catalog.orings.decide import Wanted, chance, joints_of
from catalog.orings.joint_kind import JointKind
from catalog.orings.outcomes import KINDS, outcomes
from catalog.orings.size_book import SizeBook

JOINTS: Final = tuple(JointKind)
SMALLEST: Final = 64


class Pairs:
    """Of the sizes of a book, by their places in it. `wanted` says what the chances are asked for.

    By pair: `seals` and `marginal`, a column for what was asked, then, where no joint was said, one for each of
    `JOINTS`; `as_good`, a bit for each groove in a column for each of `KINDS`. By size: `joints`, the shares of 1 of
    `JOINTS` that such a ring comes from; `grooves`, the shares of the grooves of each of `KINDS`. Row 0 is of no pair:
    all 0.
    """

    def __init__(self, book: SizeBook, wanted: Wanted) -> None:
        self.sizes, self.wanted = book.sizes, wanted
        self.at = {size.key: at for at, size in enumerate(book.sizes)}
        count, columns = len(book.sizes), 1 if wanted.joint is not None else 1 + len(JOINTS)
        self.place = np.zeros((count, count), dtype=np.int32)
        self.seals, self.marginal = np.zeros((SMALLEST, columns)), np.zeros((SMALLEST, columns))
        self.as_good = np.zeros((SMALLEST, len(KINDS)), dtype=np.int64)
        self.joints = np.array([[joints_of(size, None).get(kind, 0.0) for kind in JOINTS] for size in book.sizes])
        self.grooves = np.zeros((count, len(KINDS), 8))
        self._asked = [wanted]
        if wanted.joint is None:
            self._asked += [wanted._replace(joint=kind) for kind in JOINTS]
        self._count = 1

    def of(self, old: Places, new: Places) -> Places:
        """The rows of the pairs: each of `new` where each of `old` was."""
        found = self.place[old, new]
        missing = found == 0
        if missing.any():
            for one, other in sorted(set(zip(old[missing].tolist(), new[missing].tolist(), strict=True))):
                self._add(one, other)
            found = self.place[old, new]
        return found.astype(np.int64)

    def _add(self, old: int, new: int) -> None:
        at = self._count
        if at == len(self.seals):
            self.seals = np.concatenate((self.seals, np.zeros_like(self.seals)))
            self.marginal = np.concatenate((self.marginal, np.zeros_like(self.marginal)))
            self.as_good = np.concatenate((self.as_good, np.zeros_like(self.as_good)))
        ring, was = self.sizes[new], self.sizes[old]
        for column, wanted in enumerate(self._asked):
            found = chance(ring, was, wanted)
            self.seals[at, column], self.marginal[at, column] = found.seals, found.marginal
        for column, kind in enumerate(KINDS):
            grooves = outcomes(ring, was, kind, None, None)
            self.as_good[at, column] = sum(1 << nth for nth, groove in enumerate(grooves) if groove.as_good)
            if len(grooves) > self.grooves.shape[2]:
                self.grooves = np.pad(self.grooves, ((0, 0), (0, 0), (0, len(grooves) - self.grooves.shape[2])))
            self.grooves[old, column, : len(grooves)] = [groove.share for groove in grooves]
        self.place[old, new] = at
        self._count += 1


def best(seals: Floats, marginal: Floats, there: Floats) -> Floats:
    """As `decide.best_of`: what the best ring along the last axis seals. `there`: 0, or -inf where there is no ring."""
    at = (seals + 0.5 * marginal + there).argmax(axis=-1)
    found: Floats = np.take_along_axis(seals, at[..., None], axis=-1)[..., 0]
    return found


@lru_cache(maxsize=8)
def pairs(book: SizeBook, joint: JointKind | None, critical: bool) -> Pairs:
    """The pairs of a book's sizes, for this kind of joint or for all."""
    return Pairs(book, Wanted(joint, critical=critical))
