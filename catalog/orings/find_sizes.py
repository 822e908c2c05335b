"""The sizes that a text picks out: a name, a piece of one, or a dimension as it is shown."""

from __future__ import annotations

from collections.abc import Sequence

from catalog.orings.fractions import sizes_called
from catalog.orings.names import find, may_be
from catalog.orings.size_book import SizeBook, built_in
from catalog.orings.sizes import MM_PER_INCH, STANDARDS, RingSize, Series, load, title


def picked_out(text: str, only: Sequence[Series] = (), book: SizeBook | None = None) -> list[RingSize]:
    """Sizes that a text picks out: the one it names first, then those where every word is part of a name or a number.

    Numbers are compared as they are shown: millimetres to two decimals, inches to three. `only`: the series to look in;
    none means all. `book`: the sizes there are, a shop's own first; the built-in ones where None.
    """
    candidates = [size for size in in_order(book or built_in()) if not only or size.series in only]
    words = text.casefold().replace(",", ".").split()
    found = [size for size in candidates if all(word in _shown(size) for word in words)]
    one = find(text) if words else None
    meant = [size.key for size in ([one] if one is not None else sizes_called(text) or may_be(text))]
    own = [size for size in candidates if size.series is Series.OWN and size.label.casefold() == text.casefold()]
    named = [*own, *(size for key in meant for size in candidates if size.key == key)]
    return [*named, *(size for size in found if size not in named)]


def in_order(book: SizeBook) -> list[RingSize]:
    """Every size: those of a shop's own tables, then series by series in the order of its table."""
    own = [size for size in book.own if size.series is Series.OWN]
    if not book.own:
        return [size for series in STANDARDS for size in load(series)]
    return [*own, *(book.by_key(size.key) or size for series in STANDARDS for size in load(series))]


def _shown(size: RingSize) -> str:
    lengths = (size.id_mm, size.od_mm, size.cross_section_mm)
    numbers = " ".join(f"{length:.2f} {length / MM_PER_INCH:.3f}" for length in lengths)
    return f"{title(size.series)} {size.label} {size.key} {numbers}".casefold()
