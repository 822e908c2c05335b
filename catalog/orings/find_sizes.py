"""The sizes that a text picks out: a name, a piece of one, or a dimension as it is shown."""

from __future__ import annotations

from collections.abc import Sequence

from catalog.orings.fractions import sizes_called
from catalog.orings.names import find, may_be
from catalog.orings.sizes import MM_PER_INCH, RingSize, Series, load, title


def picked_out(text: str, only: Sequence[Series] = ()) -> list[RingSize]:
    """Sizes that a text picks out: the one it names first, then those where every word is part of a name or a number.

    Numbers are compared as they are shown: millimetres to two decimals, inches to three. `only`: the series to look in;
    none means all.
    """
    candidates = [size for series in only or tuple(Series) for size in load(series)]
    words = text.casefold().replace(",", ".").split()
    found = [size for size in candidates if all(word in _shown(size) for word in words)]
    one = find(text) if words else None
    named = [size for size in ([one] if one is not None else sizes_called(text) or may_be(text)) if size in candidates]
    return [*named, *(size for size in found if size not in named)]


def _shown(size: RingSize) -> str:
    lengths = (size.id_mm, size.od_mm, size.cross_section_mm)
    numbers = " ".join(f"{length:.2f} {length / MM_PER_INCH:.3f}" for length in lengths)
    return f"{title(size.series)} {size.label} {size.key} {numbers}".casefold()
