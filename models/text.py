"""Text that people type, made fit to store and to look for. The same result on every database."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

from models.errors import InvalidInputError
from models.noticing import note

NAME_LENGTH = 200
NOTE_LENGTH = 2000
TEXT_LENGTH = 4000
"""Of a record that is kept whole in one column, see `models.stored_text`."""
SEARCH_WORDS = 8


def clean(text: str, what: str, *, limit: int = NAME_LENGTH, empty: bool = False) -> str:
    """`text` without surrounding space, in composed form. `what` names the field in the message.

    Unseen signs (zero-width spaces, a byte order mark, soft hyphens, direction marks) are left out and odd spaces made
    plain, which is noted for the person. Raises `InvalidInputError` when it is empty (unless `empty`), longer than
    `limit`, or holds a control character (line breaks are allowed where `limit` is a note's), half a surrogate pair,
    what turns the direction of writing, parts lines, or stands for no character.
    """
    if not text.isascii():
        text = _seen(text, what)
    short = unicodedata.normalize("NFC", text.strip())
    if len(short) > limit:
        raise InvalidInputError(f"The {what} has {len(short)} characters.", f"Use at most {limit}.")
    allowed = "\n\t" if limit > NAME_LENGTH else ""
    if any(unicodedata.category(letter) in {"Cc", "Cs"} and letter not in allowed for letter in short):
        raise InvalidInputError(f"The {what} holds a character that can't be shown.", "Type it again without it.")
    if not short and not empty:
        raise InvalidInputError(f"The {what} is empty.", f"Type a {what}.")
    return short


UNSEEN: Final = re.compile("[\xad\u061c\u180e\u200b\u200e\u200f\u2060\ufeff]")
ODD_SPACES: Final = re.compile("[\xa0\u1680\u2000-\u200a\u202f\u205f\u3000]")
TURNING: Final = re.compile("[\u202a-\u202e\u2066-\u2069]")
PARTING: Final = re.compile("[\x85\u2028\u2029]")
NO_CHARACTERS: Final = re.compile(
    "[\ufdd0-\ufdef" + "".join(f"{chr(plane << 16 | 0xFFFE)}{chr(plane << 16 | 0xFFFF)}" for plane in range(17)) + "]"
)


def _seen(text: str, what: str) -> str:
    """`text` with nothing in it that can't be seen; says what was left out. Raises `InvalidInputError`."""
    for refused, why in (
        (TURNING, "a sign that turns the direction of writing"),
        (PARTING, "a sign that parts lines"),
        (NO_CHARACTERS, "something that stands for no character"),
    ):
        if refused.search(text):
            raise InvalidInputError(f"The {what} holds {why}.", "Type it again without it.")
    plain = ODD_SPACES.sub(" ", text)
    kept = UNSEEN.sub("", plain)
    if kept != plain:
        note(f"The {what} held a sign that can't be seen; it was left out.")
    if plain.strip() != text.strip():
        note(f"The {what} held a special space; a plain one stands there now.")
    return kept


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
