"""Sealing washers, as every answer tells them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import catalog
from catalog import orings, seals
from tui.answers.reasons import Reason, Standing

if TYPE_CHECKING:
    from catalog.fasteners.sizes import Thread
    from catalog.seals import washers as catalogued


@dataclass(frozen=True)
class Washer:
    """A washer, nominal mm. `threads`: the plugs it goes under (`M14`: of any pitch)."""

    kind: Literal["flat", "bonded"]
    standard: str
    size: str
    inside_mm: float
    outside_mm: float
    thick_mm: float
    threads: tuple[str, ...]
    source: str
    standing: Standing
    note: str

    @property
    def called(self) -> str:
        """Its kind, as a person says it."""
        return seals.washers.WasherKind(self.kind).words

    @property
    def trusted(self) -> str:
        """How far its row is trusted."""
        return catalog.standing.Standing(self.standing).words

    def rule(self, under: str) -> Reason:
        """What it is under such a plug, with its source."""
        source = self.trusted if self.source == "memory" else self.source
        return Reason(f"{self.called} under {under}, {self.standard}.", source, self.standing)


def washer_of(washer: catalogued.Washer) -> Washer:
    """A washer of the catalog as answers tell it."""
    return Washer(
        kind=washer.kind.value,
        standard=washer.standard,
        size=washer.label,
        inside_mm=washer.inside_mm,
        outside_mm=washer.outside_mm,
        thick_mm=washer.thick_mm,
        threads=washer.threads,
        source=washer.source,
        standing=washer.standing.value,
        note=washer.note,
    )


def washers_under(thread: Thread) -> tuple[Washer, ...]:
    """The washers under a plug of this thread, the usual one of each kind first; none where no plug has it."""
    return tuple(map(washer_of, seals.washers.washers_for(thread))) if orings.joints.takes_washer(thread) else ()


def washers_line(under: str, washers: Sequence[Washer]) -> str:
    """One line that names the usual washer of each kind under such a plug; empty where there is none."""
    usual: dict[str, Washer] = {}
    for one in washers:
        usual.setdefault(one.kind, one)
    said = "; ".join(f"{one.called} {one.size} mm ({one.trusted})" for one in usual.values())
    return f"Washer under a plug of {under}: {said}." if said else ""
