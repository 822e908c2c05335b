"""What a standard may be called: by its whole name, by each of its names, with and without who issued it."""

from __future__ import annotations

import re
from typing import Final

_ISSUERS: Final = ("sae", "iso", "din", "jis", "bs", "asme", "gbt")


def bare(name: str) -> str:
    """A name as it is compared: its letters and figures alone."""
    return re.sub(r"[^a-z0-9]", "", name.casefold())


def names_of(standard: str) -> frozenset[str]:
    """The bare names that a title goes by: of `ISO 8434-1 (DIN 2353), 24° cone` also `iso84341` and `din2353`."""
    parts = (part.strip().removesuffix(" family") for part in re.split(r"[(),]|\bin\b", standard))
    found = set()
    for name in (standard, *(part for part in parts if re.match(r"[A-Z]{2,}\b.*[0-9]", part))):
        plain = bare(name)
        found |= {plain, *(plain.removeprefix(one) for one in _ISSUERS)}
    return frozenset(found)
