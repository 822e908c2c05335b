"""Rubber: which family may meet this fluid, between these temperatures, under this pressure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.widget import Widget

from tui.screens.judge.panel import Panel
from tui.screens.judge.ruling import Ask, Line, Ruling, nothing
from tui.widgets.judge.marks import Mark
from tui.widgets.judge.temperature_bars import TemperatureBar, TemperatureBars

if TYPE_CHECKING:
    from catalog.orings.elastomer import FamilyChoice, RubberReason, RubberVerdict
    from catalog.orings.rubber_tables import FluidRow
    from tui.screens.judge.reading import Reader

ROOM_C = 20.0
SOFTEST, HARDEST, USUAL_HARDNESS = 50, 95, 70
_MARKS = {
    "suitable": Mark.GOOD,
    "with care": Mark.CARE,
    # Nothing that could be measured here would tell; the word says that it is not known.
    "not known": Mark.BAD,
    "unsuitable": Mark.BAD,
}


class RubberPanel(Panel):
    """Fluid and temperatures in; the families that may be used, best first, and those that never may, out."""

    ASKS: ClassVar[Sequence[Ask]] = (
        Ask("fluid", "Fluid", "DOT 4, UTTO, diesel", heading="The service", wide=True),
        Ask("coldest", "Coldest", "empty: 20 °C", quantity="temperature"),
        Ask("hottest", "Hottest", "empty: 20 °C", quantity="temperature"),
        Ask("rubber", "Rubber", "empty: all", heading="The ring"),
        Ask("hardness", "Hardness", "empty: 70 Shore A"),
        Ask("motion", "Motion", words=("stands still", "slides")),
        Ask("pressure", "Pressure", "of the oil", heading="Under pressure", quantity="pressure"),
        Ask("gap", "Gap on Ø", "diametral"),
    )
    EXAMPLE: ClassVar[Mapping[str, str]] = {"fluid": "DOT 4", "coldest": "-30 °C", "hottest": "80 °C"}
    CAUTION = "Compounds of one family differ: the ring's data sheet decides. Test if in doubt."
    HEADING = "Rubber"
    EMPTY = "Type the fluid as the can says it, and the coldest and hottest it gets."

    def drawing(self) -> Widget:
        """The families' service temperatures against what is asked."""
        return TemperatureBars(classes="ruling-picture", plain=self.plain)

    def judge(self, values: Mapping[str, str], unit: str) -> Ruling:
        """Every family, or the one that was typed."""
        from tui.screens.judge.reading import Reader

        reader = Reader(values, unit)
        found = _fluid(reader)
        if found is None:
            return nothing(self.EMPTY, reader.notes)
        if isinstance(found, Ruling):
            return found
        cold, hot = (_temperature(reader, key) for key in ("coldest", "hottest"))
        choice = _choice(reader, found, ROOM_C if cold is None else cold, ROOM_C if hot is None else hot)
        if choice is None or reader.wrong:
            return nothing("Put right what is marked first.", reader.notes)
        verdicts = (*choice.allowed, *choice.not_known, *choice.never)
        lines = tuple(_line(one) for one in verdicts)
        lines = tuple(sorted(lines, key=lambda one: -list(Mark).index(one.mark))) if len(verdicts) == 1 else lines
        mark, word = _answer(choice)
        says = [f"In {found.name}."]
        if found.note:
            says.append(found.note)
        if cold is None and hot is None:
            says.append("No temperature was typed: judged at 20 °C alone.")
        bars = tuple(_bar(one, cold, hot) for one in verdicts)
        rows = _reasons(verdicts[0]) if len(verdicts) == 1 else lines
        return Ruling(mark, word, tuple(says), rows, bars, reader.notes)


def _fluid(reader: Reader) -> FluidRow | Ruling | None:
    """The fluid that is typed; a ruling that asks which where it could be several; None where there is none."""
    from catalog.orings.fluid_words import UnknownFluidError, WhichFluidError, fluid_called

    if not reader.text("fluid"):
        return None
    try:
        found = fluid_called(reader.text("fluid"))
    except WhichFluidError as problem:
        question = problem.question
        reader.refuse("fluid", f"That could be several fluids. {question.ask}")
        lines = tuple(
            Line(Mark.NOTE, "which?", row.code, f"{row.name}. {row.note}".strip()) for row in question.choices
        )
        return Ruling(Mark.MEASURE, "which fluid?", (question.ask,), lines, None, reader.notes)
    except UnknownFluidError:
        reader.refuse("fluid", "That fluid is not in the tables; type a class or name from its can, such as DOT 4.")
        return None
    reader.echo("fluid", found.name)
    return found


def _temperature(reader: Reader, key: str) -> float | None:
    from catalog.quantity import Kind

    value = reader.quantity(key, Kind.TEMPERATURE, "°C", signed=True)
    return None if value is None else float(value)


def _choice(reader: Reader, fluid: FluidRow, cold: float, hot: float) -> FamilyChoice | None:
    from catalog.orings.elastomer import choice_of, families_for, rubber_verdict
    from catalog.quantity import Kind

    pressure = reader.quantity("pressure", Kind.PRESSURE, "bar")
    gap = reader.length("gap", zero=True)
    if gap is not None and pressure is None:
        reader.refuse("gap", "A gap matters under pressure; type the pressure too.")
    hardness = reader.number("hardness", "a Shore A hardness", "70")
    if hardness is not None and not SOFTEST <= hardness <= HARDEST:
        reader.refuse("hardness", f"O-rings have {SOFTEST} to {HARDEST} Shore A; type 70 or 90.")
    if reader.wrong:
        return None
    bar, shore, slides = (
        None if pressure is None else float(pressure),
        USUAL_HARDNESS if hardness is None else round(hardness),
        reader.text("motion") == "slides",
    )
    try:
        if not reader.text("rubber"):
            return families_for(fluid.code, cold, hot, bar, gap, shore_a=shore, moving=slides)
        which = _family(reader)
        if which is None:
            return None
        one = rubber_verdict(which, fluid.code, cold, hot, pressure_bar=bar, gap_mm=gap, shore_a=shore, moving=slides)
        return choice_of(fluid, [one])
    except ValueError as problem:
        reader.refuse("hottest", problem)
        return None


def _family(reader: Reader) -> str | None:
    from catalog.orings.rubber_tables import families, family

    try:
        which = family(reader.text("rubber"))
    except ValueError as problem:
        reader.refuse("rubber", problem)
        return None
    reader.echo("rubber", families()[which].name)
    return which.value


def _answer(choice: FamilyChoice) -> tuple[Mark, str]:
    good = [str(one.family) for one in choice.allowed if one.suitability == "suitable"]
    if good:
        return Mark.GOOD, ", ".join(good)
    if choice.allowed:
        return Mark.CARE, f"with care: {', '.join(one.family for one in choice.allowed)}"
    if choice.not_known:
        return Mark.MEASURE, "not known, ask the ring's maker"
    return Mark.BAD, "never use it here" if len(choice.never) == 1 else "no rubber may be used"


def _line(verdict: RubberVerdict) -> Line:
    """One family: the rules that decided, and where they are from."""
    because = verdict.because
    sentence = " ".join(one.rule for one in because)
    source = "; ".join(dict.fromkeys(_told(one.source, one.standing.words) for one in because))
    return Line(_MARKS[verdict.suitability], str(verdict.suitability), str(verdict.family), sentence, source)


def _reasons(verdict: RubberVerdict) -> tuple[Line, ...]:
    """One family asked about alone: every reason, worst first."""
    return tuple(_reason(one) for one in verdict.reasons)


def _reason(reason: RubberReason) -> Line:
    name = reason.about.replace("_", " ")
    source = _told(reason.source, reason.standing.words)
    return Line(_MARKS[reason.suitability], str(reason.suitability), name, reason.text, source)


def _told(source: str, standing: str) -> str:
    return source if "memory" in source else f"{source}, {standing}"


def _bar(verdict: RubberVerdict, cold: float | None, hot: float | None) -> TemperatureBar:
    from catalog.orings.rubber_tables import families

    row = families()[verdict.family]
    asked = (ROOM_C if cold is None else cold, ROOM_C if hot is None else hot)
    return TemperatureBar(
        str(verdict.family), row.t_min_c, row.t_max_c, row.t_max_short_c, *asked, verdict.suitability.offered
    )
