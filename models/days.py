"""A day as people write it: 2026-12-04, 4.12.2026, 4/12/2026. What reads two ways is refused, not guessed."""

from __future__ import annotations

import re
from datetime import date
from typing import Final

ISO: Final = re.compile(r"(\d{4})-(\d{2})-(\d{2})", re.ASCII)
DOTTED: Final = re.compile(r"(\d{1,2})\. ?(\d{1,2})\. ?(\d{4})", re.ASCII)
SLASHED: Final = re.compile(r"(\d{1,2})/(\d{1,2})/(\d{4})", re.ASCII)
MONTHS: Final = 12


class NotADayError(ValueError):
    """What was typed is no day, or two; `hint`: what to type, where that is more than a day's usual form."""

    def __init__(self, hint: str = "") -> None:
        super().__init__(hint)
        self.hint = hint


def read(text: str) -> date:
    """The day. With dots the day stands first; slashes are read where that gives only one day. Raises `NotADayError`.

    A year has four digits: 4.12.26 may be any of three days.
    """
    words = text.strip()
    try:
        if found := ISO.fullmatch(words):
            year, month, day = map(int, found.groups())
            return date(year, month, day)
        if found := DOTTED.fullmatch(words):
            day, month, year = map(int, found.groups())
            return date(year, month, day)
        if found := SLASHED.fullmatch(words):
            first, second, year = map(int, found.groups())
            if first != second and max(first, second) <= MONTHS:
                either, other = date(year, second, first), date(year, first, second)
                raise NotADayError(f"Type {either} for {in_words(either)}, or {other} for {in_words(other)}.")
            day, month = (first, second) if second <= MONTHS else (second, first)
            return date(year, month, day)
    except NotADayError:
        raise
    except ValueError:
        pass
    raise NotADayError


def in_words(day: date) -> str:
    """A day with its month's name: 4 December 2026."""
    return f"{day.day} {day:%B %Y}"
