"""The standard ring sizes: one frozen record a size, read from the tables in `catalog/data/orings`.

Where each table came from and how far it can be trusted: `catalog/data/SOURCES.md`.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from enum import StrEnum
from functools import cache
from operator import itemgetter
from pathlib import Path
from types import MappingProxyType
from typing import Final, NamedTuple

from catalog.publications import named
from catalog.standing import Standing

TABLES = Path(__file__).parent.parent / "data" / "orings"
MM_PER_INCH = 25.4


class Series(StrEnum):
    """A published series of sizes, the sizes that the trade stocks outside any standard, or a shop's own tables."""

    AS568 = "as568"
    JIS = "jis"
    METRIC = "metric"
    BS4518 = "bs4518"
    AFNOR = "afnor"
    STOCK = "stock"
    OWN = "own"


STANDARDS: Final = tuple(one for one in Series if one is not Series.OWN)
"""The series that have a table here; a shop's own tables come from its workshop (`own_table`)."""


class RingSize(NamedTuple):
    """One standard size as made: nominal dimensions with their tolerances, all in millimetres.

    AS568 prints inches, so its millimetres here are inch × 25.4 exactly; `inch_table` keeps what is printed. `cited`
    and `remark` are as the table writes them, with its short keys; `source` and `note` name the publications instead.
    A row that is the shop's word has both in plain words; one of its own series has its table's name in `designation`.
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
        return self.cited if self.standing is Standing.SHOP else named(self.cited)

    @property
    def note(self) -> str:
        """What else is to be known of the row, each publication by its name."""
        return self.remark if self.standing is Standing.SHOP else named(self.remark)

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
        if self.series is Series.OWN:
            return self.designation
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

OWN_TITLE: Final = "Own table"


def title(series: Series) -> str:
    """The name of a series as it is printed, such as `SAE AS568`."""
    return OWN_TITLE if series is Series.OWN else _FILES[series][1]


def _rows(series: Series) -> list[list[str]]:
    # Read whole, then split: half the time of reading line by line.
    lines = (TABLES / _FILES[series][0]).read_text(encoding="utf-8").splitlines()
    return list(csv.reader(lines))[1:]


def _from_inch(text: str) -> float:
    # Three decimals of an inch are exact in four of a millimetre; rounding only drops the float's tail.
    return round(float(text) * MM_PER_INCH, 4)


@cache
def load(series: Series) -> tuple[RingSize, ...]:
    """All sizes of one series, in the order of its table; of a shop's own none. Read once, then kept."""
    if series is Series.OWN:
        return ()
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
    """What a person calls the size with this key; the key itself where there is no such size, "" for None.

    A key of a shop's own table says the size's name itself.
    """
    size = by_key(key) if key else None
    return size.label if size else (key or "").removeprefix(f"{Series.OWN}:")
