"""Torque: what a torque does to a bolt, dry or wet, and what is usual where none is typed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar, Final

from textual.widget import Widget

import catalog
from tui import operations, screens
from tui.fields.bolts import CLAMP, CONDITION, CONDITIONS, FRACTION, MEANT_FOR, STRENGTH, THREAD, TORQUE
from tui.screens.judge.panel import Panel
from tui.screens.judge.ruling import Ask, Line, Note, Ruling, ask, nothing, rule_line, rule_lines
from tui.widgets.judge.load_bars import LoadBar, LoadBars
from tui.widgets.judge.marks import Mark

if TYPE_CHECKING:
    from tui.answers.torque import InCondition, TorqueAnswer

MARKS: Final = {
    "overload": Mark.BAD, "far too loose": Mark.BAD, "too tight": Mark.BAD, "too loose": Mark.CARE,
    "with care": Mark.CARE, "within the load": Mark.GOOD,
}  # fmt: skip


class TorquePanel(Panel):
    """Thread, class, condition and torque in; clamp load against proof load out."""

    ASKS: ClassVar[Sequence[Ask]] = (
        ask(THREAD, heading="The bolt", wide=True),
        ask(STRENGTH),
        ask(CONDITION, words=CONDITIONS),
        ask(TORQUE, heading="The figure"),
        ask(MEANT_FOR, words=CONDITIONS),
        ask(CLAMP),
        ask(FRACTION),
    )
    EXAMPLE: ClassVar[Mapping[str, str]] = {
        "thread": "M16x2", "strength": "8.8", "condition": "oiled", "torque": "100 lbf·ft", "meant_for": "dry",
    }  # fmt: skip
    CAUTION = "The machine's manual has the last word on torque. ? says what this is not for."
    HEADING = "Condition"
    EMPTY = "Type a thread and a class. Then a torque, or leave it empty for the usual one."

    def drawing(self) -> Widget:
        """Bars of clamp load."""
        return LoadBars(classes="ruling-picture", plain=self.plain)

    def judge(self, values: Mapping[str, str], unit: str) -> Ruling:
        """Clamp load in this condition, and what the figure would do in the others."""
        reader = screens.judge.reading.Reader(values, unit)
        read = reader.read(operations.torque.TIGHTENED)
        if read["thread"] is None or read["strength"] is None or reader.wrong:
            return nothing(self.EMPTY, reader.notes)
        if read["torque"] is None:
            # Only a printed figure is meant for a condition; any other is reckoned for this very one.
            read["meant_for"] = None
        answer = reader.answer(operations.torque.TIGHTENED, operations.torque.tightened, read)
        if answer is None:
            return nothing(self.EMPTY, reader.notes)
        return _ruling(answer, reader.notes)


def _ruling(answer: TorqueAnswer, notes: Mapping[str, Note]) -> Ruling:
    mark, word = MARKS[answer.verdict], _word(answer)
    other = answer.misfigured
    here: list[Line] = []
    meant: list[Line] = []
    rest: list[Line] = []
    for one in answer.conditions:
        line = _line(one, answer)
        if one.condition.key == answer.condition.key:
            # What was meant for another condition is told whole where it is put to use.
            here.append(line if other is None else line._replace(mark=mark, word=one.short, sentence=other.text))
        else:
            (meant if one.as_meant else rest).append(line)
    order = list(Mark)
    rest.sort(key=lambda line: order.index(line.mark))
    says = [f"{answer.headline}.", answer.usual, "" if other is None else other.short(answer.unit), *answer.warnings]
    rules = [one for one in answer.because if one != answer.proof]
    return Ruling(
        mark,
        word,
        tuple(text for text in says if text),
        (*here, *meant, *rest, *_bolt(answer), *rule_lines(rules)),
        tuple(_bar(one, answer) for one in answer.conditions),
        notes,
        answer.caution,
    )


def _word(answer: TorqueAnswer) -> str:
    """The verdict, with how much it is off where it is meant for another condition."""
    other = answer.misfigured
    if answer.verdict == "within the load":
        return f"within the {answer.strength.load}"
    if other is not None and answer.verdict in ("too tight", "too loose"):
        return f"{abs(other.percent):.0f} % {answer.verdict}"
    return answer.verdict


def _line(one: InCondition, answer: TorqueAnswer) -> Line:
    """The same torque in one condition. A tick belongs to the one that the figure is meant for, and to no other."""
    mark = Mark.NOTE
    if one.overloaded or (one.as_meant and one.too_loose):
        mark = Mark.BAD
    elif one.as_meant:
        mark = Mark.CARE if one.warnings else Mark.GOOD
    elif one.may_overload:
        mark = Mark.CARE
    return rule_line(mark, one.short, one.condition.key, one.rule(answer.strength.load, answer.unit))


def _bar(one: InCondition, answer: TorqueAnswer) -> LoadBar:
    part = one.share_of_proof
    return LoadBar(one.condition.key, part.least, part.typical, part.most, one.condition.key == answer.condition.key)


def _bolt(answer: TorqueAnswer) -> list[Line]:
    """What the bolt bears, and the wrench it takes."""
    strength, first = answer.strength, "lbf" if answer.unit == "lbf·ft" else "kN"
    loads = (
        (strength.load, answer.proof_load_n, answer.proof),
        ("breaking load", answer.ultimate_load_n, strength.rule),
    )
    lines = [
        rule_line(Mark.NOTE, _first(catalog.quantity.display.format_force(newtons, first=first)), name, rule)
        for name, newtons, rule in loads
    ]
    lines.append(
        rule_line(Mark.NOTE, _first(catalog.quantity.display.format_stress(answer.stress_mpa)), "stress", strength.rule)
    )
    if strength.note:
        lines.append(Line(Mark.NOTE, strength.name, "about the class", f"{strength.note}.", strength.rule.sourced))
    return [*lines, *(rule_line(Mark.NOTE, one.wrench, "wrench", one.rule) for one in answer.hexes)]


def _first(both: str) -> str:
    """The first of the two units of a figure."""
    return both.partition(" (")[0]
