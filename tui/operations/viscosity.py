"""What points of a fluid's viscosity tell: its curve, its index, its grades, and where a pump can bear it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import catalog
from tui.answers.advice import ADVICE
from tui.answers.reasons import Reason
from tui.answers.viscosity import (
    THICK,
    THIN,
    Grade,
    ViscosityAnswer,
    ViscosityAt,
    ViscosityIndex,
    ViscosityWindow,
)
from tui.fields.field import FieldError
from tui.fields.fluids import AT, INDEX, LEAST, MOST, POINTS, SHARE

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from catalog.fluids.viscosity import ViscosityLine
    from tui.fields.fluids import Point
    from tui.operations.operation import Values

LEAST_FOR_INDEX = 2.0
"""ASTM D2270 defines no index under this viscosity at 100 °C, mm²/s."""


def viscosity(values: Values) -> ViscosityAnswer:
    """What the points of one fluid, or of a blend's two, tell. Raises `FieldError`."""
    fluids, share, index = values[POINTS.name], values[SHARE.name], values[INDEX.name]
    if len(fluids) > 2:
        raise FieldError("--points was given for more than two fluids; blend two at a time", "-")
    if (len(fluids) == 2) != (share is not None):
        raise FieldError("a blend needs --points twice and --share, such as --share 40%, for the first fluid", "-")
    if len(fluids) == 2 and index is not None:
        raise FieldError("--index goes with one fluid; give both fluids of a blend by two points", "-")
    lines = [_line(points, index) for points in fluids]
    line = lines[0] if share is None else blended(lines[0], lines[1], share)
    least, most = (None if one is None else float(one.to("mm²/s")) for one in (values[LEAST.name], values[MOST.name]))
    at = tuple(_asked_at(line, float(one.to("°C")), least, most) for one in values[AT.name])
    # A measured value is taken as it is: at a grade's limit even the last digit of a float would count.
    known = {} if share is not None else {point.celsius: point.cst for point in fluids[0]}
    return told(line, at, least, most, known=known, blend=share is not None)


def blended(first: ViscosityLine, second: ViscosityLine, share: float) -> ViscosityLine:
    """The line of a blend, `share` of it the first fluid by volume. Raises `FieldError`."""
    try:
        return catalog.fluids.blend.blend_lines(first, second, share)
    except ValueError as problem:
        raise FieldError(str(problem), SHARE.flag) from problem


def _line(points: Sequence[Point], index: float | None) -> ViscosityLine:
    """The line through two points, or through one at 40 °C by the index. Raises `FieldError`."""
    if index is not None:
        if len(points) != 1 or abs(points[0].celsius - 40) > 1e-9:
            raise FieldError("--index goes with one point at 40 °C, such as --points 46@40 --index 100", "-")
        return by_index(points[0].cst, index)
    if len(points) != 2:
        asked = f"{len(points)} given and two are needed, such as 46@40 6.8@100 (or one and --index)"
        raise FieldError(asked, POINTS.flag)
    return through(*points)


def through(cold: Point, hot: Point) -> ViscosityLine:
    """The line through two points, in either order. Raises `FieldError`."""
    try:
        return catalog.fluids.viscosity.two_points(*cold, *hot)
    except ValueError as problem:
        raise FieldError(str(problem), POINTS.flag) from problem


def by_index(cst_40: float, index: float) -> ViscosityLine:
    """The line of an oil by its viscosity at 40 °C, mm²/s, and its index. Raises `FieldError`."""
    try:
        return catalog.fluids.viscosity_index.line_from_index(cst_40, index)
    except ValueError as problem:
        raise FieldError(str(problem), INDEX.flag) from problem


def at_temperature(
    line: ViscosityLine, celsius: float, least: float | None = None, most: float | None = None
) -> ViscosityAt:
    """The viscosity at a temperature, °C, against a pump's limits, mm²/s. Raises ValueError where ASTM D341 ends."""
    cst = line.at(celsius)
    thin = least is not None and not catalog.compare.at_least(cst, least)
    thick = most is not None and not catalog.compare.at_most(cst, most)
    return ViscosityAt(
        temperature_c=round(celsius, 4),
        mm2_per_s=round(cst, 4),
        extrapolated=not line.measured_at(celsius),
        within_limits=None if least is None and most is None else not (thin or thick),
        why=THICK if thick else THIN if thin else None,
    )


def _asked_at(line: ViscosityLine, celsius: float, least: float | None, most: float | None) -> ViscosityAt:
    try:
        return at_temperature(line, celsius, least, most)
    except ValueError as problem:
        raise FieldError(str(problem), AT.flag) from problem


def told(
    line: ViscosityLine,
    at: Iterable[ViscosityAt] = (),
    least: float | None = None,
    most: float | None = None,
    *,
    known: Mapping[float, float],
    blend: bool,
) -> ViscosityAnswer:
    """What a line tells; `known`: viscosities that were measured, mm²/s by °C. Raises `FieldError`."""
    at, limits = tuple(at), None
    if least is not None and most is not None:
        try:
            found = catalog.fluids.viscosity.window(line, least, most)
        except ValueError as problem:
            raise FieldError(str(problem), f"{LEAST.flag} and {MOST.flag}") from problem
        limits = ViscosityWindow(round(found.coldest_c, 2), round(found.hottest_c, 2), found.extrapolated)
    try:
        cst_40, cst_100 = (known.get(temp, line.at(temp)) for temp in (40.0, 100.0))
        index = catalog.fluids.viscosity_index.viscosity_index(cst_40, cst_100) if cst_100 >= LEAST_FOR_INDEX else None
    except ValueError as problem:
        raise FieldError(str(problem), POINTS.flag) from problem
    rows = (
        *catalog.fluids.grades.grades_at(catalog.fluids.grades.Scale.ISO, cst_40),
        *catalog.fluids.grades.grades_at(catalog.fluids.grades.Scale.ENGINE, cst_100),
        *catalog.fluids.grades.grades_at(catalog.fluids.grades.Scale.GEAR, cst_100),
    )
    grades = tuple(
        Grade(row.scale.value, row.grade, row.kv_min, row.kv_max, row.source, row.standing.value) for row in rows
    )
    estimate = any(one.extrapolated for one in at) or (limits is not None and limits.extrapolated)
    return ViscosityAnswer(
        blend=blend,
        mm2_per_s_at_40_c=round(cst_40, 4),
        mm2_per_s_at_100_c=round(cst_100, 4),
        index=None if index is None else ViscosityIndex(index.value, index.procedure),  # type: ignore[arg-type]
        at=at,
        window_c=limits,
        grades=grades,
        because=_because(grades, index=index is not None, blend=blend),
        note=catalog.fluids.blend.VISCOSITY_ONLY if blend else None,
        caution=ADVICE,
        estimate=catalog.fluids.viscosity.EXTRAPOLATED if estimate else "",
        no_index="" if index is not None else f"not defined under {LEAST_FOR_INDEX:g} mm²/s at 100 °C",
    )


def _because(grades: Sequence[Grade], *, index: bool, blend: bool) -> tuple[Reason, ...]:
    """The standards that the figures follow, and the rows of the grades."""
    rules = [
        Reason(
            "log log of the viscosity falls in a straight line over log of the temperature", "ASTM D341", "published"
        )
    ]
    if blend:
        rules.append(Reason("log log of a blend's viscosity goes by the shares in volume", "ASTM D7152", "inferred"))
    if index:
        rules.append(
            Reason("the index compares how it thins from 40 to 100 °C with two kinds of oil", "ASTM D2270", "published")
        )
    return tuple(dict.fromkeys((*rules, *(one.reason for one in grades))))
