"""Viscosity grades: reading `15W-40`, `80W-90` or `VG 46`, their limits, and the grades a measured viscosity is in.

Engine oil (SAE J300), gear oil (SAE J306) and industrial oil (ISO 3448) are three scales. Their numbers must not be
compared: gear oil 80W-90 is about as thick as engine oil 40 to 50.
"""

from __future__ import annotations

import re
from enum import StrEnum
from functools import cache
from typing import Final, NamedTuple

from catalog.fluids import tables
from catalog.publications import named
from catalog.standing import Standing


class Scale(StrEnum):
    """The standard that a grade's number belongs to."""

    ISO = "ISO 3448"
    ENGINE = "SAE J300"
    GEAR = "SAE J306"


class Grade(NamedTuple):
    """One grade. `cold` is the number before the W, `hot` the other one (for ISO the VG number); None if not stated."""

    scale: Scale
    cold: int | None
    hot: int | None

    @property
    def label(self) -> str:
        """The grade as it is written: `ISO VG 46`, `SAE 15W-40`, `SAE 80W-90 (gear)`, `SAE 30`."""
        if self.scale is Scale.ISO:
            return f"ISO VG {self.hot}"
        cold = "" if self.cold is None else f"{self.cold}W"
        hot = "" if self.hot is None else str(self.hot)
        return f"SAE {cold}{'-' if cold and hot else ''}{hot}{' (gear)' if self.scale is Scale.GEAR else ''}"


class Limits(NamedTuple):
    """A row of one of the three tables. Kinematic viscosity in mm²/s (cSt) at 40 °C (ISO) or 100 °C (SAE).

    The lower limit is inclusive. The upper one is inclusive for ISO, exclusive for SAE. `hths_min` in mPa·s at 150 °C.
    `cold_max` in mPa·s is the cranking (J300) or Brookfield (J306) limit at `cold_temp_c`; `pump_max` and
    `pump_temp_c` are the pumping limit of J300. `before_2005` is the old, higher upper limit of a gear grade.
    """

    scale: Scale
    grade: str
    winter_partners: tuple[str, ...]
    kv_min: float
    kv_max: float | None
    hths_min: float | None
    cold_max: float | None
    cold_temp_c: float | None
    pump_max: float | None
    pump_temp_c: float | None
    before_2005: float | None
    note: str
    source: str
    standing: Standing

    @property
    def winter(self) -> bool:
        """Whether this is a W grade."""
        return self.grade.endswith("W")

    def holds(self, kv: float) -> bool:
        """Whether a kinematic viscosity in mm²/s, at the scale's temperature, lies within these limits."""
        if self.kv_max is None:
            return kv >= self.kv_min
        return self.kv_min <= kv <= self.kv_max if self.scale is Scale.ISO else self.kv_min <= kv < self.kv_max


class GradeError(ValueError):
    """A text is no viscosity grade. The message is one sentence: what is wrong, and what to type."""


@cache
def limits(scale: Scale) -> tuple[Limits, ...]:
    """The table of one scale, in its own order."""
    if scale is Scale.ISO:
        return tuple(
            _limits(scale, row, row["vg"], row["min_cst_40"], row["max_cst_40"]) for row in tables.rows("iso3448")
        )
    name = "j300" if scale is Scale.ENGINE else "j306"
    return tuple(
        _limits(scale, row, row["grade"], row["kv100_min"], row["kv100_max_excl"]) for row in tables.rows(name)
    )


def _limits(scale: Scale, row: dict[str, str], grade: str, kv_min: str, kv_max: str) -> Limits:
    gear_temp = tables.number(row.get("max_temp_c_150000_mpas", ""))
    return Limits(
        scale,
        grade,
        tables.several(row.get("winter_partners", "")),
        float(kv_min),
        tables.number(kv_max),
        tables.number(row.get("hths150_min_mpas", "")),
        GEAR_COLD_MPAS if gear_temp is not None else tables.number(row.get("crank_max_mpas", "")),
        gear_temp if gear_temp is not None else tables.number(row.get("crank_temp_c", "")),
        tables.number(row.get("pump_max_mpas", "")),
        tables.number(row.get("pump_temp_c", "")),
        tables.number(row.get("before_2005_max_excl", "")),
        row.get("note", ""),
        named(row["source"]),
        Standing(row["standing"]),
    )


GEAR_COLD_MPAS: Final = 150_000.0
"""SAE J306: the viscosity in mPa·s that a W grade must not exceed at its cold temperature."""


def row_for(scale: Scale, number: int, *, winter: bool = False, cold: int | None = None) -> Limits | None:
    """The table's row for a number, or None if the scale has no such grade.

    SAE 40 has two rows in J300, told apart by the W grade it is sold with: pass it as `cold` (None: sold alone).
    """
    wanted = f"{number}W" if winter else str(number)
    partner = "none" if cold is None else f"{cold}W"
    for row in limits(scale):
        if row.grade == wanted and (not row.winter_partners or partner in row.winter_partners):
            return row
    return None


_ISO_TEXT: Final = re.compile(r"(?:ISO\s*)?VG\s*(\d{1,4})|ISO\s*(\d{1,4})")
_SAE_TEXT: Final = re.compile(
    r"(?:SAE\s*)?(?:(\d{1,2})\s*W)?(?:\s*[-/ ]?\s*(\d{1,3}))?(?:\s*\(?(GEAR|ENGINE)(?: OIL)?\)?)?"
)


def parse(text: str) -> Grade:
    """Read a grade: `15W-40`, `SAE 15W40`, `80W-90`, `SAE 30`, `VG 46`, `ISO VG 46`.

    A bare number is taken as SAE. Raises GradeError if the text is no grade, if a number is on no scale, or if the
    two numbers belong to different scales.
    """
    upper = " ".join(text.upper().replace("–", "-").split())
    found = _ISO_TEXT.fullmatch(upper)
    if found:
        number = int(found[1] or found[2])
        if row_for(Scale.ISO, number) is None:
            raise GradeError(f"ISO 3448 has no VG {number}; the nearest are {_nearest_vg(number)}.")
        return Grade(Scale.ISO, None, number)
    found = _SAE_TEXT.fullmatch(upper)
    if not found or not (found[1] or found[2]):
        raise GradeError(f"'{text[:24]}' is not a viscosity grade; type it like 15W-40, 80W-90, SAE 30 or VG 46.")
    cold = int(found[1]) if found[1] else None
    hot = int(found[2]) if found[2] else None
    scales = [scale for scale in (Scale.ENGINE, Scale.GEAR) if _on(scale, cold, hot)]
    if not scales:
        raise GradeError(_off_scale(cold, hot))
    # The SAE numbers were chosen so that no number stands on both scales.
    if found[3] and found[3] != _oil(scales[0]).upper():
        raise GradeError(
            f"{Grade(scales[0], cold, hot).label} is a grade of {_oil(scales[0])} oil, not {found[3].lower()} oil; "
            "type it without that word, or correct the number."
        )
    return Grade(scales[0], cold, hot)


def _on(scale: Scale, cold: int | None, hot: int | None) -> bool:
    if cold is not None and row_for(scale, cold, winter=True) is None:
        return False
    return hot is None or row_for(scale, hot, cold=cold) is not None


def _off_scale(cold: int | None, hot: int | None) -> str:
    if cold is not None and hot is not None:
        cold_on = [scale for scale in (Scale.ENGINE, Scale.GEAR) if _on(scale, cold, None)]
        hot_on = [scale for scale in (Scale.ENGINE, Scale.GEAR) if row_for(scale, hot) is not None]
        if cold_on and hot_on:
            return (
                f"{cold}W is on the {_oil(cold_on[0])} oil scale ({cold_on[0]}) and {hot} on the "
                f"{_oil(hot_on[0])} oil scale ({hot_on[0]}); type a grade whose two numbers belong together."
            )
    if cold is None and hot is not None and row_for(Scale.ISO, hot):
        return f"SAE has no grade {hot}; type VG {hot} if the ISO grade is meant."
    written = Grade(Scale.ENGINE, cold, hot).label
    return (
        f"{written} is neither an engine grade (SAE J300) nor a gear grade (SAE J306); type one like 15W-40 or 80W-90."
    )


def _oil(scale: Scale) -> str:
    return "gear" if scale is Scale.GEAR else "engine"


def _nearest_vg(number: int) -> str:
    grades = sorted(int(row.grade) for row in limits(Scale.ISO))
    below = [grade for grade in grades if grade < number]
    above = [grade for grade in grades if grade > number]
    return " and ".join(f"VG {grade}" for grade in below[-1:] + above[:1])


def is_grade(text: str) -> bool:
    """Whether `parse` would read the text."""
    try:
        parse(text)
    except GradeError:
        return False
    return True


def grades_at(scale: Scale, kv: float, *, hths: float | None = None) -> tuple[Limits, ...]:
    """The grades (without W) that a kinematic viscosity in mm²/s is in, at 40 °C for ISO and at 100 °C for SAE.

    The thin engine grades overlap on purpose, so several may come back; a measured HTHS viscosity in mPa·s at 150 °C
    (`hths`) rules out those whose minimum it misses. Empty if the value falls between grades or off the scale.
    """
    if not kv > 0:
        raise ValueError("A viscosity is above zero; type it in mm²/s (cSt).")
    return tuple(
        row
        for row in limits(scale)
        if not row.winter and row.holds(kv) and (hths is None or row.hths_min is None or hths >= row.hths_min)
    )


def hot_limits(grade: Grade) -> Limits:
    """The row that bounds a grade when warm: its hot number, or its W number if it has no other."""
    if grade.hot is not None:
        row = row_for(grade.scale, grade.hot, cold=grade.cold)
    else:
        row = row_for(grade.scale, grade.cold or 0, winter=True)
    if row is None:
        raise GradeError(f"{grade.label} is not in {grade.scale}; type a grade like 15W-40, 80W-90 or VG 46.")
    return row


def cold_limits(grade: Grade) -> Limits | None:
    """The row of the grade's W number, or None if it has none."""
    return None if grade.cold is None else row_for(grade.scale, grade.cold, winter=True)
