"""A stored size key taken apart, with the dimensions that belong to it."""

from __future__ import annotations

from typing import NamedTuple

from catalog.orings.sizes import by_key


class Sized(NamedTuple):
    """The parts of a size key, and the nominal ID and cross-section in mm where they are known."""

    standard: str
    designation: str
    inner_mm: float | None
    section_mm: float | None


def sized(key: str) -> Sized:
    """The size with this key. A shop's own series has no dimensions here until its table is kept in the workshop."""
    standard, _, designation = key.partition(":")
    size = by_key(key)
    if size is None:
        return Sized(standard, designation, None, None)
    return Sized(standard, designation, size.id_mm, size.cross_section_mm)
