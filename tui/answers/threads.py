"""Threads and their hexes, as every answer tells them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tui.answers.reasons import Reason, Standing

if TYPE_CHECKING:
    from catalog.fasteners import wrench as catalogued


@dataclass(frozen=True)
class Hex:
    """A hex head or nut: whose size it is, across flats in mm, and the size as stamped on the wrench."""

    standard: str
    across_flats_mm: float
    wrench: str
    source: str
    standing: Standing
    note: str

    @property
    def rule(self) -> Reason:
        """The row itself, with its source."""
        about = f" {self.note}" if self.note else ""
        return Reason(f"{self.wrench} across flats ({self.standard}).{about}", self.source, self.standing)


def hex_of(size: catalogued.Hex) -> Hex:
    """A hex of the catalog as answers tell it."""
    return Hex(size.standard, round(size.across_flats_mm, 4), size.wrench, size.source, size.standing.value, size.note)


def wrench_lines(hexes: Sequence[Hex]) -> list[str]:
    """The wrenches in one line, then what there is to say of them; nothing where no table says."""
    if not hexes:
        return []
    named = "; ".join(f"{one.wrench} ({one.standard})" for one in hexes)
    return [f"Wrench: {named}", *dict.fromkeys(one.note for one in hexes if one.note)]
