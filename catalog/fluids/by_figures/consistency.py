"""Grease by its worked penetration: the NLGI number, or the gap between two numbers it falls into (ASTM D217)."""

from __future__ import annotations

from typing import Final

from catalog.because import Because
from catalog.compare import at_least, at_most
from catalog.fluids.by_figures.figured import Figured, Measured, against, limit
from catalog.fluids.classes import GreaseConsistency, grease_grades
from catalog.fluids.grade_check import Verdict

SUBJECT: Final = "grease consistency"
UNIT: Final = "× 0.1 mm"


def penetration(required: str = "", *, worked: float) -> Figured:
    """Judge a worked penetration in tenths of a millimetre (60 strokes, 25 °C) against `required`, such as `NLGI 2`.

    Raises ValueError if the figure cannot be or `required` is not an NLGI number.
    """
    if not 10 <= worked <= 600:
        raise ValueError(f"A worked penetration lies between 85 and 475 tenths of a millimetre; {worked:g} cannot be.")
    grades = grease_grades()
    asked = next((one for one in grades if f"NLGI {one.grade}" == required), None)
    if required and asked is None:
        raise ValueError(f"{required} is not an NLGI number; type NLGI 000 to NLGI 6.")
    found = next((one for one in grades if _holds(one, worked)), None)
    reaches = (f"NLGI {found.grade}",) if found else ()
    where = f"It is NLGI {found.grade}." if found else f"It is of no NLGI number: {worked:g} lies {_gap(worked)}."
    if asked is None:
        figure = Measured("penetration", "worked penetration", worked, UNIT)
        because = tuple(map(_because, [found] if found else _nearest(worked)))
        return Figured(SUBJECT, "", Verdict.YES if found else Verdict.NO, where, (figure,), (), reaches, because)
    figure = against("penetration", "worked penetration", worked, UNIT, asked.min_penetration, asked.max_penetration)
    if figure.holds:
        return Figured(SUBJECT, required, Verdict.YES, where, (figure,), (), reaches, (_because(asked),))
    softer = "softer" if worked > asked.max_penetration else "stiffer"
    reason = f"It is {softer} than {required}, {asked.min_penetration} to {asked.max_penetration}. {where}"
    return Figured(SUBJECT, required, Verdict.NO, reason, (figure,), (), reaches, (_because(asked),))


def _holds(one: GreaseConsistency, worked: float) -> bool:
    return at_least(worked, one.min_penetration) and at_most(worked, one.max_penetration)


def _nearest(worked: float) -> list[GreaseConsistency]:
    """The numbers on both sides of a gap, softer first."""
    softer = [one for one in grease_grades() if one.min_penetration > worked]
    stiffer = [one for one in grease_grades() if one.max_penetration < worked]
    return softer[-1:] + stiffer[:1]


def _gap(worked: float) -> str:
    sides = [f"NLGI {one.grade} ({one.min_penetration} to {one.max_penetration})" for one in _nearest(worked)]
    if len(sides) == 2:
        return f"in the gap between {sides[0]} and {sides[1]}"
    return f"{'above' if worked > 300 else 'below'} {sides[0]}, the last of the scale"


def _because(one: GreaseConsistency) -> Because:
    rule = f"NLGI {one.grade}: worked penetration {one.min_penetration} to {one.max_penetration} {UNIT} (ASTM D217)"
    return limit(rule, one.source, one.standing)
