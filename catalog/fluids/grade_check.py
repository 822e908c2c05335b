"""Whether oil of one viscosity grade is thick and thin enough where another grade is asked. Thickness only."""

from __future__ import annotations

from enum import StrEnum
from typing import Final, NamedTuple

from catalog.fluids import grades, tables
from catalog.fluids.grades import Grade, Scale
from catalog.publications import named
from catalog.standing import Standing


class Verdict(StrEnum):
    """The answer to "may I use this where that is asked?"."""

    YES = "yes"
    WITH_CARE = "with care"
    NO = "no"


class GradeAnswer(NamedTuple):
    """The verdict for a grade with one reason, the conditions that go with it, and where it comes from."""

    verdict: Verdict
    reason: str
    conditions: tuple[str, ...]
    source: str
    standing: Standing


_NEIGHBOUR: Final = 1
"""How many hot grades above a plain W grade's own the oil may be before it is called thick."""


def compare(offered: Grade, required: Grade) -> GradeAnswer:
    """Judge the offered grade against the required one.

    Within a scale the hot grade must be the same and the W number not higher; SAE 40 sold as 0W, 5W or 10W has a lower
    HTHS minimum than 15W-40 and thicker, so it is answered with care. Between scales the numbers mean different things
    and the answer is never a plain yes.
    """
    if offered == required:
        return GradeAnswer(Verdict.YES, "It is the same grade.", (), str(required.scale), Standing.PUBLISHED)
    if offered.scale is not required.scale:
        return _across(offered, required)
    if required.scale is Scale.ISO:
        return _no(
            required,
            f"{offered.label} is {_percent(offered, required)} at 40 °C than {required.label}.",
        )
    cold = _cold(offered, required)
    if cold is not None:
        return cold
    return _hot(offered, required)


def _percent(offered: Grade, required: Grade) -> str:
    asked = grades.hot_limits(required)
    given = grades.hot_limits(offered)
    # Rows of ISO 3448 are symmetric about the midpoint: the ratio of the limits is that of the midpoints.
    ratio = given.kv_min / asked.kv_min
    return f"{(ratio - 1) * 100:.0f} % thicker" if ratio > 1 else f"{(1 - ratio) * 100:.0f} % thinner"


def _no(required: Grade, reason: str, standing: Standing = Standing.INFERRED) -> GradeAnswer:
    return GradeAnswer(Verdict.NO, reason, (), str(required.scale), standing)


def _cold(offered: Grade, required: Grade) -> GradeAnswer | None:
    """The refusal if the offered grade is too thick, or unproven, when cold."""
    if required.cold is None:
        return None
    asked = grades.cold_limits(required)
    if offered.cold is None:
        where = f" down to {asked.cold_temp_c:.0f} °C" if asked and asked.cold_temp_c is not None else ""
        return _no(required, f"{offered.label} has no W grade: whether it flows cold enough is not known{where}.")
    if offered.cold > required.cold:
        given = grades.cold_limits(offered)
        asked_c = asked.cold_temp_c if asked else None
        given_c = given.cold_temp_c if given else None
        return _no(
            required,
            f"{offered.cold}W is too thick when cold: its limit is set at {given_c:.0f} °C, "
            f"that of {required.cold}W at {asked_c:.0f} °C.",
        )
    return None


def _hot(offered: Grade, required: Grade) -> GradeAnswer:
    asked = grades.hot_limits(required)
    given = grades.hot_limits(offered)
    conditions: list[str] = []
    verdict = Verdict.YES
    reason = "Same grade when hot."
    if offered.cold is not None and (required.cold is None or offered.cold < required.cold):
        reason = "Same grade when hot, and it flows better when cold."
    if required.hot is None:
        if given.kv_min < asked.kv_min:
            return _no(required, f"{offered.label} may be thinner at 100 °C than {required.label} allows.")
        reason = f"Not thinner at 100 °C than {required.label} may be, and no thicker when cold."
        if _steps_above(given.kv_min, asked) > _NEIGHBOUR:
            verdict = Verdict.WITH_CARE
            conditions.append(f"{offered.label} is thicker when hot than plain {required.label} usually is.")
    elif offered.hot is None:
        return _no(required, f"{offered.label} has no hot grade; {required.label} asks for {required.hot}.")
    elif offered.hot != required.hot:
        if asked.before_2005 and asked.kv_min < given.kv_min < asked.before_2005:
            return GradeAnswer(
                Verdict.WITH_CARE,
                f"{required.hot} before 2005 reached up to {asked.before_2005:g} mm²/s at 100 °C, which takes in "
                f"{offered.hot}.",
                (f"Only if the book is older than 2005 and meant the thicker half of {required.hot}.",),
                asked.source,
                Standing.INFERRED,
            )
        thicker = "thicker" if given.kv_min > asked.kv_min else "thinner"
        return _no(required, f"{offered.label} is {thicker} than {required.label} when hot.")
    if asked.hths_min and given.hths_min and given.hths_min < asked.hths_min:
        verdict = Verdict.WITH_CARE
        conditions.append(
            f"Hot under shear (HTHS) {offered.label} need only hold {given.hths_min:g} mPa·s, "
            f"{required.label} {asked.hths_min:g}: check the data sheet."
        )
    return GradeAnswer(verdict, reason, tuple(conditions), asked.source, Standing.INFERRED)


def _steps_above(kv_min: float, asked: grades.Limits) -> int:
    """How many hot grades lie between a W grade's minimum and a hot grade's minimum, both in mm²/s at 100 °C."""
    return sum(1 for row in grades.limits(asked.scale) if not row.winter and asked.kv_min < row.kv_min <= kv_min + 1e-9)


def _across(offered: Grade, required: Grade) -> GradeAnswer:
    trap = f"{offered.label} and {required.label} are numbers on different scales"
    if Scale.ISO not in (offered.scale, required.scale):
        engine, gear = (offered, required) if offered.scale is Scale.ENGINE else (required, offered)
        alike = _alike_at_100(gear)
        if offered is engine and engine.hot is not None and str(engine.hot) in alike:
            return GradeAnswer(
                Verdict.WITH_CARE,
                f"{trap}, but about equally thick at 100 °C.",
                ("Engine oil has no EP additive: only for a gearbox that asks for GL-1 or GL-3 at most.",),
                "memory",
                Standing.MEMORY,
            )
        like = f"; {gear.label} is about as thick as engine oil SAE {' to '.join(alike)}" if alike else ""
        return _no(required, f"{trap}{like}.")
    iso, sae = (offered, required) if offered.scale is Scale.ISO else (required, offered)
    for row in tables.rows("rough_equivalents"):
        column = "sae_engine" if sae.scale is Scale.ENGINE else "sae_gear"
        if row["iso_vg"] == str(iso.hot) and row[column] in _written(sae):
            return GradeAnswer(
                Verdict.WITH_CARE,
                f"{trap}, but about equally thick at working temperature.",
                ("This is about thickness only: the additives are judged by class.",),
                named(row["source"]),
                Standing(row["standing"]),
            )
    return _no(required, f"{trap}, and no table shows they are equally thick.")


def _alike_at_100(gear: Grade) -> list[str]:
    """The engine grades whose range at 100 °C overlaps that of a gear grade."""
    row = grades.hot_limits(gear)
    if row.kv_max is None or row.winter:
        return []
    top = row.kv_max
    found = {
        other.grade: None
        for other in grades.limits(Scale.ENGINE)
        if not other.winter and other.kv_max is not None and other.kv_min < top and row.kv_min < other.kv_max
    }
    return list(found)


def _written(grade: Grade) -> tuple[str, ...]:
    """The single-number names a grade answers to in the table of rough equivalents."""
    if grade.hot is not None:
        return (str(grade.hot),)
    return (f"{grade.cold}W",)
