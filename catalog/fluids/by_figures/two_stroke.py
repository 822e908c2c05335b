"""Two-stroke oil by its indices against JASO M345: each is a percentage of the reference oil's result."""

from __future__ import annotations

from typing import Final, NamedTuple

from catalog.because import Because
from catalog.compare import at_least, under
from catalog.fluids import tables
from catalog.fluids.by_figures.figured import Figured, Measured, against, limit
from catalog.fluids.grade_check import Verdict
from catalog.publications import named
from catalog.standing import Standing

SUBJECT: Final = "two-stroke oil"
WORDS: Final = {
    "lubricity": "lubricity index",
    "torque": "initial torque index",
    "detergency": "detergency index",
    "skirt": "piston skirt index",
    "smoke": "smoke index",
    "blocking": "exhaust blocking index",
}
THREE_HOURS: Final = "the detergency and skirt indices of FD are those of the three-hour test"


class _Row(NamedTuple):
    grade: str
    least: dict[str, float]
    because: Because


def _rows() -> list[_Row]:
    found = []
    for row in tables.rows("jaso_m345"):
        least = {name: float(row[f"{name}_min"]) for name in WORDS if row[f"{name}_min"]}
        said = ", ".join(f"{WORDS[name].removesuffix(' index')} {value:g}" for name, value in least.items())
        because = limit(f"JASO {row['grade']} asks at least: {said} (JASO M345:2004)", named(row["source"]),
                        Standing(row["standing"]))  # fmt: skip
        found.append(_Row(f"JASO {row['grade']}", least, because))
    return found


def two_stroke(required: str = "", **figures: float | None) -> Figured:
    """Judge the indices `lubricity`, `torque`, `detergency`, `skirt`, `smoke` and `blocking`.

    Raises ValueError if none is given, one cannot be, or `required` is no grade of JASO M345.
    """
    given = {name: value for name, value in figures.items() if value is not None}
    if not given:
        raise ValueError("No index is given; type such as lubricity=95 torque=98 detergency=95 smoke=85 blocking=90.")
    for name, value in given.items():
        if not 0 < value <= 1000:
            raise ValueError(f"The {WORDS[name]} is about 100; {value:g} cannot be.")
    rows = _rows()
    asked = next((row for row in rows if row.grade == required), None)
    if required and asked is None:
        raise ValueError(f"{required} is not a grade of JASO M345; those are {', '.join(row.grade for row in rows)}.")
    reaches = tuple(
        row.grade
        for row in rows
        if all(name in given and at_least(given[name], least) for name, least in row.least.items())
    )
    if asked is None:
        return _which(rows, reaches, given)
    measured = tuple(
        against(name, WORDS[name], given[name], "", asked.least.get(name), None) for name in WORDS if name in given
    )
    low = [one for one in measured if not one.holds]
    if low:
        reason = f"It is not {asked.grade}: {'; '.join(one.sentence for one in low)}."
        return Figured(SUBJECT, asked.grade, Verdict.NO, reason, measured, (), reaches, (asked.because,))
    conditions = (THREE_HOURS,) if asked.grade == "JASO FD" else ()
    missing = [WORDS[name] for name in asked.least if name not in given]
    if missing:
        reason = f"What is known meets {asked.grade}; not known: {', '.join(missing)}."
        return Figured(SUBJECT, asked.grade, Verdict.WITH_CARE, reason, measured, conditions, reaches, (asked.because,))
    reason = f"It meets every index of {asked.grade}."
    return Figured(SUBJECT, asked.grade, Verdict.YES, reason, measured, conditions, reaches, (asked.because,))


def _which(rows: list[_Row], reaches: tuple[str, ...], given: dict[str, float]) -> Figured:
    measured = tuple(Measured(name, WORDS[name], given[name], "") for name in WORDS if name in given)
    because = tuple(row.because for row in rows)
    if reaches:
        conditions = (THREE_HOURS,) if "JASO FD" in reaches else ()
        reason = f"It meets the indices of {', '.join(reaches)}."
        return Figured(SUBJECT, "", Verdict.YES, reason, measured, conditions, reaches, because)
    out = [row.grade for row in rows if any(under(given.get(name, least), least) for name, least in row.least.items())]
    if len(out) == len(rows):
        return Figured(SUBJECT, "", Verdict.NO, "It meets no grade of JASO M345.", measured, (), (), because)
    left = [row.grade for row in rows if row.grade not in out]
    reason = f"It may be {' or '.join(left)}; more indices must be known."
    return Figured(SUBJECT, "", Verdict.WITH_CARE, reason, measured, (), (), because)
