"""The stores for screens: each method is one unit of work on the workshop, called from a worker's thread."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from models.shelf import MovementRow, StockRow
    from models.stores.assortments import Box
    from models.stores.bar_codes import BarCode
    from models.stores.bins import BinRow
    from models.stores.count_round import BinStop
    from models.stores.reorder_rules import RuleRow
    from tui.workshop import Workshop

LEDGER_ROWS = 20


class Known(NamedTuple):
    """One stock row's latest movements, its bar codes, and why it can't be used any more, if so."""

    movements: tuple[MovementRow, ...]
    codes: tuple[str, ...]
    expired: str


class Stores:
    """Use and scrap, the count round, reorder points, boxes, bar codes. Raises `WorkshopError`."""

    def __init__(self, workshop: Workshop) -> None:
        self._workshop = workshop

    def today(self) -> date:
        """The workshop's day."""
        return self._workshop.open().clock().date()

    def known(self, row: StockRow) -> Known:
        """What belongs to one row of the shelf."""
        from models import shelf
        from models.stores import bar_codes, expiry

        database = self._workshop.open()
        with database.read() as session:
            old = expiry.expired(session, database.clock().date(), [row.stock_id])
            return Known(
                shelf.movements(session, row.stock_id, limit=LEDGER_ROWS),
                bar_codes.codes_of(session, row.item_id),
                old.get(row.stock_id, ""),
            )

    def use(self, stock_id: int, quantity: int, reason: str) -> StockRow:
        """Take free stock off the shelf without a kit."""
        from models import shelf

        return self._workshop.change(
            lambda session, act: shelf.use(session, act, stock_id=stock_id, quantity=quantity, reason=reason)
        )

    def scrap(self, stock_id: int, quantity: int, reason: str) -> StockRow:
        """Throw free stock away."""
        from models import shelf

        return self._workshop.change(
            lambda session, act: shelf.scrap(session, act, stock_id=stock_id, quantity=quantity, reason=reason)
        )

    def stops(self) -> tuple[BinStop, ...]:
        """Every bin with something in it, in walking order."""
        from models.stores import count_round

        return self._workshop.read(count_round.stops)

    def enter(self, stock_id: int, counted: int, on_record: int) -> StockRow:
        """Book one count of a round. Raises `StockMovedError` where not `on_record` but something else stands there."""
        from models.stores import count_round

        return self._workshop.change(
            lambda session, act: count_round.enter(session, act, {stock_id: counted}, expected={stock_id: on_record})
        )[0]

    def rules(self) -> tuple[RuleRow, ...]:
        """Every reorder point, those reached first."""
        from models.stores import reorder_rules

        on = self.today()
        found = self._workshop.read(lambda session: reorder_rules.rules(session, on))
        return tuple(sorted(found, key=lambda row: not row.due))

    def set_rule(self, item_id: int, order_at: int, up_to: int, lead_days: int | None) -> RuleRow:
        """Say when to order more of an item."""
        from models.stores import reorder_rules

        return self._workshop.change(
            lambda session, act: reorder_rules.set_rule(
                session, act, item_id, order_at=order_at, up_to=up_to, lead_days=lead_days
            )
        )

    def boxes(self) -> tuple[Box, ...]:
        """Every assortment box, in walking order."""
        from models.stores import assortments

        return self._workshop.read(assortments.listed)

    def bar_code(self, text: str) -> BarCode:
        """What is known of a GTIN."""
        from models.stores import bar_codes

        return self._workshop.read(lambda session: bar_codes.look(session, text))

    def tie(self, text: str, item_id: int) -> BarCode:
        """Say that a GTIN is on this item's pack."""
        from models.stores import bar_codes

        return self._workshop.change(lambda session, act: bar_codes.tie(session, act, text, item_id))

    def bin_named(self, code: str) -> BinRow | None:
        """The bin with this code."""
        from models.stores import bins

        return self._workshop.read(lambda session: bins.named(session, code))

    def in_bin(self, bin_id: int) -> tuple[StockRow, ...]:
        """What lies in a bin."""
        from models import shelf

        return self._workshop.read(lambda session: shelf.rows_of(session, bin_id=bin_id))

    def of_item(self, item_id: int) -> tuple[StockRow, ...]:
        """Where an item lies."""
        from models import shelf

        return self._workshop.read(lambda session: shelf.rows_of(session, item_id=item_id))
