"""Buying for screens and commands: each method is one unit of work on the workshop, called from a worker's thread."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

import catalog
import models
import tui
from models import orders, purchasing, supplier_lists
from tui import sheets

if TYPE_CHECKING:
    from fractions import Fraction

    from sqlmodel import Session

    from catalog.languages.tongue import Tongue
    from models.acts import Act
    from models.orders.keeping import Keeping
    from models.orders.listing import OrderView
    from models.orders.planning import Gathered, Proposal
    from models.orders.short_rows import Short
    from models.purchasing.money import Exchange
    from tui.workshop import Workshop


class Buying:
    """What is short, the plan, the orders, what came. Raises `WorkshopError` with sentences, as the workshop does."""

    def __init__(self, workshop: Workshop) -> None:
        self._workshop = workshop

    def today(self) -> date:
        """The day that what is short is judged on."""
        return self._workshop.open().clock().date()

    def shorts(self, *, by_date: bool = True) -> tuple[Short, ...]:
        """What all open jobs and reorder points lack."""
        database = self._workshop.open()
        with database.read() as session:
            found = orders.shorts.short_lines(session, None, database.clock().date(), by_date=by_date)
        return tuple(one.short for one in found)

    def gather(self, job_ids: Sequence[int] | None = None, *, reorder: bool = True, by_date: bool = True) -> Gathered:
        """What these jobs (None: all open ones) and reorder points lack, and what the lists offer for it."""
        database = self._workshop.open()
        with database.read() as session:
            return orders.planning.gather(
                session, database.clock().date(), job_ids=job_ids, reorder=reorder, by_date=by_date
            )

    def work_out(
        self,
        gathered: Gathered,
        max_suppliers: int | None = None,
        exchange: Exchange | None = None,
        time_limit_s: float | None = None,
    ) -> Proposal:
        """The cheapest way to buy it. Touches no database."""
        limit = orders.planning.TIME_LIMIT_S if time_limit_s is None else time_limit_s
        return orders.planning.work_out(gathered, max_suppliers=max_suppliers, exchange=exchange, time_limit_s=limit)

    def accept(self, proposal: Proposal, looked_at: bool) -> tuple[OrderView, ...]:
        """Keep the plan as planned orders."""
        return self._workshop.change(
            lambda session, act: orders.booking.accept(session, act, proposal, looked_at=looked_at)
        )

    def accept_and_place(self, proposal: Proposal, looked_at: bool, expected_on: date | None) -> tuple[OrderView, ...]:
        """Keep the plan and mark its orders as sent: both or neither."""

        def change(session: Session, act: Act) -> tuple[OrderView, ...]:
            plan = models.acts.Act(act.who, f"{act.key[:150]}/plan", act.at)
            kept = orders.booking.accept(session, plan, proposal, looked_at=looked_at)
            return orders.booking.place(session, act, [one.order_id for one in kept], expected_on=expected_on)

        return self._workshop.change(change)

    def place(self, order_ids: Sequence[int], expected_on: date | None = None) -> tuple[OrderView, ...]:
        """Mark orders as sent."""
        return self._workshop.change(
            lambda session, act: orders.booking.place(session, act, order_ids, expected_on=expected_on)
        )

    def orders(self, *, open_only: bool = True) -> tuple[OrderView, ...]:
        """Orders, newest first."""
        return self._workshop.read(lambda session: orders.listing.listed(session, open_only=open_only))

    def order(self, order_id: int) -> OrderView:
        """One order."""
        return self._workshop.read(lambda session: orders.listing.get(session, order_id))

    def keeping(self, share: Fraction, *, boxes: bool = False) -> Keeping:
        """Which ring sizes to keep for that share of the needs."""
        return orders.keeping.answer(self._workshop.read(orders.keeping.history), share=share, boxes=boxes)

    def written(self, order: OrderView, form: str, shop: str = "", say: Tongue | None = None) -> bytes:
        """An order for its supplier: `pdf`, `csv`, or `txt` for a mail. Raises `PrintUnavailableError`.

        `say`: the language, the supplier's own unless it is said; a CSV has none.
        """
        say = say or self._language_of(order)
        on = self._workshop.open().clock().date()
        if form == "pdf":
            listed = sheets.from_order.order_list(order, who=self.who, written_on=on, shop=shop, say=say)
            return sheets.order_list.as_pdf(listed, say=say)

        told = orders.texts.as_supplier_order(order)
        if form == "csv":
            return purchasing.order_text.order_csv(told).encode()
        known = order.freight_minor is not None
        return purchasing.order_text.order_mail(
            told, shop=shop or self.who, ordered=on, freight_known=known, say=say
        ).encode()

    def _language_of(self, order: OrderView) -> Tongue:
        """The language that was said of the supplier; English where nobody said one, or one that is not here."""
        supplier = self._workshop.read(lambda session: supplier_lists.suppliers.get(session, order.supplier_id))
        known = supplier.language in catalog.languages.tongue.NAMES
        return catalog.languages.tongue.tongue(supplier.language if known else catalog.languages.tongue.ENGLISH_CODE)

    @property
    def who(self) -> str:
        """Who orders."""
        return tui.workshop.user()
