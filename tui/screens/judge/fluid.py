"""Fluid: may what the drum claims be used where the machine asks for something else?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.widget import Widget

from tui.screens.judge.panel import Panel
from tui.screens.judge.ruling import Ask, Line, Ruling, nothing
from tui.widgets.judge.marks import Mark
from tui.widgets.judge.step_path import Step, StepPath

if TYPE_CHECKING:
    from catalog.fluids.rules import Rule
    from catalog.fluids.stand_in import Answer
    from tui.screens.judge.reading import Reader

MOST_CLASSES = 12


class FluidPanel(Panel):
    """Claims and requirements in; yes, with care or no out, with the path."""

    ASKS: ClassVar[Sequence[Ask]] = (
        Ask("have", "You have", "what the label claims: UTTO, 10W-30", heading="The drum", wide=True),
        Ask("want", "Asked for", "what the manual asks: API GL-4, 80W", heading="The machine", wide=True),
    )
    EXAMPLE: ClassVar[Mapping[str, str]] = {"have": "STOU, 10W-30", "want": "UTTO"}
    CAUTION = "This is advice: the machine's manual has the last word."
    HEADING = "Class"
    SOURCES = "fluids"
    EMPTY = "Type what the label claims and what the machine asks for. Several parted by commas."

    def drawing(self) -> Widget:
        """The path."""
        return StepPath(classes="ruling-picture", plain=self.plain)

    def judge(self, values: Mapping[str, str], unit: str) -> Ruling:
        """Every requirement against the claims."""
        from catalog.fluids.stand_in import LAST_WORD, meets
        from tui.screens.judge.reading import Reader

        reader = Reader(values, unit)
        have, want = _classes(reader, "have"), _classes(reader, "want")
        if not have or not want:
            return nothing(self.EMPTY, reader.notes)
        verdict, answers = meets(have, want)
        lines = [line for answer in answers for line in _lines(answer)]
        lines.sort(key=lambda line: -list(Mark).index(line.mark))
        lines += [line for word, parts in (("you have", have), ("asked for", want)) for line in _known(word, parts)]
        says = [_bare(answer) for answer in answers]
        return Ruling(
            _mark(verdict), verdict, tuple(says), tuple(lines), tuple(_step(answer) for answer in answers),
            reader.notes, LAST_WORD,
        )  # fmt: skip


def _classes(reader: Reader, key: str) -> list[str]:
    """The classes typed, each said back as the catalog knows it; unknown ones are named with the nearest known."""
    from catalog.fluids.classes import find, get

    parts = [part.strip() for part in reader.text(key).replace(";", ",").split(",") if part.strip()]
    if len(parts) > MOST_CLASSES:
        reader.refuse(key, f"That is {len(parts)} classes; type {MOST_CLASSES} at most.")
        return []
    said = []
    for part in parts:
        known = get(part)
        if known is not None:
            said.append(known.code)
            continue
        near = ", ".join(one.code for one in find(part)[:3])
        said.append(f"{part}: not in the tables" + (f"; near: {near}" if near else "; taken as the shop's own"))
    if said:
        reader.echo(key, "; ".join(said))
    return parts


def _bare(answer: Answer) -> str:
    """The reason without the verdict that the answer already begins with."""
    reason = answer.reason.removeprefix(f"{str(answer.verdict).capitalize()}: ")
    return reason[:1].upper() + reason[1:]


def _known(word: str, parts: Sequence[str]) -> list[Line]:
    """What the tables say of each class."""
    from catalog.fluids.classes import get

    found = []
    for part in parts:
        fluid = get(part)
        if fluid is not None:
            limits = f" ({fluid.limits})" if fluid.limits else ""
            status = "" if fluid.status == "active" else f" Status: {fluid.status}."
            sentence = f"{fluid.family}: {fluid.description}{limits}.{status}"
            found.append(Line(Mark.NOTE, word, fluid.code, sentence, _source(fluid.source, fluid.standing.words)))
    return found


def _mark(verdict: str) -> Mark:
    return {"yes": Mark.GOOD, "with care": Mark.CARE}.get(str(verdict), Mark.BAD)


def _lines(answer: Answer) -> list[Line]:
    source = _source(answer.source, answer.standing.words if answer.standing else "")
    name = answer.required
    found = [Line(_mark(answer.verdict), str(answer.verdict), f"{name} asked", _bare(answer), source)]
    for rule in answer.steps:
        mark, word = _rule_mark(rule)
        sentence = f"{rule.offered} where {rule.required} is asked: {rule.condition or 'no condition'}."
        found.append(
            Line(mark, word, f"{rule.offered} for {rule.required}", sentence, _source(rule.source, rule.standing.words))
        )
    stated = {rule.condition for rule in answer.steps}
    found += [
        Line(Mark.CARE, "condition", name, condition, source)
        for condition in answer.conditions
        if condition not in stated
    ]
    others = [one for one in answer.per_claim if one.offered != answer.offered]
    found += [Line(Mark.NOTE, str(one.verdict), f"by {one.offered}", one.reason, _source(one.source)) for one in others]
    return found


def _source(source: str, standing: str = "") -> str:
    return ", ".join(part for part in (source, standing) if part and part != source.strip(".")) or standing


def _rule_mark(rule: Rule) -> tuple[Mark, str]:
    from catalog.fluids.rules import BLOCKING, RuleKind

    if rule.kind in BLOCKING:
        return Mark.BAD, "never"
    if rule.kind is RuleKind.DOWNGRADE:
        return Mark.BAD, "no"
    if rule.kind in (RuleKind.CAUTION, RuleKind.PARTIAL):
        return Mark.CARE, "with care"
    return Mark.GOOD, "yes"


def _step(answer: Answer) -> Step:
    if not answer.steps:
        return Step((answer.offered, answer.required), (_mark(answer.verdict),))
    classes = (answer.steps[0].offered, *(rule.required for rule in answer.steps))
    return Step(classes, tuple(_rule_mark(rule)[0] for rule in answer.steps))
