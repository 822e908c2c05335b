"""Source keys such as `S35`, spelt out from the SOURCES table that stands beside the catalog's tables."""

from __future__ import annotations

import re
from functools import cache
from importlib.resources import files

_KEY = re.compile(r"[A-Z0-9][A-Z0-9-]*")


@cache
def keys(area: str) -> dict[str, str]:
    """What each key of one area of the catalog stands for; empty where the area has no such table."""
    try:
        text = (files("catalog") / "data" / area / "SOURCES.md").read_text(encoding="utf-8")
    except OSError:
        return {}
    found = {}
    for line in text.splitlines():
        cells = [cell.strip() for cell in line.strip().strip("|").split("|")]
        if line.startswith("|") and len(cells) >= 2 and _KEY.fullmatch(cells[0].strip("`")):
            found[cells[0].strip("`")] = cells[1]
    return found


def spelt_out(source: str, area: str) -> str:
    """The source with every key of the area followed by what it stands for."""
    known = keys(area)
    return _KEY.sub(lambda word: f"{word[0]} ({known[word[0]]})" if word[0] in known else word[0], source)
