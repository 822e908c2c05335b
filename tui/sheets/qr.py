"""A QR code (ISO/IEC 18004) as black boxes on a page, quiet zone included."""

from __future__ import annotations

from functools import lru_cache
from typing import Final, NamedTuple

from tui.sheets.fonts import PrintUnavailableError
from tui.sheets.marks import Box

QUIET: Final = 4
"""White modules on each side: what ISO/IEC 18004 asks for."""
FINEST: Final = 0.33
"""The smallest module, in mm, that plain printers and cheap scanners agree on (common practice, no source)."""


class Code(NamedTuple):
    """A QR code's modules, True for black, without the quiet zone."""

    rows: tuple[tuple[bool, ...], ...]

    @property
    def modules(self) -> int:
        """Modules along one side, quiet zone included."""
        return len(self.rows) + 2 * QUIET


@lru_cache(maxsize=64)
def code_for(text: str, side: float) -> Code | None:
    """The QR code of `text` that fits a square of `side` mm with modules no finer than `FINEST`.

    Takes the strongest error correction that fits (Q, then M, then L), for labels get oily. None if no code fits.
    Raises `PrintUnavailableError`.
    """
    try:
        import segno
    except ImportError:
        raise PrintUnavailableError from None
    for level in ("Q", "M", "L"):
        try:
            made = segno.make_qr(text, error=level, boost_error=False)
        except segno.DataOverflowError:
            continue
        code = Code(tuple(tuple(bool(module) for module in row) for row in made.matrix))
        if side / code.modules >= FINEST:
            return code
    return None


def boxes(code: Code, x: float, y: float, side: float) -> tuple[Box, ...]:
    """The black modules in a square of `side` mm whose top left corner is at `x`, `y`; runs in a row are one box."""
    module = side / code.modules
    found: list[Box] = []
    for down, row in enumerate(code.rows):
        start = 0
        while start < len(row):
            end = start
            while end < len(row) and row[end]:
                end += 1
            if end > start:
                found.append(
                    Box(
                        x + (QUIET + start) * module,
                        y + (QUIET + down) * module,
                        (end - start) * module,
                        module,
                        0.0,
                        0.0,
                    )
                )
            start = end + 1
    return tuple(found)
