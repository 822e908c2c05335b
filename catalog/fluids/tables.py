"""Reading the fluid tables in `catalog/data/fluids`, and how far a row of them can be trusted."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path
from typing import Final

TABLES: Final = Path(__file__).parent.parent / "data" / "fluids"


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """Every row of `name`.csv as a dictionary of texts, in the order of the file. Read once, then kept."""
    with (TABLES / f"{name}.csv").open(encoding="utf-8", newline="") as handle:
        return tuple(csv.DictReader(handle))


def number(text: str) -> float | None:
    """The number in a cell, or None for an empty one."""
    return float(text) if text else None


def several(text: str) -> tuple[str, ...]:
    """The entries of a cell that lists several, separated by semicolons."""
    return tuple(part.strip() for part in text.split(";") if part.strip())
