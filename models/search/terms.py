"""Text as search sees it. Everything here happens in Python, so both databases hold, and find, the same words.

A word is a run of letters or a number with its decimals; between digits a comma is a point, written as a middle dot
so that neither database's own rules can split it. "O-ring", "O ring" and "oring" are one word (and "ring" too).
"""

from __future__ import annotations

import re

from models.text import fold

LONGEST_TEXT = 200
DECIMAL_POINT = "·"
"""Stands in an indexed word for a decimal point or comma."""
LONGEST_WORD = 40
MOST_WORDS = 8
GRAM = 3
GRAM_MARK = "+"
"""Stands before three characters of a number among PostgreSQL's words; no word has it."""

HEAD = 2
HEAD_MARK = "<"
"""Stands before the first one or two digits of a word among PostgreSQL's words. Words that begin with one digit are
too many to be walked through at a keystroke; there are few of those that begin with a letter."""
LONGEST_INDEXED_START = 5
"""SQLite's index knows the first one to five characters of a word; what is longer is looked at in the row."""

_WORD = re.compile(rf"\d{{1,20}}(?:[.,]\d{{1,19}})?|[^\W\d_]{{1,{LONGEST_WORD}}}")
_PLAIN_WORD = re.compile(rf"\d{{1,20}}(?:[.,]\d{{1,19}})?|[a-z]{{1,{LONGEST_WORD}}}")
_ORING = re.compile(r"\bo[-\s]ring")
_MAYBE_ORING = re.compile(r"o[-\s]ring")
"""Found four times as quickly as `_ORING` is not: it begins with a letter."""
_UNCLEAN = re.compile(r"[^\W_]+")


def words(text: str) -> list[str]:
    """The words of a text, folded, in their order, each once. A very long one is cut into several."""
    return _joined(text).split()


def _joined(text: str) -> str:
    if text.isascii():
        plain, pattern = text.lower(), _PLAIN_WORD
    else:
        plain, pattern = fold(text), _WORD
    if "ring" in plain and _MAYBE_ORING.search(plain):
        plain = _ORING.sub("oring", plain)
    return " ".join(dict.fromkeys(pattern.findall(plain))).replace(",", DECIMAL_POINT).replace(".", DECIMAL_POINT)


def compact(number: str) -> str:
    """A part number without the dashes, dots, slashes and spaces that people leave out: `HX-46/26.A` is `hx4626a`."""
    return "".join(_UNCLEAN.findall(number.casefold() if number.isascii() else fold(number)))[:LONGEST_TEXT]


def indexed(number: str, name: str) -> str:
    """The words a row is found by, one space apart."""
    found = _joined(f"{number} {name}")
    return f"{found} ring" if "oring" in found and " ring" not in found else found


def grams(squeezed: str) -> list[str]:
    """Every run of three characters, each once; none when there are fewer."""
    return list(dict.fromkeys(squeezed[at : at + GRAM] for at in range(len(squeezed) - GRAM + 1)))


def with_grams(row_words: str, squeezed: str) -> str:
    """The words of a row, and marked, the heads of those in digits and the threes of its number: PostgreSQL's index."""
    heads = {
        HEAD_MARK + word[:length]: None
        for word in row_words.split()
        if word[0].isdigit()
        for length in range(1, min(HEAD, len(word)) + 1)
    }
    return " ".join([row_words, *heads, *[GRAM_MARK + gram for gram in grams(squeezed)]])


def asked(word: str) -> str:
    """How PostgreSQL is asked for words that begin so."""
    return f"'{HEAD_MARK}{word}'" if len(word) <= HEAD and word[0].isdigit() else f"'{word}':*"


def typed(text: str) -> str:
    """What a person typed, cut to a length that costs nothing, without what can't be text."""
    return text[:LONGEST_TEXT].encode("utf-8", "ignore").decode("utf-8").replace("\0", " ")


def typed_words(text: str) -> list[str]:
    """The words to look for, at most eight."""
    return words(text)[:MOST_WORDS]
