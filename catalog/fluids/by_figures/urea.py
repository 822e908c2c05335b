"""AUS 32 (diesel exhaust fluid) by urea, density and refractive index against ISO 22241-1."""

from __future__ import annotations

from typing import Final

from catalog.fluids import tables
from catalog.fluids.by_figures.figured import Figured, Measured, against, limit
from catalog.fluids.grade_check import Verdict
from catalog.publications import named
from catalog.standing import Standing

SUBJECT: Final = "AUS 32"
PURITY: Final = (
    "these figures cannot see biuret, phosphate or metals, and farm urea can have them right: the label must say "
    "ISO 22241-1"
)
_PLAUSIBLE: Final = {"urea": (0.0, 60.0), "density": (900.0, 1400.0), "refraction": (1.3, 1.6), "biuret": (0.0, 20.0)}


def aus32(required: str = "", **figures: float | None) -> Figured:
    """Judge `urea` in mass %, `density` in kg/m³ at 20 °C, `refraction` (nD at 20 °C) and `biuret` in mass %.

    A figure outside its limits is a no; concentration by one figure alone is with care. Raises ValueError if nothing is
    given, a figure cannot be, or something else than AUS 32 is required.
    """
    if required not in ("", SUBJECT):
        raise ValueError(f"Urea and density are the figures of AUS 32; {required} is judged by name.")
    given = {name: value for name, value in figures.items() if value is not None}
    if not given:
        raise ValueError("No figure is given; type urea=, density= or refraction=, such as urea=32.5 density=1090.")
    measured: list[Measured] = []
    because = []
    for row in tables.rows("aus32"):
        value = given.get(row["figure"])
        if value is None:
            continue
        lowest, highest = _PLAUSIBLE[row["figure"]]
        if not lowest <= value <= highest:
            raise ValueError(f"{row['words']} of {value:g} {row['unit']} cannot be; check the reading and its unit.")
        least, most = tables.number(row["least"]), tables.number(row["most"])
        measured.append(against(row["figure"], row["words"], value, row["unit"], least, most))
        limits = f"{row['least']} to {row['most']}" if row["least"] else f"at most {row['most']}"
        rule = f"{row['words']} {limits} {row['unit']}".strip() + " (ISO 22241-1)"
        because.append(limit(rule, named(row["source"]), Standing(row["standing"])))
    wrong = [one for one in measured if not one.holds]
    if wrong:
        reason = f"It is not AUS 32: {'; '.join(one.sentence for one in wrong)}."
        return Figured(SUBJECT, SUBJECT, Verdict.NO, reason, tuple(measured), (), (), tuple(because))
    strength = {"urea", "refraction"} & given.keys()
    if not strength or "density" not in given:
        missing = "density at 20 °C" if strength else "urea or refractive index"
        reason = f"What is known fits AUS 32; one figure alone does not prove it: measure {missing} too."
        return Figured(SUBJECT, SUBJECT, Verdict.WITH_CARE, reason, tuple(measured), (PURITY,), (), tuple(because))
    reason = "Its strength is that of AUS 32."
    return Figured(SUBJECT, SUBJECT, Verdict.YES, reason, tuple(measured), (PURITY,), (SUBJECT,), tuple(because))
