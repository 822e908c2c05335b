"""The rows a question is asked of: the standard ones, and the shop's own where its workshop is seen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from catalog import orings
from models import glance

if TYPE_CHECKING:
    from catalog.orings.port_book import PortBook
    from catalog.orings.size_book import SizeBook
    from tui.operations.operation import Bench


def own_book(bench: Bench) -> SizeBook:
    """Every size there is, read at a glance; the standard ones where no workshop is seen."""
    if bench.place is None:
        return orings.size_book.built_in()

    return glance.own_sizes.size_book(bench.place())


def own_ports(bench: Bench) -> PortBook:
    """Every port there is, read at a glance; the standard ones where no workshop is seen."""
    if bench.place is None:
        return orings.port_book.built_in()

    return glance.own_ports.port_book(bench.place())
