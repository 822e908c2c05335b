"""A QR code (ISO/IEC 18004) in letters, for a terminal: two rows of modules in one line."""

from __future__ import annotations

from typing import Final

import segno

QUIET: Final = 2
"""Light modules on each side. The standard asks for four; two were read by every reader tried, and leave room."""
_HALVES: Final = {(True, True): " ", (True, False): "▄", (False, True): "▀", (False, False): "█"}
"""By whether the upper and the lower module are dark: drawn light on a dark ground, as most terminals are."""


def lines(text: str) -> tuple[str, ...]:
    """The code of `text`, line by line."""
    made = segno.make_qr(text, error="L", boost_error=False)
    blank = [False] * (len(made.matrix) + 2 * QUIET)
    rows = [blank] * QUIET
    rows += [[False] * QUIET + [bool(module) for module in row] + [False] * QUIET for row in made.matrix]
    rows += [blank] * (QUIET + len(rows) % 2)
    return tuple(
        "".join(_HALVES[pair] for pair in zip(*rows[at : at + 2], strict=True)) for at in range(0, len(rows) - 1, 2)
    )
