"""Rubber: which family may meet this fluid, between these temperatures, under this pressure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.widget import Widget

from catalog import orings
from tui import fields, operations, screens
from tui.answers.rubber import COMPOUNDS
from tui.fields import met, rubber
from tui.screens.judge.panel import Panel
from tui.screens.judge.ruling import Ask, Line, Ruling, ask, nothing
from tui.widgets.judge.marks import Mark
from tui.widgets.judge.temperature_bars import TemperatureBar, TemperatureBars

if TYPE_CHECKING:
    from catalog.orings.fluid_words import Question
    from tui.answers.rubber import Point, RubberAnswer, RubberService, RubberVerdict
    from tui.screens.judge.reading import Reader

_MARKS = {
    "suitable": Mark.GOOD,
    "with care": Mark.CARE,
    "doubtful": Mark.CARE,
    # Nothing that could be measured here would tell; the word says that it is not known.
    "not known": Mark.BAD,
    "unsuitable": Mark.BAD,
}


class RubberPanel(Panel):
    """Fluid and temperatures in; the families that may be used, best first, and those that never may, out."""

    ASKS: ClassVar[Sequence[Ask]] = (
        ask(rubber.FLUID, heading="The service", wide=True),
        ask(met.COLDEST),
        ask(met.HOTTEST),
        ask(rubber.FAMILY, heading="The ring"),
        ask(rubber.HARDNESS),
        ask(rubber.MOVING, words=rubber.MOTIONS),
        ask(rubber.PRESSURE, heading="Under pressure"),
        ask(rubber.GAP),
    )
    EXAMPLE: ClassVar[Mapping[str, str]] = {"fluid": "DOT 4", "coldest": "-30 °C", "hottest": "80 °C"}
    CAUTION = COMPOUNDS
    HEADING = "Rubber"
    EMPTY = "Type the fluid as on the can, and the coldest and hottest it gets."

    def drawing(self) -> Widget:
        """The families' service temperatures against what is asked."""
        return TemperatureBars(classes="ruling-picture", plain=self.plain)

    def judge(self, values: Mapping[str, str], unit: str) -> Ruling:
        """Every family, or the one that was typed."""
        reader = screens.judge.reading.Reader(values, unit)
        if (question := _several(reader)) is not None:
            return _which(reader, question)
        read = reader.read(operations.rubber.RUBBER)
        if read["fluid"] is None:
            return nothing(self.EMPTY, reader.notes)
        found = None if reader.wrong else reader.answer(operations.rubber.RUBBER, operations.rubber.rubbers_for, read)
        if found is None:
            return nothing("Put right what is marked first.", reader.notes)
        return _ruling(found, reader)


def _several(reader: Reader) -> Question | None:
    """The question where what is typed could be several fluids."""
    if not reader.text("fluid"):
        return None
    try:
        rubber.FLUID.read(reader.text("fluid"), fields.field.Asked(reader.units))
    except met.SeveralFluidsError as problem:
        return problem.question
    except fields.field.FieldError:
        pass
    return None


def _which(reader: Reader, question: Question) -> Ruling:
    reader.refuse("fluid", f"That could be several fluids. {question.ask}")
    lines = tuple(Line(Mark.NOTE, "which?", row.code, f"{row.name}. {row.note}".strip()) for row in question.choices)
    return Ruling(Mark.MEASURE, "which fluid?", (question.ask,), lines, None, reader.notes)


def _ruling(found: RubberAnswer, reader: Reader) -> Ruling:
    assert found.fluid is not None
    assert found.service is not None
    verdicts = found.judged
    ice = "" if found.freezing is None else found.freezing.rule
    says = (f"{found.met}.", ice, found.fluid.note or "", found.service.at_room_alone)
    lines = tuple(map(_reason, verdicts[0].reasons)) if len(verdicts) == 1 else tuple(map(_line, verdicts))
    bars = tuple(_bar(one, found.service) for one in verdicts)
    return Ruling(*_answer(found), tuple(filter(None, says)), lines, bars, reader.notes)


def _answer(found: RubberAnswer) -> tuple[Mark, str]:
    good, care, doubtful = (
        ", ".join(one.family for one in found.allowed or () if one.suitability == how)
        for how in ("suitable", "with care", "doubtful")
    )
    if good:
        return Mark.GOOD, good
    if care or doubtful:
        told = (("with care", care), ("doubtful", doubtful))
        return Mark.CARE, "; ".join(f"{how}: {which}" for how, which in told if which)
    if found.not_known:
        return Mark.MEASURE, "not known, ask the ring's maker"
    return Mark.BAD, "never use it here" if len(found.never or ()) == 1 else "no rubber may be used"


def _line(verdict: RubberVerdict) -> Line:
    """One family: the rules that decided, and where they are from."""
    sentence = " ".join(one.rule for one in verdict.because)
    source = "; ".join(dict.fromkeys(one.sourced for one in verdict.because))
    return Line(_MARKS[verdict.suitability], verdict.suitability, verdict.family, sentence, source)


def _reason(point: Point) -> Line:
    """One reason of a family that was asked about alone."""
    return Line(_MARKS[point.suitability], point.suitability, point.name, point.text, point.sourced)


def _bar(verdict: RubberVerdict, service: RubberService) -> TemperatureBar:
    row = orings.rubber_tables.families()[orings.rubber_tables.Family(verdict.family)]
    return TemperatureBar(
        *(verdict.family, row.t_min_c, row.t_max_c, row.t_max_short_c, service.coldest_c, service.hottest_c),
        verdict.suitability in ("suitable", "with care", "doubtful"),
    )
