"""A key pressed twice by one tap of a gloved finger, or held: the second press was meant for what the first closed."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from textual import events
    from textual.screen import Screen

CLOSES: Final = re.compile(r"enter|escape|f\d+")
REST = 0.3
"""Seconds; a double tap is quicker, and whoever reads the new screen first is slower."""


class Bounce:
    """Watches for Enter, Esc or a function key that comes again at once, on another screen than the first time.

    Other keys pass: letters are typed in a row, and the first may have opened the field for the rest.
    """

    def __init__(self) -> None:
        self._key = ""
        self._time = 0.0
        self._screen: object = None

    def is_one(self, event: events.Key, screen: Screen[object]) -> bool:
        """Whether the key is to be dropped. While it is held it comes again and again, and counts as one press."""
        again = event.key == self._key and event.time - self._time < REST
        self._key, self._time = event.key, event.time
        if not again:
            self._screen = screen
        return again and CLOSES.fullmatch(event.key) is not None and screen is not self._screen

    def forget(self) -> None:
        """Something else came between."""
        self._key = ""
