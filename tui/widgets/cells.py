"""Text made safe for a cell of the screen: no control characters, exact cell width, never markup."""

from __future__ import annotations

from rich.cells import cell_len, set_cell_size

# What stands where a control, bidirectional or unassigned character was: the reader sees that something was there.
STAND_IN = "·"


def clean(text: str, limit: int = 2000) -> str:
    """`text` on one line with every unprintable character replaced; longer than `limit` is cut with an ellipsis."""
    if len(text) > limit:
        text = text[: limit - 1] + "…"
    if text.isprintable():
        return text
    return "".join(char if char.isprintable() else STAND_IN for char in text)


def fit(text: str, width: int, *, right: bool = False) -> str:
    """`text` cleaned, then cut (with an ellipsis) or padded to exactly `width` cells."""
    if width <= 0:
        return ""
    text = clean(text, max(width * 4, 8))
    cells = len(text) if text.isascii() else cell_len(text)
    if cells == width:
        return text
    if cells > width:
        return set_cell_size(text, width - 1) + "…"
    return " " * (width - cells) + text if right else text + " " * (width - cells)
