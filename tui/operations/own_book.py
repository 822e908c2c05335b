"""The ring sizes a question is asked of: the standard ones, and the shop's own where its workshop is seen."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from catalog.orings.size_book import SizeBook
    from tui.operations.operation import Bench


def own_book(bench: Bench) -> SizeBook:
    """Every size there is, read at a glance; the standard ones where no workshop is seen."""
    if bench.place is None:
        from catalog.orings.size_book import built_in

        return built_in()
    from models.glance.own_sizes import size_book

    return size_book(bench.place())
