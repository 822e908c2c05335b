"""The open jobs with where their kits stand, the same that `models.jobs.listed` gives."""

from __future__ import annotations

from collections import defaultdict
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final

from models.filled import Filled
from models.glance.asking import Look, ask, day, moment
from models.job_rows import JobRow
from models.kitting.fill_entries import Written, in_sump
from models.kitting.standing import NeedProgress, reckoned, state_of
from models.storage.address import Server
from models.words import Kind

_JOBS: Final = """
SELECT jobs.id, jobs.title, jobs.machine_id, machines.name, jobs.opened_at, jobs.due_on,
       jobs.meter_hundredths_h
FROM jobs
LEFT JOIN machines ON machines.id = jobs.machine_id
WHERE jobs.closed_at IS NULL
ORDER BY jobs.due_on IS NULL, jobs.due_on, jobs.id
LIMIT ?
"""
_NEEDS: Final = """
SELECT needs.job_id, needs.id, needs.kind, needs.pieces + needs.spares, needs.low_ul, needs.full_ul,
       needs.looked_for_at IS NOT NULL, held.promised, held.picked
FROM needs
JOIN jobs ON jobs.id = needs.job_id
LEFT JOIN (
    SELECT kit_lines.need_id,
           sum(CASE WHEN kit_lines.state = 'have' THEN kit_lines.quantity ELSE 0 END) AS promised,
           sum(CASE WHEN kit_lines.state = 'picked' THEN kit_lines.quantity ELSE 0 END) AS picked
    FROM kit_lines
    JOIN needs ON needs.id = kit_lines.need_id
    JOIN jobs ON jobs.id = needs.job_id
    WHERE jobs.closed_at IS NULL
    GROUP BY kit_lines.need_id
) AS held ON held.need_id = needs.id
WHERE jobs.closed_at IS NULL AND needs.withdrawn_at IS NULL
"""
_FILLED: Final = """
SELECT fill_entries.need_id, fill_entries.id, fill_entries.what, fill_entries.volume_nl, fill_entries.takes_back_id
FROM fill_entries
JOIN needs ON needs.id = fill_entries.need_id
JOIN jobs ON jobs.id = needs.job_id
WHERE jobs.closed_at IS NULL AND needs.kind = 'fluid'
"""


def open_jobs(place: Path | Server, limit: int) -> tuple[JobRow, ...] | None:
    """The first `limit` open jobs, the most urgent first. None where a glance can't tell: ask `models.jobs`."""

    def jobs(look: Look) -> tuple[JobRow, ...]:
        found = look(_JOBS, limit)
        standing = _standing(look) if found else {}
        return tuple(_row(one, standing.get(one[0], [])) for one in found)

    return ask(place, jobs)


def _standing(look: Look) -> dict[int, list[NeedProgress]]:
    """How each need of the open jobs stands, by job."""
    filled: defaultdict[int, list[Written]] = defaultdict(list)
    for need_id, entry_id, what, volume_nl, takes_back_id in look(_FILLED):
        filled[need_id].append(Written(entry_id, Filled(what), volume_nl, takes_back_id))
    found: defaultdict[int, list[NeedProgress]] = defaultdict(list)
    for job_id, need_id, kind, pieces, low_ul, full_ul, looked_for, promised, picked in look(_NEEDS):
        fluid = Kind(kind) is Kind.FLUID
        most, least = (full_ul or 0, low_ul) if fluid else (pieces, None)
        sump = in_sump(filled.get(need_id, ()))
        one = reckoned(most, least, int(promised or 0), int(picked or 0), sump, looked_for=bool(looked_for))
        found[job_id].append(one)
    return found


def _row(found: tuple[Any, ...], standing: list[NeedProgress]) -> JobRow:
    job_id, title, machine_id, machine, opened_at, due_on, hours = found
    opened: datetime = moment(opened_at).replace(tzinfo=UTC)
    return JobRow(job_id, title, machine_id, machine or "", opened, day(due_on), None, state_of(standing), hours)
