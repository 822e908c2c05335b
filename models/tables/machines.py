"""Machines, the named positions on them, and the jobs done on them."""

from datetime import date, datetime

from sqlalchemy import CheckConstraint, UniqueConstraint
from sqlmodel import Field

from catalog.orings.prior import Built
from models.tables.base import Table, not_blank, one_of, word_type
from models.text import TEXT_LENGTH
from models.words import Kind


class Machine(Table, table=True):
    """A serviced unit. One added by mistake is withdrawn, not removed: its id stands for nothing else ever.

    `built`: where, which weighs the ring series that are likely on it. `retired_at`: it is no longer offered; what was
    done on it stays.
    """

    __tablename__ = "machines"
    __table_args__ = (not_blank("name"), one_of("built", Built, or_null=True))

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    name: str = Field(max_length=200, unique=True)
    note: str = Field(default="", max_length=2000)
    built: Built | None = Field(default=None, sa_type=word_type(Built))
    withdrawn_at: datetime | None = None
    retired_at: datetime | None = None


class Position(Table, table=True):
    """A named place on a machine that takes one kind of item: "pump inlet flange ring".

    `housing`: a filter position's, as measured: the text of a `catalog.filters.housing.Housing`. `critical`: whether
    somebody may be hurt where it fails (brakes, fuel, lifting, steering, hot or high pressure). `meets`: the fluid a
    ring there meets, by its code in the rubber tables; `hottest_c`: the hottest it gets, °C.
    """

    __tablename__ = "positions"
    __table_args__ = (
        one_of("takes", Kind),
        not_blank("name"),
        not_blank("housing"),
        not_blank("meets"),
        UniqueConstraint("machine_id", "name"),
    )

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    machine_id: int = Field(foreign_key="machines.id")
    name: str = Field(max_length=200)
    takes: Kind = Field(sa_type=word_type(Kind))
    note: str = Field(default="", max_length=2000)
    housing: str | None = Field(default=None, max_length=TEXT_LENGTH)
    critical: bool = False
    meets: str | None = Field(default=None, max_length=60)
    hottest_c: int | None = None
    withdrawn_at: datetime | None = None


class Job(Table, table=True):
    """Work on a machine, or on the bench when it names none; made from a template's version, or by hand.

    `meter_hundredths_h`: what the machine's hour meter showed last with this job, in hundredths of an hour, and
    `meter_read_at` when that was noted.
    """

    __tablename__ = "jobs"
    __table_args__ = (
        not_blank("title"),
        CheckConstraint("closed_at IS NULL OR closed_at >= opened_at", name="closed_after_opened"),
        CheckConstraint("meter_hundredths_h >= 0", name="meter_from_0"),
        CheckConstraint("(meter_hundredths_h IS NULL) = (meter_read_at IS NULL)", name="meter_read_once"),
    )

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    machine_id: int | None = Field(default=None, foreign_key="machines.id", index=True)
    title: str = Field(max_length=200)
    opened_at: datetime
    due_on: date | None = None
    closed_at: datetime | None = None
    meter_hundredths_h: int | None = None
    meter_read_at: datetime | None = None
    template_version_id: int | None = Field(default=None, foreign_key="template_versions.id")
