"""The words and the squeezed part numbers of many rows at once: what `terms` gives of one, in a third of the time.

Plain rows are joined by a sign that none of them holds, and looked at as one text; a row with a letter beyond ASCII is
looked at by itself.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from itertools import chain
from operator import itemgetter
from typing import Final

from models.search.terms import (
    DECIMAL_POINT,
    GRAM,
    GRAM_MARK,
    HEAD,
    HEAD_MARK,
    LONGEST_TEXT,
    LONGEST_WORD,
    compact,
    grams,
    indexed,
)

_BETWEEN: Final = "\0"
_WORD: Final = re.compile(rf"\d{{1,20}}(?:[.,]\d{{1,19}})?|[a-z]{{1,{LONGEST_WORD}}}")
_ORING: Final = re.compile(r"o(?<!\wo)[-\s]ring")
"""`\\bo[-\\s]ring`, looked for by its first letter."""
_LEFT_OUT: Final = dict.fromkeys(at for at in range(1, 128) if not (chr(at).isdigit() or chr(at).islower()))
_SHAPE: Final = str.maketrans("bcdefghijklmnopqrstuvwxyz123456789", "a" * 25 + "0" * 9)
_SHAPES_KEPT: Final = 5000


class _Cuts(dict[str, Callable[[str], Sequence[str]]]):
    """How a text of a shape falls into words; shapes repeat in a list, and cutting is quicker than looking."""

    def __missing__(self, shape: str) -> Callable[[str], Sequence[str]]:
        if len(self) >= _SHAPES_KEPT:
            return _WORD.findall
        places = [slice(*found.span()) for found in _WORD.finditer(shape)]
        self[shape] = cut = itemgetter(*places) if len(places) > 1 else _WORD.findall
        return cut


_cuts: Final = _Cuts()


class _Heads(dict[str, tuple[str, ...]]):
    """What stands for a number's first digits, as often as these are among a row's words."""

    def __missing__(self, start: str) -> tuple[str, ...]:
        if len(self) >= _SHAPES_KEPT:
            self.clear()
        self[start] = heads = tuple(HEAD_MARK + start[:length] for length in range(1, len(start) + 1))
        return heads


class _Threes(dict[int, Callable[[str], Sequence[str]]]):
    """How a text so long falls into runs of three."""

    def __missing__(self, length: int) -> Callable[[str], Sequence[str]]:
        places = [slice(at, at + GRAM) for at in range(length - GRAM + 1)]
        self[length] = cut = itemgetter(*places) if len(places) > 1 else grams
        return cut


_BETWEEN_GRAMS: Final = f" {GRAM_MARK}"
_heads: Final = _Heads()
_threes: Final = _Threes()


def compact_many(numbers: Sequence[str]) -> list[str]:
    """`terms.compact` of each."""
    return _each(numbers, _compact_plain, compact)


def indexed_many(numbers: Sequence[str], names: Sequence[str]) -> list[str]:
    """`terms.indexed` of each part number with its name."""
    texts = [f"{number} {name}" for number, name in zip(numbers, names, strict=True)]
    return _each(texts, _indexed_plain, lambda text: indexed(*text.split(" ", 1)))


def with_grams_many(words: Sequence[str], squeezed: Sequence[str]) -> list[str]:
    """`terms.with_grams` of each row's words with its squeezed part number."""
    found = []
    for said, short in zip(words, squeezed, strict=True):
        heads = chain.from_iterable([_heads[word[:HEAD]] for word in said.split() if word[0].isdigit()])
        threes = _BETWEEN_GRAMS.join(dict.fromkeys(_threes[len(short)](short)))
        kept = " ".join([said, *dict.fromkeys(heads)])
        found.append(f"{kept} {GRAM_MARK}{threes}" if threes else kept)
    return found


def _each(texts: Sequence[str], plain: Callable[[str], list[str]], alone: Callable[[str], str]) -> list[str]:
    joined = _BETWEEN.join(texts)
    if joined.isascii() and joined.count(_BETWEEN) == len(texts) - 1:
        return plain(joined)
    odd = [at for at, text in enumerate(texts) if not text.isascii() or _BETWEEN in text]
    kept = list(texts)
    for at in odd:
        kept[at] = ""
    found = plain(_BETWEEN.join(kept)) if kept else []
    for at in odd:
        found[at] = alone(texts[at])
    return found


def _compact_plain(joined: str) -> list[str]:
    found = joined.lower().translate(_LEFT_OUT).split(_BETWEEN)
    return found if len(joined) <= LONGEST_TEXT else [one[:LONGEST_TEXT] for one in found]


def _indexed_plain(joined: str) -> list[str]:
    plain = joined.lower()
    says_ring = "ring" in plain
    if says_ring:
        plain = _ORING.sub("oring", plain)
    once = [
        " ".join(words if len(set(words)) == len(words) else dict.fromkeys(words))
        for words in (
            _cuts[shape](text)
            for text, shape in zip(plain.split(_BETWEEN), plain.translate(_SHAPE).split(_BETWEEN), strict=True)
        )
    ]
    found = _BETWEEN.join(once).replace(",", DECIMAL_POINT).replace(".", DECIMAL_POINT).split(_BETWEEN)
    if says_ring:
        found = [f"{one} ring" if "oring" in one and " ring" not in one else one for one in found]
    return found
