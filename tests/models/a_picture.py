"""Pictures made for tests: as a file in any form, and as one is kept."""

from __future__ import annotations

import io
from typing import Any

from PIL import Image, ImageDraw

from models.pictures.taking_in import Taken, taken


def drawn(size: tuple[int, int] = (40, 30), colour: str = "orange", mode: str = "RGB") -> Image.Image:
    """A disc on white: upright it stands at the left, above the middle."""
    made = Image.new("RGB", size, "white")
    wide, high = size
    ImageDraw.Draw(made).ellipse((wide // 8, high // 8, wide // 2, high // 2), fill=colour)
    return made.convert(mode)


def as_file(picture: Image.Image, form: str = "JPEG", **more: Any) -> bytes:
    """The bytes of its file."""
    out = io.BytesIO()
    picture.save(out, form, **more)
    return out.getvalue()


def a_picture(colour: str = "orange") -> Taken:
    """One as it is kept, 40 × 30 pixels."""
    return taken(as_file(drawn(colour=colour), "PNG"))
