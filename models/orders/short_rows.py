"""A short line as it is given out. No database needed to import it: a quick look gives the same rows."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from models.words import Kind, Unit, unit_for


class Short(NamedTuple):
    """One thing to buy. Its `line` is `need:7` or `reorder:3`. `on_order` is not in `quantity`. `note`: why, in words.

    `needed_by` None: no hurry, or the day has passed and it is wanted as soon as can be; `due_on`: the job's own day.
    """

    line: str
    need_id: int | None
    item_id: int | None
    job_id: int | None
    job_title: str
    title: str
    kind: Kind
    counted_in: Unit
    quantity: int
    on_order: int
    needed_by: date | None
    note: str
    due_on: date | None = None


def for_need(
    need_id: int,
    job: tuple[int | None, str, date | None],
    title: str,
    kind: Kind,
    quantity: int,
    waits: int,
    on: date,
    *,
    by_date: bool,
) -> Short:
    """What a need of a job (its id, title and day) lacks; `by_date` False leaves the day out."""
    job_id, job_title, due = job
    late = due is not None and due < on
    return Short(
        f"need:{need_id}",
        need_id,
        None,
        job_id,
        job_title,
        title,
        kind,
        unit_for(kind),
        quantity,
        waits,
        due if by_date and not late else None,
        f"was due on {due}: as soon as can be" if late else "",
        due,
    )


def for_item(item_id: int, name: str, kind: Kind, unit: Unit, quantity: int, waits: int, note: str) -> Short:
    """What an item that fell to its reorder point lacks."""
    return Short(f"reorder:{item_id}", None, item_id, None, "", name, kind, unit, quantity, waits, None, note)
