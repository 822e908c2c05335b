"""Texts in which nothing can be read, known by their shape: the text with 0 for every digit.

No reader looks at what a digit is before it has found a word, a mark or a number in the right place, but for two names
of standards. So of a million rows that differ in their figures only some thousand shapes are looked at.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from models.supplier_lists.read_fluid import may_name_a_fluid
from models.supplier_lists.recognise import may_say

SHAPES_KEPT: Final = 20_000
_BETWEEN: Final = "\0"
_ANY_DIGIT: Final = str.maketrans("123456789", "000000000")
_BY_FIGURE: Final = (("568", "\1"), ("4518", "\2"))
"""What tells a standard by its figures, and what stands for it in a shape."""


class _Known(dict[str, bool]):
    """Whether nothing can be read in a text of this shape."""

    def __missing__(self, shape: str) -> bool:
        if len(self) >= SHAPES_KEPT:
            self.clear()
        self[shape] = says = not (
            any(sign in shape for _, sign in _BY_FIGURE) or may_say(shape) or may_name_a_fluid(shape)
        )
        return says


_known: Final = _Known()


def say_nothing(names: Sequence[str]) -> list[bool]:
    """For each text, whether it is certain that `recognise` and `fluids_in` read nothing in it.

    A text with letters beyond ASCII is never said to say nothing.
    """
    joined = _BETWEEN.join(names)
    if joined.isascii() and joined.count(_BETWEEN) == len(names) - 1:
        return [_known[shape] for shape in _shapes(joined)]
    plain = ["" if not name.isascii() or _BETWEEN in name else name for name in names]
    shapes = _shapes(_BETWEEN.join(plain)) if plain else []
    return [_known[shape] and (bool(kept) or not name) for shape, kept, name in zip(shapes, plain, names, strict=True)]


def _shapes(joined: str) -> list[str]:
    for figures, sign in _BY_FIGURE:
        joined = joined.replace(figures, sign)
    return joined.upper().translate(_ANY_DIGIT).split(_BETWEEN)
