"""What this shop says itself of fluids: its own stand-in rules and classes, listed, said, withdrawn, shared."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, ClassVar, Literal

from tui.answers.answer import Answer, said
from tui.answers.fluid import OWN_CLASS, Kind
from tui.answers.written_csv import WrittenCsv
from tui.commands.output import table

if TYPE_CHECKING:
    from models import fluid_rules


@dataclass(frozen=True)
class OwnRule:
    """A rule of the shop's own as it is written, who said it and when."""

    number: int
    need: str
    have: str
    kind: Kind
    condition: str
    source: str | None
    who: str
    at: datetime
    standing: Literal["shop"] = "shop"

    @property
    def says(self) -> str:
        """What it says, in one line."""
        how = f", if {self.condition}" if self.condition else ""
        return f"{self.have} where {self.need} is asked: {self.kind}{how}"

    @property
    def whose(self) -> str:
        """Who said it, when, and where the shop has it from."""
        return f"{self.who}, {self.at:%Y-%m-%d}" + (f", {self.source}" if self.source else "")


@dataclass(frozen=True)
class OwnClass:
    """A class of the shop's own, who said it and when."""

    code: str
    description: str
    who: str
    at: datetime
    standing: Literal["shop"] = "shop"

    @property
    def says(self) -> str:
        """What it is."""
        return f"{self.code}: {self.description}"

    @property
    def whose(self) -> str:
        """Who said it, and when."""
        return f"{self.who}, {self.at:%Y-%m-%d}"


@dataclass(frozen=True)
class OwnRules(Answer):
    """All that the shop says, oldest first."""

    SCHEMA: ClassVar[str] = "kitwright.fluid-rules/2"

    rules: tuple[OwnRule, ...]
    classes: tuple[OwnClass, ...]

    @property
    def found(self) -> bool:
        """Whether it says anything."""
        return bool(self.rules or self.classes)

    def words(self) -> list[str]:
        """A table of the rules, then the classes."""
        if not self.found:
            return ["This shop has no rules of its own. Add one: kitwright fluid rules add --help"]
        rows = [(str(one.number), one.have, one.need, one.kind, one.condition, one.whose) for one in self.rules]
        header = ("no", "you have", "asked for", "ruling", "condition", "who says so")
        return [
            *(table(header, rows) if rows else []),
            *(f"{one.says} [{OWN_CLASS}, {one.whose}]" for one in self.classes),
        ]


@dataclass(frozen=True)
class OwnRuleSaid(Answer):
    """A rule that was said."""

    SCHEMA: ClassVar[str] = "kitwright.fluid-rule/2"

    rule: OwnRule

    def words(self) -> list[str]:
        """Its number and what it says."""
        return [f"Rule {self.rule.number}, this shop's own: {self.rule.says}."]


@dataclass(frozen=True)
class OwnClassNamed(Answer):
    """A class that was named."""

    SCHEMA: ClassVar[str] = "kitwright.fluid-class/2"

    named: OwnClass

    def words(self) -> list[str]:
        """Its code and what it is."""
        return [f"{self.named.code}, {OWN_CLASS}: {self.named.description}"]


@dataclass(frozen=True)
class OwnWithdrawn(Answer):
    """What was withdrawn; it stays on record."""

    SCHEMA: ClassVar[str] = "kitwright.fluid-withdrawn/2"

    withdrawn: str

    def words(self) -> list[str]:
        """What it was."""
        return [f"Withdrawn: {self.withdrawn}."]


@dataclass(frozen=True)
class OwnTakenIn(Answer):
    """What a file brought. `unchanged`: what stood here with the same words."""

    SCHEMA: ClassVar[str] = "kitwright.fluid-taken-in/2"

    rules: int
    classes: int
    unchanged: int

    def words(self) -> list[str]:
        """The counts."""
        told = f"{self.rules} rules, {self.classes} classes; {self.unchanged} were here"
        return [f"Taken in as this shop's own: {told}."]


@dataclass(frozen=True)
class OwnWritten(WrittenCsv):
    """The rules and classes that were written as CSV to a file; to "-", they are the answer themselves."""

    SCHEMA: ClassVar[str] = "kitwright.fluid-written/2"
    OPTION: ClassVar[str] = "-"

    rows: int
    file: str
    text: str = said()

    @property
    def found(self) -> bool:
        """Whether there was one."""
        return bool(self.rows)

    @property
    def written(self) -> tuple[str, str]:
        """The file, and the CSV itself."""
        return self.file, self.text

    def how_many(self) -> str:
        """What was written."""
        return f"{self.rows} rows"


def rule_of(one: fluid_rules.OwnRule) -> OwnRule:
    """A rule of the workshop as answers tell it."""
    rule = one.said
    return OwnRule(
        one.rule_id, rule.required, rule.offered, rule.kind.value, rule.condition, rule.source or None, one.who, one.at
    )


def named_of(one: fluid_rules.OwnClass) -> OwnClass:
    """A class of the workshop as answers tell it."""
    return OwnClass(one.said.code, one.said.description, one.who, one.at)
