"""How a port can seal, and where a washer and a shaft seal are measured, drawn in section with plain characters.

The five looks of a port's seal are the first question about it, the same on the command line and on the screen. Each is
cut through the middle of the joint: `#` is the port's metal, `|` the plug, `o` a ring in section.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

WIDE: Final = 12
SECTIONS: Final = {
    "chamfer": (
        "====| |====",
        "##\\o| |o/##",
        "###\\| |/###",
        "####| |####",
    ),
    "face": (
        "____   ____",
        "|o |   | o|",
        "<  |   |  >",
        "<  |   |  >",
    ),
    "cone": (
        "\\ \\     / /",
        "|\\ \\   / /|",
        "< \\ | | / >",
        "<  || ||  >",
    ),
    "washer": (
        "====| |====",
        "[--]| |[--]",
        "####| |####",
        "####| |####",
    ),
    "thread": (
        "   \\   /   ",
        "###\\\\ //###",
        "####\\ /####",
        "#####v#####",
    ),
}
UNDER: Final = {
    "chamfer": "bevel, ring",
    "face": "ring in end",
    "cone": "bare cone",
    "washer": "flat washer",
    "thread": "thread only",
}
WASHER: Final = (
    "|<--- outside --->|",
    "[#####]     [#####]  thick",
    "      |<--->| inside",
    "",
    "[####>       <####]  bonded: steel,",
    "     |<----->|       rubber lip in",
)
SHAFT_SEAL: Final = (
    "######         ######  housing",
    "  |<----- bore ---->|",
    "##[==\\o |   | o/==]##  seal; lip",
    "##[   \\ |   | /   ]##  with spring",
    "##[====\\|   |/====]##  to the fluid",
    "######  |   |  ######",
    "        |<->| shaft, beside",
    "        |   | the lip's track",
)


def sections(columns: int, taken: str = "") -> list[str]:
    """The five looks side by side, as many in a row as `columns` hold; the taken one's name stands in brackets."""
    per_row = max(1, min(len(SECTIONS), columns // WIDE))
    names = list(SECTIONS)
    lines: list[str] = []
    for start in range(0, len(names), per_row):
        part = names[start : start + per_row]
        lines.append(_row(f"[{name}]" if name == taken else name for name in part))
        lines += [_row(SECTIONS[name][at] for name in part) for at in range(4)]
        lines.append(_row(UNDER[name] for name in part))
    return lines


def _row(cells: Iterable[str]) -> str:
    return "".join(cell[:WIDE].ljust(WIDE) for cell in cells).rstrip()
