"""May a fluid stand in for another, do its measured figures fit, and what is a class: the answers."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Final, Literal

import catalog
from catalog import fluids
from tui.answers.advice import ADVICE
from tui.answers.answer import Answer, said
from tui.answers.reasons import Reason, Standing, reasons_of

if TYPE_CHECKING:
    from catalog.fluids import by_figures, classes, stand_in
    from catalog.fluids.ambiguous import Which
    from catalog.fluids.grade_check import Verdict as Judged
    from catalog.fluids.rules import Rule

Verdict = Literal["yes", "with care", "no"]
Kind = Literal["upgrade", "allowed", "caution", "partial", "downgrade", "lacks", "never"]
Refusal = Literal[
    "never", "lacks", "downgrade", "incompatible", "two cautions", "grade", "not stated", "no rule"
]  # fmt: skip
OWN_CLASS: Final = "this shop's own class"
NEVER_MIX: Final = "Never mix what you drain with what you fill, unless the manual says the two may be mixed."
MOST_SHOWN: Final = 20


@dataclass(frozen=True)
class Step:
    """One rule of the way: `use` where `where` is asked, under a condition."""

    use: str
    where: str
    kind: Kind
    condition: str
    source: str
    standing: Standing

    @property
    def sourced(self) -> str:
        """Where the rule is from, and how far that is trusted."""
        return Reason("", self.source, self.standing).sourced

    @property
    def words(self) -> str:
        """The rule with its condition and source, in one line."""
        how = f": {self.condition}" if self.condition else ""
        return f"{self.use} where {self.where} is asked, {self.kind}{how} [{self.sourced}]"


@dataclass(frozen=True)
class StandIn:
    """One class or grade that is asked for, and what the label offers for it.

    `steps`: the rules of the way, or those that forbid it; `refusal`: which kind of no it is. `standing`: of the
    weakest step, null where it rests on no table. `per_claim`: an answer for each class that is claimed, best first,
    where there are several.
    """

    verdict: Verdict
    have: str
    need: str
    reason: str
    conditions: tuple[str, ...]
    steps: tuple[Step, ...]
    source: str
    standing: Standing | None
    refusal: Refusal | None
    because: tuple[Reason, ...]
    per_claim: tuple[StandIn, ...]

    @property
    def sourced(self) -> str:
        """Where the answer is from, and how far that is trusted."""
        return self.source if self.standing is None else Reason("", self.source, self.standing).sourced

    @property
    def bare(self) -> str:
        """The reason without the verdict that it may begin with."""
        reason = self.reason.removeprefix(f"{self.verdict.capitalize()}: ")
        return reason[:1].upper() + reason[1:]

    @property
    def danger(self) -> str:
        """The bare reason with what is to be minded: of a stand-in with care nobody may read the permission alone."""
        minded = dict.fromkeys(step.condition for step in self.steps if step.kind == "caution" and step.condition)
        if self.verdict != "with care" or not minded:
            return self.bare
        return f"{self.bare.removesuffix('.')}: {'; '.join(minded)}."

    @property
    def further(self) -> tuple[str, ...]:
        """The conditions that no step of the way states already."""
        stated = {step.condition for step in self.steps}
        return tuple(one for one in self.conditions if one not in stated)

    @property
    def whys(self) -> tuple[Reason, ...]:
        """The rules behind it, where no step of a way tells them."""
        return () if self.steps else self.because

    def lines(self) -> list[str]:
        """The verdict, its conditions, the way or the rules."""
        return [
            self.headline,
            *(f"  if: {one}" for one in self.further),
            *(f"  step: {step.words}" for step in self.steps),
            *(f"  why: {one.words}" for one in self.whys),
        ]

    @property
    def headline(self) -> str:
        """The verdict in a sentence."""
        if self.reason.casefold().startswith((self.verdict, "never", "no ")):
            return self.reason if self.danger == self.bare else f"{self.verdict.capitalize()}: {self.danger}"
        return f"{self.verdict.capitalize()}: {self.have} where {self.need} is asked. {self.reason}"


@dataclass(frozen=True)
class StandInAnswer(Answer):
    """May an item that claims `have` be used where `need` is asked? The worst of the answers is the verdict."""

    SCHEMA: ClassVar[str] = "kitwright.fluid-stand-in/2"

    have: tuple[str, ...]
    need: tuple[str, ...]
    verdict: Verdict
    answers: tuple[StandIn, ...]
    caution: str
    remarks: tuple[str, ...] = said(())
    """What is to be said of a class that the tables don't know."""

    @property
    def found(self) -> bool:
        """Whether it may be used."""
        return self.verdict != "no"

    def words(self) -> list[str]:
        """Each answer with its way, then what is unknown."""
        lines = []
        if len(self.answers) > 1:
            lines += [f"{self.verdict.capitalize()}, for an item that claims {', '.join(self.have)}:", ""]
        for one in self.answers:
            lines += [*one.lines(), ""]
        return [*lines, *self.remarks, NEVER_MIX, self.caution]


@dataclass(frozen=True)
class Figure:
    """A measured figure against its limits, both inclusive; `holds` is null where nothing asks for it."""

    name: str
    words: str
    value: float
    unit: str
    least: float | None
    most: float | None
    holds: bool | None

    @property
    def _measured(self) -> by_figures.Measured:
        return fluids.by_figures.Measured(
            self.name, self.words, self.value, self.unit, self.least, self.most, self.holds
        )

    @property
    def plain(self) -> str:
        """It with its unit; a temperature on both scales."""
        return self._measured.plain

    @property
    def told(self) -> str:
        """It with its unit and its limits."""
        return self._measured.figure

    @property
    def line(self) -> str:
        """It with its name and limits, and whether it holds."""
        sign = {True: "ok", False: "OUT", None: "-"}[self.holds]
        return f"{sign:<4}{self.words} {self.told}"


@dataclass(frozen=True)
class FluidFigures(Answer):
    """Do the measured figures of a fluid fit? `reaches`: the classes whose limits they meet."""

    SCHEMA: ClassVar[str] = "kitwright.fluid-figures/2"

    subject: str
    need: str | None
    verdict: Verdict
    reason: str
    conditions: tuple[str, ...]
    figures: tuple[Figure, ...]
    reaches: tuple[str, ...]
    because: tuple[Reason, ...]
    caution: str

    @property
    def found(self) -> bool:
        """Whether they fit."""
        return self.verdict != "no"

    def words(self) -> list[str]:
        """The verdict, each figure, the conditions, the limits with their source."""
        return [
            f"{self.verdict.capitalize()}: {self.reason}",
            *(f"  {one.line}" for one in self.figures),
            *(f"  note: {one}" for one in self.conditions),
            *(f"  why: {one.words}" for one in self.because),
            "",
            self.caution,
        ]


@dataclass(frozen=True)
class FluidClass:
    """A class or grade: what it is, its limits, what else it goes by, who says so."""

    code: str
    family: str
    description: str
    limits: str
    status: str
    aliases: tuple[str, ...]
    source: str
    standing: Standing

    @property
    def sourced(self) -> str:
        """Who says so, and how far that is trusted."""
        return OWN_CLASS if self.standing == "shop" else Reason("", self.source, self.standing).sourced

    @property
    def retired(self) -> str:
        """Its status, where it is no longer active."""
        return "" if self.status in ("", "active") else self.status

    def lines(self) -> list[str]:
        """It, its limits, its other names, its source."""
        lines = [f"{self.code}{f' ({self.retired})' if self.retired else ''}: {self.description} [{self.family}]"]
        if self.limits:
            lines.append(f"  limits: {self.limits}")
        if self.aliases:
            lines.append(f"  also: {', '.join(self.aliases)}")
        return [*lines, f"  from: {'this shop itself' if self.standing == 'shop' else self.sourced}"]


@dataclass(frozen=True)
class FluidClasses(Answer):
    """The classes and grades that a text picks out, best first, the shop's own last.

    `which`: the question to ask back about a word that means several; null where it means one.
    """

    SCHEMA: ClassVar[str] = "kitwright.fluid-classes/2"

    text: str
    which: str | None
    classes: tuple[FluidClass, ...]

    @property
    def found(self) -> bool:
        """Whether there is any."""
        return bool(self.classes)

    def words(self) -> list[str]:
        """The question, then the first of them in full."""
        if not self.classes:
            return [
                f"No class or grade matches {self.text}. Try a piece of its name or its use: "
                "kitwright fluid --class hydraulic"
            ]
        lines = [self.which] if self.which else []
        for one in self.classes[:MOST_SHOWN]:
            lines += one.lines()
        if len(self.classes) > MOST_SHOWN:
            lines.append(f"{MOST_SHOWN} of {len(self.classes)} shown; type more words.")
        return [*lines, ADVICE]


# From the catalog's records


def step_of(rule: Rule) -> Step:
    """A rule as answers tell it."""
    return Step(rule.offered, rule.required, rule.kind.value, rule.condition, _named(rule.source), rule.standing.value)


def _named(source: str) -> str:
    """Sources as a person reads them: a row that nobody has seen in print says so."""
    parts = dict.fromkeys(part.strip() for part in source.split(";"))
    return "; ".join(catalog.standing.Standing.MEMORY.words if part == "memory" else part for part in parts)


def stand_in_of(answer: stand_in.Answer) -> StandIn:
    """An answer of the catalog as answers tell it."""
    return StandIn(
        verdict=answer.verdict.value,
        have=answer.offered,
        need=answer.required,
        reason=answer.reason,
        conditions=answer.conditions,
        steps=tuple(map(step_of, answer.steps)),
        source=_named(answer.source),
        standing=None if answer.standing is None else answer.standing.value,
        refusal=None if answer.refusal is None else answer.refusal.value,
        because=reasons_of(answer.because),
        per_claim=tuple(map(stand_in_of, answer.per_claim)),
    )


def stand_in_answer(
    have: Sequence[str],
    need: Sequence[str],
    verdict: Judged,
    answers: Sequence[stand_in.Answer],
    *,
    own: Mapping[str, str],
    ruled: Collection[str],
) -> StandInAnswer:
    """The whole answer. `own`: the shop's own classes, `ruled`: the classes its rules speak of, both by key."""
    remarks = []
    for name in dict.fromkeys((*have, *(one.required for one in answers))):
        if fluids.classes.key(name) in own:
            remarks.append(f"{name}: {own[fluids.classes.key(name)]} [{OWN_CLASS}]")
        elif fluids.classes.get(name) is None and fluids.classes.key(name) not in ruled:
            remarks.append(f"{name} is not a class in the tables. Look for its name: kitwright fluid --class WORD")
    return StandInAnswer(
        tuple(have), tuple(need), verdict.value, tuple(map(stand_in_of, answers)), ADVICE, tuple(remarks)
    )


def figures_of(found: by_figures.Figured) -> FluidFigures:
    """A judgement by figures as answers tell it."""
    return FluidFigures(
        subject=found.subject,
        need=found.required or None,
        verdict=found.verdict.value,
        reason=found.reason,
        conditions=found.conditions,
        figures=tuple(
            Figure(one.name, one.words, round(one.value, 4), one.unit, one.least, one.most, one.holds)
            for one in found.measured
        ),
        reaches=found.reaches,
        because=reasons_of(found.because),
        caution=ADVICE,
    )


def class_of(one: classes.FluidClass) -> FluidClass:
    """A class of the tables as answers tell it."""
    return FluidClass(
        code=one.code,
        family=one.family,
        description=one.description,
        limits=one.limits,
        status=one.status,
        aliases=tuple(one.aliases),
        source=_named(one.source),
        standing=one.standing.value,
    )


def own_class_of(code: str, description: str) -> FluidClass:
    """A class of the shop's own as answers tell it."""
    return FluidClass(code, OWN_CLASS, description, "", "active", (), "shop", "shop")


def classes_of(text: str, asked: Which | None, found: Sequence[FluidClass]) -> FluidClasses:
    """What a text picked out as an answer."""
    return FluidClasses(text, None if asked is None else asked.question, tuple(found))
