"""Pictures made to take memory or time, broken ones, and what is not a picture at all."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Callable
from typing import Final

import cv2
import numpy as np


def chunk(kind: bytes, data: bytes) -> bytes:
    """A part of a PNG."""
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png(wide: int, high: int, depth: int, kind: int, row: int, *, interlaced: int = 0, extra: bytes = b"") -> bytes:
    """A PNG of zeros; `row`: bytes of one line of it."""
    packer = zlib.compressobj(6)
    line = b"\0" * (1 + row)
    data = b"".join(packer.compress(line) for _ in range(high)) + packer.flush()
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", wide, high, depth, kind, 0, 0, interlaced))
    return b"\x89PNG\r\n\x1a\n" + head + extra + chunk(b"IDAT", data) + chunk(b"IEND", b"")


def jpeg(wide: int, high: int, *settings: int, grey: int = 200) -> bytes:
    """A JPEG of one grey."""
    return bytes(cv2.imencode(".jpg", np.full((high, wide), grey, np.uint8), list(settings))[1])


def _progressive(wide: int, high: int) -> bytes:
    return jpeg(wide, high, cv2.IMWRITE_JPEG_PROGRESSIVE, 1)


def _scans(wide: int, high: int) -> bytes:
    """A progressive JPEG whose last scan comes again and again."""
    whole = _progressive(wide, high)
    last = whole[whole.rfind(b"\xff\xda") : -2]
    return whole[:-2] + last * 2000 + whole[-2:]


def _hidden() -> bytes:
    """A JPEG with a frame of 32000 x 32000 px where a reader of parts passes over it, and a decoder does not."""
    small, other = jpeg(1200, 1000), bytearray(jpeg(20, 20))
    at = other.find(b"\xff\xc0")
    other[at + 5 : at + 9] = struct.pack(">HH", 32000, 32000)
    part = bytes(other[2:])
    return b"\xff\xd8\xff\x00" + struct.pack(">H", len(part) + 2) + part + small[2:]


def _moving() -> bytes:
    return png(3000, 2000, 8, 6, 12_000, extra=chunk(b"acTL", struct.pack(">II", 1000, 0)))


def _squares() -> bytes:
    """4,000 squares, each of which might be a mark."""
    picture = np.full((1400, 1800), 255, np.uint8)
    for top in range(2, 1380, 24):
        for left in range(2, 1780, 24):
            picture[top : top + 20, left : left + 20] = 0
    return bytes(cv2.imencode(".png", picture)[1])


def _noise() -> bytes:
    picture = np.random.default_rng(1).integers(0, 255, (3000, 4000)).astype(np.uint8)
    return bytes(cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, 60])[1])


def _exif() -> bytes:
    """EXIF that points beyond itself, with a million directories."""
    plain = jpeg(1200, 1000)
    part = b"Exif\0\0II*\0\xff\xff\xff\x7f" + b"\xff" * 5000
    return plain[:2] + b"\xff\xe1" + struct.pack(">H", len(part) + 2) + part + plain[2:]


MADE: Final[dict[str, tuple[Callable[[], bytes], str]]] = {
    "nothing.jpg": (lambda: b"", "not a JPEG or PNG"),
    "text.jpg": (lambda: b"not a picture\n" * 9, "not a JPEG or PNG"),
    "wrong.gif": (lambda: b"GIF89a" + struct.pack("<HH", 65_535, 65_535) + b"\0" * 90, "not a JPEG or PNG"),
    "wrong.tiff": (lambda: b"II*\0" + b"\xff" * 90, "not a JPEG or PNG"),
    "wrong.bmp": (lambda: b"BM" + b"\xff" * 90, "not a JPEG or PNG"),
    "phone.heic": (lambda: b"\0\0\0\x18ftypheic" + b"\0" * 90, "set the telephone to JPEG"),
    "one.png": (lambda: png(1, 1, 8, 0, 1), "send it in full size"),
    "30000.png": (lambda: png(30_000, 30_000, 1, 0, 3750), "make it smaller"),
    "64.png": (lambda: png(8000, 8000, 16, 6, 64_000), "make it smaller"),
    "24.png": (lambda: png(6000, 4000, 16, 6, 48_000), "no mark of the sheet"),
    "24-interlaced.png": (lambda: png(6000, 4000, 8, 2, 18_000, interlaced=1), "picture is broken|no mark"),
    "moving.png": (_moving, "moving picture: take a single one"),
    "cut.png": (lambda: png(3000, 2000, 8, 0, 3000)[:2000], "picture is broken"),
    "text-bomb.png": (
        lambda: png(1200, 1000, 8, 0, 1200, extra=chunk(b"zTXt", b"a\0\0" + zlib.compress(b"\0" * 50_000_000))),
        "no mark of the sheet",
    ),
    "64.jpg": (lambda: jpeg(8000, 8000), "no mark of the sheet"),
    "64-progressive.jpg": (lambda: _progressive(8000, 8000), "save it as an ordinary JPEG"),
    "24-progressive.jpg": (lambda: _progressive(6000, 4000), "no mark of the sheet"),
    "scans.jpg": (lambda: _scans(4000, 3000), "layers: save it as an ordinary JPEG"),
    "hidden.jpg": (_hidden, "picture is broken"),
    "cut.jpg": (lambda: jpeg(4000, 3000)[:9000], "no mark of the sheet|picture is broken"),
    "exif.jpg": (_exif, "no mark of the sheet"),
    "noise.jpg": (_noise, "no mark of the sheet"),
    "squares.png": (_squares, "full of squares"),
}
"""How each is made, and what its refusal says."""
