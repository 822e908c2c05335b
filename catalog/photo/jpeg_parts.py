"""The parts of a JPEG (ISO/IEC 10918-1), read without unpacking anything."""

from __future__ import annotations

import re
import struct
from collections.abc import Iterator
from typing import Final, NamedTuple

FRAMES: Final = {*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC}
"""The kinds of part that say how high and wide the picture is."""
PROGRESSIVE: Final = {0xC2, 0xC6, 0xCA, 0xCE}
SCAN: Final = 0xDA
_END: Final = 0xD9
_BARE: Final = {0x01, *range(0xD0, 0xD8)}
_NEVER: Final = {0x00, 0xD8, _END}
"""No such part stands in a head: a decoder passes over it, or ends there."""
_NEXT: Final = re.compile(rb"\xff+([^\x00\xff\xd0-\xd7])", re.DOTALL)
"""The next part after a scan's own bytes, where FF is followed by 00 or by a restart's number."""


class Part(NamedTuple):
    """A part: its kind, where it ends, what it holds."""

    kind: int
    end: int
    holds: bytes


def head(data: bytes) -> Iterator[Part]:
    """Each part up to the first scan's, and that. Ends early where the head is broken."""
    at = 2
    while at + 4 <= len(data) and data[at] == 0xFF:
        kind = data[at + 1]
        if kind in _NEVER:
            return
        if kind == 0xFF:
            at += 1
        elif kind in _BARE:
            at += 2
        else:
            (long,) = struct.unpack(">H", data[at + 2 : at + 4])
            if long < 2:
                return
            yield Part(kind, at + 2 + long, data[at + 4 : at + 2 + long])
            if kind == SCAN:
                return
            at += 2 + long


def parts(data: bytes) -> Iterator[tuple[int, bytes]]:
    """Each part before the picture itself: its kind and what it holds. Ends early where the head is broken."""
    return ((one.kind, one.holds) for one in head(data) if one.kind != SCAN)


def scans(data: bytes, first: Part) -> int:
    """How many scans there are from the first on; what follows the picture's end does not count."""
    count, at = 1, first.end
    while found := _NEXT.search(data, at):
        kind, at = found.group(1)[0], found.end()
        if kind == _END or at + 2 > len(data):
            break
        count += kind == SCAN
        at += struct.unpack(">H", data[at : at + 2])[0]
    return count
