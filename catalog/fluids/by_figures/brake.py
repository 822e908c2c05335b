"""Brake fluid by its boiling points, dry and wet, against the minima of FMVSS 116 (49 CFR 571.116)."""

from __future__ import annotations

from typing import Final

from catalog.because import Because
from catalog.compare import under
from catalog.fluids.by_figures.figured import Figured, Measured, against, amount, limit
from catalog.fluids.classes import BrakeFluidLimits, brake_fluids
from catalog.fluids.grade_check import Verdict
from catalog.standing import Standing

SUBJECT: Final = "brake fluid"
BASE: Final = (
    "DOT 5 (silicone) and DOT 5.1 (not silicone) have the same boiling points: only the label tells them apart, "
    "and they must never meet"
)
_RENEW: Final = Because(
    "a fluid in use is renewed when it boils under the wet minimum of its grade",
    "common practice, no source",
    Standing.PRACTICE,
)


def brake_fluid(required: str = "", *, dry_c: float | None, wet_c: float | None = None, used: bool = False) -> Figured:
    """Judge boiling points in °C. `used`: `dry_c` was measured on the fluid in the machine, with the water it took up.

    Raises ValueError if neither is given, a figure cannot be, or `required` is no grade of FMVSS 116.
    """
    if dry_c is None and wet_c is None:
        raise ValueError("No boiling point is given; type dry=, wet= or both, such as dry=232C wet=157C.")
    for value in (dry_c, wet_c):
        if value is not None and not 80 <= value <= 400:
            raise ValueError(f"No brake fluid boils at {amount(value, '°C')}; check the reading and its unit.")
    if dry_c is not None and wet_c is not None and wet_c > dry_c:
        raise ValueError("The wet boiling point is above the dry one; check which is which.")
    asked = next((one for one in brake_fluids() if one.grade == required), None)
    if required and asked is None:
        listed = ", ".join(one.grade for one in brake_fluids())
        raise ValueError(
            f"{required} has no boiling point in FMVSS 116; it is judged by name. Those that have: {listed}."
        )
    if used:
        if asked is None or dry_c is None or wet_c is not None:
            raise ValueError(
                "A fluid in use has one boiling point, as it is; type dry= with state=used and the grade asked."
            )
        return _in_use(asked, dry_c)
    return _as_sold(asked, dry_c, wet_c)


def _figures(asked: BrakeFluidLimits | None, dry_c: float | None, wet_c: float | None) -> tuple[Measured, ...]:
    found = []
    for name, words, value, least in (
        ("dry", "dry boiling point", dry_c, asked.dry_boiling_min_c if asked else None),
        ("wet", "wet boiling point", wet_c, asked.wet_boiling_min_c if asked else None),
    ):
        if value is not None:
            held = (
                Measured(name, words, value, "°C") if least is None else against(name, words, value, "°C", least, None)
            )
            found.append(held)
    return tuple(found)


def _because(one: BrakeFluidLimits) -> Because:
    rule = (
        f"{one.grade} boils at {one.dry_boiling_min_c:g} °C or more dry and {one.wet_boiling_min_c:g} °C or more wet "
        "(FMVSS 116)"
    )
    return limit(rule, one.source, one.standing)


def _as_sold(asked: BrakeFluidLimits | None, dry_c: float | None, wet_c: float | None) -> Figured:
    reaches = tuple(
        one.grade
        for one in brake_fluids()
        if dry_c is not None
        and wet_c is not None
        and not under(dry_c, one.dry_boiling_min_c)
        and not under(wet_c, one.wet_boiling_min_c)
    )
    figures = _figures(asked, dry_c, wet_c)
    conditions = [BASE] if "DOT 5" in reaches or (asked and asked.grade in ("DOT 5", "DOT 5.1")) else []
    if asked is None:
        because = tuple(_because(one) for one in brake_fluids())
        if dry_c is None or wet_c is None:
            missing = "wet" if wet_c is None else "dry"
            reason = f"The {missing} boiling point is missing: no grade can be told by one figure."
            return Figured(SUBJECT, "", Verdict.WITH_CARE, reason, figures, (), reaches, because)
        if not reaches:
            return Figured(
                SUBJECT, "", Verdict.NO, "It boils below every grade of FMVSS 116.", figures, (), (), because
            )
        reason = f"It meets the boiling points of {', '.join(reaches)}."
        return Figured(SUBJECT, "", Verdict.YES, reason, figures, tuple(conditions), reaches, because)
    low = [one for one in figures if one.holds is False]
    if low:
        reason = f"It is not {asked.grade}: {'; '.join(one.sentence for one in low)}."
        return Figured(SUBJECT, asked.grade, Verdict.NO, reason, figures, (), reaches, (_because(asked),))
    if dry_c is None or wet_c is None:
        missing = "wet" if wet_c is None else "dry"
        conditions.insert(0, f"the {missing} boiling point is not known: look it up on the data sheet")
        reason = f"What is known meets {asked.grade}; the {missing} boiling point is missing."
        return Figured(
            SUBJECT, asked.grade, Verdict.WITH_CARE, reason, figures, tuple(conditions), reaches, (_because(asked),)
        )
    reason = f"It meets the boiling points of {asked.grade}, dry and wet."
    # No boiling point proves silicone, and anything else ruins a DOT 5 system.
    verdict = Verdict.WITH_CARE if asked.silicone else Verdict.YES
    return Figured(SUBJECT, asked.grade, verdict, reason, figures, tuple(conditions), reaches, (_because(asked),))


def _in_use(asked: BrakeFluidLimits, dry_c: float) -> Figured:
    figure = Measured(
        "dry", "boiling point of the fluid in use", dry_c, "°C", asked.wet_boiling_min_c, None,
        not under(dry_c, asked.wet_boiling_min_c),
    )  # fmt: skip
    because = (_because(asked), _RENEW)
    if under(dry_c, asked.wet_boiling_min_c):
        reason = (
            f"Renew it now: {amount(dry_c, '°C')} is under the wet minimum of {asked.grade}, "
            f"{amount(asked.wet_boiling_min_c, '°C')}."
        )
        return Figured(SUBJECT, asked.grade, Verdict.NO, reason, (figure,), (), (), because)
    if under(dry_c, asked.dry_boiling_min_c):
        reason = (
            f"It has taken up water: {amount(dry_c, '°C')} lies between the wet minimum of {asked.grade}, "
            f"{amount(asked.wet_boiling_min_c, '°C')}, and the dry one, {amount(asked.dry_boiling_min_c, '°C')}."
        )
        conditions = ("renew it at the next service, all of it",)
        return Figured(SUBJECT, asked.grade, Verdict.WITH_CARE, reason, (figure,), conditions, (), because)
    reason = f"It still boils like new {asked.grade}, at {amount(asked.dry_boiling_min_c, '°C')} or more."
    return Figured(SUBJECT, asked.grade, Verdict.YES, reason, (figure,), (), (), because)
