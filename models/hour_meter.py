"""A machine's hour meter: what it was read at with a job, and the last reading there is of a machine.

Readings are in hundredths of an hour (`models.hours`).
"""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

from sqlmodel import Session, col, select

from models.errors import InvalidInputError
from models.hours import in_words
from models.tables import Job


class Reading(NamedTuple):
    """What the meter showed, in hundredths of an hour, and when that was noted."""

    meter_hundredths_h: int
    read_at: datetime

    @property
    def words(self) -> str:
        """The hours and the day, as "1234.5 h on 2026-11-29"."""
        return f"{in_words(self.meter_hundredths_h)} on {self.read_at.astimezone():%Y-%m-%d}"


def last(session: Session, machine_id: int) -> Reading | None:
    """The reading noted last of a machine, whichever job it was noted with; None where there is none."""
    row = session.exec(
        select(Job.meter_hundredths_h, Job.meter_read_at)
        .where(Job.machine_id == machine_id, col(Job.meter_read_at).is_not(None))
        .order_by(col(Job.meter_read_at).desc(), col(Job.id).desc())
        .limit(1)
    ).first()
    if row is None or row[0] is None or row[1] is None:
        return None
    return Reading(row[0], row[1])


def is_less(meter_hundredths_h: int, before: Reading | None) -> bool:
    """Whether a reading is less than the one before it, which only another meter can be."""
    return before is not None and meter_hundredths_h < before.meter_hundredths_h


def accept(session: Session, machine_id: int | None, meter_hundredths_h: int, *, changed: bool) -> None:
    """Raises `InvalidInputError` on the bench, and below the machine's last reading unless the meter was `changed`."""
    if machine_id is None:
        raise InvalidInputError("This job is on the bench, where there is no hour meter.", "Leave the hours out.")
    if meter_hundredths_h < 0:
        raise InvalidInputError("An hour meter shows no less than 0 h.", "Type what it shows.")
    before = last(session, machine_id)
    if before is not None and not changed and is_less(meter_hundredths_h, before):
        raise InvalidInputError(
            f"{in_words(meter_hundredths_h)} is fewer than the last hours of this machine, {before.words}.",
            "Read the meter again; if it was changed, say so with --yes.",
        )
