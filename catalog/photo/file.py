"""A picture's file: what it is and how large, seen before it is unpacked; what it says of the lens.

JPEG (ISO/IEC 10918-1), its EXIF part (CIPA DC-008: a TIFF directory, tag A405 the focal length as on 35 mm film) and
PNG (ISO/IEC 15948). What is no such file, is broken or would unpack to too much is refused in one sentence. So is what
would take long: a progressive JPEG is kept whole and gone over at each scan, of which a file may hold thousands.
"""

from __future__ import annotations

import struct
from typing import Final, NamedTuple

import cv2
import numpy as np

from catalog.photo import jpeg_parts
from catalog.photo.marks import Picture
from catalog.photo.refusal import PhotoError

MOST_BYTES: Final = 40_000_000
MOST_PX: Final = 64_000_000
MOST_PX_WHOLE: Final = 24_000_000
"""Of a PNG, and of a JPEG that is kept whole while it is unpacked: six bytes a px."""
MOST_PX_OF_SCANS: Final = 250_000_000
"""px of a picture times its scans; a usual progressive JPEG has ten."""
HALVED_PX: Final = 16_000_000
"""A JPEG of more is read at half its size: of that much a ring is measured as well."""
LEAST_PX: Final = 1_000_000
LONGEST_SIDE: Final = 20_000
FILM_MM: Final = (10, 300)
_PNG: Final = b"\x89PNG\r\n\x1a\n"
_JPEG: Final = b"\xff\xd8"
BROKEN: Final = "the picture is broken: send the file again"
_SUB_DIRECTORY: Final = 0x8769
_FOCAL: Final = 0xA405
_WIDE: Final = 0xA002
_HIGH: Final = 0xA003


class Opened(NamedTuple):
    """A grey picture, and the focal length in mm as on 35 mm film where the file says it of the whole picture."""

    picture: Picture
    focal_as_film: float | None


class _Header(NamedTuple):
    """`whole`: it is kept whole while it is unpacked; `scans`: how often it is gone over; `halves`: it may be read at
    half its size."""

    wide: int
    high: int
    focal: float | None
    whole: bool
    scans: int = 1
    halves: bool = False


def opened(data: bytes) -> Opened:
    """The picture in a file's bytes. Raises `PhotoError`."""
    if len(data) > MOST_BYTES:
        raise PhotoError(
            f"the file is larger than {MOST_BYTES // 1_000_000} MB; no telephone's JPEG is: save it as JPEG, or smaller"
        )
    header = _header(data)
    pixels = header.wide * header.high
    most = MOST_PX_WHOLE if header.whole else MOST_PX
    if pixels > most or max(header.wide, header.high) > LONGEST_SIDE:
        kind = " of this kind" if header.whole else ""
        raise PhotoError(
            f"the picture has {header.wide} x {header.high} px, more than the {most // 1_000_000} million that one"
            f"{kind} may have: make it smaller, or save it as an ordinary JPEG"
        )
    if pixels < LEAST_PX:
        raise PhotoError(
            f"the picture has only {header.wide} x {header.high} px: send it in full size, at least a million px"
        )
    if pixels * header.scans > MOST_PX_OF_SCANS:
        raise PhotoError(f"the picture comes in {header.scans} layers: save it as an ordinary JPEG")
    half = header.halves and pixels > HALVED_PX
    how = cv2.IMREAD_REDUCED_GRAYSCALE_2 if half else cv2.IMREAD_GRAYSCALE
    try:
        picture = cv2.imdecode(np.frombuffer(data, np.uint8), how | cv2.IMREAD_IGNORE_ORIENTATION)
    except cv2.error as fault:
        raise PhotoError(BROKEN) from fault
    by = 2 if half else 1
    if picture is None or picture.ndim != 2 or picture.shape != (-(-header.high // by), -(-header.wide // by)):
        raise PhotoError(BROKEN)
    return Opened(np.asarray(picture, dtype=np.uint8), header.focal)


def _header(data: bytes) -> _Header:
    if data.startswith(_PNG) and len(data) > 33 and data[12:16] == b"IHDR":
        return _of_png(data)
    if data.startswith(_JPEG):
        return _of_jpeg(data)
    if data[4:8] == b"ftyp":
        raise PhotoError("that is a HEIC or AVIF picture: set the telephone to JPEG, or save it as JPEG")
    raise PhotoError("that is not a JPEG or PNG picture: name the picture's file, or save it as JPEG")


def _of_png(data: bytes) -> _Header:
    wide, high = struct.unpack(">II", data[16:24])
    at = 8
    while at + 8 <= len(data):
        long, kind = struct.unpack(">I4s", data[at : at + 8])
        if kind == b"acTL":
            raise PhotoError("that is a moving picture: take a single one, as JPEG")
        if kind == b"IDAT":
            break
        at += 12 + long
    return _Header(wide, high, None, whole=True)


def _of_jpeg(data: bytes) -> _Header:
    exif: tuple[float, int, int] | None = None
    frame, found = 0, b""
    for part in jpeg_parts.head(data):
        if part.kind == 0xE1 and part.holds.startswith(b"Exif\0\0") and exif is None:
            exif = _exif(part.holds[6:])
        if part.kind in jpeg_parts.FRAMES and not found and len(part.holds) >= 6:
            frame, found = part.kind, part.holds
        if part.kind == jpeg_parts.SCAN and found and part.holds:
            high, wide = struct.unpack(">HH", found[1:5])
            if not wide or not high:
                break
            whole = frame in jpeg_parts.PROGRESSIVE or part.holds[0] < found[5]
            focal = None if exif is None else _whole(exif, wide, high)
            return _Header(wide, high, focal, whole, jpeg_parts.scans(data, part), halves=True)
    raise PhotoError(BROKEN)


def _whole(exif: tuple[float, int, int], wide: int, high: int) -> float | None:
    """The focal length, unless the file says that the picture was cut or made smaller unevenly since."""
    focal, was_wide, was_high = exif
    if not FILM_MM[0] <= focal <= FILM_MM[1]:
        return None
    if was_wide and was_high:
        was, now = sorted((was_wide, was_high)), sorted((wide, high))
        # A cut picture has another shape, or its old size beside a new one.
        if was != now and abs(was[1] * now[0] - was[0] * now[1]) > 2 * max(was):
            return None
    return focal


def _exif(tiff: bytes) -> tuple[float, int, int] | None:
    """Focal length as on film, width and height, 0 where not said; None where nothing can be read."""
    order = {b"II": "<", b"MM": ">"}.get(tiff[:2])
    if order is None:
        return None
    try:
        (first,) = struct.unpack_from(order + "I", tiff, 4)
        pointer = _directory(tiff, order, first).get(_SUB_DIRECTORY)
        found = {} if pointer is None else _directory(tiff, order, pointer)
    except struct.error:
        return None
    return float(found.get(_FOCAL, 0)), found.get(_WIDE, 0), found.get(_HIGH, 0)


def _directory(tiff: bytes, order: str, at: int) -> dict[int, int]:
    """The whole numbers of a TIFF directory, by tag. Raises `struct.error` where it leads out of the part."""
    (count,) = struct.unpack_from(order + "H", tiff, at)
    found = {}
    for number in range(min(count, 200)):
        place = at + 2 + 12 * number
        tag, kind, many = struct.unpack_from(order + "HHI", tiff, place)
        if many == 1 and kind in (3, 4):
            found[tag] = struct.unpack_from(order + ("H" if kind == 3 else "I"), tiff, place + 8)[0]
    return found
