"""The words of a judgement: how a criterion comes out, and the table of them. There is no score."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple


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


class Criterion(NamedTuple):
    """One line of the table: a sentence with the figures, and where the rule is from. Hard: a leak or a hurt."""

    name: str
    grade: Grade
    sentence: str
    source: str
    hard: bool = True


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
