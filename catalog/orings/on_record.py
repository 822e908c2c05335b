"""A ring that fitted somewhere, as the catalog's functions take it."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple


class RecordedFit(NamedTuple):
    """A confirmed fit at a machine's position that was not taken back.

    `standard` and `designation` are the two parts of its size key; `inner_mm` and `section_mm` the nominal ID and
    cross-section in mm, None where the size is the shop's own and its dimensions are not kept. `elastomer` is "" and
    `hardness` (Shore A) None where nobody said. `day`: when it was confirmed, in UTC; for an imported fit, in the shop
    it came from. `holds`: whether it is the newest at its position.
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

    @property
    def key(self) -> str:
        """The size's key, such as `as568:214`."""
        return f"{self.standard}:{self.designation}"
