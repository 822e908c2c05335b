"""Which packs to open for one fill: least left over, then fewest packs. Volumes in microlitres, exact."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import cache
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


def _search(need: Fraction, sizes: Sequence[Pack]) -> tuple[Fraction, tuple[int, ...]]:
    """All totals that the packs can make, size by size, each with the counts that make it in the fewest packs.

    A total is not grown further once it covers the need, for one more pack would only add to what is left over.
    """
    sums: dict[Fraction, tuple[int, ...]] = {Fraction(0): ()}
    for pack in sizes:
        grown: dict[Fraction, tuple[int, ...]] = {}
        size = Fraction(pack.volume)
        for base, counts in sums.items():
            count, total = 0, base
            while True:
                _keep(grown, total, (*counts, count))
                if len(grown) > MAX_SUMS:
                    raise ValueError(
                        "The need is too large for packs this small or this mixed; "
                        "leave out the smallest packs, or split the need."
                    )
                if total >= need or (pack.available is not None and count >= pack.available):
                    break
                count, total = count + 1, total + size
        sums = grown
    best = min(total for total in sums if total >= need)
    return best, sums[best]


def _keep(sums: dict[Fraction, tuple[int, ...]], total: Fraction, counts: tuple[int, ...]) -> None:
    before = sums.get(total)
    # Fewest packs first; on a tie the counts with more of the bigger packs, which come first.
    if before is None or (sum(counts), [-n for n in counts]) < (sum(before), [-n for n in before]):
        sums[total] = counts
