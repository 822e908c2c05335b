"""Names that look alike though they differ: the same but for case, spaces, accents' form, or letters of another script.

A person is told, not refused: two bins may well be named so. The comparison is a small skeleton of its own: NFKC, case
folded, spaces collapsed, unseen signs out, and the letters below, which hands and eyes take for each other in most
typefaces, made one (common practice, no source; Unicode's own list, UTS 39, holds thousands).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from typing import Final

from models.noticing import note
from models.text import UNSEEN

_LOOKS: Final[Mapping[str, str]] = {
    # Cyrillic
    **dict(zip("АВЕКМНОРСТУХІЈЅԚԜ", "ABEKMHOPCTYXIJSQW", strict=True)),
    **dict(zip("аекорсухіјѕһԁԛԝ", "aekopcyxijshdqw", strict=True)),
    # Greek
    **dict(zip("ΑΒΕΖΗΙΚΜΝΟΡΤΥΧ", "ABEZHIKMNOPTYX", strict=True)),
    **dict(zip("αγικνορυχ", "ayiknopux".replace("n", "v"), strict=True)),
    # Dashes
    **dict.fromkeys("‐‑‒–—−", "-"),
}
_BEFORE: Final = str.maketrans(dict(_LOOKS))
_AFTER: Final = str.maketrans({"i": "1", "l": "1", "|": "1", "ı": "1", "o": "0", "\u200c": "", "\u200d": ""})

_BY: Final = re.compile(r"(?<=\d)\s*[x×*]\s*(?=\d)")
_FIGURE: Final = re.compile(r"(?<![a-z])[a-z]{0,2}\d+(?:[.,/]\d+)*a?(?![a-z])|\d+(?:[.,/]\d+)*")
"""A number with the short letters before it (`as568`, `p22a`, `m10`), which make it another size; else it alone."""


def skeleton(name: str) -> str:
    """What is left of a name where only its looks count; equal for two that look alike."""
    if not name.isascii():
        name = UNSEEN.sub("", unicodedata.normalize("NFKC", name)).translate(_BEFORE)
    return " ".join(name.casefold().translate(_AFTER).split())


def tell(name: str, others: Iterable[str], what: str) -> None:
    """Note for the person that a new name looks like one of the others."""
    own = skeleton(name)
    for other in others:
        if other != name and skeleton(other) == own:
            note(f"The {what} “{name}” is like “{other}” that is there.")
            return


def nearest(name: str, known: Iterable[str], cutoff: float) -> str:
    """The known name that is spelled most like it, or "". A name with other figures is another thing, never a slip."""
    return _closest(name, (other for other in known if same_figures(name, other)), cutoff)


def is_spelled_like(name: str, other: str) -> bool:
    """Whether the two are near in spelling, whatever their figures."""
    return bool(_closest(name, [other], 0.6))


def _closest(name: str, known: Iterable[str], cutoff: float) -> str:
    from difflib import get_close_matches  # 4 ms, only paid for a name that is not there

    names = {" ".join(other.split()).casefold(): other for other in known}
    near = get_close_matches(" ".join(name.split()).casefold()[:80], names, n=1, cutoff=cutoff)
    return names[near[0]] if near else ""


def same_figures(name: str, other: str) -> bool:
    """Whether the other name has every figure of this one, in this order; it may have more."""
    there = iter(_figures(other))
    return all(figure in there for figure in _figures(name))


def _figures(name: str) -> list[str]:
    return _FIGURE.findall(_BY.sub(" ", name.casefold()))
