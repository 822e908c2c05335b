"""A stored size key taken apart, with the dimensions that belong to it."""

from __future__ import annotations

from collections.abc import Collection
from typing import NamedTuple

from catalog.orings.own_table import own_sizes
from catalog.orings.size_book import SizeBook, built_in, with_own
from catalog.orings.sizes import Series
from models.glance.asking import Look
from models.glance.own_sizes import tables_seen


class Sized(NamedTuple):
    """The parts of a size key, and the nominal ID and cross-section in mm where they are known."""

    standard: str
    designation: str
    inner_mm: float | None
    section_mm: float | None


def sized(key: str, book: SizeBook) -> Sized:
    """The size with this key. One of a series that neither we nor the shop's own tables have has no dimensions."""
    standard, _, designation = key.partition(":")
    size = book.by_key(key)
    if size is None:
        return Sized(standard, designation, None, None)
    return Sized(standard, designation, size.id_mm, size.cross_section_mm)


def book_for(keys: Collection[str], look: Look) -> SizeBook:
    """The sizes there are; the shop's own tables are read only where one of the keys is of them."""
    if any(key.startswith(f"{Series.OWN}:") for key in keys):
        return with_own(own_sizes(tables_seen(look)))
    return built_in()
