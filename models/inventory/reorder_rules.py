"""Reorder points kept per item, what was used per month, and what has fallen to its point."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Sequence
from datetime import UTC, date, datetime, time, timedelta
from math import sqrt
from typing import Any, Final, NamedTuple

from sqlalchemy import ColumnElement, case, func
from sqlalchemy import select as sql_select
from sqlmodel import Session, col, select

from models import row_snapshots
from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError
from models.qualify import age
from models.rows import ROWS_AT_ONCE, find, hold, in_use
from models.stocking.reorder import ReorderPoint, reorder_point
from models.tables import Action, Item, Lot, Movement, Stock
from models.volume import in_words
from models.words import Kind, Moved, Unit

DAYS_PER_MONTH: Final = 30
DAYS_PER_YEAR: Final = 365
MOST: Final = 10**12
_RULED: Final = col(Item.reorder_at).is_not(None)


class Usage(NamedTuple):
    """What was used of an item in `days`, less what jobs gave back: in all, a day, and the spread (σ) of one day."""

    total: int
    days: int
    per_day: float
    spread: float

    @property
    def per_month(self) -> float:
        """Used in 30 days."""
        return self.per_day * DAYS_PER_MONTH


class RuleRow(NamedTuple):
    """One item's rule, what is free of it now, whether that has fallen to the point, and the `reason` in words."""

    item_id: int
    item_name: str
    counted_in: Unit
    order_at: int
    up_to: int
    lead_days: int | None
    free: int
    due: bool
    to_order: int
    reason: str


def _uses(on: date, days: int) -> tuple[ColumnElement[bool], ...]:
    """What counts as use: what jobs took and gave back and what went straight off the shelf, in UTC's days."""
    first = datetime.combine(on - timedelta(days=days - 1), time(), UTC)
    last = datetime.combine(on + timedelta(days=1), time(), UTC)
    gave_back = (col(Movement.kind) == Moved.RECEIVED) & col(Movement.kit_line_id).is_not(None)
    return (col(Action.at) >= first, col(Action.at) < last, (col(Movement.kind) == Moved.USED) | gave_back)


def used_of(
    session: Session, on: date, item_ids: Collection[int] | None = None, *, days: int = DAYS_PER_YEAR
) -> dict[int, int]:
    """What was used of these items (None: of all that have a rule), less what jobs gave back, summed up there.

    In the `days` before `on` and on it. An item that nothing was used of has no entry.
    """
    query = (
        select(Stock.item_id, func.sum(col(Movement.on_hand_change)))
        .join(Movement, col(Movement.stock_id) == col(Stock.id))
        .join(Action, col(Action.id) == col(Movement.action_id))
        .where(*_uses(on, days))
        .group_by(col(Stock.item_id))
    )
    ids = None if item_ids is None else sorted(item_ids)
    parts = (
        [select(Item.id).where(_RULED)]
        if ids is None
        else [ids[at : at + ROWS_AT_ONCE] for at in range(0, len(ids), ROWS_AT_ONCE)]
    )
    asked = (query.where(col(Stock.item_id).in_(part)) for part in parts)
    return {item_id: -int(change) for one in asked for item_id, change in session.exec(one).all()}


def usage(
    session: Session, on: date, *, days: int = DAYS_PER_YEAR, item_ids: Collection[int] | None = None
) -> dict[int, Usage]:
    """What was used of each item, or of those named, in the `days` before `on` and on it, with its spread.

    Scrapping and counting are no use. Days are UTC's. The spread is the standard deviation over all the days.
    """
    query = (
        select(Stock.item_id, Action.at, Movement.on_hand_change)
        .join(Movement, col(Movement.stock_id) == col(Stock.id))
        .join(Action, col(Action.id) == col(Movement.action_id))
        .where(*_uses(on, days))
    )
    rows = session.exec(query if item_ids is None else query.where(col(Stock.item_id).in_(item_ids))).all()
    by_day: defaultdict[int, defaultdict[date, int]] = defaultdict(lambda: defaultdict(int))
    for item_id, at, change in rows:
        by_day[item_id][at.date()] -= change
    found: dict[int, Usage] = {}
    for item_id, used in by_day.items():
        total = sum(used.values())
        mean = total / days
        squares = sum((one - mean) ** 2 for one in used.values()) + (days - len(used)) * mean**2
        found[item_id] = Usage(total, days, mean, sqrt(squares / (days - 1)) if days > 1 else 0.0)
    return found


def proposed(
    session: Session, item_id: int, on: date, lead_days: float, *, service_level: float = 0.95, days: int = 365
) -> ReorderPoint:
    """The reorder point that the item's use and a lead time call for. Raises `NotFoundError`, `InvalidInputError`."""
    item = find(session, Item, item_id, "item")
    used = usage(session, on, days=days, item_ids=[item_id]).get(item_id, Usage(0, days, 0.0, 0.0))
    unit = "µl" if item.counted_in is Unit.MICROLITRE else ""
    return reorder_point(used.per_day, lead_days, service_level=service_level, usage_spread=used.spread, unit=unit)


def set_rule(
    session: Session, act: Act, item_id: int, *, order_at: int, up_to: int, lead_days: int | None = None
) -> RuleRow:
    """Order more when free stock falls to `order_at`, up to `up_to`, in the item's own unit.

    Raises `NotFoundError`, `InvalidInputError`.
    """
    if not 0 <= order_at < up_to <= MOST:
        raise InvalidInputError(
            f"Order at {order_at} up to {up_to} can't be kept.", "Type 0 or more, and a larger number as “up to”."
        )
    if lead_days is not None and not 0 <= lead_days <= 3650:
        raise InvalidInputError(f"A lead time of {lead_days} days can't be kept.", "Type 0 to 3650 days.")
    name = find(session, Item, item_id, "item").name
    made = claim(session, act, "reorder.set_rule", name, subject_id=item_id)
    if made.first:
        _write(session, made.action_id, item_id, order_at, up_to, lead_days)
    return next(row for row in rules(session, act.at.date()) if row.item_id == item_id)


def drop_rule(session: Session, act: Act, item_id: int) -> None:
    """Keep no reorder point for the item any more. Raises `NotFoundError`."""
    name = find(session, Item, item_id, "item").name
    made = claim(session, act, "reorder.drop_rule", name, subject_id=item_id)
    if made.first:
        _write(session, made.action_id, item_id, None, None, None)


def _write(
    session: Session, action_id: int, item_id: int, order_at: int | None, up_to: int | None, lead_days: int | None
) -> None:
    item = hold(session, Item, item_id, "item")
    if order_at is not None or item.reorder_at is not None:  # who drops what is not there writes nothing
        row_snapshots.write_over(
            session, action_id, item, reorder_at=order_at, reorder_up_to=up_to, reorder_lead_days=lead_days
        )


def point_of(session: Session, item_id: int) -> tuple[int, int] | None:
    """At how much free stock an item is ordered, and up to how much; None without a rule. Raises `NotFoundError`."""
    item = find(session, Item, item_id, "item")
    return None if item.reorder_at is None or item.reorder_up_to is None else (item.reorder_at, item.reorder_up_to)


def rules(session: Session, on: date, *, due_only: bool = False) -> tuple[RuleRow, ...]:
    """Every rule by item name, or only those whose stock has fallen to its point.

    A lot past its last day on `on` is not free: nothing takes it. Rubber that has no such day counts, however old, and
    the reason says so where its kind keeps for some years only.
    """
    there = col(Stock.on_hand) - col(Stock.promised)
    free = func.coalesce(func.sum(case((col(Lot.expires_on) < on, 0), else_=there)), 0)
    old = func.coalesce(func.sum(case((col(Lot.expires_on) < on, there), else_=0)), 0)
    undated = func.coalesce(func.sum(case((col(Lot.expires_on).is_(None), there), else_=0)), 0)
    columns = (
        *(col(Item.id), col(Item.name), col(Item.counted_in)),
        *(col(Item.reorder_at), col(Item.reorder_up_to), col(Item.reorder_lead_days), col(Item.kind), col(Item.rubber)),
    )
    ruled = (
        sql_select(*columns, old, undated, free)
        .outerjoin_from(Item, Stock, col(Stock.item_id) == col(Item.id))
        .outerjoin(Lot, col(Lot.id) == col(Stock.lot_id))
        .where(_RULED, in_use(Item))
        .group_by(*columns, col(Item.folded))
        .order_by(col(Item.folded), col(Item.id))
    )
    if due_only:
        ruled = ruled.having(free <= col(Item.reorder_at))
    found = session.connection().execute(ruled).all()
    used = used_of(session, on, [row.id for row in found] if due_only else None) if found else {}
    return tuple(_row(row, int(row[-1]), used.get(row.id, 0)) for row in found)  # PostgreSQL sums up to decimals


def _row(rule: Sequence[Any], free: int, used: int) -> RuleRow:
    item_id, name, unit, order_at, up_to, lead_days, kind, rubber, old, undated, _ = rule
    per_month = used / DAYS_PER_YEAR * DAYS_PER_MONTH
    month = in_words(round(per_month), unit) if per_month >= 1 else "less than one"
    takes = "" if lead_days is None else f", a new order takes {lead_days} days"
    due = free <= order_at
    ages = kind is Kind.RING and age.has_shelf_life(rubber)
    past = f"; {in_words(int(undated), unit)} of them of unknown age" if ages and undated else ""
    past += f"; {in_words(int(old), unit)} more are past their day" if old else ""
    reason = (
        f"{in_words(free, unit)} free, {'at or below' if due else 'above'} the "
        f"reorder point of {in_words(order_at, unit)}{past}; {month} used a month{takes}."
    )
    return RuleRow(item_id, name, unit, order_at, up_to, lead_days, free, due, up_to - free if due else 0, reason)
