"""When a job can be finished: what is short has to arrive, what is sealed has to cure before it is filled."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import UTC, datetime, timedelta
from types import MappingProxyType
from typing import Final, NamedTuple

from models.kit_view import KitView, NeedView
from models.words import Kind, LineState

NO_TIMES: Final[Mapping[int, timedelta]] = MappingProxyType({})
ONE_DAY: Final = timedelta(days=1)
NAMED_DAYS: Final = 6
"""Days ahead that are called by their weekday; further ones by their date."""


class Finish(NamedTuple):
    """The earliest finish, in the time zone of the `now` it was asked for, and what it waits for, one sentence a fact.

    `at` is None where something short has no known arrival.
    """

    at: datetime | None
    facts: tuple[str, ...]


def earliest_finish(
    view: KitView, now: datetime, lead_times: Mapping[int, timedelta] = NO_TIMES, on_shelf: Collection[int] = ()
) -> Finish:
    """The earliest finish of a job whose work starts `now`; `lead_times`: by need id, how long what is short takes.

    `on_shelf`: needs that are short only because nobody promised them yet what lies free.
    Work itself takes no time here. Sealing starts when all but the fluids is there, filling when it has cured.
    """
    facts: list[str] = []
    parts = fluids = now
    known = True
    for need in (one for one in view.needs if one.missing):
        if need.need_id in on_shelf:
            facts.append(f"{_name(need)} lies free on the shelf: look for it there.")
            continue
        wait = lead_times.get(need.need_id)
        if wait is None:
            known = False
            facts.append(f"{_name(need)} is short, and nobody knows when it comes: order it.")
            continue
        there = _later(now, wait)
        # A supplier gives a day; the hour would be a guess.
        when = _day(there, now) if not wait % ONE_DAY else _when(there, now)
        facts.append(f"{_name(need)} arrives {when}.")
        if need.kind is Kind.FLUID:
            fluids = max(fluids, there)
        else:
            parts = max(parts, there)
    cured = parts
    filled = any(need.kind is Kind.FLUID for need in view.needs)
    for need in view.needs:
        minutes = _cure(need)
        if minutes is None:
            continue
        ready = _later(parts, timedelta(minutes=minutes))
        cured = max(cured, ready)
        then = "filled" if filled else "used"
        facts.append(f"{_name(need)}: sealed {_when(parts, now)}, may be {then} {_when(ready, now)}.")
    return Finish(max(cured, fluids) if known else None, tuple(facts))


def _later(then: datetime, wait: timedelta) -> datetime:
    """The moment after a wait, also where the clocks are put forward or back meanwhile."""
    return (then.astimezone(UTC) + wait).astimezone(then.tzinfo)


def _cure(need: NeedView) -> int | None:
    """The longest cure among what was found for a sealant, or the longest that may be asked while it is short."""
    if need.kind is not Kind.SEALANT:
        return None
    found = [
        line.cure_minutes for line in need.lines if line.state is not LineState.SHORT and line.cure_minutes is not None
    ]
    if need.missing and need.cure_minutes_at_most is not None:
        found.append(need.cure_minutes_at_most)
    return max(found, default=None)


def _name(need: NeedView) -> str:
    name = need.title or need.position_name
    return name[:1].upper() + name[1:]


def _when(then: datetime, now: datetime) -> str:
    return f"{_day(then, now)} {then:%H:%M}"


def _day(then: datetime, now: datetime) -> str:
    days = (then.date() - now.date()).days
    if days == 0:
        return "today"
    if days == 1:
        return "tomorrow"
    return f"{then:%A}" if days <= NAMED_DAYS else f"on {then:%Y-%m-%d}"
