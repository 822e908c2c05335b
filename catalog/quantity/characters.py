"""From raw keystrokes to a short line of known characters.

Unicode's own compatibility folding is not used whole: it turns 1⅛ into 11/8 and 10² into 102. So each character is
let in by name.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from catalog.quantity.errors import QuantityError, excerpt
from catalog.quantity.units import Kind, example

LONGEST: Final = 60
"""Characters a quantity may have. Everything after this check takes time in proportion to at most this many."""

_VULGAR: Final = "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_PLAIN: Final = frozenset('0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ +-/*.,"^°²³µ±·')
_SAME_AS: Final[Mapping[str, str]] = MappingProxyType(
    {
        **dict.fromkeys("\t\u00a0\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000", " "),
        **dict.fromkeys("\u2010\u2011\u2012\u2013\u2212", "-"),
        **dict.fromkeys("\u2033\u201c\u201d", '"'),
        **dict.fromkeys("\u2032\u2019", "'"),
        **dict.fromkeys("\u2044\u2215", "/"),
        **dict.fromkeys("\u22c5\u2219\u2022\u00d7", "·"),
        **dict.fromkeys("\u00ba\u02da", "°"),
        "\u03bc": "µ",
        "\u2103": "°C",
        "\u2109": "°F",
        "\u2113": "L",
        "\u3396": "mL",
        "\u339c": "mm",
        "\u339d": "cm",
        "\u33c4": "cc",
    }
)


def clean(text: str, kind: Kind) -> str:
    """Return `text` in the closed alphabet of the grammar, spaces single, ends trimmed.

    Raises `QuantityError` for text that is empty, too long, or holds any other character.
    """
    if len(text) > LONGEST:
        raise QuantityError(
            f"The text starting {excerpt(text)} is too long for a {kind} (at most {LONGEST} characters); "
            f"type for example {example(kind)}."
        )
    out: list[str] = []
    for place, char in enumerate(text):
        known = _known(char)
        if known is None:
            code = f"U+{ord(char):04X}"
            raise QuantityError(
                f"The character at place {place + 1} of {excerpt(text)} ({code}) has no place in a {kind}; "
                f"type for example {example(kind)}."
            )
        # 1⅛ is one and one eighth and never eleven eighths: keep the fraction apart from digits on both sides.
        fraction_here, fraction_before = char in _VULGAR, place > 0 and text[place - 1] in _VULGAR
        if out and (fraction_here or fraction_before) and out[-1][-1].isdigit() and known[0].isdigit():
            out.append(" ")
        out.append(known)
    line = " ".join("".join(out).replace("''", '"').split())
    if not line:
        raise QuantityError(f"Nothing was typed; type a {kind}, for example {example(kind)}.")
    return line


def _known(char: str) -> str | None:
    if char in _PLAIN or char == "'":
        return char
    if char in _VULGAR or "\uff01" <= char <= "\uff5e":
        folded = unicodedata.normalize("NFKC", char).replace("\u2044", "/")
        return folded if all(c in _PLAIN or c == "'" for c in folded) else None
    return _SAME_AS.get(char)
