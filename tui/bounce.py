"""A key pressed twice by one tap of a gloved finger, or held: the second press was meant for what the first closed."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from textual import events
    from textual.screen import Screen

REST = 0.3
"""Seconds; a double tap is quicker, and whoever reads the new screen first is slower."""


class Bounce:
    """Watches for Enter, Esc or a function key that comes again at once, on another screen than the first time.

    Letters are typed in a row, so they pass: the first letter may have opened the field for the others.
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
        return again and not event.is_printable and screen is not self._screen
