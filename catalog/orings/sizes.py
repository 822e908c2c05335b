"""The standard ring sizes: one frozen record a size, read from the tables in `catalog/data/orings`.

Where each table came from and how far it can be trusted: `catalog/data/SOURCES.md`.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from enum import StrEnum
from functools import cache
from operator import itemgetter
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

from catalog.publications import named
from catalog.standing import Standing

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


class RingSize(NamedTuple):
    """One standard size as made: nominal dimensions with their tolerances, all in millimetres.

    AS568 prints inches, so its millimetres here are inch × 25.4 exactly; `inch_table` keeps what is printed. `cited`
    and `remark` are as the table writes them, with its short keys; `source` and `note` name the publications instead.
    """

    series: Series
    designation: str
    id_mm: float
    id_tol_mm: float
    cross_section_mm: float
    cross_section_tol_mm: float
    cited: str
    standing: Standing
    remark: str

    @property
    def source(self) -> str:
        """Where the row comes from, each publication by its name."""
        return named(self.cited)

    @property
    def note(self) -> str:
        """What else is to be known of the row, each publication by its name."""
        return named(self.remark)

    @property
    def od_mm(self) -> float:
        """Outside diameter in mm."""
        return self.id_mm + 2 * self.cross_section_mm

    @property
    def key(self) -> str:
        """The size's name for a database, such as `as568:214`. It never changes once shipped."""
        return self.series + ":" + self.designation  # four times as quick as an f-string over an enum's member

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
    # Read whole, then split: half the time of reading line by line.
    lines = (TABLES / _FILES[series][0]).read_text(encoding="utf-8").splitlines()
    return list(csv.reader(lines))[1:]


def _from_inch(text: str) -> float:
    # Three decimals of an inch are exact in four of a millimetre; rounding only drops the float's tail.
    return round(float(text) * MM_PER_INCH, 4)


@cache
def load(series: Series) -> tuple[RingSize, ...]:
    """All sizes of one series, in the order of its table. Read once, then kept."""
    standing = {str(member): member for member in Standing}
    number = _from_inch if series is Series.AS568 else float
    return tuple(
        [
            RingSize(
                series,
                row[0],
                number(row[1]),
                number(row[2]),
                number(row[3]),
                number(row[4]),
                row[-3],
                standing[row[-2]],
                row[-1],
            )
            for row in _rows(series)
        ]
    )


@cache
def all_sizes() -> tuple[RingSize, ...]:
    """Every size of every series, by ID, then by width."""
    sizes = [size for series in Series for size in load(series)]
    sizes.sort(key=itemgetter(2, 4))
    return tuple(sizes)


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


def label_of(key: str | None) -> str:
    """What a person calls the size with this key; the key itself where there is no such size, "" for None."""
    size = by_key(key) if key else None
    return size.label if size else key or ""


@cache
def _by_dimensions() -> Mapping[tuple[float, float], RingSize]:
    """Sizes by nominal (ID, width) to 0.01 mm. The metric series are named by these, so they come first."""
    found: dict[tuple[float, float], RingSize] = {}
    for series in (Series.METRIC, Series.STOCK, Series.JIS, Series.BS4518, Series.AFNOR, Series.AS568):
        for size in load(series):
            found.setdefault((round(size.id_mm, 2), round(size.cross_section_mm, 2)), size)
    return found


_LONGEST_NAME = 40
# What a person may put before a name, and the series it points to. Patterns are compiled when first asked for
# (re keeps them), because compiling them costs the start-up 5 ms.
_PREFIXES: tuple[tuple[str, Series], ...] = (
    (r"(?:sae)?as568[a-f]?", Series.AS568),
    (r"jis(?:b2401)?", Series.JIS),
    (r"iso3601(?:-1)?(?::?1988)?|din3771|gb/?t3452(?:\.1)?", Series.METRIC),
    (r"bs4518", Series.BS4518),
    (r"afnor|nf", Series.AFNOR),
)
_DASH = r"(?:[0-9]-)?([0-9]{1,3})"
_PAIR = r"([0-9]+(?:[.,][0-9]+)?)(?:mm)?[x×*]([0-9]+(?:[.,][0-9]+)?)(?:mm)?"
_LETTERED = r"([pgvsr])-?([0-9]+(?:\.[0-9]+)?)([a-z]?)"
_BS4518 = r"[0-9]{4}-[0-9]{2}"


def find(name: str) -> RingSize | None:
    """The size a person names, or None: `AS568-214`, `-214`, `214`, `P22A`, `25x3.55`, `R12`, `0031-16`.

    A label or a key finds its own size. Case and spaces do not matter, and a comma may stand for the decimal point.
    An ID × width that no metric series has finds a size of another standard with that nominal ID and width. Trade
    fractions (`1 x 1/8 in`, `5 x 5-1/2 x 1/4`) find their AS568 size; where they name two, None.
    """
    if len(name) > _LONGEST_NAME:
        return None
    if (size := by_key(name)) is not None:
        return size
    if "/" in name:
        from catalog.orings.fractions import sizes_called  # it builds on this module

        called = sizes_called(name)
        if called:
            return called[0] if len(called) == 1 else None
    text = "".join(name.split()).lower()
    for prefix, series in _PREFIXES:
        if found := re.match(prefix, text):
            size = _find_name(text[found.end() :].lstrip("-:"))
            return size if size is not None and size.series is series else None
    return _find_name(text.lstrip("-"))


def _find_name(text: str) -> RingSize | None:
    if pair := re.fullmatch(_PAIR, text):
        inner, width = (float(number.replace(",", ".")) for number in pair.groups())
        return _by_dimensions().get((round(inner, 2), round(width, 2)))
    if re.fullmatch(_BS4518, text):
        return by_key(f"{Series.BS4518}:{text}")
    if dash := re.fullmatch(_DASH, text):
        return by_key(f"{Series.AS568}:{dash[1].zfill(3)}")
    if lettered := re.fullmatch(_LETTERED, text.replace(",", ".")):
        series = Series.AFNOR if lettered[1] == "r" else Series.JIS
        return by_key(f"{series}:{''.join(lettered.groups()).upper()}")
    return None
