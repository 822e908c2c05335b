"""A kept picture as pixels, for a screen."""

from __future__ import annotations

import io
from typing import NamedTuple

from models.errors import InvalidInputError
from models.pictures.taking_in import needs_pillow
from models.stored_picture import size_of


class Pixels(NamedTuple):
    """Rows of pixels from the top, three bytes each: red, green, blue."""

    width: int
    height: int
    rgb: bytes

    def at(self, x: int, y: int) -> tuple[int, int, int]:
        """One pixel's colour."""
        start = 3 * (y * self.width + x)
        red, green, blue = self.rgb[start : start + 3]
        return red, green, blue


def pixels(jpeg: bytes, width: int, height: int) -> Pixels:
    """The picture within so many pixels, its shape kept. Raises `InvalidInputError`, `PicturesUnavailableError`."""
    needs_pillow()
    from PIL import Image

    try:
        size_of(jpeg)
        with Image.open(io.BytesIO(jpeg), formats=("JPEG",)) as opened:
            opened.draft("RGB", (2 * width, 2 * height))
            wide, high = opened.size
            scale = min(width / wide, height / high)
            size = (max(1, min(width, round(wide * scale))), max(1, min(height, round(high * scale))))
            small = opened.convert("RGB").resize(size, Image.Resampling.BOX)
    except Exception as fault:
        raise InvalidInputError("That picture can't be read.", "Take it away, and add it again.") from fault
    return Pixels(*small.size, small.tobytes())
