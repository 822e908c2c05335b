"""How a port can seal, drawn in section with plain characters: the first question about it, for command and screen.

Each drawing is cut through the middle of the joint: `#` is the port's metal, `|` the plug, `o` a ring in section.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

WIDE: Final = 15
SECTIONS: Final = {
    "chamfer": (
        " =====|=|=====",
        " ###\\o| |o/###",
        " ####\\| |/####",
        " #####| |#####",
    ),
    "face": (
        " _____   _____",
        " |o |     | o|",
        " <  |     |  >",
        " <  |     |  >",
    ),
    "cone": (
        " \\  \\     /  /",
        " |\\  \\   /  /|",
        " < \\  | |  / >",
        " <  | | | |  >",
    ),
    "washer": (
        " =====|=|=====",
        " [--] | | [--]",
        " #####| |#####",
        " #####| |#####",
    ),
    "thread": (
        "    \\     /   ",
        " ###\\\\   //###",
        " ####\\\\ //####",
        " #####\\ /#####",
    ),
}  # fmt: skip
UNDER: Final = {
    "chamfer": "ring in bevel",
    "face": "ring in end",
    "cone": "bare cone",
    "washer": "flat + washer",
    "thread": "thread only",
}


def sections(columns: int, taken: str = "") -> list[str]:
    """The five drawings side by side, as many in a row as `columns` hold; the taken one's name stands in brackets."""
    per_row = max(1, min(len(SECTIONS), columns // WIDE))
    names = list(SECTIONS)
    lines: list[str] = []
    for start in range(0, len(names), per_row):
        part = names[start : start + per_row]
        lines.append(_row(f"[{name}]" if name == taken else f" {name}" for name in part))
        lines += [_row(SECTIONS[name][at] for name in part) for at in range(4)]
        lines.append(_row(f" {UNDER[name]}" for name in part))
    return lines


def _row(cells: Iterable[str]) -> str:
    return "".join(cell[:WIDE].ljust(WIDE) for cell in cells).rstrip()
