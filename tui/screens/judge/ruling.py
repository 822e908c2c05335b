"""What a judgement says to the screen: an answer in words, lines worst first, and something to draw."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from tui.answers.reasons import Reason
from tui.fields.field import Field
from tui.fields.units import Units
from tui.widgets.judge.marks import Mark


class Ask(NamedTuple):
    """One field. `words`: the words to pick from, none for a typed one. `when`: the first pick's words it belongs to.

    `heading` starts a group. `wide`: the input takes the whole line. `quantity`: what it is of, so that the unit of a
    bare number stands in the empty field (`tui.fields.units`).
    """

    key: str
    label: str
    hint: str = ""
    words: tuple[str, ...] = ()
    when: tuple[str, ...] = ()
    heading: str = ""
    wide: bool = False
    quantity: str = ""

    def told(self, units: Units) -> str:
        """What the empty field says: the unit of a bare number, then the hint."""
        return ", ".join(part for part in (self.quantity and units.bare(self.quantity), self.hint) if part)


def ask(
    field: Field[Any],
    *,
    words: tuple[str, ...] = (),
    when: tuple[str, ...] = (),
    heading: str = "",
    wide: bool = False,
    hint: str = "",
) -> Ask:
    """A field of an operation as a panel asks for it: by its name and label, with what it is of in the empty field."""
    kind = getattr(field, "KIND", "")
    quantity = kind if kind and not field.LENGTHS else ""
    return Ask(field.name, field.label, hint or getattr(field, "what", ""), words, when, heading, wide, quantity)


class Note(NamedTuple):
    """What is said at a field: what was understood, or one sentence about what is wrong."""

    echo: str = ""
    error: str = ""


class Line(NamedTuple):
    """One criterion: how it comes out (mark and word), its name, why, and where the rule or figure is from."""

    mark: Mark
    word: str
    name: str
    sentence: str
    source: str = ""


def rule_line(mark: Mark, word: str, name: str, rule: Reason) -> Line:
    """A rule or a row of a table as a line, with its source."""
    return Line(mark, word, name, rule.rule, rule.sourced)


def rule_lines(rules: Iterable[Reason]) -> list[Line]:
    """The deciding rules, for the end of the list and the sheet of reasons."""
    return [rule_line(Mark.NOTE, "why", "rule", one) for one in rules]


class Ruling(NamedTuple):
    """A whole judgement. `word` is the answer; `says` are sentences under it; `picture` is data for the drawing."""

    mark: Mark
    word: str
    says: tuple[str, ...] = ()
    lines: tuple[Line, ...] = ()
    picture: object = None
    notes: Mapping[str, Note] = {}
    caution: str = ""

    @property
    def to_measure(self) -> tuple[Line, ...]:
        """What must be measured before the answer is trusted."""
        return tuple(line for line in self.lines if line.mark is Mark.MEASURE)


def unreadable(ruling: Ruling, labels: Mapping[str, str]) -> Ruling:
    """A permission without its verdict where a field could not be read, which might have turned it; a no stands."""
    wrong = [f"{labels.get(key, key)}: {note.error}" for key, note in ruling.notes.items() if note.error]
    if not wrong or ruling.mark not in (Mark.GOOD, Mark.CARE):
        return ruling
    return ruling._replace(mark=Mark.NOTE, word="", says=("No verdict while a field cannot be read:", *wrong))


def nothing(text: str, notes: Mapping[str, Note] | None = None) -> Ruling:
    """Nothing to judge yet: say what to type."""
    return Ruling(Mark.NOTE, "", (text,), notes=notes or {})
