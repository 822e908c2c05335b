"""Viscosity: the curve through two points, the index, and the temperatures a pump can bear it at."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.widget import Widget

from tui.screens.judge.panel import Panel
from tui.screens.judge.ruling import Ask, Line, Ruling, nothing
from tui.widgets.judge.marks import Mark
from tui.widgets.judge.viscosity_plot import Dot, Plot, ViscosityPlot

if TYPE_CHECKING:
    from catalog.fluids.viscosity import ViscosityLine, Window
    from tui.screens.judge.reading import Reader

COLD_C, HOT_C = 40.0, 100.0
PLOT_FROM_C, PLOT_TO_C = -40.0, 120.0


class ViscosityPanel(Panel):
    """Two viscosities, or one and the index; the pump's limits; the cold start."""

    ASKS: ClassVar[Sequence[Ask]] = (
        Ask("cold", "At 40 °C", "mm²/s or SUS", heading="The oil, from its data sheet"),
        Ask("hot", "At 100 °C", "mm²/s or SUS"),
        Ask("index", "or index", "VI"),
        Ask("cold_t", "Cold at", "if not 40 °C", heading="Measured elsewhere?", quantity="temperature"),
        Ask("hot_t", "Hot at", "if not 100 °C", quantity="temperature"),
        Ask("least", "Least", "mm²/s when hot", heading="The pump bears"),
        Ask("most", "Most", "mm²/s at start"),
        Ask("start", "Start at", "coldest morning", quantity="temperature"),
        Ask("work", "Runs at", "hottest oil", quantity="temperature"),
        Ask("mix_cold", "At 40 °C", "second oil", heading="Mixed with (viscosity only)"),
        Ask("mix_hot", "At 100 °C", "second oil"),
        Ask("share", "Share", "% of the first"),
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
        from catalog.fluids.viscosity import EXTRAPOLATED, curve, window
        from tui.screens.judge.reading import Reader

        reader = Reader(values, unit)
        line = _line(reader)
        least, most = _viscosity(reader, "least"), _viscosity(reader, "most")
        start, work = _temperature(reader, "start"), _temperature(reader, "work")
        if line is None:
            return nothing(self.EMPTY, reader.notes)
        line = _mixed(reader, line)
        allowed: Window | None = None
        if least is not None and most is not None:
            try:
                allowed = window(line, least, most)
            except ValueError as problem:
                reader.refuse("least", problem)
        lines = [
            *_limit(line, start, most, "cold start", thick=True),
            *_limit(line, work, least, "running hot", thick=False),
        ]
        lines.sort(key=lambda one: -list(Mark).index(one.mark))
        lines += _figures(line)
        says = []
        if allowed is not None:
            says.append(f"The pump bears it from {_both(allowed.coldest_c, unit)} to {_both(allowed.hottest_c, unit)}.")
        if allowed is not None and allowed.extrapolated:
            says.append(EXTRAPOLATED)
        if _saybolt_elsewhere(values):
            says.append("Data sheets give SUS at 100 °F and 210 °F: type those under Measured elsewhere.")
        mark, word = _verdict(lines, allowed)
        dots = curve(line, PLOT_FROM_C, PLOT_TO_C, count=97, min_cst=least, max_cst=most)
        plot = Plot(
            [Dot(point.temp_c, point.cst, point.allowed) for point in dots],
            [Dot(temp, line.at(temp), True) for temp in (line.cold_c, line.hot_c)],
            least, most, allowed.coldest_c if allowed else None, allowed.hottest_c if allowed else None, start,
        )  # fmt: skip
        if not says:
            says.append("Type the least and the most that the pump bears to see the window.")
        return Ruling(mark, word, tuple(says), tuple(lines), plot, reader.notes)


def _viscosity(reader: Reader, key: str, celsius: float | None = None) -> float | None:
    """A viscosity in mm²/s. Saybolt seconds are those at `celsius`, the temperature of the field, where it has one."""
    from catalog.quantity import Kind, parse, saybolt
    from catalog.quantity.typed import significant

    value = reader.quantity(key, Kind.VISCOSITY, "mm²/s")
    if value is None or celsius is None:
        return None if value is None else float(value)
    typed = parse(reader.text(key), kind=Kind.VISCOSITY, bare_unit="mm²/s")
    found = typed.viscosity_at(celsius)
    here = f"{float(typed.value):g} {typed.unit}"
    if typed.unit == "SUS":
        reader.echo(key, f"{here} = {significant(found)} mm²/s at {celsius:g} °C")
    elif found >= saybolt.LEAST_CST:
        reader.echo(key, f"{here} = {significant(saybolt.sus(found, celsius * 1.8 + 32))} SUS at {celsius:g} °C")
    return found


def _saybolt_elsewhere(values: Mapping[str, str]) -> bool:
    """Whether Saybolt seconds stand in a field of 40 or 100 °C that no other temperature was typed for."""
    return any(
        any(name in values.get(key, "").lower() for name in ("sus", "ssu")) and not values.get(f"{key}_t", "").strip()
        for key in ("cold", "hot")
    )


def _temperature(reader: Reader, key: str) -> float | None:
    from catalog.quantity import Kind

    value = reader.quantity(key, Kind.TEMPERATURE, "°C", signed=True)
    return None if value is None else float(value)


def _both(celsius: float, unit: str) -> str:
    from catalog.quantity import Kind, parse

    fahrenheit = f"{float(parse(f'{celsius:.1f} °C', kind=Kind.TEMPERATURE, bare_unit='°C').to('°F')):.0f} °F"
    said = f"{celsius:.0f} °C"
    return f"{fahrenheit} ({said})" if unit == "in" else f"{said} ({fahrenheit})"


def _line(reader: Reader) -> ViscosityLine | None:
    from catalog.fluids.viscosity import two_points
    from catalog.fluids.viscosity_index import line_from_index

    cold_t, hot_t = _temperature(reader, "cold_t"), _temperature(reader, "hot_t")
    cold = _viscosity(reader, "cold", COLD_C if cold_t is None else cold_t)
    hot = _viscosity(reader, "hot", HOT_C if hot_t is None else hot_t)
    index = reader.number("index", "the viscosity index", "105")
    if hot is not None and index is not None:
        reader.refuse("index", "The second viscosity is typed already; keep one of the two.")
    if cold is None or (hot is None and index is None):
        return None
    try:
        if hot is not None:
            return two_points(COLD_C if cold_t is None else cold_t, cold, HOT_C if hot_t is None else hot_t, hot)
        return line_from_index(cold, index or 0.0)
    except ValueError as problem:
        reader.refuse("hot" if hot is not None else "index", problem)
        return None


def _mixed(reader: Reader, line: ViscosityLine) -> ViscosityLine:
    """The blend, where the second oil and the share are typed; else the oil itself."""
    from catalog.fluids.blend import blend_lines
    from catalog.fluids.viscosity import two_points

    cold, hot = _viscosity(reader, "mix_cold", COLD_C), _viscosity(reader, "mix_hot", HOT_C)
    share = reader.number("share", "the share of the first oil in percent", "60")
    if cold is None or hot is None or share is None:
        return line
    try:
        mixed = blend_lines(line, two_points(COLD_C, cold, HOT_C, hot), share / 100)
    except ValueError as problem:
        reader.refuse("share", problem)
        return line
    reader.echo("share", f"by volume: {mixed.at(COLD_C):.1f} at 40 °C")
    return mixed


def _limit(line: ViscosityLine, temp: float | None, cst: float | None, name: str, *, thick: bool) -> list[Line]:
    """The viscosity at a temperature against the pump's limit."""
    if temp is None:
        return []
    if cst is None:
        what = f"the {'most' if thick else 'least'} the pump bears, from its maker"
        return [Line(Mark.MEASURE, "find out", name, f"Measure this before you trust it: {what}.")]
    try:
        there = line.at(temp)
    except ValueError as problem:
        return [Line(Mark.BAD if thick else Mark.CARE, "no" if thick else "unsure", name, str(problem), "ASTM D341")]
    figures = f"{there:,.0f} mm²/s at {temp:g} °C, limit {cst:,g}" if there >= 100 else (
        f"{there:.1f} mm²/s at {temp:g} °C, limit {cst:g}"
    )  # fmt: skip
    estimate = "" if line.measured_at(temp) else " Estimated: outside the measured temperatures."
    if (there > cst) if thick else (there < cst):
        why = (
            "too thick, the pump starves and howls" if thick else "too thin, the film breaks and the pump leaks inside"
        )
        return [Line(Mark.BAD, "no", name, f"{figures}: {why}.{estimate}", "ASTM D341")]
    mark, word = (Mark.CARE, "with care") if estimate else (Mark.GOOD, "yes")
    return [Line(mark, word, name, f"{figures}.{estimate}", "ASTM D341")]


def _verdict(lines: Sequence[Line], allowed: Window | None) -> tuple[Mark, str]:
    judged = [line for line in lines if line.name in ("cold start", "running hot")]
    if not judged:
        return Mark.NOTE, "the window" if allowed is not None else "the oil"
    worst = max(judged, key=lambda line: list(Mark).index(line.mark))
    return worst.mark, {Mark.BAD: "no", Mark.MEASURE: "not known yet", Mark.CARE: "with care"}.get(worst.mark, "yes")


def _figures(line: ViscosityLine) -> list[Line]:
    from catalog.fluids import grades
    from catalog.fluids.grades import Scale
    from catalog.fluids.viscosity_index import viscosity_index

    found = []
    cold, hot = line.at(COLD_C), line.at(HOT_C)
    try:
        index = viscosity_index(cold, hot)
        said = f"{index.value}, from {cold:.1f} at 40 °C and {hot:.2f} mm²/s at 100 °C."
        found.append(
            Line(Mark.NOTE, f"VI {index.value}", "viscosity index", said, f"ASTM D2270, procedure {index.procedure}")
        )
    except ValueError as problem:
        found.append(Line(Mark.NOTE, "index", "viscosity index", str(problem), "ASTM D2270"))
    for scale, cst, temp in ((Scale.ISO, cold, COLD_C), (Scale.ENGINE, hot, HOT_C), (Scale.GEAR, hot, HOT_C)):
        rows = grades.grades_at(scale, cst)
        names = ", ".join(f"{'VG ' if scale is Scale.ISO else 'SAE '}{row.grade}" for row in dict.fromkeys(rows))
        said = f"{names or 'between grades'}: {cst:.2f} mm²/s at {temp:g} °C."
        word = names.replace(", SAE ", ", ") or "none"
        found.append(Line(Mark.NOTE, word, str(scale), said, "; ".join({row.source for row in rows})))
    return found
