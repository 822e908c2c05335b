"""The open jobs with where their kits stand, the same that `models.jobs.listed` gives."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
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
HELD: Final = """LEFT JOIN (
    SELECT kit_lines.need_id,
           sum(CASE WHEN kit_lines.state = 'have' THEN kit_lines.quantity ELSE 0 END) AS promised,
           sum(CASE WHEN kit_lines.state = 'picked' THEN kit_lines.quantity ELSE 0 END) AS picked
    FROM kit_lines
    JOIN needs ON needs.id = kit_lines.need_id
    JOIN jobs ON jobs.id = needs.job_id
    WHERE jobs.closed_at IS NULL
    GROUP BY kit_lines.need_id
) AS held ON held.need_id = needs.id
"""
_NEEDS: Final = f"""
SELECT needs.job_id, needs.id, needs.kind, needs.pieces + needs.spares, needs.low_ul, needs.full_ul,
       needs.looked_for_at IS NOT NULL, held.promised, held.picked
FROM needs
JOIN jobs ON jobs.id = needs.job_id
{HELD}WHERE jobs.closed_at IS NULL AND needs.withdrawn_at IS NULL
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


def filled_in(look: Look) -> dict[int, list[Written]]:
    """What was noted of the fluids of open jobs, by need."""
    filled: defaultdict[int, list[Written]] = defaultdict(list)
    for need_id, entry_id, what, volume_nl, takes_back_id in look(_FILLED):
        filled[need_id].append(Written(entry_id, Filled(what), volume_nl, takes_back_id))
    return filled


def standing_of(
    kind: Kind,
    marks: tuple[int, int | None, int | None],
    held: tuple[int | None, int | None],
    filled: Sequence[Written],
    *,
    looked_for: bool,
) -> NeedProgress:
    """How a need stands: pieces, low and full mark as they are written; what is promised and picked; what was noted."""
    pieces, low_ul, full_ul = marks
    most, least = (full_ul or 0, low_ul) if kind is Kind.FLUID else (pieces, None)
    promised, picked = held
    return reckoned(most, least, int(promised or 0), int(picked or 0), in_sump(filled), looked_for=looked_for)


def _standing(look: Look) -> dict[int, list[NeedProgress]]:
    """How each need of the open jobs stands, by job."""
    filled = filled_in(look)
    found: defaultdict[int, list[NeedProgress]] = defaultdict(list)
    for job_id, need_id, kind, pieces, low_ul, full_ul, looked_for, promised, picked in look(_NEEDS):
        marks, held = (pieces, low_ul, full_ul), (promised, picked)
        one = standing_of(Kind(kind), marks, held, filled.get(need_id, ()), looked_for=bool(looked_for))
        found[job_id].append(one)
    return found


def _row(found: tuple[Any, ...], standing: list[NeedProgress]) -> JobRow:
    job_id, title, machine_id, machine, opened_at, due_on, hours = found
    opened: datetime = moment(opened_at).replace(tzinfo=UTC)
    return JobRow(job_id, title, machine_id, machine or "", opened, day(due_on), None, state_of(standing), hours)
