"""Which rotary shaft seal belongs to a measured place, how sure that is, and what would settle it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar, Final

import catalog
from catalog import seals
from tui.answers.answer import Answer, said
from tui.answers.chances import percent
from tui.answers.reasons import Reason, Standing, reasons_of, why_lines
from tui.answers.seals import LIKELIER_THAN_NONE, off_by, off_words, reading_figures, understood
from tui.commands.output import table

if TYPE_CHECKING:
    from catalog.seals import shaft_seals
    from catalog.seals.evidence import Readings

READ: Final[Mapping[str, str]] = MappingProxyType(
    {"shaft": "shaft", "bore": "bore", "od": "seal's outside diameter", "width": "width"}
)
"""What the catalog calls each reading (`catalog.seals.shaft_seals.DIMENSIONS`), by its field."""


@dataclass(frozen=True)
class PlaceReadings:
    """What was measured of a shaft seal's place, mm, each with its limit of error; None where it was not."""

    shaft_mm: float | None
    shaft_plus_minus_mm: float | None
    bore_mm: float | None
    bore_plus_minus_mm: float | None
    od_mm: float | None
    od_plus_minus_mm: float | None
    width_mm: float | None
    width_plus_minus_mm: float | None


@dataclass(frozen=True)
class ShaftSeal:
    """A size that it can be, nominal mm. `off_mm`: how far each reading lies outside what belongs to it, 0 within."""

    standard: str
    size: str
    shaft_mm: float
    bore_mm: float
    width_mm: float
    probability: float
    off_mm: dict[str, float]
    source: str
    standing: Standing
    note: str

    @property
    def trusted(self) -> str:
        """How far its row is trusted."""
        return catalog.standing.Standing(self.standing).words

    @property
    def rule(self) -> Reason:
        """The row itself, with its source."""
        source = self.trusted if self.source == "memory" else self.source
        return Reason(f"shaft × bore × width, {self.standard}. {self.note}".strip(), source, self.standing)


@dataclass(frozen=True)
class ShaftSealAnswer(Answer):
    """The sizes that it can be, likeliest first. `settle`: what would settle a doubt."""

    SCHEMA: ClassVar[str] = "kitwright.shaft-seal/2"

    readings: PlaceReadings
    seals: tuple[ShaftSeal, ...]
    none_probability: float
    settle: str | None
    notes: tuple[str, ...]
    because: tuple[Reason, ...]
    cautions: tuple[str, ...]
    unit: str = said("mm")

    @property
    def found(self) -> bool:
        """Whether some size is likelier than none of them."""
        return bool(self.seals) and self.none_probability <= LIKELIER_THAN_NONE

    def words(self) -> list[str]:
        """The size first, what settles a doubt; then all it can be, then why."""
        lines = [f"No shaft seal of the tables ({percent(self.none_probability)})"]
        if self.found:
            best = self.seals[0]
            lines = [
                f"{best.size} mm ({percent(best.probability)}): shaft × bore × width, {best.standard}; {best.trusted}"
            ]
        lines += [*([f"Next: {self.settle}"] if self.settle else []), *self.notes]
        if self.seals:
            lines += ["", *self._table(), f"{percent(self.none_probability)}  none of these"]
        return [*lines, "", understood(self.readings, READ, self.unit), *why_lines(self.because), *self.cautions]

    def _table(self) -> list[str]:
        rows = [
            (
                one.size,
                percent(one.probability),
                one.standard,
                off_words(one.off_mm, READ),
                catalog.standing.Standing(one.standing).word,
            )
            for one in self.seals
        ]
        return table(("shaft × bore × width mm", "chance", "standard", "past limits mm", "row"), rows, right=(1,))


def shaft_seal_of(readings: Readings, found: shaft_seals.ShaftSealAnswer, unit: str) -> ShaftSealAnswer:
    """The catalog's answer as it is told."""
    return ShaftSealAnswer(
        readings=PlaceReadings(**reading_figures(readings, READ)),
        seals=tuple(
            ShaftSeal(
                standard=one.seal.standard,
                size=one.seal.label,
                shaft_mm=one.seal.shaft_mm,
                bore_mm=one.seal.bore_mm,
                width_mm=one.seal.width_mm,
                probability=round(one.probability, 6),
                off_mm=off_by(one.off_mm, READ),
                source=one.seal.source,
                standing=one.seal.standing.value,
                note=one.seal.note,
            )
            for one in found.matches
        ),
        none_probability=round(found.none_probability, 6),
        settle=found.settle or None,
        notes=found.notes,
        because=reasons_of(found.because),
        cautions=seals.shaft_seals.CAUTIONS,
        unit=unit,
    )
