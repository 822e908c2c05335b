"""When a joint was sealed, kept with the sealant's need."""

from datetime import datetime

from sqlmodel import Field

from models.tables.base import Table


class SealNote(Table, table=True):
    """Somebody said when a joint was sealed: `sealed_at`, in UTC. Append-only: the last that is not undone counts."""

    __tablename__ = "seal_notes"

    id: int | None = Field(default=None, primary_key=True)
    action_id: int = Field(foreign_key="actions.id", index=True)
    need_id: int = Field(foreign_key="needs.id", index=True)
    sealed_at: datetime
