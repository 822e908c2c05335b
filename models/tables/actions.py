"""Actions: who did what, when, under which key. Append-only; everything written points at the action that wrote it."""

from datetime import datetime

from sqlalchemy import CheckConstraint, Index, Text
from sqlmodel import Field

from models.tables.base import Table, not_blank


class Action(Table, table=True):
    """One thing a person did. The key is unique, so a second try can't do it again; an undo names what it undoes.

    `subject_id` is the row the action changed, in the table that `what` implies; a row that an action made points back
    at the action instead.
    """

    __tablename__ = "actions"
    __table_args__ = (
        not_blank("key"),
        not_blank("who"),
        not_blank("what"),
        CheckConstraint("undoes_id IS NULL OR undoes_id < id", name="undoes_earlier"),
        Index("ix_actions_who_id", "who", "id"),
    )

    id: int | None = Field(default=None, primary_key=True)
    key: str = Field(max_length=200, unique=True)
    who: str = Field(max_length=200)
    at: datetime
    what: str = Field(max_length=40)
    about: str = Field(default="", max_length=2000)
    subject_id: int | None = None
    undoes_id: int | None = Field(default=None, foreign_key="actions.id", unique=True)


class RowSnapshot(Table, table=True):
    """What columns said before an action wrote over them, as JSON or as one word: see `models.row_snapshots`."""

    __tablename__ = "row_snapshots"

    action_id: int = Field(foreign_key="actions.id", primary_key=True)
    said: str = Field(sa_type=Text)
