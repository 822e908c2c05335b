"""The standard ring sizes: one frozen record a size, read from the tables in `catalog/data/orings`."""

from __future__ import annotations

import csv
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import NamedTuple


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
    """One standard size as made: nominal dimensions with their tolerances, all in millimetres."""

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
