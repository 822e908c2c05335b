"""Coolant by its share of glycol and by its freezing point.

A product sold as prediluted is judged by its share; what is in the radiator by the temperature at which it freezes.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Final

from catalog.because import Because
from catalog.compare import at_most, over, under
from catalog.fluids import properties, tables
from catalog.fluids.by_figures.figured import Figured, Measured, against, amount, limit, worst
from catalog.fluids.grade_check import Verdict
from catalog.publications import named
from catalog.standing import Standing

SUBJECT: Final = "coolant"
BASES: Final = {"eg": "ethylene glycol", "pg": "propylene glycol"}
SCALE: Final = "a refractometer's scale is for one glycol only: read propylene glycol on its own scale"
_PREDILUTED: Final = ("III", "IV")
_HEAVY: Final = "D6210"
_TABLES_END_PCT: Final = 70.0
"""The most glycol at which any standard of the tables uses a coolant (ASTM D3306)."""


def freezing_point(base: str, vol_pct: float) -> float | None:
    """The freezing point in °C of a share in vol %, between the rows of the table; None past its last row."""
    rows = [(float(r["vol_pct"]), float(r["freezing_c"])) for r in tables.rows("glycol_freezing") if r["base"] == base]
    for (low, warm), (high, cold) in pairwise(rows):
        if low <= vol_pct <= high:
            return warm + (cold - warm) * (vol_pct - low) / (high - low)
    return None


def coolant(
    required: str = "",
    *,
    glycol_pct: float | None = None,
    freezes_c: float | None = None,
    coldest_c: float | None = None,
    base: str = "",
    sold: str = "",
) -> Figured:
    """Judge a share of glycol in vol % and a freezing point in °C, against the coldest weather in °C.

    `sold` as `prediluted` (or a share alone where a prediluted type is required): a product ready to fill; `mixed`:
    what is in the radiator. Raises ValueError if neither a share nor a freezing point is given, a figure cannot be, or
    `required` is no coolant.
    """
    if glycol_pct is None and freezes_c is None:
        raise ValueError("Nothing is measured; type glycol=50 or freezes=-37C, and coldest=-20C.")
    if glycol_pct is not None and not 0 <= glycol_pct <= 100:
        raise ValueError(f"A share of glycol lies between 0 and 100 %; {glycol_pct:g} was typed.")
    for value in (freezes_c, coldest_c):
        if value is not None and not -80 <= value <= 60:
            raise ValueError(f"{amount(value, '°C')} cannot be; check the reading, its sign and its unit.")
    if freezes_c is not None and freezes_c > 1:
        raise ValueError("Coolant freezes at 0 °C or below; check the sign, such as freezes=-37C.")
    asked = properties.of(required) if required else None
    if required and (asked is None or asked.sort is not properties.Sort.COOLANT):
        raise ValueError(f"{required} is not a coolant; type the coolant that is asked for, or nothing.")
    name = base or (asked.base if asked else "")
    glycol = name or "ethylene glycol"
    sort = required.rpartition("Type ")[2].removesuffix("-FF")
    if sold == "prediluted" or (sold != "mixed" and freezes_c is None and sort in _PREDILUTED):
        return _as_sold(required, glycol_pct, freezes_c, coldest_c, glycol)
    return _in_radiator(required, glycol_pct, freezes_c, coldest_c, glycol, guessed=not name)


def _row(what: str) -> dict[str, str]:
    return next(row for row in tables.rows("coolant_limits") if row["what"] == what)


def _said(row: dict[str, str], rule: str) -> Because:
    return limit(rule, named(row["source"]), Standing(row["standing"]))


def _as_sold(
    required: str, glycol_pct: float | None, freezes_c: float | None, coldest_c: float | None, glycol: str
) -> Figured:
    row = _row("prediluted")
    least = float(row["least_pct"])
    because = (_said(row, f"a prediluted coolant holds at least {least:g} vol % glycol (ASTM D3306)"),)
    if glycol_pct is None:
        raise ValueError("A prediluted product is judged by its share of glycol; type glycol=50.")
    share = against("glycol", "glycol", glycol_pct, "vol %", least, None)
    if not share.holds:
        reason = f"It is not a prediluted coolant: {share.sentence}."
        return Figured(SUBJECT, required, Verdict.NO, reason, (share,), (), (), because)
    if coldest_c is not None:
        cold, more, why = _cold(glycol_pct, freezes_c, coldest_c, glycol)
        return Figured(SUBJECT, required, cold[0], cold[1], (share, *more), cold[2], (), (*because, *why))
    return Figured(
        SUBJECT, required, Verdict.YES, "It holds enough glycol to be filled as it is.", (share,), (), (), because
    )


def _in_radiator(
    required: str,
    glycol_pct: float | None,
    freezes_c: float | None,
    coldest_c: float | None,
    glycol: str,
    *,
    guessed: bool,
) -> Figured:
    row = _row("heavy duty" if _HEAVY in required else "light duty")
    least, most = float(row["least_pct"]), float(row["most_pct"])
    verdicts, says, conditions, measured, because = [], [], [], [], []
    if glycol_pct is not None:
        share = against("glycol", "glycol", glycol_pct, "vol %", least, most)
        measured.append(share)
        name = "ASTM D6210" if _HEAVY in required else "ASTM D3306"
        because.append(_said(row, f"coolant is used at {least:g} to {most:g} vol % glycol ({name})"))
        if not share.holds:
            thin = under(glycol_pct, least)
            # Past this, more glycol no longer lowers the freezing point, and the tables end: nothing vouches for it.
            verdicts.append(Verdict.NO if over(glycol_pct, _TABLES_END_PCT) else Verdict.WITH_CARE)
            fault = (
                "too little inhibitor, it rusts" if thin else "it cools worse and freezes sooner; dilute it with water"
            )
            says.append(f"{glycol_pct:g} vol % glycol is outside {least:g} to {most:g}: {fault}.")
            if over(glycol_pct, _TABLES_END_PCT):
                top = f"{_TABLES_END_PCT:g} %"
                says.append(f"That more than {top} is a no is our inference: no standard here goes past it.")
    if coldest_c is None:
        verdicts.append(Verdict.WITH_CARE)
        conditions.append("how cold it gets is not known: type coldest=, such as coldest=-25C")
        because.append(_margin(float(row["margin_c"])))
        freezes = freezes_c if freezes_c is not None else freezing_point(glycol, glycol_pct or 0.0)
        if freezes is not None:
            says.append(f"It freezes near {amount(round(freezes, 1), '°C')}.")
            measured.append(Measured("freezes", "freezing point", round(freezes, 1), "°C"))
        else:
            says.append(_past_the_table(glycol, glycol_pct or 0.0))
    else:
        cold, more, why = _cold(glycol_pct, freezes_c, coldest_c, glycol)
        verdicts.append(cold[0])
        says.append(cold[1])
        conditions += cold[2]
        measured += more
        because += why
    if freezes_c is None and guessed:
        conditions.append("taken as ethylene glycol; for propylene glycol type base=pg")
    if freezes_c is not None:
        conditions.append(SCALE)
    return Figured(
        SUBJECT, required, worst(verdicts), " ".join(says), tuple(measured), tuple(conditions), (), tuple(because)
    )


def _past_the_table(glycol: str, glycol_pct: float) -> str:
    return f"The table of freezing points of {glycol} ends below {glycol_pct:g} vol %: measure the freezing point."


def _margin(margin: float) -> Because:
    rule = f"keep {margin:g} °C between the freezing point and the coldest weather"
    return Because(rule, "common practice, no source", Standing.PRACTICE)


def _cold(
    glycol_pct: float | None, freezes_c: float | None, coldest_c: float, glycol: str
) -> tuple[tuple[Verdict, str, tuple[str, ...]], list[Measured], list[Because]]:
    """Against the coldest weather: by the measured freezing point, or by the table for the share."""
    margin = float(_row("light duty")["margin_c"])
    because = [_margin(margin)]
    freezes = freezes_c
    if freezes is None:
        row = next(row for row in tables.rows("glycol_freezing") if row["base"] == glycol)
        because.insert(0, _said(row, f"freezing point of {glycol} and water by volume, between the rows of the table"))
        freezes = freezing_point(glycol, glycol_pct or 0.0)
    if freezes is None:
        return (Verdict.WITH_CARE, _past_the_table(glycol, glycol_pct or 0.0), ()), [], because
    freezes = round(freezes, 1)
    figure = against("freezes", "freezing point", freezes, "°C", None, coldest_c)
    said = f"It freezes near {amount(freezes, '°C')}"
    if over(freezes, coldest_c):
        says = f"{said}, before the coldest weather of {amount(coldest_c, '°C')}: the block can crack."
        return (Verdict.NO, says, ()), [figure], because
    if at_most(freezes, coldest_c - margin):
        says = f"{said}, below the coldest weather of {amount(coldest_c, '°C')}."
        return (Verdict.YES, says, ()), [figure], because
    says = f"{said}, less than {margin:g} °C below the coldest weather of {amount(coldest_c, '°C')}."
    return (Verdict.WITH_CARE, says, ("a colder night than expected freezes it",)), [figure], because
