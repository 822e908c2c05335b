"""Oil in use by its viscosity: is it still of its grade, and how far has it moved from the new oil?"""

from __future__ import annotations

from typing import Final

from catalog.because import Because
from catalog.compare import over
from catalog.fluids import grades, tables
from catalog.fluids.by_figures.figured import Figured, Measured, limit, worst
from catalog.fluids.grade_check import Verdict
from catalog.fluids.grades import Limits, Scale
from catalog.publications import named
from catalog.standing import Standing

SUBJECT: Final = "oil in use"
WHY: Final = {
    True: "thicker: oxidised, sooty, or topped up with a thicker oil",
    False: "thinner: fuel or solvent in it, sheared down, or topped up with a thinner oil",
}


def used_oil(
    required: str, *, v40: float | None = None, v100: float | None = None, new: float | None = None
) -> Figured:
    """Judge a measured viscosity in mm²/s: at 40 °C for an ISO grade, at 100 °C for an SAE one.

    `new` is the new oil's viscosity at the same temperature, from its data sheet; without it oil that is still in its
    grade passes, and oil that left it is judged from the middle of the grade. Raises ValueError if `required` is no
    grade or the viscosity at its temperature is missing.
    """
    try:
        grade = grades.parse(required)
    except grades.GradeError as problem:
        raise ValueError(f"Say the grade the oil was sold as, such as VG 46 or 15W-40. {problem}") from problem
    iso = grade.scale is Scale.ISO
    value = v40 if iso else v100
    at = 40 if iso else 100
    if value is None:
        raise ValueError(f"{grade.label} is defined at {at} °C; type {'v40=47' if iso else 'v100=14.2'} in mm²/s.")
    for figure in (value, new):
        if figure is not None and not 0 < figure < 100_000:
            raise ValueError(f"A viscosity of {figure:g} mm²/s cannot be; check the reading.")
    row = grades.hot_limits(grade)
    inside = row.holds(value)
    measured = [
        Measured(f"v{at}", f"viscosity at {at} °C", value, "mm²/s", row.kv_min, row.kv_max, inside),
    ]
    because = [_band(grade.label, row, at)]
    sort = "industrial" if iso or grade.scale is Scale.GEAR else "engine"
    base, base_words = _start(new, row)
    change = (value / base - 1) * 100
    by_change, rule = _change(sort, change)
    because.append(rule)
    measured.append(Measured("change", f"change from {base_words}", round(change, 1), "%"))
    if inside and new is None:
        # Nobody knows where in its grade it began.
        by_change = Verdict.YES
    verdict = worst((by_change, Verdict.YES if inside else Verdict.WITH_CARE))
    moved = f"{abs(change):.0f} % {'thicker' if change > 0 else 'thinner'} than {base_words}"
    if inside:
        still = f"It is still {grade.label}"
    else:
        still = f"It is {'above' if row.kv_max is not None and value >= row.kv_max else 'below'} {grade.label}"
    reason = f"{still} at {value:g} mm²/s, {moved}."
    conditions = () if verdict is Verdict.YES else (f"find out why it is {WHY[change > 0]}",)
    if verdict is Verdict.NO:
        reason = f"{reason} Change it."
    return Figured(SUBJECT, grade.label, verdict, reason, tuple(measured), conditions, (), tuple(because))


def _start(new: float | None, row: Limits) -> tuple[float, str]:
    """What the change is reckoned from: the new oil where it is known, else the middle of the grade."""
    if new is not None:
        return new, "the new oil"
    if row.kv_max is None:
        return row.kv_min, "the least of its grade"
    return (row.kv_min + row.kv_max) / 2, "the middle of its grade"


def _change(sort: str, change: float) -> tuple[Verdict, Because]:
    row = next(row for row in tables.rows("used_oil") if row["sort"] == sort)
    care = float(row["care_thicker_pct"] if change > 0 else row["care_thinner_pct"])
    bad = float(row["bad_thicker_pct"] if change > 0 else row["bad_thinner_pct"])
    rule = (
        f"{sort} oil in use: watch it from {row['care_thinner_pct']} % thinner or {row['care_thicker_pct']} % thicker "
        f"than new, change it from {row['bad_thinner_pct']} % or {row['bad_thicker_pct']} %"
    )
    because = limit(rule, named(row["source"]), Standing(row["standing"]))
    if over(abs(change), bad):
        return Verdict.NO, because
    return Verdict.WITH_CARE if over(abs(change), care) else Verdict.YES, because


def _band(label: str, row: Limits, at: int) -> Because:
    top = "or more" if row.kv_max is None else f"to {'' if at == 40 else 'under '}{row.kv_max:g}"
    return limit(f"{label}: {row.kv_min:g} {top} mm²/s at {at} °C ({row.scale})", row.source, row.standing)
