"""The words of a judgement: how a criterion comes out, and the table of them. There is no score."""

from __future__ import annotations

from enum import StrEnum
from typing import Final, NamedTuple

from catalog.because import Because
from catalog.compare import over, under
from catalog.standing import Standing


class Grade(StrEnum):
    """How one criterion, or the whole, comes out."""

    FITS = "fits"
    WITH_CARE = "with care"
    MEASURE = "measure this"
    DOES_NOT = "does not"

    @property
    def rank(self) -> int:
        """0 for fits to 3 for does not; worse is higher."""
        return _RANKS[self]


_RANKS = {grade: rank for rank, grade in enumerate(Grade)}

OUR_RULE = "our rule, no source"
PRACTICE = "common practice, no source"
E11 = "ASTM E11"
MULTIPASS = "ISO 16889"
COLLAPSE = "ISO 2941"
# ISO 2941 nobody here has seen in print; our own rules are worth no more than memory.
_STANDINGS: Final = {
    E11: Standing.PUBLISHED,
    MULTIPASS: Standing.PUBLISHED,
    COLLAPSE: Standing.MEMORY,
    PRACTICE: Standing.PRACTICE,
    OUR_RULE: Standing.MEMORY,
}
_MOST_DECIMALS: Final = 6


def figure(value: float, *limits: float, decimals: int = 1) -> str:
    """A figure with as many decimals as it takes to see on which side of each limit it lies; `decimals` at least."""
    sides = [(over(value, limit), under(value, limit)) for limit in limits]
    for places in range(decimals, _MOST_DECIMALS):
        rounded = round(value, places)
        if sides == [(over(rounded, limit), under(rounded, limit)) for limit in limits]:
            return f"{value:.{places}f}"
    return f"{value:.{_MOST_DECIMALS}f}"


class Criterion(NamedTuple):
    """One line of the table: a sentence with the figures, and where the rule is from. Hard: a leak or a hurt."""

    name: str
    grade: Grade
    sentence: str
    source: str
    hard: bool = True

    @property
    def standing(self) -> Standing:
        """How far its rule can be trusted."""
        return _STANDINGS.get(self.source, Standing.MEMORY)

    @property
    def because(self) -> Because:
        """The same as a rule that can be looked up."""
        return Because(f"{self.name}: {self.sentence}", self.source, self.standing)


class Way(StrEnum):
    """Which way round an element goes in: `AS_WRITTEN` puts its first end at the head."""

    AS_WRITTEN = "as written"
    TURNED = "turned"


def _order(criterion: Criterion) -> tuple[int, bool]:
    return -criterion.grade.rank, not criterion.hard


class Fit(NamedTuple):
    """A judgement: criteria worst first, hard before soft, and the way round that it holds for."""

    criteria: tuple[Criterion, ...]
    way: Way

    @property
    def overall(self) -> Grade:
        """The worst grade. A soft criterion nobody measured counts as `with care`, never as fitting."""
        worst = Grade.FITS
        for criterion in self.criteria:
            grade = criterion.grade
            if grade is Grade.MEASURE and not criterion.hard:
                grade = Grade.WITH_CARE
            if _RANKS[grade] > _RANKS[worst]:
                worst = grade
        return worst

    @property
    def because(self) -> tuple[Because, ...]:
        """The criteria that decided: those that came out as badly as the whole."""
        overall = self.overall
        return tuple(
            one.because
            for one in self.criteria
            if one.grade is overall or (overall is Grade.WITH_CARE and one.grade is Grade.MEASURE and not one.hard)
        )

    @property
    def to_measure(self) -> tuple[Criterion, ...]:
        """What must be measured before this is trusted."""
        return tuple(criterion for criterion in self.criteria if criterion.grade is Grade.MEASURE)


def table(criteria: list[Criterion], way: Way) -> Fit:
    """Criteria in the order they are shown: worst first, hard before soft, otherwise as judged."""
    ordered = sorted(criteria, key=_order)
    return Fit(tuple(one._replace(sentence=one.sentence[:1].upper() + one.sentence[1:]) for one in ordered), way)


def measure(name: str, what: str, why: str, source: str = OUR_RULE, hard: bool = True) -> Criterion:
    """A criterion that cannot be judged yet."""
    return Criterion(name, Grade.MEASURE, f"Measure this before you trust it: {what}. {why}", source, hard)
