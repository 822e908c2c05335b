"""What a person should know of what was typed, though it was taken: a sign left out, a name that looks like another.

Noted by whoever reads the text, in the thread that works, and told by the command or the screen when its work is done.
"""

from __future__ import annotations

import threading

MOST = 20
"""A file of a thousand such names is told by its first ones."""


class _Noted(threading.local):
    def __init__(self) -> None:
        self.said: list[str] = []


_NOTED = _Noted()


def note(sentence: str) -> None:
    """Keep a sentence for whoever asks next in this thread; the same one once."""
    if sentence not in _NOTED.said and len(_NOTED.said) < MOST:
        _NOTED.said.append(sentence)


def taken() -> tuple[str, ...]:
    """The sentences since the last call in this thread."""
    said = tuple(_NOTED.said)
    _NOTED.said.clear()
    return said
