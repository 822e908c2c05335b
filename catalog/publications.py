"""Publications by name: what the short keys in the tables' source columns stand for.

A table's row says `S35` or `GEOC+PKBR`; nobody outside this project can read that. `named` puts the publication's own
name in place of every key, so that no answer shows a key. `data/publications.csv` holds the names; where each was read
stands in the folders' SOURCES.md.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Final, NamedTuple

TABLE: Final = Path(__file__).parent / "data" / "publications.csv"


class Publication(NamedTuple):
    """One source: its key in the tables and what it is called."""

    key: str
    name: str


@cache
def publications() -> Mapping[str, Publication]:
    """Every publication by its key."""
    with TABLE.open(encoding="utf-8", newline="") as handle:
        return MappingProxyType({row["key"]: Publication(row["key"], row["name"]) for row in csv.DictReader(handle)})


@cache
def _keys() -> re.Pattern[str]:
    longest_first = sorted(map(re.escape, publications()), key=len, reverse=True)
    key = rf"(?<![\w.-])(?<!SAE )(?<!ISO )(?<!ASTM )(?:{'|'.join(longest_first)})(?![\w-]|\.\d)"
    return re.compile(rf"{key}(?:[ ,;+]+{key})*")


@cache
def named(source: str) -> str:
    """A source cell with each key replaced by its publication's name; several in a row are parted by semicolons."""
    return _keys().sub(_names, source)


def _names(found: re.Match[str]) -> str:
    known = publications()
    return "; ".join(known[key].name for key in re.split(r"[ ,;+]+", found[0]))
