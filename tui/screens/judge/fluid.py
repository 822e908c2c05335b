"""Fluid: may what the drum claims be used where the machine asks for something else, and do its figures fit?"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, ClassVar, cast

from textual import work
from textual.widget import Widget

import catalog
import models
import tui
from tui import operations, screens
from tui.fields import fluids
from tui.screens.judge.panel import Panel
from tui.screens.judge.ruling import Ask, Line, Ruling, ask, nothing, rule_line
from tui.widgets.judge.marks import Mark
from tui.widgets.judge.step_path import Step, StepPath

if TYPE_CHECKING:
    from tui.answers import fluid as answers
    from tui.answers.reasons import Reason
    from tui.host import Host
    from tui.needing import Needed
    from tui.operations.fluid import Shop
    from tui.screens.area import Area
    from tui.screens.judge.reading import Reader
    from tui.workshop import Workshop


class FluidPanel(Panel):
    """Claims and requirements in; yes, with care or no out, with the path."""

    ASKS: ClassVar[Sequence[Ask]] = (
        ask(fluids.HAVE, heading="The drum", wide=True),
        ask(fluids.NEED, heading="The machine", wide=True),
        ask(fluids.FIGURES, heading="Its figures", wide=True),
    )
    EXAMPLE: ClassVar[Mapping[str, str]] = {"have": "STOU, 10W-30", "need": "UTTO"}
    CAUTION = "This is advice: the machine's manual has the last word."
    HEADING = "Class"
    EMPTY = (
        "Type what the label claims and what the machine asks for, several separated by commas. Or what was measured."
    )

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name for it
        super().__init__(id=id)
        # What the shop says itself; read from its database once the panel stands.
        self._shop: Shop | None = None

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        super().on_mount()
        self.read_own()

    @work(exclusive=True, group="own")
    async def read_own(self) -> None:
        """Read what the shop says itself, and judge by it."""
        found = await cast("Area", self.screen).ask(own_shop, cast("Host", self.app).workshop, quiet=True)
        if found is not None and found != self._shop:
            self._shop = found
            self._judge_again()

    def drawing(self) -> Widget:
        """The path."""
        return StepPath(classes="ruling-picture", plain=self.plain)

    def judge(self, values: Mapping[str, str], unit: str) -> Ruling:
        """Every requirement against the claims."""
        reader, shop = screens.judge.reading.Reader(values, unit), self._shop or operations.fluid.Shop()
        read = _read(reader, shop)
        figured = reader.answer(operations.fluid.FLUID, operations.fluid.figures_fit, read) if read["figures"] else None
        if figured is not None:
            reader.echo("figures", "; ".join(f"{one.words} {one.plain}" for one in figured.figures))
        if figured is not None and not read["have"]:
            ends = (figured.subject, figured.need or "its limits")
            return Ruling(
                *(_mark(figured.verdict), figured.verdict, (figured.reason,), tuple(_figure_lines(figured))),
                *((Step(ends, (_mark(figured.verdict),)),), reader.notes, catalog.fluids.stand_in.LAST_WORD),
            )
        if reader.wrong or not read["have"] or not read["need"]:
            return nothing("Put right what is marked first." if reader.wrong else self.EMPTY, reader.notes)
        found = reader.answer(
            operations.fluid.FLUID, lambda values, bench: operations.fluid.stands_in(values, bench, shop), read
        )
        if found is None:
            return nothing(self.EMPTY, reader.notes)
        verdict, lines = found.verdict, [line for one in found.answers for line in _lines(one)]
        told = [(one.verdict, one.danger) for one in found.answers]
        if figured is not None:
            verdict = max((found.verdict, figured.verdict), key=list(_MARKS).index)
            lines += _figure_lines(figured)
            told.append((figured.verdict, _by_figures(figured)))
        # The headline tells only what makes it the verdict that it is; the list has the rest.
        says = [sentence for one, sentence in told if one == verdict]
        lines.sort(key=lambda line: -list(Mark).index(line.mark))
        for word, key in (("you have", "have"), ("asked for", "need")):
            lines += _known(word, read[key], shop)
        pictures = tuple(map(_step, found.answers))
        return Ruling(
            _mark(verdict),
            verdict,
            tuple(says),
            tuple(lines),
            pictures,
            reader.notes,
            catalog.fluids.stand_in.LAST_WORD,
        )

    def required(self, values: Mapping[str, str], unit: str) -> Needed | str:
        """What the machine asks for, as a fluid; the shop's drum plays no part."""
        reader = screens.judge.reading.Reader(values, unit)
        need = _read(reader, self._shop or operations.fluid.Shop())["need"]
        if not need:
            error = reader.notes["need"].error if "need" in reader.notes else ""
            return error or "Type what the machine asks for first."
        tables = {part: catalog.fluids.classes.get(part) for part in need}
        grades = [part for part, found in tables.items() if found and found.family.startswith("viscosity grade")]
        asked = next((part for part in need if part not in grades), need[0])
        grade = next((part for part in grades if part != asked), "")
        further = tuple(part for part in dict.fromkeys(need) if part not in (asked, grade))
        found = tables[asked]
        code = found.code if found is not None and asked not in grades else asked
        return tui.needing.Needed("fluid", spec_class=code, spec_grade=grade, asks=further, why="asked for in Judge")


def own_shop(workshop: Workshop) -> Shop:
    """What the shop says itself; called in a thread."""
    return operations.fluid.shop_of(workshop.read(models.fluid_rules.book))


def _read(reader: Reader, shop: Shop) -> dict[str, Any]:
    """The fields; each class is said back as the catalog knows it, an unknown one with the nearest known.

    Of a field with a word that could mean several classes nothing is taken: it asks back.
    """
    read = reader.read(operations.fluid.FLUID)
    for key in ("have", "need"):
        question = next(filter(None, (operations.fluid.asked_back(part, shop) for part in read[key])), "")
        if question:
            reader.refuse(key, question)
            read[key] = ()
        elif read[key]:
            reader.echo(key, "; ".join(_said_back(part, shop) for part in read[key]))
    return read


def _said_back(part: str, shop: Shop) -> str:
    known = catalog.fluids.classes.get(part)
    if known is not None:
        return known.code
    if catalog.fluids.classes.key(part) in shop.classes:
        return f"{shop.classes[catalog.fluids.classes.key(part)][0]}: this shop's own"
    near = ", ".join(one.code for one in catalog.fluids.classes.find(part)[:3])
    return f"{part}: not in the tables" + (f"; near: {near}" if near else "; taken as the shop's own")


def _by_figures(figured: answers.FluidFigures) -> str:
    """What the figures say, told apart from what the label claims."""
    return re.sub("^It is not ", "By what was measured it is not ", figured.reason)


_FIGURE_MARKS = {True: (Mark.GOOD, "yes"), False: (Mark.BAD, "no"), None: (Mark.NOTE, "measured")}


def _figure_lines(found: answers.FluidFigures) -> list[Line]:
    """Each figure, the worst first, the conditions, the limits with their source."""
    name = found.need or found.subject
    lines = [Line(*_FIGURE_MARKS[one.holds], one.words, f"{one.told}.") for one in found.figures]
    lines.sort(key=lambda line: -list(Mark).index(line.mark))
    lines += [Line(Mark.CARE, "condition", name, f"{one}.") for one in found.conditions]
    return lines + _whys(found.because, name)


def _whys(because: Sequence[Reason], name: str) -> list[Line]:
    return [rule_line(Mark.NOTE, "why", name, one) for one in because]


def _known(word: str, parts: Sequence[str], shop: Shop) -> list[Line]:
    """What the tables, or the shop itself, say of each class."""
    found = []
    for part in parts:
        if (listed := catalog.fluids.classes.get(part)) is not None:
            one = tui.answers.fluid.class_of(listed)
        elif catalog.fluids.classes.key(part) in shop.classes:
            one = tui.answers.fluid.own_class_of(*shop.classes[catalog.fluids.classes.key(part)])
        else:
            continue
        limits = f" ({one.limits})" if one.limits else ""
        status = f" Status: {one.retired}." if one.retired else ""
        family = "" if one.standing == "shop" else f"{one.family}: "
        found.append(Line(Mark.NOTE, word, one.code, f"{family}{one.description}{limits}.{status}", one.sourced))
    return found


_MARKS = {"yes": Mark.GOOD, "with care": Mark.CARE, "no": Mark.BAD}
"""The verdicts, best first."""


def _mark(verdict: str) -> Mark:
    return _MARKS[verdict]


def _lines(answer: answers.StandIn) -> list[Line]:
    name = answer.need
    found = [Line(_mark(answer.verdict), answer.verdict, f"{name} asked", answer.bare, answer.sourced)]
    for step in answer.steps:
        mark, word = _step_mark(step)
        sentence = f"{step.use} where {step.where} is asked: {step.condition or 'no condition'}."
        found.append(Line(mark, word, f"{step.use} for {step.where}", sentence, step.sourced))
    found += [Line(Mark.CARE, "condition", name, one, answer.sourced) for one in answer.further]
    if answer.source != "same class":
        found += _whys(answer.whys, name)
    others = [one for one in answer.per_claim if one.have != answer.have]
    return found + [Line(Mark.NOTE, one.verdict, f"by {one.have}", one.reason, one.sourced) for one in others]


def _step_mark(step: answers.Step) -> tuple[Mark, str]:
    if step.kind in ("lacks", "never"):
        return Mark.BAD, "never"
    if step.kind == "downgrade":
        return Mark.BAD, "no"
    if step.kind in ("caution", "partial"):
        return Mark.CARE, "with care"
    return Mark.GOOD, "yes"


def _step(answer: answers.StandIn) -> Step:
    if not answer.steps:
        return Step((answer.have, answer.need), (_mark(answer.verdict),))
    classes = (answer.steps[0].use, *(step.where for step in answer.steps))
    return Step(classes, tuple(_step_mark(step)[0] for step in answer.steps))
