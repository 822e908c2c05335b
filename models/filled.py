"""What an entry of a fluid's tally says. No database needed to import it."""

from __future__ import annotations

from enum import StrEnum


class Filled(StrEnum):
    """What an entry of a tally says.

    Held before, drained, poured from a pack, clean drained fluid poured back, let out again after pouring.
    """

    HELD = "held"
    DRAINED = "drained"
    POURED = "poured"
    REUSED = "reused"
    LET_OUT = "let_out"
