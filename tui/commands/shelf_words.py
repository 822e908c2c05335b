"""The stock row that somebody names, for commands of areas that are not declared as operations yet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.parsing import UsageError
from tui.fields.field import Asked, FieldError
from tui.fields.rows import Stock

if TYPE_CHECKING:
    from models.shelf import StockRow
    from tui.workshop import Workshop


def one_stock(workshop: Workshop, item: str, bin_code: str | None, lot: str | None) -> StockRow:
    """The one stock row that item, bin and lot name; near names are offered, never taken. Raises `UsageError`."""
    try:
        return Stock("stock", "Stock").from_words(
            {"item": item, "bin": bin_code, "lot": lot}, Asked(look=workshop.read)
        )
    except FieldError as problem:
        raise UsageError(str(problem)) from problem
