"""Suppliers, the lists they sent, the rows on them and what those cost before."""

from datetime import datetime

from sqlalchemy import BigInteger, CheckConstraint, Index, String, Text, UniqueConstraint, text
from sqlalchemy.dialects.postgresql import TSVECTOR
from sqlmodel import Field

from models.supplier_lists.words import ReadingState
from models.tables.base import Table, not_blank, one_of, word_type
from models.words import Unit

PLAIN_ORDER = String(200).with_variant(String(200, collation="C"), "postgresql")
"""Text that both databases sort by code point."""
INDEXED_WORDS = Text().with_variant(TSVECTOR(), "postgresql")
"""The words of a row: PostgreSQL indexes them itself, SQLite through `models.search.index`."""
LISTED = text("withdrawn_list_id IS NULL")
FLUID = text("fluids IS NOT NULL")


class Supplier(Table, table=True):
    """Who sells. Money in minor units of the currency; freight once an order, none from `free_from_minor` on.

    `freight_minor` is empty until somebody says it: no freight is a 0.

    `language`: what an order to them is written in (ISO 639-1), empty until somebody says it.
    `layout`: how their files are laid out, as a person confirmed it: JSON, see `models.supplier_lists.layout`.
    `retired_at`: nothing of theirs is offered or bought any more.
    """

    __tablename__ = "suppliers"
    __table_args__ = (
        not_blank("name"),
        CheckConstraint("length(currency) = 3", name="currency_code"),
        CheckConstraint("freight_minor >= 0", name="freight_not_negative"),
        CheckConstraint("free_from_minor >= 0", name="free_from_not_negative"),
        CheckConstraint("minimum_order_minor >= 0", name="minimum_order_not_negative"),
        CheckConstraint("lead_days >= 0", name="lead_days_not_negative"),
    )

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    name: str = Field(max_length=200, unique=True)
    currency: str = Field(max_length=3)
    freight_minor: int | None = Field(default=None, sa_type=BigInteger)
    free_from_minor: int | None = Field(default=None, sa_type=BigInteger)
    minimum_order_minor: int = Field(default=0, sa_type=BigInteger)
    lead_days: int | None = None
    note: str = Field(default="", max_length=2000)
    language: str = Field(default="", max_length=2)
    layout: str | None = Field(default=None, sa_type=Text)
    withdrawn_at: datetime | None = None
    retired_at: datetime | None = None


class SupplierList(Table, table=True):
    """One list as it was taken over: what it changed, and how many rows the supplier's list had after it."""

    __tablename__ = "supplier_lists"
    __table_args__ = (
        CheckConstraint(
            "added >= 0 AND changed >= 0 AND withdrawn >= 0 AND unchanged >= 0 AND refused >= 0", name="counts"
        ),
    )

    id: int | None = Field(default=None, primary_key=True)
    supplier_id: int = Field(foreign_key="suppliers.id", index=True)
    action_id: int = Field(foreign_key="actions.id", unique=True)
    file_name: str = Field(max_length=200)
    loaded_at: datetime
    added: int
    changed: int
    withdrawn: int
    unchanged: int
    refused: int
    listed: int


class ListRow(Table, table=True):
    """One thing a supplier sells, as the latest list has it. `price_minor` is for `price_per` packs, exactly.

    What was read out of the free text (`size_key` to `volume_ul`) is a reading with a confidence, not a fact, until a
    person confirms it; so are `fluids`, the classes and the grade that the text names, kept as
    `models.supplier_lists.read_fluid` writes them. A row that is no longer listed stays, with the list that dropped it.

    `supplier_id`, `added_list_id` and `priced_list_id` have no foreign key: PostgreSQL would look each one up a row,
    three to seven seconds a million. Who loads a list holds its supplier, none is ever removed, and `check` looks.
    """

    __tablename__ = "list_rows"
    __table_args__ = (
        not_blank("number"),
        one_of("counted_in", Unit),
        # Not `IN`: SQLite would sort more than two words into a table for every row, three seconds a million.
        CheckConstraint(
            " OR ".join(f"reading_state = '{word.value}'" for word in ReadingState), name="reading_state_word"
        ),
        CheckConstraint("price_minor >= 0 AND price_per > 0", name="price"),
        CheckConstraint("pack_quantity > 0 AND min_packs > 0", name="pack"),
        UniqueConstraint("supplier_id", "number"),
        Index("ix_list_rows_compact_id", "compact", "id", sqlite_where=LISTED, postgresql_where=LISTED),
        Index(
            "ix_list_rows_ring",
            "ring_width_100nm",
            "ring_id_100nm",
            sqlite_where=text("ring_width_100nm IS NOT NULL"),
            postgresql_where=text("ring_width_100nm IS NOT NULL"),
        ),
        Index("ix_list_rows_fluids", "fluids", sqlite_where=FLUID, postgresql_where=FLUID),
    )

    id: int | None = Field(default=None, primary_key=True)
    supplier_id: int
    number: str = Field(sa_type=PLAIN_ORDER)
    compact: str = Field(sa_type=PLAIN_ORDER)
    name: str = Field(max_length=400)
    words: str | None = Field(sa_type=INDEXED_WORDS)
    pack_quantity: int = Field(sa_type=BigInteger)
    counted_in: Unit = Field(sa_type=word_type(Unit))
    min_packs: int
    price_minor: int | None = Field(sa_type=BigInteger)
    price_per: int
    currency: str = Field(max_length=3)
    breaks: str = Field(max_length=200)
    lead_days: int | None
    gtin: str = Field(max_length=14)
    size_key: str | None = Field(max_length=60)
    ring_id_100nm: int | None
    ring_width_100nm: int | None
    rubber: str = Field(max_length=20)
    hardness_shore_a: int | None
    thread: str = Field(max_length=60)
    volume_ul: int | None = Field(sa_type=BigInteger)
    reading_ppm: int | None
    reading_state: ReadingState = Field(sa_type=word_type(ReadingState))
    added_list_id: int
    priced_list_id: int
    withdrawn_list_id: int | None = Field(default=None, foreign_key="supplier_lists.id")
    fluids: str | None = Field(default=None, sa_type=Text)


class OldPrice(Table, table=True):
    """What a row cost from one list until another replaced it or dropped the row."""

    __tablename__ = "old_prices"
    __table_args__ = (CheckConstraint("until_list_id > from_list_id", name="until_later"),)

    id: int | None = Field(default=None, primary_key=True)
    row_id: int = Field(foreign_key="list_rows.id", index=True)
    price_minor: int | None = Field(sa_type=BigInteger)
    price_per: int
    currency: str = Field(max_length=3)
    breaks: str = Field(max_length=200)
    from_list_id: int
    until_list_id: int
