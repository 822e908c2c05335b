"""Text from people made fit for paper: what can't be shown is replaced, and the sheet says that it was."""

from __future__ import annotations

import unicodedata
from collections.abc import Container
from typing import Final, NamedTuple

UNSHOWABLE: Final = "\N{REPLACEMENT CHARACTER}"
LOZENGE: Final = "\N{LOZENGE}"
"""Stands on paper for a letter that the font lacks."""
LOST_NOTE: Final = f"{LOZENGE} or a missing accent: a letter this print can't show. The text copy of this sheet has it."

# Marks that turn the direction of writing: on a sheet they could make a quantity read backwards.
_TURNS: Final = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


class Drawable(NamedTuple):
    """Text in letters the font has; `lossy` if it says less than it did."""

    text: str
    lossy: bool


def clean(text: str) -> str:
    """`text` in composed form with plain line breaks; control characters, direction marks and half pairs replaced."""
    lines = unicodedata.normalize("NFC", text.replace("\r\n", "\n").replace("\r", "\n").replace("\t", " "))
    return "".join(UNSHOWABLE if _unshowable(letter) else letter for letter in lines)


def drawable(text: str, has: Container[int]) -> Drawable:
    """`text` (cleaned) in the letters `has` holds, by code point: a base letter for an accented one, else a lozenge."""
    drawn: list[str] = []
    lossy = False
    for letter in clean(text):
        if letter == "\n" or ord(letter) in has:
            drawn.append(letter)
        elif unicodedata.category(letter) == "Zs":
            drawn.append(" ")
        else:
            shown, less = _stand_in(letter, has)
            lossy = lossy or less
            drawn.append(shown)
    return Drawable("".join(drawn), lossy)


def _stand_in(letter: str, has: Container[int]) -> tuple[str, bool]:
    """What to draw for a letter the font lacks, and whether that says less."""
    if unicodedata.category(letter) in {"Mn", "Me", "Cf"}:
        return "", True
    kind = unicodedata.decomposition(letter).partition(" ")[0]
    # A raised or circled figure must not become a plain one: 10⁴ is not 104.
    if kind in {"<super>", "<sub>", "<circle>"}:
        return LOZENGE, True
    # 1⅛ becomes 1 1/8 and never 11/8.
    spelt = unicodedata.normalize("NFKD", letter).replace("\N{FRACTION SLASH}", "/")
    base = "".join(part for part in spelt if not unicodedata.combining(part))
    if not base or not all(ord(part) in has for part in base):
        return LOZENGE, True
    return (f" {base}", False) if kind == "<fraction>" else (base, base != spelt)


def _unshowable(letter: str) -> bool:
    return letter in _TURNS or (letter != "\n" and unicodedata.category(letter) in {"Cc", "Cs", "Zl", "Zp"})
