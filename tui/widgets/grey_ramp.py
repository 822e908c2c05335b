"""A picture as plain letters: the more ink, the lighter, as on a dark screen."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from models.pictures.pixels import Pixels

INK: Final = " .:-=+*#%@"
FLAT: Final = 16
"""Of 255 steps of grey: what spans fewer is one grey, and is not drawn apart."""


def ramp(picture: Pixels) -> list[str]:
    """The picture's lines; a letter is twice as high as it is wide, so it stands for two pixels.

    Ten letters are few, so they are spread over the greys that the picture has.
    """
    lights = [[_light(picture, x, y) for x in range(picture.width)] for y in range(0, picture.height, 2)]
    darkest, lightest = min(map(min, lights)), max(map(max, lights))
    if lightest - darkest < FLAT:
        darkest, lightest = 0.0, 255.0
    last = len(INK) - 1

    def letter(light: float) -> str:
        return INK[round((light - darkest) / (lightest - darkest) * last)]

    return ["".join(map(letter, line)).rstrip() for line in lights]


def _light(picture: Pixels, x: int, y: int) -> float:
    pair = (picture.at(x, y), picture.at(x, min(y + 1, picture.height - 1)))
    # Weights of red, green and blue in lightness: Rec. ITU-R BT.601.
    return sum(299 * red + 587 * green + 114 * blue for red, green, blue in pair) / (1_000 * len(pair))
