"""Rotary shaft lip seals: from shaft, bore and width to the size of ISO 6194-1 or DIN 3760 it was.

A seal is named by the shaft it runs on, the bore it sits in and its width: 35 × 52 × 7. The seal itself is larger than
its bore (it is pressed in) and its lip smaller than its shaft, so the shaft and the bore are what to measure.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import NamedTuple

from catalog.because import Because
from catalog.fasteners.thread import Reading
from catalog.publications import named
from catalog.seals.evidence import ALIVE, MODEL, Limits, Readings, any_size, nearest, rank
from catalog.standing import Standing
from catalog.uncertainty import normal_between, standard_uncertainty

TABLE = files("catalog") / "data" / "seals" / "shaft_seals.csv"


class ShaftSeal(NamedTuple):
    """One size, nominal mm: the shaft it runs on, the bore it sits in, its width."""

    standard: str
    shaft_mm: float
    bore_mm: float
    width_mm: float
    source: str
    standing: Standing
    note: str

    @property
    def label(self) -> str:
        """`35 × 52 × 7`."""
        return f"{self.shaft_mm:g} × {self.bore_mm:g} × {self.width_mm:g}"


class ShaftSealMatch(NamedTuple):
    """A size with its probability; how far each reading lies outside what belongs to that size, mm (0: within)."""

    seal: ShaftSeal
    probability: float
    off_mm: dict[str, float]


class ShaftSealAnswer(NamedTuple):
    """Likeliest first; the probability that it is none of them; what would settle a doubt; sentences; the rules."""

    matches: tuple[ShaftSealMatch, ...]
    none_probability: float
    settle: str
    notes: tuple[str, ...]
    because: tuple[Because, ...]


SHAFT, BORE, OUTSIDE, WIDTH = "shaft", "bore", "seal's outside diameter", "width"
DIMENSIONS = (SHAFT, BORE, OUTSIDE, WIDTH)
DIAMETERS = frozenset((SHAFT, BORE))
SIXTEENTH_MM = 25.4 / 16
_RANGES = {SHAFT: (4.0, 300.0), BORE: (8.0, 350.0), OUTSIDE: (8.0, 350.0), WIDTH: (3.0, 25.0)}
# Inch seals, of which old tractors are full, are not in the tables; so "none of these" is no rare answer.
_NONE_PRIOR = 0.3
_WEIGHTS = {"ISO 6194-1": 1.0, "DIN 3760": 0.8, "trade size": 0.4}
# ISO 286-2 tolerances h11 of a shaft and H8 of a bore, mm by the upper end of the size range; from memory.
_RANGE_TO = (6, 10, 18, 30, 50, 80, 120, 180, 250, 315)
_H11 = (0.075, 0.090, 0.110, 0.130, 0.160, 0.190, 0.220, 0.250, 0.290, 0.320)
_H8 = (0.018, 0.022, 0.027, 0.033, 0.039, 0.046, 0.054, 0.063, 0.072, 0.081)
# Our assumptions, no source: what a seal is pressed in by, how far its width is off, how far an old shaft is polished
# down.
_PRESSED = (0.05, 0.45)
_WIDTH_OFF = 0.3
_POLISHED = 0.1
_INCH_OFF = 0.1
_LIMITS_RULE = Because(
    "The shaft is h11 (ISO 286-2, unchecked row) and up to 0.1 mm polished down, the bore H8, the seal 0.05 to 0.45 mm "
    "over its bore, its width within 0.3 mm.",
    "common practice, no source",
    Standing.PRACTICE,
)
CAUTIONS = (
    "The lip with the spring faces the fluid; a dust lip faces out. Note which way the old one sat before it comes "
    "out. A "
    "lip with slanting ribs is made for one direction of turning.",
    "Run a fingernail over the shaft: a groove where the old lip ran leaks again. Move the lip's track or sleeve the "
    "shaft. Check the play: a worn bearing makes the shaft run out, and no seal holds that.",
    "The size does not tell pressure, speed, rubber or form; the machine's manual does. A seal of the right size "
    "is not "
    "yet the right seal.",
)


@cache
def shaft_seals() -> tuple[ShaftSeal, ...]:
    """Every size of the table."""
    return tuple(
        ShaftSeal(
            row["standard"],
            float(row["shaft_mm"]),
            float(row["bore_mm"]),
            float(row["width_mm"]),
            named(row["source"]),
            Standing(row["standing"]),
            row["note"],
        )
        for row in csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines())
    )


def _step(size_mm: float, tolerances: tuple[float, ...]) -> float:
    at = next((at for at, top in enumerate(_RANGE_TO) if size_mm <= top), len(_RANGE_TO) - 1)
    return tolerances[at]


def limits(seal: ShaftSeal) -> Limits:
    """Where the shaft, the bore, the seal's outside and its width may lie, mm."""
    return {
        SHAFT: (seal.shaft_mm - _step(seal.shaft_mm, _H11) - _POLISHED, seal.shaft_mm),
        BORE: (seal.bore_mm, seal.bore_mm + _step(seal.bore_mm, _H8)),
        OUTSIDE: (seal.bore_mm + _PRESSED[0], seal.bore_mm + _PRESSED[1]),
        WIDTH: (seal.width_mm - _WIDTH_OFF, seal.width_mm + _WIDTH_OFF),
    }


def identify_shaft_seal(readings: Readings) -> ShaftSealAnswer:
    """Which seal belongs to these readings: by name, of `DIMENSIONS`; the shaft, or the bore, at the least.

    Raises ValueError in one sentence for readings that cannot be.
    """
    if not ({SHAFT, BORE, OUTSIDE} & set(readings)):
        raise ValueError("Measure the shaft beside the lip's track, and the bore; the width makes it surer.")
    for outer in (BORE, OUTSIDE):
        if SHAFT in readings and outer in readings and readings[SHAFT].value_mm >= readings[outer].value_mm:
            raise ValueError(f"The shaft must be smaller than the {outer}: were the two swapped?")
    seals = shaft_seals()
    ranked, none = rank(
        seals, limits, lambda one: _WEIGHTS[one.standard], readings, _none_likelihood(readings), _NONE_PRIOR
    )
    matches = tuple(ShaftSealMatch(seals[one.at], one.probability, dict(one.off_mm)) for one in ranked[:8])
    notes = []
    if none > 0.5 or not matches:
        near = " and ".join(one.label for one in nearest(seals, limits, readings, 2))
        inch, metric = _as_inches(readings), _as_metric(readings)
        read = f"these read as {inch}" if inch else "read the shaft and the bore in inches"
        asked = f"Inch seals are not in the tables: {read}, and ask for that size."
        if metric:
            asked = f"More metric seals are made than the tables hold: these read as {metric} mm; ask for that size."
            asked += f" An inch seal of {inch} would read nearly the same: measure closer." if inch else ""
        notes.append(f"No metric size in the tables fits these readings; {near} are nearest. {asked}")
    elif inch := _as_inches(readings):
        notes.append(f"These readings are also {inch}: an inch seal, which is not in the tables, may be meant.")
    return ShaftSealAnswer(matches, none, _settle(matches, readings), tuple(notes), _because(matches))


def _sixteenths(reading: Reading) -> float:
    """How likely a reading is for a size on the inch rule, over its likelihood for just any size."""
    nominal = round(reading.value_mm / SIXTEENTH_MM) * SIXTEENTH_MM
    sigma = standard_uncertainty(reading.plus_minus_mm)
    low, high = (nominal - _INCH_OFF - reading.value_mm) / sigma, (nominal + _INCH_OFF - reading.value_mm) / sigma
    return normal_between(low, high) * SIXTEENTH_MM / (2 * _INCH_OFF)


def _none_likelihood(readings: Readings) -> float:
    """None of these: half the time an inch seal, whose shaft and bore are sixteenths of an inch, else of any size."""
    inch = 1.0
    for name in DIAMETERS & set(readings):
        inch *= _sixteenths(readings[name])
    return any_size(readings, _RANGES) * (0.5 + 0.5 * inch)


def _as_inches(readings: Readings) -> str:
    """The diameters as sixteenths of an inch, where every one of them lies on one; else nothing."""
    said = []
    for name in (SHAFT, BORE):
        if name not in readings:
            continue
        count = round(readings[name].value_mm / SIXTEENTH_MM)
        if abs(readings[name].value_mm - count * SIXTEENTH_MM) > _INCH_OFF:
            return ""
        whole, part = divmod(Fraction(count, 16), 1)
        said.append(f"{whole or ''} {part or ''}".strip())
    return f"{' × '.join(said)} in" if said else ""


def _as_metric(readings: Readings) -> str:
    """The shaft, the bore and the width as whole millimetres, where shaft and bore were read and lie on one."""
    if not readings.keys() >= DIAMETERS:
        return ""
    told = [round(readings[name].value_mm) for name in (SHAFT, BORE, WIDTH) if name in readings]
    close = all(abs(readings[name].value_mm - round(readings[name].value_mm)) <= _INCH_OFF for name in DIAMETERS)
    return " × ".join(map(str, told)) if close else ""


def _because(matches: tuple[ShaftSealMatch, ...]) -> tuple[Because, ...]:
    rules = [
        Because(
            f"{one.seal.standard} {one.seal.label} mm.",
            one.seal.standing.words if one.seal.source == "memory" else one.seal.source,
            one.seal.standing,
        )
        for one in matches[:3]
    ]
    return (*rules, MODEL, _LIMITS_RULE)


def _settle(matches: tuple[ShaftSealMatch, ...], readings: Readings) -> str:
    alive = [one.seal for one in matches if one.probability >= ALIVE]
    if alive and WIDTH not in readings and len({one.width_mm for one in alive}) == 1:
        return f"Measure the width: {alive[0].width_mm:g} mm is the tables' only one here, and others are made."
    if len(alive) < 2:
        return ""
    for name, given, sizes in (
        (SHAFT, SHAFT in readings, [one.shaft_mm for one in alive]),
        (BORE, bool({BORE, OUTSIDE} & set(readings)), [one.bore_mm for one in alive]),
        (WIDTH, WIDTH in readings, [one.width_mm for one in alive]),
    ):
        if not given and len(set(sizes)) > 1:
            return f"Measure the {name}: {' or '.join(f'{size:g}' for size in dict.fromkeys(sizes))} mm."
    return "Measure again with a caliper to 0.05 mm; the sizes named lie close together."
