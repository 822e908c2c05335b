"""The one error a typed quantity can raise, and how it quotes what was typed without repeating anything harmful."""

from __future__ import annotations

from typing import Final

EXCERPT: Final = 24
"""Characters of the typed text that an error repeats at most."""


class QuantityError(ValueError):
    """What was typed is no quantity of the kind asked for. Its text is one sentence: what is wrong, what to type."""


def excerpt(text: str) -> str:
    """Quote the start of `text` in at most `EXCERPT` characters plus quotes: no controls, no marks, no reordering.

    Anything but plain Latin text and the signs of the trade becomes a question mark, so the sentence can be shown on
    any terminal as it stands.
    """
    shown = "".join(c if (c.isprintable() and c.isascii()) or c in "±°·²³µ½¼¾⅛⅜⅝⅞″′" else "?" for c in text[:EXCERPT])
    return f"'{shown}…'" if len(text) > EXCERPT else f"'{shown}'"
