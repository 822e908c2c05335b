"""Viscosity: the curve through two points, the index, and the temperatures a pump tolerates it at."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, ClassVar, NamedTuple

from textual.widget import Widget

import catalog
from tui import answers, fields, operations, screens
from tui.fields import fluids
from tui.fields.field import FieldError
from tui.screens.judge.panel import Panel
from tui.screens.judge.ruling import Ask, Line, Ruling, ask, nothing
from tui.widgets.judge.marks import Mark
from tui.widgets.judge.viscosity_plot import Dot, Plot, ViscosityPlot

if TYPE_CHECKING:
    from catalog.fluids.viscosity import ViscosityLine
    from tui.answers.viscosity import ViscosityAnswer
    from tui.screens.judge.reading import Reader

COLD_C, HOT_C = 40.0, 100.0
PLOT_FROM_C, PLOT_TO_C = -40.0, 120.0


class Oil(NamedTuple):
    """The oil as typed: its line, the viscosities that were measured by °C, and whether it is a blend."""

    line: ViscosityLine
    known: Mapping[float, float]
    blend: bool = False


class ViscosityPanel(Panel):
    """Two viscosities, or one and the index; the pump's limits; the cold start."""

    ASKS: ClassVar[Sequence[Ask]] = (
        ask(fluids.COLD, heading="The oil, from its data sheet"),
        ask(fluids.HOT),
        ask(fluids.INDEX),
        ask(fluids.COLD_T, heading="Measured elsewhere?"),
        ask(fluids.HOT_T),
        ask(fluids.LEAST, heading="Pump tolerates"),
        ask(fluids.MOST),
        ask(fluids.START),
        ask(fluids.WORK),
        ask(fluids.MIX_COLD, heading="Mixed with (viscosity only)"),
        ask(fluids.MIX_HOT),
        ask(fluids.SHARE),
    )
    EXAMPLE: ClassVar[Mapping[str, str]] = {
        "cold": "46 cSt", "hot": "6.8 cSt", "least": "10 cSt", "most": "1000 cSt", "start": "-10 °C", "work": "70 °C",
    }  # fmt: skip
    CAUTION = "The pump maker's limits and the machine's manual have the last word."
    EMPTY = "Type the viscosity at 40 °C, and at 100 °C or the viscosity index."

    def drawing(self) -> Widget:
        """The plot."""
        return ViscosityPlot(classes="ruling-picture", plain=self.plain)

    def judge(self, values: Mapping[str, str], unit: str) -> Ruling:
        """The window, the cold start, the grades."""
        reader = screens.judge.reading.Reader(values, unit)
        read = reader.read_fields(fluids.SHEET)
        oil = _oil(reader, read)
        if oil is None:
            return nothing(self.EMPTY, reader.notes)
        oil = _mixed(reader, read, oil)
        line, (start, work) = oil.line, (_celsius(read[one]) for one in ("start", "work"))
        least, most = (None if read[one] is None else float(read[one].to("mm²/s")) for one in ("least", "most"))
        told = _told(reader, oil, least, most)
        if told is None:
            return nothing(self.EMPTY, reader.notes)
        lines = [
            *_limit(line, start, most, "cold start", thick=True),
            *_limit(line, work, least, "running hot", thick=False),
        ]
        lines.sort(key=lambda one: -list(Mark).index(one.mark))
        lines += _figures(told)
        allowed = told.window_c
        says = [f"{allowed.words}.", told.estimate] if allowed is not None else []
        if _saybolt_elsewhere(values):
            says.append("Data sheets give SUS at 100 °F and 210 °F: type those under Measured elsewhere.")
        says = list(filter(None, (*says, told.note)))
        mark, word = _verdict(lines, allowed=allowed is not None)
        dots = catalog.fluids.viscosity.curve(line, PLOT_FROM_C, PLOT_TO_C, count=97, min_cst=least, max_cst=most)
        plot = Plot(
            [Dot(point.temp_c, point.cst, point.allowed) for point in dots],
            [Dot(temp, line.at(temp), True) for temp in (line.cold_c, line.hot_c)],
            least, most, allowed.coldest if allowed else None, allowed.hottest if allowed else None, start,
        )  # fmt: skip
        if not says:
            says.append("Type the pump's min and max viscosity to see the window.")
        return Ruling(mark, word, tuple(says), tuple(lines), plot, reader.notes)


def _viscosity(reader: Reader, read: Mapping[str, Any], key: str, celsius: float) -> float | None:
    """A viscosity in mm²/s. Saybolt seconds are those at `celsius`, the temperature of the field."""
    typed = read[key]
    if typed is None:
        return None
    try:
        found: float = typed.viscosity_at(celsius)
    except ValueError as problem:
        reader.refuse(key, problem)
        return None
    here = f"{float(typed.value):g} {typed.unit}"
    if typed.unit == "SUS":
        reader.echo(key, f"{here} = {catalog.quantity.typed.significant(found)} mm²/s at {celsius:g} °C")
    elif found >= catalog.quantity.saybolt.LEAST_CST:
        sus = catalog.quantity.saybolt.sus(found, celsius * 1.8 + 32)
        reader.echo(key, f"{here} = {catalog.quantity.typed.significant(sus)} SUS at {celsius:g} °C")
    return found


def _saybolt_elsewhere(values: Mapping[str, str]) -> bool:
    """Whether Saybolt seconds stand in a field of 40 or 100 °C that no other temperature was typed for."""
    return any(
        any(name in values.get(key, "").lower() for name in ("sus", "ssu")) and not values.get(f"{key}_t", "").strip()
        for key in ("cold", "hot")
    )


def _celsius(typed: Any, otherwise: float | None = None) -> float | None:
    return otherwise if typed is None else float(typed.to("°C"))


def _oil(reader: Reader, read: Mapping[str, Any]) -> Oil | None:
    """The oil through its two points, or its one point and its index."""
    cold_t, hot_t = _celsius(read["cold_t"], COLD_C) or 0.0, _celsius(read["hot_t"], HOT_C) or 0.0
    cold, hot = _viscosity(reader, read, "cold", cold_t), _viscosity(reader, read, "hot", hot_t)
    index = read["index"]
    if hot is not None and index is not None:
        reader.refuse("index", "The second viscosity is typed already; keep one of the two.")
    if cold is None or (hot is None and index is None):
        return None
    try:
        if hot is not None:
            return Oil(
                operations.viscosity.through(fields.fluids.Point(cold_t, cold), fields.fluids.Point(hot_t, hot)),
                {cold_t: cold, hot_t: hot},
            )
        return Oil(operations.viscosity.by_index(cold, index), {COLD_C: cold})
    except FieldError as problem:
        reader.refuse("hot" if hot is not None else "index", problem)
        return None


def _mixed(reader: Reader, read: Mapping[str, Any], oil: Oil) -> Oil:
    """The blend, where the second oil and the share are typed; else the oil itself."""
    cold, hot = (_viscosity(reader, read, key, at) for key, at in (("mix_cold", COLD_C), ("mix_hot", HOT_C)))
    share = read["share"]
    if cold is None or hot is None or share is None:
        return oil
    try:
        mixed = operations.viscosity.blended(
            oil.line,
            operations.viscosity.through(fields.fluids.Point(COLD_C, cold), fields.fluids.Point(HOT_C, hot)),
            share,
        )
    except FieldError as problem:
        reader.refuse("share", problem)
        return oil
    reader.echo("share", f"{share * 100:g} % by volume: {mixed.at(COLD_C):.1f} at 40 °C")
    return Oil(mixed, {}, blend=True)


def _told(reader: Reader, oil: Oil, least: float | None, most: float | None) -> ViscosityAnswer | None:
    """What the command tells of it; without the window where the limits can't be, None where the points can't."""
    try:
        return operations.viscosity.told(oil.line, (), least, most, known=oil.known, blend=oil.blend)
    except FieldError as problem:
        if problem.option == fields.fluids.POINTS.flag:
            reader.refuse("hot", problem)
            return None
        reader.refuse("least", problem)
        return _told(reader, oil, None, None)


def _limit(line: ViscosityLine, temp: float | None, cst: float | None, name: str, *, thick: bool) -> list[Line]:
    """The viscosity at a temperature against the pump's limit."""
    if temp is None:
        return []
    if cst is None:
        what = f"the {'most' if thick else 'least'} that the pump tolerates, from its maker"
        return [Line(Mark.MEASURE, "find out", name, f"Measure this before you trust it: {what}.")]
    try:
        found = operations.viscosity.at_temperature(line, temp, *((None, cst) if thick else (cst, None)))
    except ValueError as problem:
        return [Line(Mark.BAD if thick else Mark.CARE, "no" if thick else "unsure", name, str(problem), "ASTM D341")]
    sentence = f"{found.words}. {'Max' if thick else 'Min'}: {cst:,.4g} mm²/s."
    if not found.within_limits:
        mark, word = Mark.BAD, "no"
    else:
        mark, word = (Mark.CARE, "with care") if found.extrapolated else (Mark.GOOD, "yes")
    return [Line(mark, word, name, sentence, "ASTM D341")]


def _verdict(lines: Sequence[Line], *, allowed: bool) -> tuple[Mark, str]:
    judged = [line for line in lines if line.name in ("cold start", "running hot")]
    if not judged:
        return Mark.NOTE, "the window" if allowed else "the oil"
    worst = max(judged, key=lambda line: list(Mark).index(line.mark))
    return worst.mark, {Mark.BAD: "no", Mark.MEASURE: "not known yet", Mark.CARE: "with care"}.get(worst.mark, "yes")


def _figures(told: ViscosityAnswer) -> list[Line]:
    """The index and the grades."""
    cold, hot, index = told.mm2_per_s_at_40_c, told.mm2_per_s_at_100_c, told.index
    if index is None:
        found = [Line(Mark.NOTE, "index", "viscosity index", f"It is {told.no_index}.", "ASTM D2270")]
    else:
        said = f"{index.value}, from {cold:.1f} at 40 °C and {hot:.2f} mm²/s at 100 °C."
        source = f"ASTM D2270, procedure {index.procedure}"
        found = [Line(Mark.NOTE, f"VI {index.value}", "viscosity index", said, source)]
    for scale in answers.viscosity.SCALES:
        grades, iso = told.graded(scale), scale == "ISO 3448"
        names = ", ".join(f"{'VG ' if iso else 'SAE '}{grade}" for grade in grades)
        said = f"{names or 'between grades'}: {cold if iso else hot:.2f} mm²/s at {COLD_C if iso else HOT_C:g} °C."
        sources = dict.fromkeys(one.reason.sourced for one in told.grades if one.scale == scale)
        found.append(Line(Mark.NOTE, names.replace(", SAE ", ", ") or "none", scale, said, "; ".join(sources)))
    return found
