"""Publications by name: what the short keys in the tables' source columns stand for.

A table's row says `S35` or `GEOC+PKBR`; nobody outside this project can read that. `named` puts the publication's own
name in place of every key, so that no answer shows a key. `data/publications.csv` holds the names, short and plain;
where each was read stands in the folders' SOURCES.md.
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


# What may be a key: it starts with a capital or a digit. A figure behind the name of a standard is no key of ours.
_WORD: Final = r"(?<![\w.-])(?<!SAE )(?<!ISO )(?<!ASTM )(?<!ASME )[A-Z0-9](?:[\w.-]*\w)?"


@cache
def named(source: str) -> str:
    """A text with each key replaced by its publication's name; names in a row are parted by semicolons."""
    if source == "memory":  # most rows; the table of names is not read for them
        return source
    marked = re.sub(_WORD, _name, source)
    return re.sub(r"\0[ ,;+]+\0", "; ", marked).replace("\0", "")


def _name(found: re.Match[str]) -> str:
    known = publications().get(found[0])
    return f"\0{known.name}\0" if known else found[0]
