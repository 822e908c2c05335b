"""Which sizes should this shop keep? The fewest, or the cheapest, that cover a stated share of its needs; exact.

A need is a size that a machine's position or a past job asked for, with how often. A pack holds one size or many (an
assortment). A need is covered when a pack that is kept holds a size that may serve it.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import Final

from models.errors import InvalidInputError
from models.purchasing.solver import Ended, Programme, solve

TIME_LIMIT_S: Final = 30.0


class Measure(Enum):
    """What is kept small: the number of packs, or what they cost."""

    NUMBER = "number"
    COST = "cost"


@dataclass(frozen=True, slots=True)
class Pack:
    """Something to keep: a size by itself or an assortment. `cost` in whole minor units."""

    name: str
    sizes: frozenset[str]
    cost: int = 0


@dataclass(frozen=True, slots=True)
class Kept:
    """Packs to keep, in name order; how many of all needs they cover and what they cost. `is_proven`: none is smaller.

    `uncovered` are the sizes needed that nothing kept serves, the most frequent first.
    """

    packs: tuple[str, ...]
    covered: int
    needs: int
    cost: int
    is_proven: bool
    uncovered: tuple[str, ...]

    @property
    def share(self) -> Fraction:
        """The share of needs covered, 0 to 1."""
        return Fraction(self.covered, self.needs) if self.needs else Fraction(1)


def single_sizes(history: Mapping[str, int]) -> tuple[Pack, ...]:
    """Every size that was needed, as a pack by itself: what to choose from when only sizes matter."""
    return tuple(Pack(size, frozenset({size})) for size in sorted(history))


def keep_sizes(
    history: Mapping[str, int],
    packs: Iterable[Pack],
    *,
    share: Fraction,
    serves: Mapping[str, Collection[str]] | None = None,
    measure: Measure = Measure.NUMBER,
) -> Kept | None:
    """The smallest set of packs that covers at least `share` (0 to 1) of the needs; None when even all packs do not.

    `history` counts needs by size. `serves` says which needed sizes a size may stand in for, besides itself. Of sets
    equally small the one that covers most, then the one with the smallest sum of places in name order. Raises
    InvalidInputError for counts or costs below zero, a share outside 0 to 1 or two packs of one name, and
    SolverMissingError without the solver.
    """
    if not 0 <= share <= 1:
        raise InvalidInputError(f"A share of {float(share):g} is not between 0 and 1.", "Give 0.9 for nine in ten.")
    return _Choice(history, packs, serves or {}).smallest(math.ceil(share * sum(history.values())), measure)


def trade_off(
    history: Mapping[str, int],
    packs: Iterable[Pack],
    *,
    serves: Mapping[str, Collection[str]] | None = None,
    measure: Measure = Measure.NUMBER,
    most_points: int = 40,
) -> tuple[Kept, ...]:
    """The curve to draw: from nothing kept to all that can be covered, each point the smallest for what it covers.

    By number every number is there up to `most_points` of them, then evenly spaced ones; by cost, evenly spaced shares.
    No point is beaten by another: both what is kept and what it covers rise from point to point.
    """
    choice = _Choice(history, packs, serves or {})
    return choice.curve_by_number(most_points) if measure is Measure.NUMBER else choice.curve_by_cost(most_points)


class _Choice:
    """The programme: keep pack p or not, need n covered or not; covered ≤ sum of kept packs that serve it."""

    def __init__(
        self, history: Mapping[str, int], packs: Iterable[Pack], serves: Mapping[str, Collection[str]]
    ) -> None:
        self.packs = sorted(packs, key=lambda pack: pack.name)
        if len({pack.name for pack in self.packs}) < len(self.packs):
            raise InvalidInputError("Two packs have the same name.", "Give each pack once.")
        if any(pack.cost < 0 for pack in self.packs) or any(count < 0 for count in history.values()):
            raise InvalidInputError("A cost or a count of needs is below zero.", "Give zero or more.")
        self.history = {size: count for size, count in sorted(history.items()) if count}
        self.needs = sum(self.history.values())
        self._served = [
            frozenset(size for own in pack.sizes for size in (own, *serves.get(own, ())) if size in self.history)
            for pack in self.packs
        ]
        self.programme = Programme()
        self.keeps = [self.programme.column(1.0) for _ in self.packs]
        covers = {size: self.programme.column(1.0, whole=False) for size in self.history}
        for size, column in covers.items():
            serving = [(keep, 1.0) for keep, served in zip(self.keeps, self._served, strict=True) if size in served]
            self.programme.row([*serving, (column, -1.0)], low=0.0)
        self.coverage = [(column, float(self.history[size])) for size, column in covers.items()]

    def _costs(self, measure: Measure) -> list[float]:
        costs = [0.0] * len(self.programme.cost)
        for keep, pack in zip(self.keeps, self.packs, strict=True):
            costs[keep] = 1.0 if measure is Measure.NUMBER else float(pack.cost)
        return costs

    def smallest(self, least: int, measure: Measure) -> Kept | None:
        """Least measure, then most covered, then first names, each a bound for the next."""
        size = self._costs(measure)
        cover = [0.0] * len(size)
        for column, count in self.coverage:
            cover[column] = -count
        rows: list[tuple[list[float], float]] = [(cover, -float(least))]
        chosen, is_proven = self._solve(size, rows)
        if chosen is None:
            return None
        best = round(sum(size[keep] for keep in chosen))
        rows.append((size, float(best)))
        chosen, proven = self._solve(cover, rows, chosen)
        rows.append((cover, -float(self._covered(chosen or ()))))
        names = [0.0] * len(size)
        for rank, keep in enumerate(self.keeps):
            names[keep] = 1.0 + rank
        chosen, also = self._solve(names, rows, chosen)
        return self._kept(chosen or (), is_proven and proven and also)

    def most_covered(self, number: int) -> Kept:
        """The most that so many packs cover."""
        cover = [0.0] * len(self.programme.cost)
        for column, count in self.coverage:
            cover[column] = -count
        chosen, is_proven = self._solve(cover, [(self._costs(Measure.NUMBER), float(number))])
        return self._kept(chosen or (), is_proven)

    def _solve(
        self, cost: list[float], rows: list[tuple[list[float], float]], before: tuple[int, ...] | None = None
    ) -> tuple[tuple[int, ...] | None, bool]:
        """Minimise with Σ row ≤ limit for each row; the packs kept and whether that is proven."""
        programme = self.programme
        widths = len(programme.row_low), len(programme.places)
        for factors, limit in rows:
            programme.row([(c, factor) for c, factor in enumerate(factors) if factor], high=limit + 0.25)
        answer = solve(programme, cost=cost, gap=0.9, time_limit_s=TIME_LIMIT_S)
        del programme.row_low[widths[0] :], programme.row_high[widths[0] :], programme.starts[widths[0] + 1 :]
        del programme.places[widths[1] :], programme.factors[widths[1] :]
        if not answer.values and self.programme.cost:
            return before, False
        kept = tuple(keep for keep in self.keeps if round(answer.values[keep]))
        return kept, answer.ended is Ended.OPTIMAL

    def _covered(self, chosen: Iterable[int]) -> int:
        served = frozenset[str]().union(*(self._served[keep] for keep in chosen))
        return sum(self.history[size] for size in served)

    def _kept(self, chosen: Iterable[int], is_proven: bool) -> Kept:
        kept = sorted(chosen)
        served = frozenset[str]().union(*(self._served[keep] for keep in kept))
        left = sorted(
            (size for size in self.history if size not in served), key=lambda size: (-self.history[size], size)
        )
        return Kept(
            tuple(self.packs[keep].name for keep in kept),
            self._covered(kept),
            self.needs,
            sum(self.packs[keep].cost for keep in kept),
            is_proven,
            tuple(left),
        )

    def curve_by_number(self, most_points: int) -> tuple[Kept, ...]:
        full = self.smallest(self._covered(self.keeps), Measure.NUMBER)
        last = len(full.packs) if full else 0
        numbers = _spaced(last, most_points)
        points = [self.most_covered(number) for number in numbers if number != last]
        return _rising([*points, *([full] if full else [])])

    def curve_by_cost(self, most_points: int) -> tuple[Kept, ...]:
        most = self._covered(self.keeps)
        points = [self.smallest(least, Measure.COST) for least in _spaced(most, most_points)]
        return _rising([point for point in points if point is not None])


def _spaced(last: int, most_points: int) -> list[int]:
    """0 to `last`, all of them or `most_points` evenly spaced, both ends among them."""
    if last < most_points:
        return list(range(last + 1))
    return sorted({round(last * step / (most_points - 1)) for step in range(most_points)})


def _rising(points: list[Kept]) -> tuple[Kept, ...]:
    """The points in order, those that cover no more than the one before left out."""
    rising: list[Kept] = []
    for point in points:
        if not rising or point.covered > rising[-1].covered:
            rising.append(point)
    return tuple(rising)
