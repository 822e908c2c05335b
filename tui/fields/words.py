"""What was typed, as a sentence may repeat it."""

from __future__ import annotations


def shown(text: str, longest: int = 40) -> str:
    """What was typed, in quotes, cut to a readable length and without control characters."""
    clean = "".join(letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}" for letter in text[: longest + 1])
    return f"'{clean[:longest]}…'" if len(text) > longest else f"'{clean}'"


def folded(text: str) -> str:
    """A name as it is compared: case and spaces apart."""
    return " ".join(text.split()).casefold()
