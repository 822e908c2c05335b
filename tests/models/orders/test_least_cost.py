"""What jobs lack is bought once, shelf first, at the least total cost: held against every possibility tried."""

from __future__ import annotations

import random
from collections import Counter
from fractions import Fraction
from itertools import product
from pathlib import Path

import pytest

from catalog.orings.would_do import WouldDo
from models import shelf
from models.database import Workshop
from models.kits import NeedSpec
from models.words import Kind
from tests.models.orders.buying import planned, short_job, supplier
from tests.models.shop import ring

SIZES = ("as568:214", "as568:116")
LABELS = {"as568:214": "AS568-214", "as568:116": "AS568-116"}
MOST = 9


def needs_of(rng: random.Random) -> list[tuple[int, tuple[str, ...]]]:
    """Pieces, and the rings that may go in, the one asked for first."""
    ways = [SIZES[:1], SIZES[1:], SIZES, SIZES[::-1]]
    return [(rng.randrange(1, 5), rng.choice(ways)) for _ in range(rng.randrange(1, 4))]


def least(lacks: list[tuple[int, tuple[str, ...]]], packs: list[tuple[int, str, int, int]], terms: list[int]) -> int:
    """The least that covers them all: packs are (supplier, size, pieces, price), terms each supplier's freight."""
    best = None
    for counts in product(*(range(-(-MOST // pieces) + 1) for _, _, pieces, _ in packs)):
        had = {size: sum(n * one[2] for n, one in zip(counts, packs, strict=True) if one[1] == size) for size in SIZES}
        only = {size: sum(pieces for pieces, ways in lacks if ways == (size,)) for size in SIZES}
        if any(had[size] < only[size] for size in SIZES) or sum(had.values()) < sum(pieces for pieces, _ in lacks):
            continue
        from_ = {one[0] for n, one in zip(counts, packs, strict=True) if n}
        cost = sum(n * one[3] for n, one in zip(counts, packs, strict=True)) + sum(terms[at] for at in from_)
        best = cost if best is None else min(best, cost)
    assert best is not None
    return best


@pytest.mark.parametrize("seed", range(4))
def test_the_rest_is_bought_once_in_the_right_packs_at_the_least_cost(
    workshop: Workshop, tmp_path: Path, seed: int
) -> None:
    rng = random.Random(seed)
    needs, lies = needs_of(rng), {size: rng.randrange(0, 4) for size in SIZES}
    terms = [rng.choice([0, 150, 400]) for _ in range(2)]
    packs = []
    for at, freight in enumerate(terms):
        sold = [(size, pieces) for size in SIZES for pieces in rng.sample([1, 3, 5], 2 - at)]
        mine = [(at, size, pieces, rng.randrange(40, 90) * pieces) for size, pieces in sold]
        rows = [f"N{n},O-RING {LABELS[one[1]]} NBR 70,{one[3] / 100:.2f},{one[2]}" for n, one in enumerate(mine)]
        supplier(workshop, tmp_path, rows, f"Supplier {at} (invented)", freight=freight)
        packs += mine
    with workshop.write() as session:
        for size, much in lies.items():
            if much:
                ring(session, much, size_key=size)
        specs = [
            NeedSpec(
                Kind.RING, pieces, title=f"need {at}", size_key=ways[0], rubbers=["NBR"], seals=0.95,
                would_do=[WouldDo(one, 0.95, "seals as surely") for one in ways[1:]],
            )
            for at, (pieces, ways) in enumerate(needs)
        ]  # fmt: skip
        short_job(session, *specs)
    proposal = planned(workshop)
    shorts = proposal.gathered.shorts
    lacks = [(one.quantity, needs[int(one.title.removeprefix("need "))][1]) for one in shorts]
    # Shelf first: nothing that would do lies free where a need is short, and nothing is bought that lies there.
    with workshop.read() as session:
        free = {row.size_key: row.free for row in shelf.stock_rows(session).rows}
    assert not any(free.get(size) for _, ways in lacks for size in ways)
    taken = sum(lies.values()) - sum(free.values())
    assert sum(pieces for pieces, _ in lacks) == sum(pieces for pieces, _ in needs) - taken
    assert (proposal.cannot, proposal.proven) == ((), True)
    assert proposal.total == Fraction(least(lacks, packs, terms))
    bought = [line for order in proposal.orders for line in order.lines]
    got: Counter[str] = Counter()
    for share in (share for line in bought for share in line.shares):
        got[share.short.line] += share.quantity
    assert got == {one.line: one.quantity for one in shorts}
