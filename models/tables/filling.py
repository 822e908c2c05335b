"""What goes into a machine as it goes in, kept with its need; and the bar codes an item is known by."""

from sqlalchemy import BigInteger, CheckConstraint
from sqlmodel import Field

from models.filled import Filled
from models.tables.base import Table, one_of, word_type


class FillEntry(Table, table=True):
    """One entry of a fluid need's tally. Append-only: a later one takes it back.

    In nanolitres, in which a US quart is a whole number (946,352,946; NIST SP 811). `typed`: as the person said it.
    """

    __tablename__ = "fill_entries"
    __table_args__ = (
        one_of("what", Filled),
        CheckConstraint("volume_nl > 0 OR (what = 'held' AND volume_nl = 0)", name="volume_positive"),
    )

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id", index=True)
    need_id: int = Field(foreign_key="needs.id", index=True)
    what: Filled = Field(sa_type=word_type(Filled))
    volume_nl: int = Field(sa_type=BigInteger)
    typed: str = Field(max_length=200)
    takes_back_id: int | None = Field(default=None, foreign_key="fill_entries.id", unique=True)


class ItemGtin(Table, table=True):
    """A bar code on an item's pack: the GTIN in all 14 digits. One number is one item; an item may have several."""

    __tablename__ = "item_gtins"
    __table_args__ = (CheckConstraint("length(gtin) = 14", name="gtin_digits"),)

    gtin: str = Field(max_length=14, primary_key=True)
    item_id: int = Field(foreign_key="items.id", index=True)
    action_id: int = Field(foreign_key="actions.id")
