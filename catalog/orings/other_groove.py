"""Whether two measurements of a place's groove can be of one groove."""

from __future__ import annotations

from typing import Final

from catalog.orings.groove import Groove
from catalog.orings.span import Range

KIND: Final = "kind"
PARTS: Final = ("inner", "outer", "depth", "width")


def apart_in(one: Groove, other: Groove) -> tuple[str, ...]:
    """In what the two can't be one groove: `kind` alone, or the dimensions whose ranges do not meet."""
    if one.kind is not other.kind:
        return (KIND,)
    return tuple(name for name in PARTS if _apart(getattr(one, name), getattr(other, name)))


def _apart(one: Range | None, other: Range | None) -> bool:
    return one is not None and other is not None and (other.minimum > one.maximum or other.maximum < one.minimum)
