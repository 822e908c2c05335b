"""A ring that fitted somewhere, as the catalog's functions take it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import date
from typing import NamedTuple

from catalog.orings.groove import Groove
from catalog.orings.ran import Outcome, Ran, since_reworked


class RecordedFit(NamedTuple):
    """A confirmed fit at a machine's position that was not taken back.

    `standard` and `designation` are the two parts of its size key; `inner_mm` and `section_mm` the nominal ID and
    cross-section in mm, None where the size is the shop's own and its dimensions are not kept. `elastomer` is "" and
    `hardness` (Shore A) None where nobody said. `day`: when it was confirmed, in UTC; for an imported fit, in the shop
    it came from. `holds`: whether it is the newest at its position. `went`: how it went after a run, and `went_on` the
    day that was said (UTC); None where nobody said. `groove`: as it was measured with the fit; None where it wasn't.
    """

    machine: str
    position: str
    standard: str
    designation: str
    inner_mm: float | None
    section_mm: float | None
    elastomer: str
    hardness: int | None
    day: date
    holds: bool
    went: Outcome | None = None
    went_on: date | None = None
    groove: Groove | None = None

    @property
    def key(self) -> str:
        """The size's key, such as `as568:214`."""
        return f"{self.standard}:{self.designation}"


def ran_at(fits: Iterable[RecordedFit]) -> tuple[Ran, ...]:
    """How the rings of one position went, as its fits stand: newest first."""
    every = tuple(fits)
    return tuple(
        Ran(one.key, one.elastomer, one.went, one.went_on, one.hardness, reworked)
        for one, reworked in zip(every, since_reworked(one.groove for one in every), strict=True)
        if one.went is not None and one.went_on is not None
    )


def confirmed(fits: Sequence[RecordedFit]) -> dict[str, int]:
    """How often a shop has confirmed each size, for `prior.prior_for`: from all its fits.

    Each fit counts whose size still holds at its position, unless it wept or leaked; one that was superseded by another
    size was no success.
    """
    held = {(one.machine, one.position): one.key for one in fits if one.holds}
    return dict(
        Counter(
            one.key
            for one in fits
            if held.get((one.machine, one.position)) == one.key and one.went in (None, Outcome.DRY)
        )
    )
