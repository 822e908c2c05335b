"""Moments as a person types and hears them: the zone of the clock on the wall, `14:30` or `yesterday 16:00`, weekdays.

Every moment is reckoned in UTC and only shown in a zone: two of one zone compare by their hands alone, which go wrong
where the clocks change.
"""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from typing import Final

from models import days
from models.errors import InvalidInputError

NAMED_DAYS: Final = 6
"""Days ahead that are called by their weekday; further ones, and those past, by their date."""
HOW: Final = "Type it as now, 14:30, 2:30 pm, yesterday 16:00 or 2026-11-25 14:30."
TYPED: Final = re.compile(
    r"(?:(?P<day>today|yesterday|\d{4}-\d{1,2}-\d{1,2}|\d{1,2}([./]) ?\d{1,2}\2 ?\d{4})[ t]\s*)?"
    r"(?P<hour>\d{1,2}):(?P<minute>\d{2})(?:\s*(?P<half>am|pm))?",
    re.ASCII,
)
NOON: Final = 12
DAY_ALONE: Final = re.compile(r"today|yesterday|\d{4}-\d{1,2}-\d{1,2}|\d{1,2}([./]) ?\d{1,2}\1 ?\d{4}", re.ASCII)
YEARS: Final = range(1970, 3000)
"""At the ends of the calendar no zone can be reckoned any more."""


class _Wall(tzinfo):
    """The zone this computer is set to, with its changes; `astimezone()` alone keeps the offset of its own moment."""

    def utcoffset(self, moment: datetime | None) -> timedelta | None:
        return None if moment is None else moment.replace(tzinfo=None).astimezone().utcoffset()

    def dst(self, moment: datetime | None) -> timedelta | None:
        return None

    def tzname(self, moment: datetime | None) -> str | None:
        return None if moment is None else moment.replace(tzinfo=None).astimezone().tzname()

    def fromutc(self, moment: datetime) -> datetime:
        there = moment.replace(tzinfo=UTC)
        shown = there.astimezone().replace(tzinfo=None)
        # The hour that comes twice: `fold` 1 is its second time.
        second = shown.replace(fold=0).astimezone(UTC) != there
        return shown.replace(tzinfo=self, fold=int(second))


WALL: Final[tzinfo] = _Wall()


def stored(moment: datetime) -> datetime:
    """A moment as it came out of the database, which keeps UTC and not its name."""
    return moment.astimezone(UTC) if moment.tzinfo else moment.replace(tzinfo=UTC)


def later(moment: datetime, wait: timedelta) -> datetime:
    """The moment after a wait, in the same zone, also where the clocks are put forward or back meanwhile."""
    return (moment.astimezone(UTC) + wait).astimezone(moment.tzinfo)


def read(text: str, now: datetime) -> datetime:
    """A moment that was typed, in the zone of `now`; a time alone is today's, an empty text is now.

    Of an hour that comes twice, since the clocks go back, it is the later that is not still to come: who waits from
    there waits long enough. Raises `InvalidInputError` for what is no time, what is still to come, and what the clocks
    skip.
    """
    words = " ".join(text.split()).casefold()
    if words in {"", "now"}:
        return now
    if DAY_ALONE.fullmatch(words):
        raise InvalidInputError(f"“{words}” does not say the hour.", HOW)
    found = TYPED.fullmatch(words)
    if found is not None and (year := _year_of(found["day"] or "")).isdigit() and int(year) not in YEARS:
        raise InvalidInputError(f"The year {year} can't be reckoned with.", "Type the year it was.")
    try:
        if found is None:
            raise ValueError
        naive = datetime.combine(_day_of(found["day"], now), _time_of(found["hour"], found["minute"], found["half"]))
    except ValueError as problem:
        if hint := getattr(problem, "hint", ""):
            raise InvalidInputError(f"“{text.strip()[:40]}” may be on two days.", hint) from None
        raise InvalidInputError(f"“{text.strip()[:40]}” is not a time.", HOW) from None
    both = [naive.replace(tzinfo=now.tzinfo, fold=fold) for fold in (1, 0)]
    real = [one for one in both if one.astimezone(UTC).astimezone(now.tzinfo).replace(tzinfo=None) == naive]
    if not real:
        raise InvalidInputError(
            f"{naive:%H:%M} was skipped on {naive:%Y-%m-%d}: the clocks went forward.", "Type an hour that there was."
        )
    past = [one for one in real if one.astimezone(UTC) <= now.astimezone(UTC)]
    if not past:
        raise InvalidInputError(
            f"{_capital(when(real[0], now))} is still to come; it is {now:%H:%M} now.",
            "Type now, or the time it was: yesterday 16:00.",
        )
    return max(past, key=lambda one: one.astimezone(UTC))


def _day_of(word: str | None, now: datetime) -> date:
    if word is None or word == "today":
        return now.date()
    if word == "yesterday":
        return now.date() - timedelta(days=1)
    return date(*map(int, word.split("-"))) if "-" in word else days.read(word)


def _year_of(word: str) -> str:
    """The digits of a typed day's year; none of a word."""
    return word[:4] if "-" in word else word[-4:]


def _time_of(hour: str, minute: str, half: str | None) -> time:
    """A time of day. Raises ValueError where there is none such."""
    hours = int(hour)
    if half is not None:
        if not 1 <= hours <= NOON:
            raise ValueError
        hours = hours % NOON + (NOON if half == "pm" else 0)
    return time(hours, int(minute))


def _capital(words: str) -> str:
    """The first word of a sentence; a date alone stands without its "on"."""
    words = words.removeprefix("on ")
    return words[:1].upper() + words[1:]


def when(then: datetime, now: datetime) -> str:
    """Day and time in words, seen from `now` and in its zone."""
    there = then.astimezone(now.tzinfo)
    return f"{day(there, now)} {there:%H:%M}"


def day(then: datetime, now: datetime) -> str:
    """The day in words, seen from `now` and in its zone."""
    there = then.astimezone(now.tzinfo)
    days = (there.date() - now.date()).days
    if days in (-1, 0, 1):
        return ("yesterday", "today", "tomorrow")[days + 1]
    return f"{there:%A}" if 0 < days <= NAMED_DAYS else f"on {there:%Y-%m-%d}"
