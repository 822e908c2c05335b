"""The answer to "may I use this where that is asked?", and the kinds of no."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple

from catalog.because import Because
from catalog.fluids.grade_check import Verdict
from catalog.fluids.rules import Rule
from catalog.standing import Standing


class Refusal(StrEnum):
    """Why an answer is no."""

    NEVER = "never"
    """A rule forbids it for the harm it does, or the two are fluids of different sorts."""
    LACKS = "lacks"
    """The offered class lacks something that the required one relies on."""
    DOWNGRADE = "downgrade"
    """It is a lower class."""
    INCOMPATIBLE = "incompatible"
    """A chart of grease thickeners says that the two must not meet."""
    TWO_CAUTIONS = "two cautions"
    """A path leads there, but only over two or more cautions; they never add up to a permission."""
    GRADE = "grade"
    """The viscosity grade does not fit."""
    NOT_STATED = "not stated"
    """The item says nothing of what is asked."""
    NO_RULE = "no rule"
    """Nothing speaks of the pair."""


class Answer(NamedTuple):
    """The verdict on `offered` where `required` is asked.

    `steps` lead from the offered class to the required one; each may be used where the next one is asked. For a no
    they hold the rule that forbids it, or the path whose cautions are too many; `refusal` says which kind of no it is.
    `conditions` must hold for the verdict, and carry the remarks of the path. `standing` is that of the weakest step,
    None if the answer rests on no rule and no table. `because` are the deciding rules. `per_claim` has one answer for
    each class the item claims when there are several, best first.
    """

    verdict: Verdict
    offered: str
    required: str
    reason: str
    steps: tuple[Rule, ...] = ()
    conditions: tuple[str, ...] = ()
    source: str = ""
    standing: Standing | None = None
    per_claim: tuple[Answer, ...] = ()
    refusal: Refusal | None = None
    because: tuple[Because, ...] = ()

    @property
    def usable(self) -> bool:
        """Whether the answer is yes or with care."""
        return self.verdict is not Verdict.NO


def because_of(rule: Rule) -> Because:
    """A stand-in rule as a reason that a person can look up."""
    said = f"{rule.offered} where {rule.required} is asked: {rule.kind}"
    if rule.condition:
        said = f"{said}; {rule.condition}"
    return Because(said, rule.standing.words if rule.source in ("", "memory") else rule.source, rule.standing)
