"""When a job can be finished: what is short has to arrive, what is sealed has to cure before it is filled."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import UTC, datetime, timedelta
from types import MappingProxyType
from typing import Final, NamedTuple

from models.kitting.kit_view import KitView, NeedView
from models.moments import day, when
from models.words import Kind, LineState

NO_TIMES: Final[Mapping[int, timedelta]] = MappingProxyType({})
ONE_DAY: Final = timedelta(days=1)


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
    Work itself takes no time here. Sealing starts when all but the fluids is there, filling when it has cured; where
    somebody noted when a joint was sealed, its cure counts from there.
    """
    facts: list[str] = []
    start = now.astimezone(UTC)
    parts = fluids = start
    known = True
    for need in (one for one in view.needs if one.missing):
        if need.need_id in on_shelf:
            facts.append(f"{_name(need)} lies free on the shelf: look for it there.")
            continue
        wait = lead_times.get(need.need_id)
        if wait is None:
            known = False
            facts.append(f"{_name(need)} is short, and its arrival is not known: order it.")
            continue
        there = start + wait
        # A supplier gives a day; the hour would be a guess.
        told = day(there, now) if not wait % ONE_DAY else when(there, now)
        facts.append(f"{_name(need)} arrives {told}.")
        if need.kind is Kind.FLUID:
            fluids = max(fluids, there)
        else:
            parts = max(parts, there)
    cured = parts
    for need in (one for one in view.needs if one.kind is Kind.SEALANT):
        # While some of it is missing, the rest of the joint is sealed when that has come.
        sealed = need.sealed.at if need.sealed and not need.missing else None
        fact, ready = _cure(view, need, parts if sealed is None else sealed, now, noted=sealed is not None)
        cured = max(cured, ready)
        facts += [fact] if fact else []
    return Finish(max(cured, fluids).astimezone(now.tzinfo) if known else None, tuple(facts))


def still_curing(view: KitView, now: datetime) -> tuple[str, ...]:
    """A sentence for each joint that was noted as sealed and may not be filled yet, for whoever fills it `now`."""
    found = []
    for need in view.needs:
        if need.sealed is None:
            continue
        ready = cured_at(need)
        if ready is None:
            told = f"{_name(need)}, sealed {when(need.sealed.at, now)}: how long it cures is not known"
        elif ready > now.astimezone(UTC):
            told = f"{_name(need)} cures until {when(ready, now)}"
        else:
            continue
        found.append(f"{told}; the sealant's own data sheet decides.")
    return tuple(found)


def cured_at(need: NeedView) -> datetime | None:
    """From when what was noted as sealed has cured, in UTC; None without a note, or where nobody says how long."""
    minutes = cure_minutes(need)
    return None if need.sealed is None or minutes is None else need.sealed.at + timedelta(minutes=minutes)


def cure_minutes(need: NeedView) -> int | None:
    """The longest cure among what was found for a sealant, or the longest that may be asked while it is short."""
    if need.kind is not Kind.SEALANT:
        return None
    found = [
        line.cure_minutes for line in need.lines if line.state is not LineState.SHORT and line.cure_minutes is not None
    ]
    if need.missing and need.cure_minutes_at_most is not None:
        found.append(need.cure_minutes_at_most)
    return max(found, default=None)


def _cure(view: KitView, need: NeedView, sealed: datetime, now: datetime, *, noted: bool) -> tuple[str, datetime]:
    """What is said of one joint ("" where nothing is), and when it is ready."""
    minutes = cure_minutes(need)
    said = f"{_name(need)}: {'' if noted else 'if '}sealed {when(sealed, now)}"
    if minutes is None:
        return (f"{said}; how long it cures is not known: its data sheet decides." if noted else ""), sealed
    ready = sealed + timedelta(minutes=minutes)
    if noted and ready <= now.astimezone(UTC):
        return f"{said}, cured since {when(ready, now)}.", ready
    then = "filled" if any(one.kind is Kind.FLUID for one in view.needs) else "used"
    return f"{said}, may be {then} {when(ready, now)}.", ready


def _name(need: NeedView) -> str:
    name = need.title or need.position_name
    return name[:1].upper() + name[1:]
