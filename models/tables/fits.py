"""Fit records: what fitted where, measured how. Append-only: a new record supersedes, none is overwritten."""

from datetime import datetime

from sqlalchemy import CheckConstraint, Index, text
from sqlmodel import Field

from catalog.orings.ran import Outcome
from models.tables.base import Table, not_blank, one_of, word_type
from models.tables.readings import ReadingColumns, reading_checks
from models.text import TEXT_LENGTH


class FitRecord(Table, table=True):
    """A confirmed fit at a position. The chain has one start per position and one successor per record.

    `groove`: as measured when the fit was confirmed, the text of a `catalog.orings.groove.Groove`. `confirmed_by` and
    `confirmed_at`: who confirmed an imported fit, and when; its action says who imported it.
    """

    __tablename__ = "fit_records"
    __table_args__ = (
        CheckConstraint("size_key LIKE '_%\\:_%'", name="size_key_form"),
        CheckConstraint("hardness_shore_a BETWEEN 1 AND 100", name="hardness_range"),
        CheckConstraint("supersedes_id IS NULL OR supersedes_id < id", name="supersedes_earlier"),
        not_blank("groove"),
        not_blank("confirmed_by"),
        CheckConstraint("(confirmed_by IS NULL) = (confirmed_at IS NULL)", name="confirmed_by_and_at"),
        Index(
            "uq_fit_records_first",
            "position_id",
            unique=True,
            sqlite_where=text("supersedes_id IS NULL"),
            postgresql_where=text("supersedes_id IS NULL"),
        ),
        Index("ix_fit_records_position_id_id", "position_id", "id"),
    )

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    position_id: int = Field(foreign_key="positions.id")
    size_key: str = Field(max_length=60)
    rubber: str = Field(default="", max_length=20)
    hardness_shore_a: int | None = None
    note: str = Field(default="", max_length=2000)
    supersedes_id: int | None = Field(default=None, foreign_key="fit_records.id", unique=True)
    groove: str | None = Field(default=None, max_length=TEXT_LENGTH)
    confirmed_by: str | None = Field(default=None, max_length=200)
    confirmed_at: datetime | None = None


class FitReading(ReadingColumns, table=True):
    """A reading the fit was confirmed with."""

    __tablename__ = "fit_readings"
    __table_args__ = reading_checks()

    fit_record_id: int = Field(foreign_key="fit_records.id", primary_key=True)
    position: int = Field(primary_key=True)


class FitOutcome(Table, table=True):
    """How a recorded fit went after a run; of several the last one holds. `said_by`, `said_at`: of an imported one."""

    __tablename__ = "fit_outcomes"
    __table_args__ = (
        one_of("outcome", Outcome),
        not_blank("said_by"),
        CheckConstraint("(said_by IS NULL) = (said_at IS NULL)", name="said_by_and_at"),
    )

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id", index=True)
    fit_record_id: int = Field(foreign_key="fit_records.id", index=True)
    outcome: Outcome = Field(sa_type=word_type(Outcome))
    said_by: str | None = Field(default=None, max_length=200)
    said_at: datetime | None = None
