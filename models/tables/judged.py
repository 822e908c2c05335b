"""What a judgement needs to know beyond a name: claims, measured elements and housings, grooves, cure dates."""

from datetime import date, datetime

from sqlalchemy import BigInteger, CheckConstraint
from sqlmodel import Field

from models.tables.base import Table, not_blank

TEXT_LENGTH = 4000
"""The longest stored record: see `models.stored_text`."""


class ItemClaim(Table, table=True):
    """A class, or for a sealant a resistance, that an item claims beyond its own class and grade."""

    __tablename__ = "item_claims"
    __table_args__ = (not_blank("claim"),)

    item_id: int = Field(foreign_key="items.id", primary_key=True)
    position: int = Field(primary_key=True)
    claim: str = Field(max_length=200)


class ItemElement(Table, table=True):
    """A filter item's measured fields, as the text of a `catalog.filters.element.Element`."""

    __tablename__ = "item_elements"
    __table_args__ = (not_blank("element"),)

    item_id: int = Field(foreign_key="items.id", primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    element: str = Field(max_length=TEXT_LENGTH)


class ItemContainer(Table, table=True):
    """What one full container of an item holds, so that a rest can be told from a full one."""

    __tablename__ = "item_containers"
    __table_args__ = (CheckConstraint("holds > 0", name="holds_positive"),)

    item_id: int = Field(foreign_key="items.id", primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    holds: int = Field(sa_type=BigInteger)


class LotCure(Table, table=True):
    """The day a lot of rubber was cured: its shelf life counts from there."""

    __tablename__ = "lot_cures"

    lot_id: int = Field(foreign_key="lots.id", primary_key=True)
    cured_on: date


class PositionHousing(Table, table=True):
    """A filter position's measured housing, as the text of a `catalog.filters.housing.Housing`."""

    __tablename__ = "position_housings"
    __table_args__ = (not_blank("housing"),)

    position_id: int = Field(foreign_key="positions.id", primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    housing: str = Field(max_length=TEXT_LENGTH)


class NeedAsk(Table, table=True):
    """A further class a fluid must meet, or a resistance a sealant must have."""

    __tablename__ = "need_asks"
    __table_args__ = (not_blank("ask"),)

    need_id: int = Field(foreign_key="needs.id", primary_key=True)
    position: int = Field(primary_key=True)
    ask: str = Field(max_length=200)


class NeedHousing(Table, table=True):
    """The housing a filter need is for, where no position holds one."""

    __tablename__ = "need_housings"
    __table_args__ = (not_blank("housing"),)

    need_id: int = Field(foreign_key="needs.id", primary_key=True)
    housing: str = Field(max_length=TEXT_LENGTH)


class NeedGroove(Table, table=True):
    """The groove a ring need is for, as the text of a `catalog.orings.groove.Groove`."""

    __tablename__ = "need_grooves"
    __table_args__ = (not_blank("groove"),)

    need_id: int = Field(foreign_key="needs.id", primary_key=True)
    groove: str = Field(max_length=TEXT_LENGTH)


class LinePin(Table, table=True):
    """A kit line that a person chose by hand: looking again leaves it alone."""

    __tablename__ = "line_pins"

    kit_line_id: int = Field(foreign_key="kit_lines.id", primary_key=True)
    action_id: int = Field(foreign_key="actions.id")


class FitGroove(Table, table=True):
    """The groove as measured when a fit was confirmed. Append-only like its record."""

    __tablename__ = "fit_grooves"
    __table_args__ = (not_blank("groove"),)

    fit_record_id: int = Field(foreign_key="fit_records.id", primary_key=True)
    groove: str = Field(max_length=TEXT_LENGTH)


class FitOrigin(Table, table=True):
    """Who confirmed an imported fit, and when; its action says who imported it. Append-only."""

    __tablename__ = "fit_origins"
    __table_args__ = (not_blank("who"),)

    fit_record_id: int = Field(foreign_key="fit_records.id", primary_key=True)
    who: str = Field(max_length=200)
    at: datetime
