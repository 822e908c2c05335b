"""The order in which bins are walked: by code, numbers as numbers, so that Box 2 comes before Box 10."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

from tui.sheets.records import PickLine

_Key = tuple[tuple[int, int, str], ...]


def walked(lines: Iterable[PickLine]) -> tuple[PickLine, ...]:
    """The lines in walking order; within a bin by item, then job."""
    return tuple(sorted(lines, key=lambda line: (bin_key(line.bin_code), bin_key(line.item), line.job, line.lot)))


def bin_key(code: str) -> _Key:
    """Sorts codes as people walk: letters without case or accents, runs of digits by value."""
    plain = "".join(
        letter for letter in unicodedata.normalize("NFKD", code.casefold()) if not unicodedata.combining(letter)
    )
    parts = re.findall(r"[0-9]+|[^0-9]+", plain)
    # By length, then text: the value of a run of digits without turning ten thousand of them into a number.
    return tuple(
        (0, len(part.lstrip("0")), part.lstrip("0")) if part[0] in "0123456789" else (1, 0, " ".join(part.split()))
        for part in parts
    )
