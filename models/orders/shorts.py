"""What is short: needs of chosen jobs that neither the shelf nor an open order covers, and reorder points reached."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Sequence
from datetime import date
from fractions import Fraction
from typing import Final, NamedTuple

from sqlmodel import Session, col, select

from models.inventory import reorder_rules
from models.inventory.reorder_rules import DAYS_PER_YEAR, RuleRow
from models.kitting.candidates import free_all
from models.kitting.progress import progress_of
from models.orders.progress import on_order
from models.orders.short_rows import Short, for_item, for_need
from models.qualify.wanted import Wanted, key_of, wanted_all
from models.rows import find, rows_of
from models.tables import Item, ItemClaim, Job, Need
from models.volume import in_words
from models.words import Kind

_ITEMS: Final = Item.metadata.tables["items"]


class Asked(NamedTuple):
    """A short line with what judges it."""

    short: Short
    sought: Wanted
    key: str


def short_lines(
    session: Session,
    job_ids: Sequence[int] | None,
    on: date,
    *,
    reorder: bool = True,
    by_date: bool = True,
) -> tuple[Asked, ...]:
    """What the jobs (None: every open one) lack, oldest due first, then what has fallen to its reorder point.

    `by_date` False leaves the jobs' days out. Raises `NotFoundError` for a job there is not.
    """
    coming = on_order(session)
    query = (
        select(Job)
        .where(col(Job.closed_at).is_(None))
        .order_by(col(Job.due_on).is_(None), col(Job.due_on), col(Job.id))
    )
    if job_ids is not None:
        there = rows_of(session, Job, job_ids)
        for job_id in job_ids:
            if job_id not in there:
                find(session, Job, job_id, "job")
        query = query.where(col(Job.id).in_(job_ids))
    found: list[Asked] = []
    open_jobs = session.exec(query).all()
    needs = session.exec(
        select(Need)
        .where(col(Need.job_id).in_([job.id for job in open_jobs]), col(Need.withdrawn_at).is_(None))
        .order_by(col(Need.id))
    ).all()
    standing, waits = progress_of(session, needs), coming.for_needs
    missing = {need_id: one.lacks(waits.get(need_id, 0)) for need_id, one in standing.items()}
    sought = wanted_all(session, [need for need in needs if missing[need.id or 0]])
    lying = free_all(session, sought, on)
    by_job: defaultdict[int, list[int]] = defaultdict(list)
    for key, one in sought.items():
        by_job[one.need.job_id].append(key)
    for job in open_jobs:
        for key in by_job[job.id or 0]:
            comes, lies = waits.get(key, 0), lying.take(key, missing[key])
            if lacks := standing[key].lacks(comes + lies):
                asked = _asked(job, sought[key], lacks, comes, on, by_date=by_date)
                found.append(asked if not lies else _with_note(asked, lies))
    if reorder:
        found += _reorders(session, coming.for_items, reorder_rules.rules(session, on, due_only=True))
    return tuple(found)


def _asked(job: Job, sought: Wanted, quantity: int, waits: int, on: date, *, by_date: bool) -> Asked:
    need = sought.need
    place = job.id, job.title, job.due_on
    short = for_need(need.id or 0, place, need.title, need.kind, quantity, waits, on, by_date=by_date)
    return Asked(short, sought, key_of(sought))


def _with_note(asked: Asked, lies: int) -> Asked:
    short = asked.short
    said = f"{in_words(lies, short.counted_in)} more lie free on the shelf: look there for this kit"
    return asked._replace(short=short._replace(note="; ".join(filter(None, (short.note, said)))))


def _reorders(session: Session, coming: dict[int, int], rules: Sequence[RuleRow]) -> list[Asked]:
    low = [rule for rule in rules if rule.due and rule.free + coming.get(rule.item_id, 0) <= rule.order_at]
    items = rows_of(session, Item, [rule.item_id for rule in low]) if low else {}
    claims = _claims_of(session, items)
    found = []
    for rule in low:
        item, waits = items[rule.item_id], coming.get(rule.item_id, 0)
        short = for_item(rule.item_id, item.name, item.kind, item.counted_in, rule.to_order - waits, waits, rule.reason)
        found.append(Asked(short, _as_need(item, claims[rule.item_id]), f"item:{rule.item_id}"))
    return found


def for_items(session: Session, items: Sequence[Item]) -> list[Asked]:
    """Each of the items asked for as itself, one of it, as when it runs low."""
    claims = _claims_of(session, [one.id or 0 for one in items])
    found = []
    for item in items:
        short = Short(
            f"item:{item.id}", None, item.id, None, "", item.name, item.kind, item.counted_in, 1, 0, None, ""
        )  # fmt: skip
        found.append(Asked(short, _as_need(item, claims[item.id or 0]), f"item:{item.id}"))
    return found


def _claims_of(session: Session, item_ids: Collection[int]) -> defaultdict[int, list[str]]:
    claims: defaultdict[int, list[str]] = defaultdict(list)
    if item_ids:
        said = select(ItemClaim).where(col(ItemClaim.item_id).in_(item_ids)).order_by(col(ItemClaim.position))
        for one in session.exec(said):
            claims[one.item_id].append(one.claim)
    return claims


def _as_need(item: Item, claims: Sequence[str]) -> Wanted:
    """An item as a need for just that: what may be bought when it runs low."""
    need = Need(
        id=0,
        action_id=0,
        job_id=0,
        kind=item.kind,
        title=item.name,
        pieces=1,
        size_key=item.size_key,
        hardness_shore_a=item.hardness_shore_a,
        spec_class=item.spec_class,
        spec_grade=item.spec_grade,
    )
    sizes = (item.size_key,) if item.size_key else ()
    return Wanted(need, sizes, (item.rubber,) if item.rubber else (), tuple(claims), None, None, None)


class Used:
    """What the shop uses a day of the rings that lines ask for, by what was used of each item in a year.

    Only what keeps so long, and is spare, is worth asking that of: rings.
    """

    def __init__(self, session: Session, lines: Sequence[Asked], on: date) -> None:
        self._by_size: defaultdict[str, list[tuple[str, int]]] = defaultdict(list)
        sizes = {size for asked in lines if asked.sought.need.kind is Kind.RING for size in asked.sought.called}
        columns = _ITEMS.c["size_key", "rubber", "id"]
        named = _ITEMS.select().with_only_columns(*columns)
        named = named.where(_ITEMS.c.size_key.in_(sizes), _ITEMS.c.kind == Kind.RING)
        for size, rubber, item_id in session.connection().execute(named).all() if sizes else ():
            self._by_size[size].append((rubber, item_id))
        self._ids = {asked.key: self._near(asked) for asked in lines}
        self._used = reorder_rules.used_of(session, on, {one for ids in self._ids.values() for one in ids})

    def _near(self, asked: Asked) -> list[int]:
        rubbers = asked.sought.rubbers
        near = (pair for size in dict.fromkeys(asked.sought.called) for pair in self._by_size.get(size, ()))
        return [item_id for rubber, item_id in near if not rubbers or rubber in rubbers]

    def per_day(self, asked: Asked) -> Fraction | None:
        """In its own unit; None where the shop stocks nothing of the kind, or nobody asked for it."""
        ids = self._ids.get(asked.key)
        if not ids:
            return None
        return Fraction(sum(max(0, self._used.get(one, 0)) for one in ids), DAYS_PER_YEAR)
