"""What is short: needs of chosen jobs that neither the shelf nor an open order covers, and reorder points reached."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from datetime import date
from fractions import Fraction
from typing import Final, NamedTuple

from sqlalchemy import String, and_, or_, type_coerce
from sqlmodel import Session, col, select

from models.inventory import reorder_rules
from models.inventory.reorder_rules import DAYS_PER_YEAR, RuleRow
from models.kitting.candidates import free_all, take_free, unit_of
from models.kitting.progress import progress_of
from models.orders.progress import on_order
from models.qualify import others
from models.qualify.wanted import Wanted, key_of, wanted_all
from models.rows import find, rows_of
from models.tables import Item, ItemClaim, Job, Need
from models.volume import in_words
from models.words import Kind, Unit

_ITEMS: Final = Item.metadata.tables["items"]


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
    used: Mapping[int, int] | None = None,
) -> tuple[Asked, ...]:
    """What the jobs (None: every open one) lack, oldest due first, then what has fallen to its reorder point.

    `by_date` False leaves the jobs' days out; `used`: what was used of each item in a year, where it is known. Raises
    `NotFoundError` for a job there is not.
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
    taken: dict[int, int] = {}
    open_jobs = session.exec(query).all()
    needs = session.exec(
        select(Need)
        .where(col(Need.job_id).in_([job.id for job in open_jobs]), col(Need.withdrawn_at).is_(None))
        .order_by(col(Need.id))
    ).all()
    standing, waits = progress_of(session, needs), coming.for_needs
    missing = {need_id: one.lacks(waits.get(need_id, 0)) for need_id, one in standing.items()}
    sought = wanted_all(session, [need for need in needs if missing[need.id or 0]])
    near = free_all(session, sought, on)
    by_job: defaultdict[int, list[int]] = defaultdict(list)
    for key, one in sought.items():
        by_job[one.need.job_id].append(key)
    for job in open_jobs:
        for key in by_job[job.id or 0]:
            comes, lies = waits.get(key, 0), take_free(near[key], missing[key], taken)
            if lacks := standing[key].lacks(comes + lies):
                asked = _asked(job, sought[key], lacks, comes, on, by_date=by_date)
                found.append(asked if not lies else _with_note(asked, lies))
    if reorder:
        used = reorder_rules.used_in_all(session, on) if used is None else used
        found += _reorders(session, coming.for_items, reorder_rules.rules(session, on, due_only=True, used=used))
    return tuple(found)


def _asked(job: Job, sought: Wanted, quantity: int, waits: int, on: date, *, by_date: bool) -> Asked:
    need, due = sought.need, job.due_on
    late = due is not None and due < on
    short = Short(
        f"need:{need.id}",
        need.id,
        None,
        job.id,
        job.title,
        need.title,
        need.kind,
        unit_of(need),
        quantity,
        waits,
        due if by_date and not late else None,
        f"was due on {due}: as soon as can be" if late else "",
        due,
    )
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
        short = Short(
            f"reorder:{rule.item_id}",
            None,
            rule.item_id,
            None,
            "",
            item.name,
            item.kind,
            item.counted_in,
            rule.to_order - waits,
            waits,
            None,
            rule.reason,
        )
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
    """What the shop uses a day of what serves a line, by what was used of each item in a year."""

    def __init__(self, session: Session, lines: Sequence[Asked], used: Mapping[int, int]) -> None:
        self._used = used
        self._by_size: defaultdict[str | None, list[tuple[str, int]]] = defaultdict(list)
        self._by_class: defaultdict[tuple[Kind, str], list[int]] = defaultdict(list)
        sizes = {size for asked in lines for size in asked.sought.called}
        words = [asked.sought.need for asked in lines if asked.sought.need.kind is not Kind.RING]
        near = or_(
            and_(_ITEMS.c.kind == Kind.RING, _ITEMS.c.size_key.in_(sizes)),
            and_(
                _ITEMS.c.kind.in_({need.kind for need in words}),
                _ITEMS.c.class_folded.in_({others.fold(need.spec_class) for need in words}),
            ),
        )
        columns = (_ITEMS.c.id, type_coerce(_ITEMS.c.kind, String), *_ITEMS.c["size_key", "rubber", "spec_class"])
        named = _ITEMS.select().with_only_columns(*columns).where(near)
        for item_id, kind, size, rubber, spec_class in session.connection().execute(named).all() if lines else ():
            if kind == Kind.RING:
                self._by_size[size].append((rubber, item_id))
            else:
                self._by_class[Kind(kind), spec_class].append(item_id)

    def per_day(self, asked: Asked) -> Fraction | None:
        """In its own unit; None where the shop stocks nothing of the kind."""
        need, rubbers = asked.sought.need, asked.sought.rubbers
        if need.kind is Kind.RING:
            near = [pair for size in dict.fromkeys(asked.sought.called) for pair in self._by_size.get(size, ())]
            ids = [item_id for rubber, item_id in near if not rubbers or rubber in rubbers]
        else:
            ids = self._by_class.get((need.kind, need.spec_class), [])
        if not ids:
            return None
        totals = [self._used[one] for one in ids if one in self._used]
        return Fraction(sum(max(0, one) for one in totals), DAYS_PER_YEAR)
