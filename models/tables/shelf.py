"""The shelf: items, bins, lots, what lies where, and the movements that made it so."""

from datetime import date, datetime

from sqlalchemy import BigInteger, CheckConstraint, ForeignKeyConstraint, Index, UniqueConstraint, text
from sqlmodel import Field

from models.tables.base import Table, not_blank, one_of, word_type
from models.text import TEXT_LENGTH
from models.words import Kind, Moved, Unit

REORDERED = text("reorder_at IS NOT NULL")
THERE = text("withdrawn_at IS NULL")


class Item(Table, table=True):
    """Anything stocked or bought. A ring names its standard size; the rest name a class, a grade or both.

    `element`: a filter's measured fields, the text of a `catalog.filters.element.Element`. `container`: what one full
    container holds, so that a rest can be told from a full one. When its free stock falls to `reorder_at`, order more,
    up to `reorder_up_to`. All three are counted as the item is.

    `withdrawn_at`: its adding was taken back, and another may have its name. `retired_at`: it is no longer offered.
    """

    __tablename__ = "items"
    __table_args__ = (
        one_of("kind", Kind),
        one_of("counted_in", Unit),
        not_blank("name"),
        CheckConstraint("kind <> 'ring' OR (size_key IS NOT NULL AND counted_in = 'each')", name="ring_has_size"),
        CheckConstraint("kind = 'ring' OR (size_key IS NULL AND rubber = '')", name="only_rings_have_size"),
        CheckConstraint("size_key IS NULL OR size_key LIKE '_%\\:_%'", name="size_key_form"),
        CheckConstraint("kind <> 'fluid' OR counted_in = 'ul'", name="fluid_by_volume"),
        CheckConstraint("hardness_shore_a BETWEEN 1 AND 100", name="hardness_range"),
        CheckConstraint("cure_minutes >= 0", name="cure_not_negative"),
        not_blank("element"),
        CheckConstraint("container > 0", name="container_positive"),
        CheckConstraint("reorder_at >= 0", name="reorder_at_not_negative"),
        CheckConstraint("reorder_up_to > reorder_at", name="reorder_up_to_above"),
        CheckConstraint("reorder_lead_days >= 0", name="reorder_lead_not_negative"),
        CheckConstraint("(reorder_at IS NULL) = (reorder_up_to IS NULL)", name="reorder_at_and_up_to"),
        Index("ix_items_kind_class_folded", "kind", "class_folded"),
        Index("ix_items_reorder_at", "reorder_at", sqlite_where=REORDERED, postgresql_where=REORDERED),
        Index("uq_items_name", "name", unique=True, sqlite_where=THERE, postgresql_where=THERE),
    )

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    kind: Kind = Field(sa_type=word_type(Kind))
    name: str = Field(max_length=200)
    counted_in: Unit = Field(sa_type=word_type(Unit))
    size_key: str | None = Field(default=None, max_length=60, index=True)
    rubber: str = Field(default="", max_length=20)
    hardness_shore_a: int | None = None
    spec_class: str = Field(default="", max_length=200)
    spec_grade: str = Field(default="", max_length=200)
    cure_minutes: int | None = None
    note: str = Field(default="", max_length=2000)
    folded: str = Field(max_length=4000)
    class_folded: str = Field(default="", max_length=400)
    grade_folded: str = Field(default="", max_length=400)
    element: str | None = Field(default=None, max_length=TEXT_LENGTH)
    container: int | None = Field(default=None, sa_type=BigInteger)
    reorder_at: int | None = Field(default=None, sa_type=BigInteger)
    reorder_up_to: int | None = Field(default=None, sa_type=BigInteger)
    reorder_lead_days: int | None = None
    withdrawn_at: datetime | None = None
    retired_at: datetime | None = None


class ItemClaim(Table, table=True):
    """A class, or for a sealant a resistance, that an item claims beyond its own class and grade."""

    __tablename__ = "item_claims"
    __table_args__ = (not_blank("claim"),)

    item_id: int = Field(foreign_key="items.id", primary_key=True)
    position: int = Field(primary_key=True)
    claim: str = Field(max_length=200)


class Bin(Table, table=True):
    """A place things lie in: a drawer, a compartment of an assortment box, a drum. Gone as an `Item` is."""

    __tablename__ = "bins"
    __table_args__ = (
        not_blank("code"),
        Index("uq_bins_code", "code", unique=True, sqlite_where=THERE, postgresql_where=THERE),
    )

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    code: str = Field(max_length=200)
    note: str = Field(default="", max_length=2000)
    folded: str = Field(max_length=4000)
    withdrawn_at: datetime | None = None
    retired_at: datetime | None = None


class AssortmentModel(Table, table=True):
    """How many of an item a full assortment box holds. The box is the bin."""

    __tablename__ = "assortment_models"
    __table_args__ = (CheckConstraint("pieces > 0", name="pieces_positive"),)

    bin_id: int = Field(foreign_key="bins.id", primary_key=True)
    item_id: int = Field(foreign_key="items.id", primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    pieces: int


class Lot(Table, table=True):
    """One delivery's batch of an item, with the day it expires, and for rubber the day it was cured, where known."""

    __tablename__ = "lots"
    __table_args__ = (
        not_blank("code"),
        UniqueConstraint("item_id", "code"),
        UniqueConstraint("id", "item_id"),
    )

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    item_id: int = Field(foreign_key="items.id")
    code: str = Field(max_length=200)
    expires_on: date | None = None
    cured_on: date | None = None


class Stock(Table, table=True):
    """What lies in one bin of one item and lot. Both sums are kept by the transaction that writes the movement.

    They can always be had from the movements alone; `models.storage.check` compares. The checks are what makes negative
    free stock impossible even for a program that is wrong.
    """

    __tablename__ = "stock"
    __table_args__ = (
        ForeignKeyConstraint(["lot_id", "item_id"], ["lots.id", "lots.item_id"]),
        CheckConstraint("promised >= 0", name="promised_not_negative"),
        CheckConstraint("on_hand >= promised", name="free_not_negative"),
        Index(
            "uq_stock_item_bin",
            "item_id",
            "bin_id",
            unique=True,
            sqlite_where=text("lot_id IS NULL"),
            postgresql_where=text("lot_id IS NULL"),
        ),
        Index(
            "uq_stock_item_bin_lot",
            "item_id",
            "bin_id",
            "lot_id",
            unique=True,
            sqlite_where=text("lot_id IS NOT NULL"),
            postgresql_where=text("lot_id IS NOT NULL"),
        ),
    )

    id: int | None = Field(default=None, primary_key=True)
    item_id: int = Field(foreign_key="items.id", index=True)
    bin_id: int = Field(foreign_key="bins.id", index=True)
    lot_id: int | None = None
    on_hand: int = Field(default=0, sa_type=BigInteger)
    promised: int = Field(default=0, sa_type=BigInteger)


SIGNS = (
    "(kind = 'received' AND on_hand_change > 0 AND promised_change = 0)"
    " OR (kind = 'counted' AND promised_change = 0)"
    " OR (kind = 'promised' AND on_hand_change = 0 AND promised_change > 0)"
    " OR (kind = 'released' AND on_hand_change = 0 AND promised_change < 0)"
    " OR (kind = 'used' AND on_hand_change < 0 AND promised_change IN (0, on_hand_change))"
    " OR (kind = 'scrapped' AND on_hand_change < 0 AND promised_change = 0)"
)


class Movement(Table, table=True):
    """One entry in the ledger, never changed or removed: the database itself refuses both (see `append_only`).

    An undo is an entry of the same kind with the signs turned, naming the entry it reverses; no entry is reversed
    twice. What is used from a promise lowers both sums at once.
    """

    __tablename__ = "movements"
    __table_args__ = (
        one_of("kind", Moved),
        CheckConstraint(f"reverses_id IS NOT NULL OR {SIGNS}", name="signs"),
        CheckConstraint("promised_change = 0 OR kit_line_id IS NOT NULL", name="promise_names_line"),
        CheckConstraint("reverses_id IS NULL OR reverses_id < id", name="reverses_earlier"),
        UniqueConstraint("action_id", "position_in_action"),
        Index("ix_movements_stock_id_id", "stock_id", "id"),
    )

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    position_in_action: int
    stock_id: int = Field(foreign_key="stock.id")
    kind: Moved = Field(sa_type=word_type(Moved))
    on_hand_change: int = Field(sa_type=BigInteger)
    promised_change: int = Field(sa_type=BigInteger)
    kit_line_id: int | None = Field(default=None, foreign_key="kit_lines.id", index=True)
    reason: str = Field(default="", max_length=2000)
    reverses_id: int | None = Field(default=None, foreign_key="movements.id", unique=True)
