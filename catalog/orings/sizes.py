"""The standard ring sizes: one frozen record a size, read from the tables in `catalog/data/orings`.

Where each table came from and how far it can be trusted: `catalog/data/SOURCES.md`.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from enum import StrEnum
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

TABLES = Path(__file__).parent.parent / "data" / "orings"
MM_PER_INCH = 25.4


class Series(StrEnum):
    """A published series of sizes, or the sizes that the trade stocks outside any standard."""

    AS568 = "as568"
    JIS = "jis"
    METRIC = "metric"
    BS4518 = "bs4518"
    AFNOR = "afnor"
    STOCK = "stock"


class Standing(StrEnum):
    """How far a row can be trusted."""

    PUBLISHED = "published"
    MEMORY = "memory"


class RingSize(NamedTuple):
    """One standard size as made: nominal dimensions with their tolerances, all in millimetres.

    AS568 prints inches, so its millimetres here are inch × 25.4 exactly; `inch_table` keeps what is printed.
    """

    series: Series
    designation: str
    id_mm: float
    id_tol_mm: float
    cross_section_mm: float
    cross_section_tol_mm: float
    source: str
    standing: Standing
    note: str

    @property
    def od_mm(self) -> float:
        """Outside diameter in mm."""
        return self.id_mm + 2 * self.cross_section_mm

    @property
    def key(self) -> str:
        """The size's name for a database, such as `as568:214`. It never changes once shipped."""
        return f"{self.series}:{self.designation}"

    @property
    def label(self) -> str:
        """The size's name for a person: `AS568-214`, `JIS P22A`, `25 × 3.55`, `BS 4518 0031-16`, `R12`."""
        if self.series is Series.AS568:
            return f"AS568-{self.designation}"
        if self.series is Series.JIS:
            return self.designation if self.designation.startswith("S") else f"JIS {self.designation}"
        if self.series is Series.BS4518:
            return f"BS 4518 {self.designation}"
        return self.designation.replace("x", " × ")


class InchSize(NamedTuple):
    """An AS568 row as the standard prints it: inches, and millimetres rounded to two decimals."""

    designation: str
    id_in: float
    id_tol_in: float
    cross_section_in: float
    cross_section_tol_in: float
    id_mm: float
    id_tol_mm: float
    cross_section_mm: float
    cross_section_tol_mm: float


_FILES: dict[Series, tuple[str, str]] = {
    Series.AS568: ("as568.csv", "SAE AS568"),
    Series.JIS: ("jis_b2401.csv", "JIS B 2401"),
    Series.METRIC: ("metric.csv", "ISO 3601-1:1988"),
    Series.BS4518: ("bs4518.csv", "BS 4518"),
    Series.AFNOR: ("afnor_r.csv", "French R series"),
    Series.STOCK: ("stock.csv", "Stocked metric sizes"),
}


def title(series: Series) -> str:
    """The name of a series as it is printed, such as `SAE AS568`."""
    return _FILES[series][1]


def _rows(series: Series) -> list[list[str]]:
    with (TABLES / _FILES[series][0]).open(encoding="utf-8", newline="") as handle:
        rows = csv.reader(handle)
        next(rows)
        return list(rows)


def _from_inch(text: str) -> float:
    # Three decimals of an inch are exact in four of a millimetre; rounding only drops the float's tail.
    return round(float(text) * MM_PER_INCH, 4)


@cache
def load(series: Series) -> tuple[RingSize, ...]:
    """All sizes of one series, in the order of its table. Read once, then kept."""
    standings = {str(standing): standing for standing in Standing}
    if series is Series.AS568:
        return tuple(
            RingSize(
                series,
                name,
                _from_inch(inner),
                _from_inch(inner_tol),
                _from_inch(width),
                _from_inch(width_tol),
                source,
                standings[standing],
                note,
            )
            for name, inner, inner_tol, width, width_tol, _, _, _, _, source, standing, note in _rows(series)
        )
    return tuple(
        RingSize(
            series,
            name,
            float(inner),
            float(inner_tol),
            float(width),
            float(width_tol),
            source,
            standings[standing],
            note,
        )
        for name, inner, inner_tol, width, width_tol, source, standing, note in _rows(series)
    )


@cache
def all_sizes() -> tuple[RingSize, ...]:
    """Every size of every series, by ID, then by width."""
    sizes = (size for series in Series for size in load(series))
    return tuple(sorted(sizes, key=lambda size: (size.id_mm, size.cross_section_mm)))


@cache
def inch_table() -> Mapping[str, InchSize]:
    """AS568 as printed, by dash number (`214`)."""
    return MappingProxyType({row[0]: InchSize(row[0], *map(float, row[1:9])) for row in _rows(Series.AS568)})


@cache
def _by_key() -> Mapping[str, RingSize]:
    return {size.key: size for series in Series for size in load(series)}


def by_key(key: str) -> RingSize | None:
    """The size with this `RingSize.key`, or None."""
    return _by_key().get(key)


@cache
def _by_dimensions() -> Mapping[tuple[float, float], RingSize]:
    """Sizes by nominal (ID, width) to 0.01 mm. The metric series are named by these, so they come first."""
    found: dict[tuple[float, float], RingSize] = {}
    for series in (Series.METRIC, Series.STOCK, Series.JIS, Series.BS4518, Series.AFNOR, Series.AS568):
        for size in load(series):
            found.setdefault((round(size.id_mm, 2), round(size.cross_section_mm, 2)), size)
    return found


_LONGEST_NAME = 40
# What a person puts before or between the parts of a name, and which series it points to.
_PREFIXES: tuple[tuple[str, Series], ...] = (
    (r"(?:sae)?as568[a-f]?", Series.AS568),
    (r"jis(?:b2401)?", Series.JIS),
    (r"iso3601(?:-1)?|din3771|gb/?t3452(?:\.1)?", Series.METRIC),
    (r"bs4518", Series.BS4518),
    (r"afnor|nf", Series.AFNOR),
)
_PREFIX = re.compile("|".join(f"({pattern})" for pattern, _ in _PREFIXES))
_DASH = re.compile(r"(?:[0-9]-)?([0-9]{1,3})")
_PAIR = re.compile(r"([0-9]+(?:[.,][0-9]+)?)(?:mm)?[x×*]([0-9]+(?:[.,][0-9]+)?)(?:mm)?")
_LETTERED = re.compile(r"([pgvsr])-?([0-9]+(?:\.[0-9]+)?)([a-z]?)")
_BS4518 = re.compile(r"[0-9]{4}-[0-9]{2}")


def find(name: str) -> RingSize | None:
    """The size a person names, or None: `AS568-214`, `-214`, `214`, `P22A`, `25x3.55`, `R12`, `0031-16`.

    A label or a key finds its own size. Case and spaces do not matter, and a comma may stand for the decimal point.
    An ID × width that no metric series has finds a size of another standard with that nominal ID and width.
    """
    if len(name) > _LONGEST_NAME:
        return None
    if (size := by_key(name)) is not None:
        return size
    text = "".join(name.split()).lower()
    wanted: Series | None = None
    if prefix := _PREFIX.match(text):
        wanted = _PREFIXES[prefix.lastindex - 1][1] if prefix.lastindex else None
        text = text[prefix.end() :]
    size = _find_name(text.lstrip("-:"))
    return size if wanted is None or size is None or size.series is wanted else None


def _find_name(text: str) -> RingSize | None:
    if pair := _PAIR.fullmatch(text):
        inner, width = (float(number.replace(",", ".")) for number in pair.groups())
        return _by_dimensions().get((round(inner, 2), round(width, 2)))
    if _BS4518.fullmatch(text):
        return by_key(f"{Series.BS4518}:{text}")
    if dash := _DASH.fullmatch(text):
        return by_key(f"{Series.AS568}:{dash[1].zfill(3)}")
    if lettered := _LETTERED.fullmatch(text.replace(",", ".")):
        series = Series.AFNOR if lettered[1] == "r" else Series.JIS
        return by_key(f"{series}:{''.join(lettered.groups()).upper()}")
    return None
