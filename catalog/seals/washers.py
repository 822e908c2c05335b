"""Sealing washers: from readings to the washer it was, and from a plug's thread to the washer it takes.

Soft metal rings (DIN 7603, form A flat, form C filled with a soft core, of the same sizes) and bonded washers (a steel
ring with a rubber lip). A washer's material is seen, not measured: copper, aluminium, fibre and steel come in the
same sizes.
"""

from __future__ import annotations

import csv
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import NamedTuple

from catalog.because import Because
from catalog.fasteners.sizes import System, Thread
from catalog.publications import named
from catalog.seals.evidence import ALIVE, MODEL, Limits, Readings, any_size, nearest, rank
from catalog.standing import Standing

TABLE = files("catalog") / "data" / "seals" / "washers.csv"


class WasherKind(StrEnum):
    """A flat ring of soft metal, or a steel ring with a rubber lip inside."""

    FLAT = "flat"
    BONDED = "bonded"

    @property
    def words(self) -> str:
        """As a person reads it."""
        return "soft metal washer" if self is WasherKind.FLAT else "bonded washer"


class Washer(NamedTuple):
    """One washer, nominal mm. `threads`: the plugs it goes under (`M14`: of any pitch). `common`: the usual one."""

    kind: WasherKind
    standard: str
    threads: tuple[str, ...]
    inside_mm: float
    outside_mm: float
    thick_mm: float
    common: bool
    source: str
    standing: Standing
    note: str

    @property
    def label(self) -> str:
        """`14 × 18 × 1.5`."""
        return f"{self.inside_mm:g} × {self.outside_mm:g} × {self.thick_mm:g}"


class WasherMatch(NamedTuple):
    """A washer with its probability; how far each reading lies outside what such a washer measures, mm (0: within)."""

    washer: Washer
    probability: float
    off_mm: dict[str, float]


class WasherAnswer(NamedTuple):
    """Likeliest first; the probability that it is none of them; what would settle a doubt; sentences; the rules."""

    matches: tuple[WasherMatch, ...]
    none_probability: float
    settle: str
    notes: tuple[str, ...]
    because: tuple[Because, ...]


INSIDE, OUTSIDE, THICK = "inside diameter", "outside diameter", "thickness"
DIMENSIONS = (INSIDE, OUTSIDE, THICK)
_RANGES = {INSIDE: (3.0, 80.0), OUTSIDE: (5.0, 120.0), THICK: (0.5, 6.0)}
_NONE_PRIOR = 0.15
_SELDOM = 0.4
# Our assumptions, no source: how far a new washer is off its nominal size, and how far a crushed one moves besides.
_MADE = {
    WasherKind.FLAT: {INSIDE: (0.0, 0.5), OUTSIDE: (-0.3, 0.0), THICK: (-0.2, 0.2)},
    WasherKind.BONDED: {INSIDE: (-0.2, 0.3), OUTSIDE: (-0.2, 0.2), THICK: (-0.15, 0.15)},
}
_CRUSHED = {
    WasherKind.FLAT: {INSIDE: (-0.3, 0.0), OUTSIDE: (0.0, 0.4), THICK: (-0.4, 0.0)},
    WasherKind.BONDED: {INSIDE: (-0.3, 0.2), OUTSIDE: (0.0, 0.0), THICK: (0.0, 0.0)},
}
_LIMITS_RULE = Because(
    "A soft metal washer is made up to 0.5 mm over its inside and 0.3 mm under its outside size, ± 0.2 mm thick; "
    "one that was tightened is up to 0.4 mm thinner and wider and 0.3 mm closer. A bonded washer is within 0.3 mm.",
    "common practice, no source",
    Standing.PRACTICE,
)
CAUTION = (
    "A washer is no proof of the thread: try the plug by hand first. A soft metal washer is new at every opening; "
    "copper is soft only once. The machine's manual says which washer, and whether one at all."
)


@cache
def washers() -> tuple[Washer, ...]:
    """Every washer of the table."""
    return tuple(
        Washer(
            WasherKind(row["kind"]),
            row["standard"],
            tuple(row["threads"].split(";")),
            float(row["inside_mm"]),
            float(row["outside_mm"]),
            float(row["thick_mm"]),
            row["common"] == "yes",
            named(row["source"]),
            Standing(row["standing"]),
            row["note"],
        )
        for row in csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines())
    )


def washers_for(thread: Thread, kind: WasherKind | None = None) -> tuple[Washer, ...]:
    """The washers that go under a plug of this thread, the usual one of each kind first; empty where no row says."""
    if thread.system is System.METRIC:
        name = f"M{thread.diameter_mm:g}"
    elif thread.system is System.BSPP:
        name = thread.designation
    else:
        return ()
    found = [one for one in washers() if name in one.threads and kind in (None, one.kind)]
    return tuple(sorted(found, key=lambda one: (one.kind is not WasherKind.FLAT, not one.common)))


def limits(washer: Washer, *, used: bool) -> Limits:
    """Where a washer's inside, outside and thickness may lie, mm; wider where it was tightened before."""
    nominal = {INSIDE: washer.inside_mm, OUTSIDE: washer.outside_mm, THICK: washer.thick_mm}
    found = {}
    for name, size in nominal.items():
        low, high = _MADE[washer.kind][name]
        less, more = _CRUSHED[washer.kind][name] if used else (0.0, 0.0)
        found[name] = (size + low + less, size + high + more)
    return found


def identify_washer(readings: Readings, *, used: bool = True, kind: WasherKind | None = None) -> WasherAnswer:
    """Which washer was measured. `readings`: by name, of `DIMENSIONS`; at least one. `used`: it was tightened before.

    Raises ValueError in one sentence for readings that cannot be.
    """
    if not readings:
        raise ValueError("Measure the washer's inside and outside diameter; the thickness makes it surer.")
    if INSIDE in readings and OUTSIDE in readings and readings[INSIDE].value_mm >= readings[OUTSIDE].value_mm:
        raise ValueError("The inside diameter must be less than the outside diameter: were the two swapped?")
    asked = [one for one in washers() if kind in (None, one.kind)]
    ranked, none = rank(
        asked,
        lambda one: limits(one, used=used),
        lambda one: 1.0 if one.common else _SELDOM,
        readings,
        any_size(readings, _RANGES),
        _NONE_PRIOR,
    )
    matches = tuple(WasherMatch(asked[one.at], one.probability, dict(one.off_mm)) for one in ranked[:8])
    notes = []
    if none > 0.5 or not matches:
        near = " and ".join(one.label for one in nearest(asked, lambda one: limits(one, used=used), readings, 2))
        notes.append(
            f"No washer in the tables fits these readings; {near} are nearest. Inch, fibre and shaped washers "
            "are not "
            "in the tables: take one of the measured size, or the machine's part."
        )
    elif len(readings) == 1:
        notes.append("One reading alone names a size, not a washer: measure the other diameter too.")
    return WasherAnswer(matches, none, _settle(matches, readings), tuple(notes), _because(matches))


def _because(matches: tuple[WasherMatch, ...]) -> tuple[Because, ...]:
    rules = [
        Because(
            f"{one.washer.standard} {one.washer.label} mm, under {' and '.join(one.washer.threads)}.",
            one.washer.standing.words if one.washer.source == "memory" else one.washer.source,
            one.washer.standing,
        )
        for one in matches[:3]
    ]
    return (*rules, MODEL, _LIMITS_RULE)


def _settle(matches: tuple[WasherMatch, ...], readings: Readings) -> str:
    alive = [one.washer for one in matches if one.probability >= ALIVE]
    if len(alive) < 2:
        return ""
    if len({one.kind for one in alive}) > 1:
        return "Look at it: a steel ring with a rubber lip inside is a bonded washer, bare soft metal is not."
    for name, sizes in (
        (OUTSIDE, [one.outside_mm for one in alive]),
        (INSIDE, [one.inside_mm for one in alive]),
        (THICK, [one.thick_mm for one in alive]),
    ):
        if name not in readings and len(set(sizes)) > 1:
            return f"Measure the {name}: {' or '.join(f'{size:g}' for size in dict.fromkeys(sizes))} mm."
    return "Measure a new washer of each size beside the old one; a crushed one has moved."
