"""How something comes out: a glyph and a word, so that no meaning hangs on colour."""

from __future__ import annotations

from enum import Enum


class Mark(Enum):
    """Best to worst. The glyph stands before the word everywhere; `tone` is the row tone of the list."""

    GOOD = ("✓", "+", "good", "$text-success")
    NOTE = ("·", "-", "", "")
    CARE = ("!", "!", "bad", "bold $text-warning")
    MEASURE = ("?", "?", "dim", "$text-accent")
    BAD = ("✗", "x", "bad", "bold $text-error")

    @property
    def tone(self) -> str:
        """The tone of a row in the list."""
        return self.value[2]

    @property
    def style(self) -> str:
        """The style of the word in running text."""
        return self.value[3]

    def glyph(self, *, plain: bool) -> str:
        """The sign, in plain characters where asked."""
        return self.value[1] if plain else self.value[0]
