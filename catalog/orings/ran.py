"""How rings did where they ran, and what that says of the ring that goes in there next.

A leak is of a ring in its rubber and its gland. It counts in full against the same ring in that rubber there, less
against it in another, and not at all where the gland was reworked since. A dry run takes back what leaks before it
said, as far as it is of the same rubber. So no leak ever raises a ring's chance, and no dry run lowers it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Final, NamedTuple

from catalog import orings
from catalog.orings.same_ring import SHARE, apart
from catalog.orings.size_book import SizeBook, built_in
from catalog.orings.sizes import RingSize, label_of

if TYPE_CHECKING:
    from catalog.orings.groove import Groove


class Outcome(StrEnum):
    """How the joint was after a run."""

    DRY = "dry"
    WEPT = "wept"
    LEAKED = "leaked"


FACTOR: Final[Mapping[Outcome, float]] = MappingProxyType({Outcome.DRY: 1.0, Outcome.WEPT: 0.5, Outcome.LEAKED: 0.1})
"""What a size's chance to seal is multiplied by where it did so before: a leak may have had another cause (a scratch, a
torn ring), but mostly it was the ring. This project's own estimate, no source."""
OTHER_RUBBER: Final = 0.5
"""How much of a run counts for the same ring in another rubber: half, as an exponent of its factor. A leak is as often
the size or the gland as the rubber. This project's own estimate, no source."""
OTHER_HARDNESS: Final = 0.75
"""The same for another hardness of one rubber: it bears on extrusion and set alone. Our own estimate, no source."""
ONE_GRADE_SHORE_A: Final = 10
"""Hardnesses this near are one grade: rings are sold as 70, 80 or 90 Shore A, each ± 5 (common practice, no source)."""
_VERBS: Final = {Outcome.DRY: "stayed dry", Outcome.WEPT: "wept", Outcome.LEAKED: "leaked"}


class Compound(NamedTuple):
    """What a ring is made of, as far as it is known: its rubber, "" where nobody said, and hardness, Shore A."""

    rubber: str = ""
    hardness: int | None = None

    @property
    def words(self) -> str:
        """`NBR 70`; empty where the rubber is not known."""
        return f"{self.rubber} {self.hardness}" if self.rubber and self.hardness else self.rubber


UNKNOWN: Final = Compound()


class Ran(NamedTuple):
    """A ring that ran at a place: its size key, its rubber ("" where nobody said), how it went, when that was said.

    `hardness`: Shore A, None where nobody said. `reworked`: the gland was measured anew since and is another.
    """

    key: str
    elastomer: str
    outcome: Outcome
    day: date
    hardness: int | None = None
    reworked: bool = False

    @property
    def compound(self) -> Compound:
        """What it was made of."""
        return Compound(self.elastomer, self.hardness)

    @property
    def words(self) -> str:
        """`AS568-214 in NBR 70 leaked here on 2026-05-02`."""
        made = f" in {self.compound.words}" if self.compound.words else ""
        since = ", before the gland was reworked" if self.reworked else ""
        return f"{label_of(self.key)}{made} {_VERBS[self.outcome]} here on {self.day}{since}"


def runs_of(here: Iterable[Ran], ring: RingSize, book: SizeBook | None = None) -> tuple[Ran, ...]:
    """The runs of this ring, by any of its names, in the order given. `book`: the sizes, a shop's own among them."""
    sizes = book or built_in()
    found = []
    for one in here:
        size = sizes.by_key(one.key)
        if one.key == ring.key or (size is not None and apart(size, ring) <= SHARE):
            found.append(one)
    return tuple(found)


def factor(here: Iterable[Ran], ring: RingSize, compound: Compound = UNKNOWN, *, book: SizeBook | None = None) -> float:
    """What this ring's chance to seal there is multiplied by, 0 to 1, where it goes in of this compound.

    `here`: newest first. A rubber that is not known is taken to be the one that ran.
    """
    left = 1.0
    for run in reversed(runs_of(here, ring, book)):
        counts = _counts(run, compound)
        left = left ** (1.0 - counts) if run.outcome is Outcome.DRY else left * FACTOR[run.outcome] ** counts
    return left


def best_factor(
    here: Sequence[Ran], ring: RingSize, compounds: Iterable[Compound], *, book: SizeBook | None = None
) -> float:
    """The most that any of these compounds has; of a compound that is not known where there are none."""
    return max((factor(here, ring, one, book=book) for one in compounds), default=factor(here, ring, book=book))


def _counts(run: Ran, compound: Compound) -> float:
    """How much a run says of a ring of this compound, 0 to 1."""
    if run.reworked:
        return 0.0
    if run.elastomer and compound.rubber and run.elastomer != compound.rubber:
        return OTHER_RUBBER
    known = run.hardness is not None and compound.hardness is not None
    if known and abs((run.hardness or 0) - (compound.hardness or 0)) >= ONE_GRADE_SHORE_A:
        return OTHER_HARDNESS
    return 1.0


def last_by_compound(here: Iterable[Ran], ring: RingSize, book: SizeBook | None = None) -> tuple[Ran, ...]:
    """How this ring last went in each rubber and hardness, newest first. `here`: newest first."""
    found: dict[Compound, Ran] = {}
    for run in runs_of(here, ring, book):
        found.setdefault(run.compound, run)
    return tuple(found.values())


def confirmed_by_run(here: Sequence[Ran], book: SizeBook | None = None) -> dict[str, int]:
    """Once for each size that stayed dry there the last time it ran, by any name, for `prior.prior_for`.

    `here`: newest first.
    """
    sizes = book or built_in()
    found: dict[str, int] = {}
    for key in dict.fromkeys(one.key for one in here):
        ring = sizes.by_key(key)
        last = runs_of(here, ring, sizes)[0] if ring is not None else next(one for one in here if one.key == key)
        if last.outcome is Outcome.DRY:
            found[key] = 1
    return found


def since_reworked(grooves: Iterable[Groove | None]) -> tuple[bool, ...]:
    """For each fit at a place, newest first, whether the gland was measured anew since and is another.

    `grooves`: as each was measured, None where it wasn't.
    """
    found, now, changed = [], None, False
    for groove in grooves:
        if groove is not None and now is not None and orings.other_groove.apart_in(groove, now):
            changed = True
        now = groove if now is None else now
        found.append(changed)
    return tuple(found)
