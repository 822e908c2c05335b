"""Who gets what from the packs bought, worked out exactly: a flow from packs to lines, then to what the shop uses."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from models.purchasing.demand import PlanProblem, fits_slot, pools, usage_slots, why_not


@dataclass(frozen=True, slots=True)
class Shared:
    """Quantities by (offer, line), what is short by line, and what would expire by offer, in whole base units.

    `unknown` are the offers with packs that expire and a spare that nobody said is used.
    """

    by_line: Mapping[tuple[int, int], int]
    missing: Mapping[int, int]
    expiring: Mapping[int, int]
    unknown: frozenset[int]


def share(problem: PlanProblem, bought: Mapping[int, int]) -> Shared:
    """Split the packs among the lines: nothing is missing if the packs can cover them; first to expire, first used."""
    by_line: dict[tuple[int, int], int] = {}
    missing: dict[int, int] = {}
    expiring: dict[int, int] = {}
    unknown: set[int] = set()
    for pool in pools(problem):
        inside = [offer for offer in pool.offers if bought.get(offer)]
        flow = _Flow({offer: bought[offer] * problem.offers[offer].pack_quantity for offer in inside})
        inside.sort(key=lambda offer: (problem.offers[offer].expires(problem.today) or date.max, offer))
        lines = [line for demand in pool.demands for line in demand.lines]
        for line in sorted(lines, key=lambda line: (problem.lines[line].needed_by or date.max, line)):
            record = problem.lines[line]
            able = [offer for offer in inside if why_not(record, problem.offers[offer], problem.today) is None]
            able.sort(key=lambda offer: bool(problem.offers[offer].caution_for(record.key)))  # the real thing first
            short = flow.fill(("line", line), record.quantity, able)
            if short:
                missing[line] = short
        perishable = [offer for offer in inside if problem.offers[offer].shelf_life_days is not None]
        for place, slot in enumerate(usage_slots(problem, pool)):
            able = [offer for offer in perishable if fits_slot(problem.offers[offer], slot, problem.today)]
            if slot.quantity is None:
                unknown.update(able)
            else:
                flow.fill(("slot", place), slot.quantity, able)
        for (offer, sink), quantity in flow.sent.items():
            if sink[0] == "line" and quantity:
                by_line[offer, sink[1]] = quantity
        expiring |= {offer: flow.left[offer] for offer in perishable if flow.left[offer]}
    return Shared(by_line, missing, expiring, frozenset(unknown & expiring.keys()))


class _Flow:
    """A maximum flow filled sink by sink; a sink once filled stays full while later ones are filled around it."""

    def __init__(self, supply: Mapping[int, int]) -> None:
        self.left = dict(supply)
        self.sent: dict[tuple[int, tuple[str, int]], int] = {}
        self._able: dict[tuple[str, int], Sequence[int]] = {}

    def fill(self, sink: tuple[str, int], wanted: int, able: Sequence[int]) -> int:
        """Send up to `wanted` into the sink, moving earlier flows aside where that helps; gives what is missing."""
        self._able[sink] = able
        while wanted > 0:
            path = self._path(sink)
            if path is None:
                break
            moved = [self.sent[source, taken] for source, taken in self._moved(path)]
            amount = min(wanted, self.left[path[-1][0]], *moved)
            for source, into in path:
                self.sent[source, into] = self.sent.get((source, into), 0) + amount
            for source, taken in self._moved(path):
                self.sent[source, taken] -= amount
            self.left[path[-1][0]] -= amount
            wanted -= amount
        return wanted

    @staticmethod
    def _moved(path: list[tuple[int, tuple[str, int]]]) -> list[tuple[int, tuple[str, int]]]:
        """The flows a path takes from: source i gives up the sink that source i + 1 fills instead."""
        return [(source, path[step + 1][1]) for step, (source, _) in enumerate(path[:-1])]

    def _path(self, sink: tuple[str, int]) -> list[tuple[int, tuple[str, int]]] | None:
        """Breadth first from the sink to an offer with something left, through flows that can be moved."""
        waiting: list[tuple[str, int]] = [sink]
        came: dict[Hashable, list[tuple[int, tuple[str, int]]]] = {sink: []}
        seen: set[int] = set()
        for current in waiting:
            for offer in self._able[current]:
                if offer in seen:
                    continue
                seen.add(offer)
                path = [*came[current], (offer, current)]
                if self.left[offer] > 0:
                    return path
                for (source, taken), quantity in self.sent.items():
                    if source == offer and quantity > 0 and taken not in came:
                        came[taken] = path
                        waiting.append(taken)
        return None
