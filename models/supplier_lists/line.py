"""One line of a supplier's file, whatever the file's kind."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple


class Line(NamedTuple):
    """Its number (from 1), its cells as text, how many bytes of the file were read (0: not looked), what broke it."""

    number: int
    cells: Sequence[str]
    read: int
    broken: str = ""
