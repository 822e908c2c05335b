"""Which sealing washer was measured, how sure that is, and what would settle it; or the washers under a plug."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar, Final

import catalog
from catalog import seals
from tui.answers.answer import Answer, said
from tui.answers.chances import percent
from tui.answers.reasons import Reason, reasons_of, why_lines
from tui.answers.seals import LIKELIER_THAN_NONE, off_by, off_words, reading_figures, understood
from tui.answers.washers import Washer, washer_of
from tui.commands.output import table

if TYPE_CHECKING:
    from catalog.fasteners.sizes import Thread
    from catalog.seals import washers
    from catalog.seals.evidence import Readings

READ: Final[Mapping[str, str]] = MappingProxyType(
    {"inside": "inside diameter", "outside": "outside diameter", "thick": "thickness"}
)
"""What the catalog calls each reading (`catalog.seals.washers.DIMENSIONS`), by its field."""


@dataclass(frozen=True)
class WasherReadings:
    """What was measured of a washer, mm, each with its limit of error; None where it was not. `used`: tightened."""

    inside_mm: float | None
    inside_plus_minus_mm: float | None
    outside_mm: float | None
    outside_plus_minus_mm: float | None
    thick_mm: float | None
    thick_plus_minus_mm: float | None
    used: bool


@dataclass(frozen=True)
class LikelyWasher(Washer):
    """A washer that it can be. `off_mm`: how far each reading lies outside what such a washer measures, 0 within."""

    probability: float
    off_mm: dict[str, float]

    @property
    def under(self) -> str:
        """The plugs it goes under."""
        return " and ".join(self.threads)


@dataclass(frozen=True)
class WasherAnswer(Answer):
    """The washers that it can be, likeliest first. `settle`: what would settle a doubt."""

    SCHEMA: ClassVar[str] = "kitwright.washer/2"

    readings: WasherReadings
    washers: tuple[LikelyWasher, ...]
    none_probability: float
    settle: str | None
    notes: tuple[str, ...]
    because: tuple[Reason, ...]
    caution: str
    unit: str = said("mm")

    @property
    def found(self) -> bool:
        """Whether some washer is likelier than none of them."""
        return bool(self.washers) and self.none_probability <= LIKELIER_THAN_NONE

    def words(self) -> list[str]:
        """The washer first, what settles a doubt; then all it can be, then why."""
        lines = [f"No washer of the tables ({percent(self.none_probability)})"]
        if self.found:
            best = self.washers[0]
            lines = [
                f"{best.called} {best.size} mm ({percent(best.probability)}): "
                f"{best.standard}, under {best.under}; {best.trusted}"
            ]
        lines += [*([f"Next: {self.settle}"] if self.settle else []), *self.notes]
        if self.washers:
            lines += ["", *self._table(), f"{percent(self.none_probability)}  none of these"]
        return [*lines, "", understood(self.readings, READ, self.unit), *why_lines(self.because), self.caution]

    def _table(self) -> list[str]:
        rows = [
            (
                one.size,
                one.kind,
                percent(one.probability),
                " ".join(one.threads),
                off_words(one.off_mm, READ),
                catalog.standing.Standing(one.standing).word,
            )
            for one in self.washers
        ]
        return table(("washer mm", "kind", "chance", "under", "past limits mm", "row"), rows, right=(2,))


@dataclass(frozen=True)
class WashersOfThread(Answer):
    """The washers under a plug of a thread, the usual one of each kind first."""

    SCHEMA: ClassVar[str] = "kitwright.washers-of-thread/2"

    thread: str
    washers: tuple[Washer, ...]
    caution: str

    @property
    def found(self) -> bool:
        """Whether the tables have one."""
        return bool(self.washers)

    @property
    def headline(self) -> str:
        """What the list is, or that there is none."""
        if self.washers:
            return f"Washers under a plug of {self.thread}, the usual one first:"
        return f"No washer of the tables is for {self.thread}: measure the old one, inside, outside and thickness."

    def words(self) -> list[str]:
        """The washers, each with its source."""
        if not self.washers:
            return [self.headline]
        rows = [
            (one.called, one.size, one.standard, one.trusted, "" if one.source == "memory" else one.source)
            for one in self.washers
        ]
        header = ("kind", "inside × outside × thick mm", "standard", "row", "source")
        return [self.headline, *table(header, rows), self.caution]


# From the catalog's records


def washer_measured(readings: Readings, found: washers.WasherAnswer, unit: str, *, used: bool) -> WasherAnswer:
    """The catalog's answer as it is told."""
    return WasherAnswer(
        readings=WasherReadings(**reading_figures(readings, READ), used=used),
        washers=tuple(
            LikelyWasher(
                **vars(washer_of(one.washer)),
                probability=round(one.probability, 6),
                off_mm=off_by(one.off_mm, READ),
            )
            for one in found.matches
        ),
        none_probability=round(found.none_probability, 6),
        settle=found.settle or None,
        notes=found.notes,
        because=reasons_of(found.because),
        caution=seals.washers.CAUTION,
        unit=unit,
    )


def washers_of_thread(thread: Thread, found: Sequence[washers.Washer]) -> WashersOfThread:
    """The washers of the catalog as they are told."""
    return WashersOfThread(thread.designation, tuple(map(washer_of, found)), seals.washers.CAUTION)
