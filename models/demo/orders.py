"""The demo workshop's one order under way: bolts, of which half have come."""

from __future__ import annotations

from sqlmodel import Session, select

from models.actions import claim
from models.demo.service import LAST_DAY, Story
from models.orders import booking, receiving
from models.tables import Item, ListRow, Order, OrderLine, RowItem
from models.words import Unit

NUMBER, BOLT, BIN = "200-BOLT", "Hex bolt M10 × 1.5 × 30", "Tray B"
PACKS, CAME, PRICE_MINOR = 80, 40, 28
"""From ten on a bolt costs 0.28: enough of them for this supplier's least order."""


def fill(session: Session, story: Story) -> None:
    """Order the bolts the day before the story is told, and take the first half in on the day itself."""
    row = session.exec(select(ListRow).where(ListRow.number == NUMBER)).one()
    item = session.exec(select(Item).where(Item.name == BOLT)).one()
    cost = PACKS * PRICE_MINOR
    made = claim(session, story.by("Stores", days_on=LAST_DAY - 1), "orders.plan", NUMBER)
    order = Order(
        action_id=made.action_id, supplier_id=row.supplier_id, currency=row.currency, goods_minor=cost,
        freight_minor=450,
    )  # fmt: skip
    session.add(order)
    session.flush()
    line = OrderLine(
        order_id=order.id or 0, position=0, row_id=row.id or 0, item_id=item.id or 0, number=NUMBER, name=row.name,
        packs=PACKS, pack_quantity=1, counted_in=Unit.EACH, price_minor=PRICE_MINOR, price_per=1, cost_minor=cost,
        lead_days=3,
    )  # fmt: skip
    session.add_all((line, RowItem(row_id=row.id or 0, item_id=item.id or 0, action_id=made.action_id)))
    session.flush()
    booking.place(session, story.by("Stores", days_on=LAST_DAY - 1), [order.id or 0])
    came = receiving.Came(line.id or 0, CAME, BIN)
    receiving.receive(session, story.by("Stores", days_on=LAST_DAY), order.id or 0, [came])
