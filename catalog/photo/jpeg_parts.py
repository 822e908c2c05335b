"""The parts of a JPEG's head (ISO/IEC 10918-1), read without unpacking anything."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from typing import Final

FRAMES: Final = {*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC}
"""The kinds of part that say how high and wide the picture is."""
_BARE: Final = {0x01, *range(0xD0, 0xD9)}


def parts(data: bytes) -> Iterator[tuple[int, bytes]]:
    """Each part before the picture itself: its kind and what it holds. Ends early where the head is broken."""
    at = 2
    while at + 4 <= len(data) and data[at] == 0xFF:
        kind = data[at + 1]
        if kind == 0xFF:
            at += 1
        elif kind in _BARE:
            at += 2
        else:
            (long,) = struct.unpack(">H", data[at + 2 : at + 4])
            if long < 2 or kind == 0xDA:
                return
            yield kind, data[at + 4 : at + 2 + long]
            at += 2 + long
