"""A rubber and its hardness as they stand on a bag: "FKM 75"."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from catalog.orings.rubber_tables import Family

_WRITTEN: Final = re.compile(r"([A-Z/]{2,6})(?:[\s-]*(\d{2}))?")


class Rubber(NamedTuple):
    """A family and its hardness in Shore A, None where nobody says it."""

    family: Family
    hardness_shore_a: int | None


def rubber_written(text: str) -> Rubber:
    """The rubber of such words. Raises ValueError with a sentence."""
    found = _WRITTEN.fullmatch(" ".join(text.upper().split()))
    if found is None:
        raise ValueError(f"“{text[:40]}” is not a rubber; type it with its hardness, as FKM 75")
    if found[1] not in {one.value for one in Family}:
        names = ", ".join(one.value for one in Family)
        raise ValueError(f"no rubber is called “{found[1]}”; type one of {names}")
    return Rubber(Family(found[1]), int(found[2]) if found[2] else None)
