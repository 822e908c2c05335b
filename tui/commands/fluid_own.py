"""What this shop says itself of fluids, for an answer on the command line; nothing where there is no workshop yet."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from catalog.fluids.shop_rules import ShopBook


def own_book(arguments: argparse.Namespace) -> ShopBook:
    """The shop's own rules and classes. A question never makes a database: where there is none, nothing is said."""
    from catalog.fluids.shop_rules import ShopBook
    from models.storage.locations import demo_file, workshop_file

    if arguments.data is None and not (demo_file() if arguments.demo else workshop_file()).is_file():
        return ShopBook()
    from models.fluid_rules import book
    from tui.commands.workshop import opened

    with opened(arguments) as workshop:
        return workshop.read(book)
