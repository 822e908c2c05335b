"""The font of the sheets, and the one place that loads the printing library: a third of a second, so never early."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Final, NamedTuple

from tui.sheets.letters import Drawable, drawable
from tui.sheets.marks import Face

MM_PER_POINT: Final = 25.4 / 72
_FILES: Final = {Face.PLAIN: "Vera.ttf", Face.BOLD: "VeraBd.ttf"}


class PrintUnavailableError(RuntimeError):
    """The printing libraries are not installed. The message says how to get them."""

    def __init__(self) -> None:
        super().__init__("Printing needs two more libraries; type: pip install 'kitwright[print]'")


class Font(NamedTuple):
    """One face: the name it is registered under, and the width of each letter it has, per point of size, in mm."""

    name: str
    widths: dict[int, float]

    def width(self, text: str, size: float) -> float:
        """How wide `text` is at `size` points, in mm."""
        return size * sum(self.widths[ord(letter)] for letter in text)

    def at(self, size: float) -> Callable[[str], float]:
        """A measure of text at `size` points, in mm, for breaking lines with."""
        return lambda text: self.width(text, size)

    def drawable(self, text: str) -> Drawable:
        """`text` in letters that this font has."""
        return drawable(text, self.widths)


@cache
def font(face: Face) -> Font:
    """A face, registered with the printing library. Raises `PrintUnavailableError`."""
    try:
        import reportlab  # type: ignore[import-untyped]
        from reportlab.pdfbase import pdfmetrics  # type: ignore[import-untyped]
        from reportlab.pdfbase.ttfonts import TTFont  # type: ignore[import-untyped]
    except ImportError:
        raise PrintUnavailableError from None
    name = f"sheet-{face}"
    made = TTFont(name, str(Path(reportlab.__file__).parent / "fonts" / _FILES[face]))
    pdfmetrics.registerFont(made)
    letters = {code: width * MM_PER_POINT / 1000 for code, width in made.face.charWidths.items() if _is_letter(code)}
    return Font(name, letters)


def _is_letter(code: int) -> bool:
    # The font's table also names control characters, and spaces that would not break; neither is a letter to draw.
    return code >= 0x20 and not 0x7F <= code <= 0xA0 and code < 0xFFFE
