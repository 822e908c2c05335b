"""Motorcycle oil by its friction indices against JASO T903: does a wet clutch hold in it?"""

from __future__ import annotations

from typing import Final, NamedTuple

from catalog.because import Because
from catalog.compare import at_least, at_most, same, under
from catalog.fluids import tables
from catalog.fluids.by_figures.figured import Figured, Measured, limit
from catalog.fluids.grade_check import Verdict
from catalog.publications import named
from catalog.standing import Standing

SUBJECT: Final = "wet-clutch oil"
WORDS: Final = {
    "dfi": "dynamic friction index (DFI)",
    "sfi": "static friction index (SFI)",
    "sti": "stop time index (STI)",
}
NEWEST: Final = 2016
GRADES: Final = ("JASO MA", "JASO MA1", "JASO MA2", "JASO MB")


class _Row(NamedTuple):
    grade: str
    limits: dict[str, tuple[float, float]]
    because: Because


def _rows(edition: int) -> list[_Row]:
    found = []
    for row in tables.rows("jaso_t903"):
        if int(row["edition"]) != edition:
            continue
        limits = {name: (float(row[f"{name}_min"]), float(row[f"{name}_max"])) for name in WORDS}
        said = ", ".join(f"{name.upper()} {least:.2f} to {most:.2f}" for name, (least, most) in limits.items())
        because = limit(
            f"JASO {row['grade']}: {said} (JASO T903:{edition})", named(row["source"]), Standing(row["standing"])
        )
        found.append(_Row(f"JASO {row['grade']}", limits, because))
    return found


def wet_clutch(
    required: str = "",
    *,
    dfi: float | None = None,
    sfi: float | None = None,
    sti: float | None = None,
    edition: int = NEWEST,
) -> Figured:
    """Judge the three friction indices by the issue of JASO T903 they were measured under (2016 or 2006).

    All three within MA1 is MA1, all within MA2 is MA2, else MA; one below MA makes it MB. Raises ValueError if none is
    given, one cannot be, or `required` or `edition` is not in the table.
    """
    given = {name: value for name, value in (("dfi", dfi), ("sfi", sfi), ("sti", sti)) if value is not None}
    if not given:
        raise ValueError("No friction index is given; type such as dfi=1.85 sfi=1.75 sti=1.95.")
    for name, value in given.items():
        if not 0 < value < 10:
            raise ValueError(f"The {WORDS[name]} lies between 0 and 3; {value:g} cannot be.")
    rows = _rows(edition)
    if not rows:
        raise ValueError(f"The tables have JASO T903 of 2016 and of 2006, not of {edition}; type edition=2016.")
    if required and required not in GRADES:
        raise ValueError(f"{required} has no friction index in JASO T903; those that have: {', '.join(GRADES)}.")
    general = rows[0]
    low = [name for name, value in given.items() if under(value, general.limits[name][0])]
    high = [name for name, value in given.items() if not at_most(value, general.limits[name][1])]
    known = len(given) == len(WORDS)
    reaches = _reaches(rows, given, known=known, low=bool(low), high=bool(high))
    asked = next((row for row in rows if row.grade == required), general)
    measured = tuple(
        Measured(name, WORDS[name], value, "", *(_limits(asked, name, required)), _holds(asked, name, value, required))
        for name, value in given.items()
    )
    because = tuple(row.because for row in rows) if not required else (general.because, asked.because)
    because = tuple(dict.fromkeys(because))
    verdict, reason, conditions = _verdict(required, reaches, given, low=low, high=high, known=known)
    return Figured(SUBJECT, required, verdict, reason, measured, conditions, reaches, because)


def _limits(asked: _Row, name: str, required: str) -> tuple[float | None, float | None]:
    return (None, None) if required == "JASO MB" else asked.limits[name]


def _holds(asked: _Row, name: str, value: float, required: str) -> bool | None:
    return None if required == "JASO MB" else _within(asked, name, value)


def _within(row: _Row, name: str, value: float) -> bool:
    least, most = row.limits[name]
    # Where MA1 ends MA2 begins: its upper limit is exclusive, or one oil would be both.
    top = under(value, most) and not same(value, most) if row.grade == "JASO MA1" else at_most(value, most)
    return at_least(value, least) and top


def _reaches(rows: list[_Row], given: dict[str, float], *, known: bool, low: bool, high: bool) -> tuple[str, ...]:
    if high:
        return ()
    if low:
        return ("JASO MB",)
    if not known:
        return ()
    return tuple(row.grade for row in rows if all(_within(row, name, value) for name, value in given.items()))


def _verdict(
    required: str,
    reaches: tuple[str, ...],
    given: dict[str, float],
    *,
    low: list[str],
    high: list[str],
    known: bool,
) -> tuple[Verdict, str, tuple[str, ...]]:
    missing = ", ".join(WORDS[name] for name in WORDS if name not in given)
    if high:
        return Verdict.NO, f"{WORDS[high[0]]} is above every grade of JASO T903.", ()
    if required == "JASO MB":
        if low:
            return Verdict.YES, "It is MB, for a clutch that does not run in the oil.", ()
        if known:
            return Verdict.WITH_CARE, "It is MA: it works where MB is asked, with more friction.", ()
        return Verdict.WITH_CARE, f"Not known: {missing}.", ()
    if low:
        names = ", ".join(WORDS[name] for name in low)
        return Verdict.NO, f"It is MB: {names} under the least of MA, and a wet clutch slips.", ()
    if not known:
        return Verdict.WITH_CARE, f"What is known lies within MA; not known: {missing}.", ()
    if not required or required in reaches:
        return Verdict.YES, f"It is {reaches[-1]}: a wet clutch holds.", ()
    words = f"It is {reaches[-1]}, not {required}"
    if required == "JASO MA1":
        return (
            Verdict.WITH_CARE,
            f"{words}: a wet clutch holds, and it bites harder.",
            ("only where the manual takes MA",),
        )
    return Verdict.NO, f"{words}: less friction than {required} asks.", ()
