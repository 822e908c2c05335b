"""How the stores are kept: what an assortment box should hold, when to order more, where a machine was built."""

from sqlalchemy import BigInteger, CheckConstraint
from sqlmodel import Field

from catalog.orings.prior import Built
from models.tables.base import Table, one_of, word_type


class AssortmentModel(Table, table=True):
    """How many of an item a full assortment box holds. The box is the bin."""

    __tablename__ = "assortment_models"
    __table_args__ = (CheckConstraint("pieces > 0", name="pieces_positive"),)

    bin_id: int = Field(foreign_key="bins.id", primary_key=True)
    item_id: int = Field(foreign_key="items.id", primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    pieces: int


class ReorderRule(Table, table=True):
    """Order more of an item when its free stock falls to `order_at`, up to `up_to`, in its own unit."""

    __tablename__ = "reorder_rules"
    __table_args__ = (
        CheckConstraint("order_at >= 0", name="order_at_not_negative"),
        CheckConstraint("up_to > order_at", name="up_to_above"),
        CheckConstraint("lead_days >= 0", name="lead_not_negative"),
    )

    item_id: int = Field(foreign_key="items.id", primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    order_at: int = Field(sa_type=BigInteger)
    up_to: int = Field(sa_type=BigInteger)
    lead_days: int | None = None


class MachineOrigin(Table, table=True):
    """Where a machine was built: it weighs the ring series that are likely on it."""

    __tablename__ = "machine_origins"
    __table_args__ = (one_of("built", Built),)

    machine_id: int = Field(foreign_key="machines.id", primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    built: Built = Field(sa_type=word_type(Built))
