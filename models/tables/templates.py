"""Job templates: the needs of a job that comes again, by version: an old job keeps what it was made from."""

from datetime import datetime

from sqlalchemy import CheckConstraint, UniqueConstraint
from sqlmodel import Field

from models.tables.base import Table, not_blank
from models.text import TEXT_LENGTH


class JobTemplate(Table, table=True):
    """A job the shop does again and again. Its needs are in its versions; the latest holds."""

    __tablename__ = "job_templates"
    __table_args__ = (not_blank("name"),)

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    name: str = Field(max_length=200, unique=True)
    retired_at: datetime | None = None


class TemplateVersion(Table, table=True):
    """One edition of a template, numbered from 1. Never changed."""

    __tablename__ = "template_versions"
    __table_args__ = (
        CheckConstraint("number > 0", name="number_positive"),
        UniqueConstraint("template_id", "number"),
    )

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id")
    template_id: int = Field(foreign_key="job_templates.id")
    number: int
    note: str = Field(default="", max_length=2000)


class TemplateNeed(Table, table=True):
    """One need of a version, as the text of a `NeedSpec`; `place` is the position's name on the machine, if any."""

    __tablename__ = "template_needs"
    __table_args__ = (not_blank("spec"),)

    version_id: int = Field(foreign_key="template_versions.id", primary_key=True)
    position: int = Field(primary_key=True)
    place: str = Field(default="", max_length=200)
    spec: str = Field(max_length=TEXT_LENGTH)
