"""Orders to suppliers: what was planned, for whom, what was done to it and what came. All of it append-only.

Where an order stands is told from its steps and receipts, less those whose action was undone: no field is ever edited.
"""

from datetime import date

from sqlalchemy import BigInteger, CheckConstraint, UniqueConstraint
from sqlmodel import Field

from models.orders.words import OrderStepWord
from models.tables.base import Table, not_blank, one_of, word_type
from models.words import Unit


class Order(Table, table=True):
    """An order to one supplier. Money in minor units of `currency`; goods and freight as the plan had them."""

    __tablename__ = "orders"
    __table_args__ = (
        CheckConstraint("length(currency) = 3", name="currency_code"),
        CheckConstraint("goods_minor >= 0", name="goods_not_negative"),
        CheckConstraint("freight_minor >= 0", name="freight_not_negative"),
    )

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id", index=True)
    supplier_id: int = Field(foreign_key="suppliers.id", index=True)
    currency: str = Field(max_length=3)
    goods_minor: int = Field(sa_type=BigInteger)
    freight_minor: int | None = Field(default=None, sa_type=BigInteger)


class OrderLine(Table, table=True):
    """So many packs of one row of the supplier's list, as it stood then. `price_minor` is for `price_per` packs."""

    __tablename__ = "order_lines"
    __table_args__ = (
        not_blank("number"),
        one_of("counted_in", Unit),
        CheckConstraint("packs > 0 AND pack_quantity > 0", name="packs"),
        CheckConstraint("price_minor >= 0 AND price_per > 0 AND cost_minor >= 0", name="price"),
        CheckConstraint("lead_days >= 0", name="lead_days_not_negative"),
        UniqueConstraint("order_id", "position"),
    )

    id: int | None = Field(default=None, primary_key=True)
    order_id: int = Field(foreign_key="orders.id")
    position: int
    row_id: int = Field(foreign_key="list_rows.id")
    item_id: int = Field(foreign_key="items.id", index=True)
    number: str = Field(max_length=200)
    name: str = Field(max_length=400)
    packs: int
    pack_quantity: int = Field(sa_type=BigInteger)
    counted_in: Unit = Field(sa_type=word_type(Unit))
    price_minor: int = Field(sa_type=BigInteger)
    price_per: int
    cost_minor: int = Field(sa_type=BigInteger)
    lead_days: int | None = None


class OrderShare(Table, table=True):
    """How much of an order line is for which need, or for which item's reorder point; what comes serves them in order.

    The rest of the line is spare.
    """

    __tablename__ = "order_shares"
    __table_args__ = (
        CheckConstraint("(need_id IS NULL) <> (reorder_item_id IS NULL)", name="one_purpose"),
        CheckConstraint("quantity > 0", name="quantity_positive"),
    )

    order_line_id: int = Field(primary_key=True, foreign_key="order_lines.id")
    position: int = Field(primary_key=True)
    need_id: int | None = Field(default=None, foreign_key="needs.id", index=True)
    reorder_item_id: int | None = Field(default=None, foreign_key="items.id")
    quantity: int = Field(sa_type=BigInteger)
    caution: str = Field(default="", max_length=2000)


class OrderStep(Table, table=True):
    """One thing done to an order. `expected_on`: the day the supplier gave; none where the lines' lead times say it."""

    __tablename__ = "order_steps"
    __table_args__ = (one_of("step", OrderStepWord), UniqueConstraint("action_id", "order_id"))

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    order_id: int = Field(foreign_key="orders.id", index=True)
    step: OrderStepWord = Field(sa_type=word_type(OrderStepWord))
    expected_on: date | None = None
    note: str = Field(default="", max_length=2000)


class OrderReceipt(Table, table=True):
    """Packs of a line that came, and where they went. Its action's movements put them there."""

    __tablename__ = "order_receipts"
    __table_args__ = (CheckConstraint("packs > 0 AND quantity > 0", name="packs"),)

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id", index=True)
    order_line_id: int = Field(foreign_key="order_lines.id", index=True)
    packs: int
    quantity: int = Field(sa_type=BigInteger)
    stock_id: int = Field(foreign_key="stock.id")


class RowItem(Table, table=True):
    """Which of the shop's items a row of a supplier's list is, once something was ordered on it."""

    __tablename__ = "row_items"

    row_id: int = Field(primary_key=True, foreign_key="list_rows.id")
    item_id: int = Field(foreign_key="items.id", index=True)
    action_id: int = Field(foreign_key="actions.id")
