"""A picture's file as it is kept: looked at first, made small, and without what a camera writes beside the pixels.

Pillow unpacks it and is loaded only here and in `models.pictures.pixels`. What would take long or much room to unpack
is refused by what the file says of itself, before anything of it is unpacked.
"""

from __future__ import annotations

import io
import warnings
from importlib.util import find_spec
from typing import TYPE_CHECKING, Final, NamedTuple

from models.errors import InvalidInputError, WorkshopError
from models.outside import at_hand
from models.stored_picture import LONGEST_SIDE, MOST_BYTES, size_of

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_IN: Final = 8_000_000
"""Bytes of the file."""
MOST_PX: Final = 40_000_000
MOST_UNPACKED_PX: Final = {"JPEG": MOST_PX, "PNG": 24_000_000, "WEBP": 12_000_000}
"""By kind: a PNG is held whole, with its fourth colour twice over, a WebP three times over."""
MOST_PROGRESSIVE_PX: Final = 16_000_000
"""A progressive JPEG is held whole before it is made smaller."""
MOST_SCANS: Final = 30
"""Each goes over the whole picture; programs write some ten."""
LEAST_SIDE: Final = 16
QUALITIES: Final = (85, 75, 65, 55, 45, 35)
SIDES: Final = (LONGEST_SIDE, 1_024, 800, 640)
SMALLER: Final = "Send it smaller: 2,000 pixels do."
SEND: Final = "Name a JPEG, PNG or WebP file, as a telephone saves it."


class PicturesUnavailableError(WorkshopError):
    """Pillow is not installed."""

    title = "Pictures can't be read here"


class Taken(NamedTuple):
    """A picture as it is kept."""

    jpeg: bytes
    width: int
    height: int


def from_file(name: str) -> Taken:
    """The picture in a file, as it is kept. Raises `InvalidInputError`, `PicturesUnavailableError`."""
    needs_pillow()
    with at_hand(name, most=MOST_IN, text=False) as file:
        _refuse_large(file.stat().st_size)
        try:
            with file.open("rb") as stream:
                data = stream.read(MOST_IN + 1)
        except OSError as fault:
            raise InvalidInputError(f"{file} can't be read.", "See that you may read it.") from fault
    return taken(data)


def needs_pillow() -> None:
    """Raise `PicturesUnavailableError` where Pillow is not installed."""
    if find_spec("PIL") is None:
        raise PicturesUnavailableError(
            "Pictures are read with Pillow, which is not installed.", "Install the extra “pictures”."
        )


def taken(data: bytes) -> Taken:
    """The picture in these bytes, as it is kept. Raises `InvalidInputError`."""
    _refuse_large(len(data))
    kind = _kind(data)
    from PIL import Image  # 40 ms, paid where a picture is taken in

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # what is said of odd files would stand across the app's screen
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=(kind,)) as opened:
                _refuse_costly(opened, kind, data)
                made = _upright(opened)
    except InvalidInputError:
        raise
    except (Image.DecompressionBombWarning, Image.DecompressionBombError) as fault:
        raise InvalidInputError(
            f"That picture has more than {MOST_UNPACKED_PX[kind] // 1_000_000} million pixels.", SMALLER
        ) from fault
    except Exception as fault:  # hostile bytes raise nearly anything
        raise InvalidInputError("That picture is broken.", "Save or send it again.") from fault
    return _small(made)


def _refuse_large(size: int) -> None:
    if size > MOST_IN:
        raise InvalidInputError(
            f"That file is larger than {MOST_IN // 1_000_000} MB.", "Send the picture smaller: 2,000 pixels do."
        )


def _kind(data: bytes) -> str:
    """Which of the three kinds it is, by how it begins."""
    if data.startswith(b"\xff\xd8\xff"):
        return "JPEG"
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "PNG"
    if data.startswith(b"RIFF") and data[8:12] == b"WEBP":
        return "WEBP"
    if data[4:8] == b"ftyp":
        raise InvalidInputError("That is a HEIC or AVIF picture.", "Set the telephone to JPEG, or save it as JPEG.")
    raise InvalidInputError("That is not a picture that can be read.", SEND)


def _refuse_costly(opened: Image, kind: str, data: bytes) -> None:
    wide, high = opened.size
    most = MOST_UNPACKED_PX[kind]
    if kind == "JPEG" and opened.info.get("progressive"):
        most = MOST_PROGRESSIVE_PX
    if wide * high > most:
        raise InvalidInputError(
            f"That picture has {wide:,} × {high:,} pixels, more than {most // 1_000_000} million.",
            SMALLER,
        )
    if min(wide, high) < LEAST_SIDE:
        raise InvalidInputError(f"That picture has only {wide:,} × {high:,} pixels.", "Send it in full size.")
    if kind == "JPEG" and data.count(b"\xff\xda") > MOST_SCANS:
        raise InvalidInputError("That picture is put together in too many layers.", "Save it as a plain JPEG.")


def _upright(opened: Image) -> Image:
    """Its pixels alone: made small, turned as the camera was held, on white where it can be seen through."""
    from PIL import Image, ImageOps

    opened.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))  # a JPEG is unpacked at a part of its size
    opened.thumbnail((LONGEST_SIDE, LONGEST_SIDE), reducing_gap=2.0)
    try:
        turned = ImageOps.exif_transpose(opened)
    except Exception:  # what the camera wrote beside it is broken: the pixels are not
        turned = opened
    if turned.has_transparency_data:
        clear = turned.convert("RGBA")
        turned = Image.new("RGBA", clear.size, "white")
        turned.alpha_composite(clear)
    if turned.mode.startswith(("I", "F")):
        # 16 bits of grey and more: the darkest is black, the lightest white.
        grey = turned.convert("F")
        least, most = (float(one) for one in grey.getextrema()[:2])  # type: ignore[arg-type]
        span = max(most - least, 1.0)
        turned = grey.point(lambda value: value * (255.0 / span) - least * 255.0 / span).convert("L")
    plain = turned.convert("RGB")
    return Image.frombytes("RGB", plain.size, plain.tobytes())  # nothing of what was written beside it


def _small(made: Image) -> Taken:
    """As a JPEG, as good as fits."""
    for side in SIDES:
        one = made if max(made.size) <= side else made.copy()
        one.thumbnail((side, side))
        for quality in QUALITIES:
            out = io.BytesIO()
            one.save(out, "JPEG", quality=quality, optimize=True)
            if out.tell() <= MOST_BYTES:
                jpeg = out.getvalue()
                return Taken(jpeg, *size_of(jpeg))
    raise InvalidInputError("That picture can't be made small enough.", "Take another one.")
