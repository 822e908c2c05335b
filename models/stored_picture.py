"""What a kept picture may be: a small baseline JPEG that says nothing but its pixels. Judged without unpacking it."""

from __future__ import annotations

import struct
from typing import Final

from catalog.photo import jpeg_parts

LONGEST_SIDE: Final = 1_280
"""Pixels of the longer side."""
MOST_BYTES: Final = 200_000
_START: Final = b"\xff\xd8\xff"
_SCAN: Final = b"\xff\xda"
_END: Final = b"\xff\xd9"
_JFIF: Final = 0xE0
_TABLES: Final = frozenset({0xDB, 0xC4})
"""Without both no picture can be unpacked."""
_BASELINE: Final = 0xC0


def size_of(data: bytes) -> tuple[int, int]:
    """Width and height of a picture as it is kept. Raises `ValueError` for anything else, with a few words.

    What a camera writes beside the picture (place, time, owner) stands in parts that are refused here.
    """
    if len(data) > MOST_BYTES:
        raise ValueError(f"{len(data):,} bytes where {MOST_BYTES:,} fit")
    if not data.startswith(_START) or not data.endswith(_END) or data.count(_SCAN) != 1:
        raise ValueError("no whole picture")
    found: tuple[int, int] | None = None
    seen = set()
    for kind, part in jpeg_parts.parts(data):
        if kind == _BASELINE and len(part) >= 6 and found is None:
            high, wide = struct.unpack(">HH", part[1:5])
            found = (wide, high)
        elif kind in _TABLES and part:
            seen.add(kind)
        elif kind != _JFIF:
            raise ValueError("more than a picture")
    if seen != _TABLES:
        raise ValueError("no whole picture")
    if found is None or min(found) < 1 or max(found) > LONGEST_SIDE:
        raise ValueError("no picture of that size")
    return found
