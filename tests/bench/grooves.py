"""How well grooves that one table prints are foretold by the others: what PECULIAR and ELSEWHERE in `decide` rest on.

    python -m tests.bench.grooves [--sizes 350] [--seed 11]

Each groove table is left out in turn (the table that `tests.bench.decide` keeps for itself always). For sizes drawn by
the matcher's prior, and for rings that one could take for them, the others say how likely the ring is as good as the
right one in a kind of joint, and the table left out says whether it is. Shown is the mean square error of that chance
for some shares of grooves that no table knows (PECULIAR) and some weights of the other kinds of joint (ELSEWHERE).
"""

from __future__ import annotations

import argparse
import random
from collections.abc import Callable, Iterator
from statistics import fmean
from typing import NamedTuple

from catalog.orings.joint_kind import SHARES, JointKind
from catalog.orings.outcomes import KINDS, outcomes
from catalog.orings.same_ring import SHARE, apart
from catalog.orings.sizes import RingSize, all_sizes
from catalog.orings.standard_grooves import rows_for
from tests.bench.decide import KINDS as GROOVES
from tests.bench.decide import TABLES
from tests.bench.identify import PRIOR

PECULIARS = (0.0, 0.02, 0.05, 0.10, 0.15)
ELSEWHERES = (0.0, 0.2, 0.35, 0.5, 1.0)
RIVALS = 4
"""Rings looked at for each size."""


class Foretold(NamedTuple):
    """A ring where another was: how likely it is as good by the other tables (in this kind of joint, in all), and how
    often it is in the table left out. `weight`: how common such a joint is.
    """

    there: float
    anywhere: float
    came: float
    weight: float


def foretold(sizes: int, dice: random.Random) -> Iterator[Foretold]:
    """Every table left out in turn."""
    olds = dice.choices(all_sizes(), [PRIOR.weight(size) for size in all_sizes()], k=sizes)
    for table in sorted(TABLES):
        for old in olds:
            near = [ring for ring in all_sizes() if _mistaken(ring, old)]
            for ring in dice.sample(near, min(RIVALS, len(near))):
                yield from _of(ring, old, table)


def _mistaken(ring: RingSize, old: RingSize) -> bool:
    """Whether a worn ring of one size may be taken for the other."""
    return (
        abs(ring.id_mm - old.id_mm) < 0.03 * old.id_mm + 0.3
        and abs(ring.cross_section_mm / old.cross_section_mm - 1.0) < 0.08
        and apart(ring, old) > SHARE
    )


def _of(ring: RingSize, old: RingSize, table: str) -> Iterator[Foretold]:
    others = {
        kind: fmean_of([(one.share, one.as_good) for one in found])
        for kind in KINDS
        if (found := outcomes(ring, old, kind, None, TABLES - {table}))
    }
    if not others:
        return
    anywhere = fmean_of([(SHARES[kind], chance) for kind, chance in others.items()])
    for kind, there in others.items():
        if _prints(table, old, kind):
            found = outcomes(ring, old, kind, None, frozenset({table}))
            yield Foretold(there, anywhere, fmean_of([(one.share, one.as_good) for one in found]), SHARES[kind])


def _prints(table: str, old: RingSize, kind: JointKind) -> bool:
    return any(row.table == table for groove, motion in GROOVES[kind] for row in rows_for(old, groove, motion))


def fmean_of(weighed: list[tuple[float, float]]) -> float:
    """The mean of the second, by weight of the first."""
    return fmean([value for _, value in weighed], [weight for weight, _ in weighed])


def main(write: Callable[[str], None] = print) -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sizes", type=int, default=350)
    parser.add_argument("--seed", type=int, default=11)
    asked = parser.parse_args()
    found = list(foretold(asked.sizes, random.Random(asked.seed)))
    write(f"{len(found)} pairs of rings; mean square error of the chance, in thousandths.")
    write(f"| peculiar | {' | '.join(f'elsewhere {one}' for one in ELSEWHERES)} |")
    write(f"|{' --- |' * (len(ELSEWHERES) + 1)}")
    for peculiar in PECULIARS:
        errors = []
        for elsewhere in ELSEWHERES:
            off = [
                (one.weight, ((1 - peculiar) * (one.there + elsewhere * (one.anywhere - one.there)) - one.came) ** 2)
                for one in found
            ]
            errors.append(f"{1000 * fmean_of(off):.1f}")
        write(f"| {peculiar} | {' | '.join(errors)} |")


if __name__ == "__main__":
    main()
