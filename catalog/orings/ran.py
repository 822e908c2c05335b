"""How a ring did where it ran, and what that says of the ring that goes in there next."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from enum import StrEnum
from types import MappingProxyType
from typing import Final, NamedTuple

from catalog.orings.same_ring import SHARE, apart
from catalog.orings.sizes import RingSize, by_key, label_of


class Outcome(StrEnum):
    """How the joint was after a run."""

    DRY = "dry"
    WEPT = "wept"
    LEAKED = "leaked"


FACTOR: Final[Mapping[Outcome, float]] = MappingProxyType({Outcome.DRY: 1.0, Outcome.WEPT: 0.5, Outcome.LEAKED: 0.1})
"""What a size's chance to seal is multiplied by where it did so before: a leak may have had another cause (a scratch, a
torn ring), but mostly it was the ring. This project's own estimate, no source."""
_VERBS: Final = {Outcome.DRY: "stayed dry", Outcome.WEPT: "wept", Outcome.LEAKED: "leaked"}


class Ran(NamedTuple):
    """A ring that ran at a place: its size key, its rubber ("" where nobody said), how it went, when that was said."""

    key: str
    elastomer: str
    outcome: Outcome
    day: date

    @property
    def words(self) -> str:
        """`AS568-214 in NBR leaked here on 2026-05-02`."""
        rubber = f" in {self.elastomer}" if self.elastomer else ""
        return f"{label_of(self.key)}{rubber} {_VERBS[self.outcome]} here on {self.day}"


def last_of(here: Iterable[Ran], ring: RingSize) -> Ran | None:
    """How this ring, by any of its names, last went at a place; None where nobody said. `here`: newest first."""
    for one in here:
        size = by_key(one.key)
        if one.key == ring.key or (size is not None and apart(size, ring) <= SHARE):
            return one
    return None


def factor(here: Iterable[Ran], ring: RingSize) -> float:
    """What this ring's chance to seal there is multiplied by, 0 to 1."""
    found = last_of(here, ring)
    return 1.0 if found is None else FACTOR[found.outcome]


def confirmed_by_run(here: Iterable[Ran]) -> dict[str, int]:
    """Once for each size that stayed dry there the last time it ran, for `prior.prior_for`. `here`: newest first."""
    last: dict[str, Outcome] = {}
    for one in here:
        last.setdefault(one.key, one.outcome)
    return {key: 1 for key, outcome in last.items() if outcome is Outcome.DRY}
