"""Which ring sizes to keep: the smallest set for a share of the needs, and what any other number of sizes covers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from tui.answers.answer import Answer
from tui.commands.output import table

if TYPE_CHECKING:
    from models.orders.keeping import Keeping


@dataclass(frozen=True)
class SizeNeeded:
    """One size: how often it was needed, how many are on hand, whether it is kept."""

    size: str
    label: str
    needs: int
    on_hand: int
    keep: bool

    def words(self) -> list[str]:
        """All of it in a sentence."""
        kept = "kept" if self.keep else "not kept"
        return [f"{self.label}: needed {self.needs} times, {self.on_hand} on hand, {kept}"]


@dataclass(frozen=True)
class Covers:
    """How many needs so many sizes cover. `share`: of all of them."""

    kept: int
    covered: int
    share: float


@dataclass(frozen=True)
class SizesToKeep(Answer):
    """The fewest sizes or boxes that cover `share` of the needs. `proven`: no fewer do. `curve`: every other number."""

    SCHEMA: ClassVar[str] = "kitwright.sizes-to-keep/2"

    share: float
    keep: tuple[str, ...]
    covered: int
    needs: int
    proven: bool
    curve: tuple[Covers, ...]
    sizes: tuple[SizeNeeded, ...]

    @property
    def title(self) -> str:
        """How many to keep for that share, and how sure it is that fewer won't do."""
        return (
            f"To cover {self.share * 100:.0f} % of the needs keep {len(self.keep)}: {self.covered} of {self.needs} "
            f"needs ({self.reached * 100:.0f} %), {'no fewer do' if self.proven else 'fewer may do'}."
        )

    @property
    def reached(self) -> float:
        """The share that is covered."""
        return self.covered / self.needs if self.needs else 1.0

    def words(self) -> list[str]:
        """How many; every size, the most needed first; the curve."""
        cells = [("keep" if one.keep else "", one.label, str(one.needs), str(one.on_hand)) for one in self.sizes]
        grid = table(("", "size", "needs", "on hand"), cells, right=(2, 3))
        curve = ", ".join(f"{point.kept}: {point.covered}" for point in self.curve)
        return [self.title, *grid, f"Kept, and needs covered: {curve}"]


def keep_of(found: Keeping) -> SizesToKeep:
    """What to keep as answers tell it."""
    kept = found.kept
    return SizesToKeep(
        share=float(found.share),
        keep=tuple(kept.packs),
        covered=kept.covered,
        needs=kept.needs,
        proven=kept.is_proven,
        curve=tuple(Covers(len(one.packs), one.covered, float(one.share)) for one in found.curve),
        sizes=tuple(SizeNeeded(row.size_key, row.label, row.needs, row.on_hand, row.kept) for row in found.sizes),
    )
