"""Which packs to open for one fill: least left over, then fewest packs. Volumes in microlitres, exact."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import cache
from heapq import heapify, heappop, heappush
from typing import Final, NamedTuple

from catalog.fluids import tables
from catalog.fluids.fill import Volume
from catalog.publications import named
from catalog.standing import Standing


class Pack(NamedTuple):
    """A pack size in µL and how many there are; None for as many as wanted. `name` is what it is called."""

    volume: Volume
    name: str = ""
    available: int | None = None


class Opened(NamedTuple):
    """What to open: packs with how many of each, biggest first; what they hold, is left over and is missing, in µL."""

    packs: tuple[tuple[Pack, int], ...]
    total: Fraction
    left_over: Fraction
    missing: Fraction


class UsualPack(NamedTuple):
    """A pack size the trade sells, in µL."""

    system: str
    name: str
    form: str
    use: str
    volume: Fraction
    source: str
    standing: Standing


MAX_SUMS: Final = 50_000
"""How many different totals the search may hold; a workshop's fill stays far below."""
MAX_TRIES: Final = 500_000
"""How many choices of a size of which there are only so many are tried."""
MOST_SIZES: Final = 12
"""How many sizes of pack one fill is asked to choose from."""
LARGEST_OPENED: Final = 25_000_000
"""In µL. Kegs, drums and totes are drawn from, not opened for one fill."""
_TOO_LARGE: Final = (
    "The need is too large for packs this small or this mixed; leave out the smallest packs, or split the need."
)
Counts = tuple[int, ...]
"""How many of each size, in the order of the sizes."""


@cache
def usual_packs() -> tuple[UsualPack, ...]:
    """The pack sizes sold in US and metric countries."""
    return tuple(
        UsualPack(
            row["system"],
            row["pack"],
            row["form"],
            row["use"],
            Fraction(row["microlitres"]),
            named(row["source"]),
            Standing(row["standing"]),
        )
        for row in tables.rows("pack_sizes")
    )


def packs_of(system: str) -> tuple[Pack, ...]:
    """The packs of `US` or `metric` countries that are opened for one fill, as many of each as are wanted."""
    return tuple(
        Pack(pack.volume, pack.name)
        for pack in usual_packs()
        if pack.system == system and "brake" not in pack.use and pack.volume <= LARGEST_OPENED
    )


def to_open(need: Volume, packs: Iterable[Pack]) -> Opened:
    """The packs that cover `need` µL with the least left over, then in the fewest packs, then with the biggest ones.

    Exact and always the same for the same packs. If the counts do not cover the need, all packs are taken and
    `missing` says what is short. Raises ValueError for a negative need, a pack that holds nothing, a negative count,
    or a need so large beside the packs that the search would not end soon.
    """
    wanted = Fraction(need)
    sizes = sorted(packs, key=lambda pack: (-Fraction(pack.volume), pack.name))
    if wanted < 0:
        raise ValueError("The volume needed is below zero; type a positive volume.")
    for pack in sizes:
        if pack.volume <= 0 or (pack.available is not None and pack.available < 0):
            raise ValueError("A pack holds nothing or its count is below zero; type its size and how many there are.")
    if wanted == 0:
        return Opened((), Fraction(0), Fraction(0), Fraction(0))
    if all(pack.available is not None for pack in sizes):
        everything = sum((Fraction(pack.volume) * (pack.available or 0) for pack in sizes), Fraction(0))
        if everything < wanted:
            used = tuple((pack, pack.available or 0) for pack in sizes if pack.available)
            return Opened(used, everything, Fraction(0), wanted - everything)
    total, counts = _search(wanted, sizes)
    chosen = tuple((pack, count) for pack, count in zip(sizes, counts, strict=True) if count)
    return Opened(chosen, total, total - wanted, Fraction(0))


def _search(need: Fraction, sizes: Sequence[Pack]) -> tuple[Fraction, Counts]:
    """All totals that the packs can make, size by size, each with the counts that make it in the fewest packs.

    A total is not grown further once it covers the need, for one more pack would only add to what is left over.
    """
    sums: dict[Fraction, Counts] = {Fraction(0): ()}
    for pack in sizes:
        size = Fraction(pack.volume)
        sums = _any_number(sums, size, need) if pack.available is None else _few(sums, size, need, pack.available)
    best = min(total for total in sums if total >= need)
    return best, sums[best]


def _any_number(sums: dict[Fraction, Counts], size: Fraction, need: Fraction) -> dict[Fraction, Counts]:
    """The totals with any number of one size more. The least comes first, so each is at its best when it is grown."""
    grown = {total: (*counts, 0) for total, counts in sums.items()}
    waiting = list(grown)
    heapify(waiting)
    while waiting:
        total = heappop(waiting)
        if total < need:
            *others, count = grown[total]
            more = total + size
            if more not in grown:
                heappush(waiting, more)
            _keep(grown, more, (*others, count + 1))
    return grown


def _few(sums: dict[Fraction, Counts], size: Fraction, need: Fraction, available: int) -> dict[Fraction, Counts]:
    """The totals with up to so many of one size more."""
    grown: dict[Fraction, Counts] = {}
    tried = 0
    for base, counts in sums.items():
        for count in range(available + 1):
            total = base + count * size
            _keep(grown, total, (*counts, count))
            if total >= need:
                break
        tried += count + 1
        if tried > MAX_TRIES:
            raise ValueError(_TOO_LARGE)
    return grown


def _keep(sums: dict[Fraction, Counts], total: Fraction, counts: Counts) -> None:
    before = sums.get(total)
    # Fewest packs first; on a tie the counts with more of the bigger packs, which come first.
    if before is None or (sum(counts), [-n for n in counts]) < (sum(before), [-n for n in before]):
        sums[total] = counts
        if before is None and len(sums) > MAX_SUMS:
            raise ValueError(_TOO_LARGE)
