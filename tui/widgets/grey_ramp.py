"""A picture as plain letters: the more ink, the lighter, as on a dark screen."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from models.pictures.pixels import Pixels

INK: Final = " .:-=+*#%@"


def ramp(picture: Pixels) -> list[str]:
    """The picture's lines; a letter is twice as high as it is wide, so it stands for two pixels."""
    return ["".join(_letter(picture, x, y) for x in range(picture.width)).rstrip() for y in range(0, picture.height, 2)]


def _letter(picture: Pixels, x: int, y: int) -> str:
    pair = [picture.at(x, y), picture.at(x, min(y + 1, picture.height - 1))]
    # Weights of red, green and blue in lightness: Rec. ITU-R BT.601.
    light = sum(299 * red + 587 * green + 114 * blue for red, green, blue in pair) / (255_000 * len(pair))
    return INK[min(len(INK) - 1, round(light * (len(INK) - 1)))]
