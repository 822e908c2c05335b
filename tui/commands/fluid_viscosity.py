"""Viscosity at a temperature, index, pump limits and blends, for `kitwright fluid --points …`."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import Any, NamedTuple

from catalog.compare import at_least, at_most
from catalog.fluids.blend import VISCOSITY_ONLY, blend_lines
from catalog.fluids.grades import Limits, Scale, grades_at
from catalog.fluids.viscosity import EXTRAPOLATED, ViscosityLine, Window, two_points, window
from catalog.fluids.viscosity_index import ViscosityIndex, line_from_index, viscosity_index
from catalog.quantity import Kind, parse
from catalog.quantity.display import format_viscosity
from tui.answers.advice import ADVICE
from tui.commands.fluid_stand_in import SCHEMA
from tui.commands.judging import naming, number, quantity, share, typed
from tui.commands.output import say, say_json
from tui.commands.parsing import UsageError, shown
from tui.exit_codes import ExitCode

MOST_TEMPERATURES = 50


class At(NamedTuple):
    """A viscosity at a temperature that was asked. `within`: inside the pump's limits, None where none were given."""

    temp_c: float
    cst: float
    measured: bool
    within: bool | None


class Found(NamedTuple):
    """Everything that the points tell."""

    line: ViscosityLine
    blended: bool
    cst_40: float
    cst_100: float
    viscosity_index: ViscosityIndex | None
    at: tuple[At, ...]
    window: Window | None
    grades: tuple[Limits, ...]


def answer_viscosity(arguments: argparse.Namespace) -> ExitCode:
    """Work it out and print it."""
    found = _work_out(arguments)
    if arguments.json:
        say_json(_object(found))
    else:
        for line in _lines(found):
            say(line)
    outside = any(one.within is False for one in found.at)
    return ExitCode.NOTHING if outside else ExitCode.FOUND


def _work_out(arguments: argparse.Namespace) -> Found:
    given: list[list[str]] = arguments.points
    if len(given) > 2:
        raise UsageError("--points was given for more than two fluids; blend two at a time")
    if (len(given) == 2) != (arguments.share is not None):
        raise UsageError("a blend needs --points twice and --share, such as --share 40%, for the first fluid")
    if len(arguments.at) > MOST_TEMPERATURES:
        raise UsageError(f"--at was given {len(arguments.at)} times; give it {MOST_TEMPERATURES} times at most")
    lines = [_line(points, arguments.index if len(given) == 1 else None) for points in given]
    if len(given) == 2:
        if arguments.index is not None:
            raise UsageError("--index goes with one fluid; give both fluids of a blend by two points")
        with naming("--share"):
            line = blend_lines(lines[0], lines[1], share("--share", arguments.share))
    else:
        line = lines[0]
    least, most = (
        None if text is None else quantity(option, text, Kind.VISCOSITY, "mm²/s")
        for option, text in (("--least", arguments.least), ("--most", arguments.most))
    )
    limits = None
    if least is not None and most is not None:
        with naming("--least and --most"):
            limits = window(line, least, most)
    at = tuple(_at(line, text, least, most) for text in arguments.at)
    with naming("--points"):
        # A measured value is taken as it is: at a grade's limit even the last digit of a float would count.
        known = {} if len(given) == 2 else dict(map(_point, given[0]))
        cst_40, cst_100 = (known.get(temp, line.at(temp)) for temp in (40.0, 100.0))
    index = None
    if cst_100 >= 2:
        with naming("--points"):
            index = viscosity_index(cst_40, cst_100)
    grades = (*grades_at(Scale.ISO, cst_40), *grades_at(Scale.ENGINE, cst_100), *grades_at(Scale.GEAR, cst_100))
    return Found(line, len(given) == 2, cst_40, cst_100, index, at, limits, grades)


def _line(points: Sequence[str], index: str | None) -> ViscosityLine:
    read = [_point(text) for text in points]
    if index is not None:
        if len(read) != 1 or abs(read[0][0] - 40) > 1e-9:
            raise UsageError("--index goes with one point at 40 °C, such as --points 46@40 --index 100")
        with naming("--index"):
            return line_from_index(read[0][1], number("--index", index, "100"))
    if len(read) != 2:
        raise UsageError(f"--points: {len(read)} given and two are needed, such as 46@40 6.8@100 (or one and --index)")
    with naming("--points"):
        return two_points(*read[0], *read[1])


def _point(text: str) -> tuple[float, float]:
    """Temperature in °C and viscosity in mm²/s of `46@40`."""
    cst, sign, temp = text.partition("@")
    if not sign:
        raise UsageError(f"--points: {shown(text)} is no point; type VISCOSITY@TEMPERATURE, such as 46@40")
    celsius = quantity("--points", temp, Kind.TEMPERATURE, "°C")
    with naming("--points"):
        return celsius, typed("--points", cst, Kind.VISCOSITY).viscosity_at(celsius)


def _at(line: ViscosityLine, text: str, least: float | None, most: float | None) -> At:
    temp = quantity("--at", text, Kind.TEMPERATURE, "°C")
    with naming("--at"):
        cst = line.at(temp)
    within = None
    if least is not None or most is not None:
        within = (least is None or at_least(cst, least)) and (most is None or at_most(cst, most))
    return At(temp, cst, line.measured_at(temp), within)


def _object(found: Found) -> dict[str, Any]:
    return {
        "schema": SCHEMA,
        "asked": "viscosity",
        "blend": found.blended,
        "mm2_per_s_at_40_c": round(found.cst_40, 4),
        "mm2_per_s_at_100_c": round(found.cst_100, 4),
        "index": None
        if found.viscosity_index is None
        else {"value": found.viscosity_index.value, "procedure": found.viscosity_index.procedure},
        "at": [
            {
                "temperature_c": round(one.temp_c, 4),
                "mm2_per_s": round(one.cst, 4),
                "extrapolated": not one.measured,
                "within_limits": one.within,
            }
            for one in found.at
        ],
        "window_c": None
        if found.window is None
        else {
            "coldest": round(found.window.coldest_c, 2),
            "hottest": round(found.window.hottest_c, 2),
            "extrapolated": found.window.extrapolated,
        },
        "grades": [{"scale": row.scale.value, "grade": row.grade} for row in found.grades],
        "note": VISCOSITY_ONLY if found.blended else None,
        "caution": ADVICE,
    }


def _lines(found: Found) -> list[str]:
    lines = []
    for one in found.at:
        limits = {None: "", True: ", within the pump's limits", False: ", OUTSIDE the pump's limits"}[one.within]
        mark = "" if one.measured else " (estimate)"
        lines.append(f"At {_temperature(one.temp_c)}: {format_viscosity(one.cst, one.temp_c)}{limits}{mark}")
    if found.window is not None:
        cold, hot = _temperature(found.window.coldest_c), _temperature(found.window.hottest_c)
        lines.append(f"Within the pump's limits from {cold} to {hot}")
    what = "Blend" if found.blended else "Fluid"
    lines.append(f"{what}: {found.cst_40:.2f} mm²/s at 40 °C, {found.cst_100:.2f} mm²/s at 100 °C (ASTM D341)")
    if found.viscosity_index is not None:
        lines.append(
            f"Viscosity index {found.viscosity_index.value} (ASTM D2270, procedure {found.viscosity_index.procedure})"
        )
    else:
        lines.append("Viscosity index: not defined under 2 mm²/s at 100 °C")
    lines.append(f"Grades when warm: {'; '.join(_graded(found.grades, scale) for scale in Scale)}")
    extrapolated = any(not one.measured for one in found.at) or (found.window and found.window.extrapolated)
    if extrapolated:
        lines.append(EXTRAPOLATED)
    if found.blended:
        lines.append(VISCOSITY_ONLY)
    return [*lines, ADVICE]


def _graded(grades: Sequence[Limits], scale: Scale) -> str:
    name = {Scale.ISO: "ISO VG", Scale.ENGINE: "SAE engine", Scale.GEAR: "SAE gear"}[scale]
    return f"{name} {' or '.join(row.grade for row in grades if row.scale is scale) or 'none'}"


def _temperature(celsius: float) -> str:
    fahrenheit = parse(f"{celsius:.4f} °C", kind=Kind.TEMPERATURE, bare_unit="°C").to("°F")
    return f"{celsius:.1f} °C ({float(fahrenheit):.0f} °F)"
