"""Text that people type, made fit to store and to look for. The same result on every database."""

from __future__ import annotations

import unicodedata

from models.errors import InvalidInputError

NAME_LENGTH = 200
NOTE_LENGTH = 2000
SEARCH_WORDS = 8


def clean(text: str, what: str, *, limit: int = NAME_LENGTH, empty: bool = False) -> str:
    """`text` without surrounding space, in composed form. `what` names the field in the message.

    Raises `InvalidInputError` when it is empty (unless `empty`), longer than `limit`, or holds a control character
    (line breaks are allowed where `limit` is a note's) or half a surrogate pair.
    """
    short = unicodedata.normalize("NFC", text.strip())
    if len(short) > limit:
        raise InvalidInputError(f"The {what} has {len(short)} characters.", f"Use at most {limit}.")
    allowed = "\n\t" if limit > NAME_LENGTH else ""
    if any(unicodedata.category(letter) in {"Cc", "Cs"} and letter not in allowed for letter in short):
        raise InvalidInputError(f"The {what} holds a character that can't be shown.", "Type it again without it.")
    if not short and not empty:
        raise InvalidInputError(f"The {what} is empty.", f"Type a {what}.")
    return short


def fold(*parts: str | None) -> str:
    """What a search looks in: the parts that are there, case and accents folded, one space apart."""
    joined = " ".join(part for part in parts if part)
    plain = unicodedata.normalize("NFKD", joined)
    return " ".join("".join(letter for letter in plain if not unicodedata.combining(letter)).casefold().split())


def search_words(text: str) -> list[str]:
    """The words of what was typed into a search box, folded; control characters dropped, at most eight words."""
    seen = "".join(
        " " if unicodedata.category(letter) in {"Cc", "Cs"} else letter for letter in text[: 2 * NAME_LENGTH]
    )
    return fold(seen).split()[:SEARCH_WORDS]
