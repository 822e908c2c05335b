"""What open kits wait for of a kind, by class: so that a delivery can be given the class that a need asks for."""

from __future__ import annotations

from typing import NamedTuple

from sqlalchemy import func
from sqlmodel import Session, col, select

from models.tables import Job, KitLine, Need
from models.words import Kind, LineState


class Waits(NamedTuple):
    """A class that an open need lacks, the need's title and its job's."""

    spec_class: str
    title: str
    job_title: str

    @property
    def words(self) -> str:
        """`“spin-on 1-12 UNF, 10 µm” (return line element, Tractor, 250 h)`."""
        return f"“{self.spec_class}” ({self.title}, {self.job_title})"


def waited_for(session: Session, kind: Kind) -> tuple[Waits, ...]:
    """The classes of needs of that kind that lack some, the most urgent job's first, each class once."""
    held = (
        select(func.coalesce(func.sum(col(KitLine.quantity)), 0))
        .where(KitLine.need_id == Need.id, col(KitLine.state).in_([LineState.HAVE, LineState.PICKED]))
        .scalar_subquery()
    )
    rows = session.exec(
        select(Need.spec_class, Need.title, Job.title)
        .join(Job, col(Job.id) == col(Need.job_id))
        .where(
            Need.kind == kind,
            Need.spec_class != "",
            col(Need.withdrawn_at).is_(None),
            col(Job.closed_at).is_(None),
            held < col(Need.pieces) + col(Need.spares),
        )
        .order_by(col(Job.due_on).is_(None), col(Job.due_on), col(Need.id))
    ).all()
    found: dict[str, Waits] = {}
    for row in rows:
        found.setdefault(row[0].casefold(), Waits(*row))
    return tuple(found.values())
