"""How likely each size seals where another was, as arrays that fill as they are asked for (`decide.chance`).

At most some forty thousand pairs of sizes may stand in for each other at all. A pair is 17 numbers here: its chances as
asked and in each kind of joint, and in which grooves of each kind the one is as good as the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Final

import numpy as np

from catalog.orings.box.normal import Floats, Places
from catalog.orings.decide import BUT_PORTS, ELSEWHERE, PECULIAR, Wanted, chance, joints_of
from catalog.orings.fitted import FITTED
from catalog.orings.joint_kind import JointKind
from catalog.orings.outcomes import KINDS, outcomes, place_of, row_of
from catalog.orings.reason import Verdict
from catalog.orings.same_ring import SHARE, apart
from catalog.orings.size_book import SizeBook
from catalog.orings.sizes import RingSize, all_sizes

JOINTS: Final = tuple(JointKind)
SMALLEST: Final = 64
MOST_STRANGERS: Final = 250
MOST_GROOVES: Final = 12
"""More than a size has of one kind in our tables, or as many; a shop's own may have more."""
WILL_NOT: Final = 2
NONE_SEALS: Final = b"\xaa"
"""Four verdicts, all of them that it will not."""
_CODES: Final = np.array([[byte >> 2 * at & 3 for at in range(4)] for byte in range(256)])


class Pairs:
    """Of the sizes of a book, by their places in it. `wanted` says what the chances are asked for.

    By pair: `seals` and `marginal`, a column for what was asked, then, where no joint was said, one for each of
    `JOINTS`; `as_good`, a bit for each groove in a column for each of `KINDS`. By size: `joints`, the shares of 1 of
    `JOINTS` that such a ring comes from; `grooves`, the shares of the grooves of each of `KINDS`. Row 0 is of no pair:
    all 0. Behind the book's sizes there is room for some of no standard (`strangers`).
    """

    def __init__(self, book: SizeBook, wanted: Wanted) -> None:
        self.sizes, self.wanted = book.sizes, wanted
        self.at = {size.key: at for at, size in enumerate(book.sizes)}
        count, columns = len(book.sizes), 1 if wanted.joint is not None else 1 + len(JOINTS)
        self.place = np.zeros((count + MOST_STRANGERS, count), dtype=np.int32)
        self.seals, self.marginal = np.zeros((SMALLEST, columns)), np.zeros((SMALLEST, columns))
        self.as_good = np.zeros((SMALLEST, len(KINDS)), dtype=np.int64)
        self.joints = np.zeros((count + MOST_STRANGERS, len(JOINTS)))
        self.joints[:count] = [[joints_of(size, None).get(kind, 0.0) for kind in JOINTS] for size in book.sizes]
        self.grooves = np.zeros((count + MOST_STRANGERS, len(KINDS), MOST_GROOVES))
        self._strangers: list[RingSize] = []
        self._free: list[int] = []
        self._table = _table(book)
        self._asked = [wanted]
        if wanted.joint is None:
            self._asked += [wanted._replace(joint=kind) for kind in JOINTS]
        self._count = 1

    def strangers(self, rings: Sequence[RingSize]) -> list[int]:
        """Places for rings of no standard that may have been in, at most `MOST_STRANGERS`; the last ones' are given
        up.
        """
        count = len(self.sizes)
        rows = self.place[count:]
        self._free += rows[rows > 0].tolist()
        rows[:], self.grooves[count:] = 0, 0.0
        self._strangers = list(rings)
        self.joints[count : count + len(rings)] = [
            [joints_of(ring, None).get(kind, 0.0) for kind in JOINTS] for ring in rings
        ] or 0.0
        return list(range(count, count + len(rings)))

    def of(self, old: Places, new: Places) -> Places:
        """The rows of the pairs: each of `new` where each of `old` was."""
        found = self.place[old, new]
        missing = found == 0
        if missing.any():
            wide = np.broadcast_arrays(old, new)
            pair = np.unique(wide[0][missing] * len(self.sizes) + wide[1][missing])
            self._add(*np.divmod(pair, len(self.sizes)))
            found = self.place[old, new]
        return found.astype(np.int64)

    def _add(self, old: Places, new: Places) -> None:
        """Work these pairs out."""
        while self._count + len(old) > len(self.seals):
            self.seals = np.concatenate((self.seals, np.zeros_like(self.seals)))
            self.marginal = np.concatenate((self.marginal, np.zeros_like(self.marginal)))
            self.as_good = np.concatenate((self.as_good, np.zeros_like(self.as_good)))
        again, self._free = self._free[: len(old)], self._free[len(old) :]
        fresh = len(old) - len(again)
        rows = np.array([*again, *range(self._count, self._count + fresh)], dtype=np.int64)
        self.place[old, new] = rows
        self._count += fresh
        kept = old < len(self.sizes)
        kept[kept] = (self._table.at[old[kept]] >= 0) & (self._table.at[new[kept]] >= 0)
        if kept.any():
            self._add_kept(rows[kept], old[kept], new[kept])
        for row, one, other in zip(rows[~kept].tolist(), old[~kept].tolist(), new[~kept].tolist(), strict=True):
            self._add_one(row, one, other)

    def _add_one(self, row: int, old: int, new: int) -> None:
        """A pair with a shop's own size, or with a ring of no standard."""
        ring = self.sizes[new]
        was = self.sizes[old] if old < len(self.sizes) else self._strangers[old - len(self.sizes)]
        for column, wanted in enumerate(self._asked):
            found = chance(ring, was, wanted)
            self.seals[row, column], self.marginal[row, column] = found.seals, found.marginal
        for column, kind in enumerate(KINDS):
            grooves = outcomes(ring, was, kind, None, None)
            self.as_good[row, column] = sum(1 << nth for nth, groove in enumerate(grooves) if groove.as_good)
            if len(grooves) > self.grooves.shape[2]:
                self.grooves = np.pad(self.grooves, ((0, 0), (0, 0), (0, len(grooves) - self.grooves.shape[2])))
            self.grooves[old, column, : len(grooves)] = [groove.share for groove in grooves]

    def _add_kept(self, rows: Places, old: Places, new: Places) -> None:
        """Pairs of sizes that the table of outcomes has: `decide.chance` over arrays."""
        known, at_old, at_new = self._table, self._table.at[old], self._table.at[new]
        code, own, share, kind = known.codes(at_old, at_new), known.own[at_old], known.share[at_old], known.kind[at_old]
        as_good = (code <= own) & ((code != WILL_NOT) | (at_old == at_new)[:, None])
        seals_there, marginal_there = (
            (code == 0, code == 1) if self.wanted.critical else (as_good, (code == 1) & ~as_good)
        )
        seals, marginal, there = (np.zeros((len(rows), len(JOINTS))) for _ in range(3))
        for column, joint in enumerate(KINDS):
            of_kind = np.where(kind == column, share, 0.0)
            at = JOINTS.index(joint)
            seals[:, at], marginal[:, at] = (of_kind * seals_there).sum(axis=1), (of_kind * marginal_there).sum(axis=1)
            there[:, at] = (kind == column).any(axis=1)
            bits = np.where(kind == column, known.bit[at_old], 0)
            self.as_good[rows, column] = np.where(as_good, bits, 0).sum(axis=1)
            self.grooves[old, column, :MOST_GROOVES] = known.of_kind[at_old, column]
        port = JOINTS.index(JointKind.PORT)
        same = np.array(
            [apart(self.sizes[one], self.sizes[other]) <= SHARE for one, other in zip(new, old, strict=True)]
        )
        seals[:, port], there[:, port] = same, 1.0

        def chance_in(joints: Floats) -> tuple[Floats, Floats]:
            total = (joints * there).sum(axis=1)
            some = np.where(total > 0.0, total, 1.0)
            by_seals = (1.0 - PECULIAR) * (joints * seals).sum(axis=1) / some + np.where(same, PECULIAR, 0.0)
            by_marginal = (1.0 - PECULIAR) * (joints * marginal).sum(axis=1) / some + np.where(same, 0.0, PECULIAR)
            return np.where(total > 0.0, by_seals, same), np.where(total > 0.0, by_marginal, 0.0)

        not_said = chance_in(self.joints[old])
        anywhere = chance_in(np.array([[BUT_PORTS.get(one, 0.0) for one in JOINTS]]))
        for column, wanted in enumerate(self._asked):
            found = not_said
            if wanted.joint is not None:
                found = chance_in(np.array([[float(one is wanted.joint) for one in JOINTS]]))
                if wanted.joint is not JointKind.PORT:
                    found = (
                        found[0] + ELSEWHERE * (anywhere[0] - found[0]),
                        found[1] + ELSEWHERE * (anywhere[1] - found[1]),
                    )
            self.seals[rows, column], self.marginal[rows, column] = found


class _Table:
    """The table of outcomes (`catalog.orings.outcomes`) as arrays, by the sizes' places in it.

    `at`: the place of each size of a book, -1 where it has none. By size and groove: `own`, the size's own verdict;
    `kind`, the place among `KINDS` (-1 beyond the last); `share`, of 1 in its kind; `bit`. `of_kind`: the shares by
    kind.
    """

    def __init__(self, book: SizeBook) -> None:
        places = [place_of(size) for size in book.sizes]
        self.at = np.array([-1 if at is None else at for at in places])
        count = len(all_sizes())
        rows = [row_of(at) for at in range(count)]
        self._bytes = max(-(-sum(row.counts) // 4) for row in rows)
        grooves = 4 * self._bytes
        self.kind = np.full((count, grooves), -1, dtype=np.int64)
        self.share, self.bit = np.zeros((count, grooves)), np.zeros((count, grooves), dtype=np.int64)
        self.of_kind = np.zeros((count, len(KINDS), MOST_GROOVES))
        all_places = np.arange(count)
        self.own = self.codes(all_places, all_places)
        fitted = np.array([FITTED[verdict] for verdict in Verdict])
        for at, row in enumerate(rows):
            first = 0
            for kind, of_kind in enumerate(row.counts):
                part = slice(first, first + of_kind)
                weights = fitted[self.own[at, part]]
                self.kind[at, part], self.bit[at, part] = kind, 1 << np.arange(of_kind)
                self.share[at, part] = self.of_kind[at, kind, :of_kind] = weights / weights.sum() if of_kind else 0.0
                first += of_kind

    def codes(self, old: Places, new: Places) -> Places:
        """The verdict of each of `new` in each groove of each of `old`: 0 seals, 1 marginal, 2 will not."""
        packed = [row_of(one).verdicts.get(other, b"") for one, other in zip(old.tolist(), new.tolist(), strict=True)]
        whole = b"".join([one.ljust(self._bytes, NONE_SEALS) for one in packed])
        found: Places = _CODES[np.frombuffer(whole, dtype=np.uint8)].reshape(len(packed), -1)
        return found


def best(seals: Floats, marginal: Floats, there: Floats) -> Floats:
    """As `decide.best_of`: what the best ring along the last axis seals. `there`: 0, or -inf where there is no ring."""
    at = (seals + 0.5 * marginal + there).argmax(axis=-1)
    found: Floats = np.take_along_axis(seals, at[..., None], axis=-1)[..., 0]
    return found


@lru_cache(maxsize=2)
def _table(book: SizeBook) -> _Table:
    return _Table(book)


@lru_cache(maxsize=8)
def pairs(book: SizeBook, joint: JointKind | None, critical: bool) -> Pairs:
    """The pairs of a book's sizes, for this kind of joint or for all."""
    return Pairs(book, Wanted(joint, critical=critical))
