"""A ring found becomes a chosen_ring for a kit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from catalog import orings
from tui.workshop import ChosenRing

if TYPE_CHECKING:
    from models.search.found import Hit


def chosen_ring_of(hit: Hit) -> ChosenRing:
    """The chosen_ring for a ring of a found row's size. What was only read in a text is as sure as the reading was."""
    key = hit.size_key or ""
    read = hit.where == "list" and hit.reading_state != "confirmed" and hit.reading_ppm is not None
    return ChosenRing(orings.sizes.label_of(key), key, (), (hit.reading_ppm or 0) / 1_000_000 if read else None)
