"""What lies on a page, in mm from its top left corner: words, lines, boxes, circles, photos. Frozen, no library."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple


class Face(StrEnum):
    """A face of the one font that sheets are set in."""

    PLAIN = "plain"
    BOLD = "bold"


class Words(NamedTuple):
    """One run of text: `x` of its left end, `y` of its baseline, `size` in points. Only letters the font has."""

    x: float
    y: float
    text: str
    size: float
    face: Face = Face.PLAIN


class Line(NamedTuple):
    """A straight line `thick` mm wide, `grey` from 0 (black) to 1 (white)."""

    x1: float
    y1: float
    x2: float
    y2: float
    thick: float = 0.2
    grey: float = 0.0


class Box(NamedTuple):
    """A rectangle by its top left corner. No outline if `thick` is 0, no fill if `fill` is None (else a grey)."""

    x: float
    y: float
    width: float
    height: float
    thick: float = 0.2
    fill: float | None = None


class Circle(NamedTuple):
    """A circle by its centre and *diameter*: the size that a ring is called by."""

    x: float
    y: float
    diameter: float
    thick: float = 0.15
    fill: float | None = None


class Photo(NamedTuple):
    """A JPEG by its top left corner, drawn as wide and as high as this."""

    x: float
    y: float
    width: float
    height: float
    jpeg: bytes


Mark = Words | Line | Box | Circle | Photo
Page = tuple[Mark, ...]
