"""The rows a question is asked of: the standard ones, and the shop's own where its workshop is seen."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final, TypeVar

from catalog import orings
from models import glance
from tui import commands

if TYPE_CHECKING:
    from catalog.orings.port_book import PortBook
    from catalog.orings.size_book import SizeBook
    from models.storage.address import Server
    from tui.operations.operation import Bench

Book = TypeVar("Book")


UNREAD: Final = (
    "The workshop can't be read, so the shop's own sizes, ports and grooves are not in this: it goes by the built-in "
    "tables alone. To see what is wrong: kitwright check"
)


def own_book(bench: Bench) -> SizeBook:
    """Every size there is, read at a glance; the standard ones where no workshop is seen."""
    if bench.place is None:
        return orings.size_book.built_in()
    place = bench.place()
    return glance.asking.ask(place, glance.own_sizes.book_seen) or _told(place, orings.size_book.built_in())


def own_ports(bench: Bench) -> PortBook:
    """Every port there is, read at a glance; the standard ones where no workshop is seen."""
    if bench.place is None:
        return orings.port_book.built_in()
    place = bench.place()
    return glance.asking.ask(place, glance.own_ports.book_seen) or _told(place, orings.port_book.built_in())


def _told(place: Path | Server, book: Book) -> Book:
    """The standard rows; where a workshop is there and can't be read, it is said that the shop's own are missing."""
    if not isinstance(place, Path) or (place.is_file() and place.stat().st_size):
        commands.output.talk(UNREAD)
    return book
