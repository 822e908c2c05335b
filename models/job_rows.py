"""A job as it is given out. No database needed to import it: a quick look gives the same rows."""

from __future__ import annotations

from datetime import date, datetime
from typing import NamedTuple

from models.words import KitState


class JobRow(NamedTuple):
    """One job and where its kit stands. A bench job names no machine.

    `meter_hundredths_h`: what the machine's hour meter showed last with this job, in hundredths of an hour.
    """

    job_id: int
    title: str
    machine_id: int | None
    machine_name: str
    opened_at: datetime
    due_on: date | None
    closed_at: datetime | None
    state: KitState
    meter_hundredths_h: int | None = None
