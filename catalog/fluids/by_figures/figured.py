"""An answer that rests on figures: what was measured against the limits of the tables."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, NamedTuple

from catalog.because import Because
from catalog.compare import at_least, at_most
from catalog.fluids.grade_check import Verdict
from catalog.standing import Standing

ORDER: Final = (Verdict.YES, Verdict.WITH_CARE, Verdict.NO)


class Measured(NamedTuple):
    """One figure against its limits, which are inclusive; None where there is none. `holds` is None if nothing asks."""

    name: str
    words: str
    value: float
    unit: str
    least: float | None = None
    most: float | None = None
    holds: bool | None = None

    @property
    def sentence(self) -> str:
        """The figure with its name and limits: `dry boiling point 232 °C (449.6 °F), at least …`."""
        return f"{self.words} {self.figure}"

    @property
    def plain(self) -> str:
        """The figure with its unit alone: `232 °C (449.6 °F)`."""
        return amount(self.value, self.unit)

    @property
    def figure(self) -> str:
        """The figure with its limits: `232 °C (449.6 °F), at least 230 °C (446 °F) asked`."""
        said = self.plain
        if self.least is not None and self.most is not None:
            return f"{said}, from {self.least:g} to {amount(self.most, self.unit)} asked"
        if self.least is not None:
            return f"{said}, at least {amount(self.least, self.unit)} asked"
        if self.most is not None:
            return f"{said}, at most {amount(self.most, self.unit)} asked"
        return said


class Figured(NamedTuple):
    """The verdict by figures.

    `subject` is what the figures speak of, `required` the class asked for or nothing. `conditions` must hold for the
    verdict; `reaches` are the classes whose limits are met; `because` the limits with their source.
    """

    subject: str
    required: str
    verdict: Verdict
    reason: str
    measured: tuple[Measured, ...]
    conditions: tuple[str, ...] = ()
    reaches: tuple[str, ...] = ()
    because: tuple[Because, ...] = ()


def against(name: str, words: str, value: float, unit: str, least: float | None, most: float | None) -> Measured:
    """A figure held against its limits, both inclusive."""
    holds = (least is None or at_least(value, least)) and (most is None or at_most(value, most))
    return Measured(name, words, value, unit, least, most, holds)


def amount(value: float, unit: str) -> str:
    """A figure with its unit; temperatures in both, as boiling and freezing points are read on either scale."""
    if unit == "°C":
        return f"{_plain(value)} °C ({_plain(round(value * 9 / 5 + 32, 1))} °F)"
    return f"{value:.6g} {unit}".strip()


def _plain(value: float) -> str:
    text = f"{value:.1f}"
    return text.removesuffix(".0")


def worst(verdicts: Iterable[Verdict]) -> Verdict:
    """The worst of several verdicts."""
    return max(verdicts, key=ORDER.index, default=Verdict.YES)


def limit(rule: str, source: str, standing: Standing) -> Because:
    """A limit as a reason that a person can look up."""
    return Because(rule, standing.words if source in ("", "memory") else source, standing)
