"""A ring's age on the shelf: cure date and rule in, last day of use out. The clock is read by the command, not here."""

from __future__ import annotations

import re
from datetime import date
from typing import Any, NamedTuple

from catalog.orings.shelf_age import ShelfLife, ShelfRule, expires_on, quarter_end, shelf_life
from catalog.standing import Standing
from tui.commands.judging import naming, word
from tui.commands.parsing import UsageError, shown, unknown

_QUARTER = re.compile(r"([1-4])q(\d{4}|\d{2})|(\d{4})-?q([1-4])")
_EXAMPLES = "2019-03-14, 2019-03 or 1Q2019"


class Day(NamedTuple):
    """The day a printed date stands for, and why where only a month or a quarter is printed."""

    day: date
    why: str


class Age(NamedTuple):
    """A ring's shelf age: its life, the last day (None: unlimited), the last day if inspected, and what day it is."""

    life: ShelfLife
    cured: Day
    last_day: date | None
    last_day_inspected: date | None
    today: date

    @property
    def good(self) -> bool:
        """Whether the ring is still in its life."""
        return self.last_day is None or self.today <= self.last_day


def day(option: str, text: str) -> Day:
    """A date as printed on a bag. Of a month alone the first day counts, the strict side; of a quarter the last."""
    clean = text.strip().lower()
    try:
        if found := _QUARTER.fullmatch(clean):
            year, quarter = int(found[2] or found[3]), int(found[1] or found[4])
            last = quarter_end(year if year > 99 else 2000 + year, quarter)
            return Day(last, "only the quarter is printed, so its last day counts (SAE ARP5316 practice)")
        if re.fullmatch(r"\d{4}-\d{2}", clean):
            first = date.fromisoformat(f"{clean}-01")
            return Day(first, "only the month is printed, so its first day counts")
        return Day(date.fromisoformat(clean), "")
    except ValueError:
        raise UsageError(f"{option}: {shown(text)} is not a date; type it like {_EXAMPLES}") from None


def age(family: str, cured: str, rule: str | None, today: date) -> Age:
    """Judge a ring of this family, cured on this date, by this rule on this day."""
    which = _rule(rule)
    since = day("--cured", cured)
    if since.day > today:
        raise UsageError(f"--cured: {since.day} lies after {today}; check the year")
    with naming("--age"):
        life = shelf_life(word("--age", family), which)
    with naming("--cured"):
        last = expires_on(since.day, life.family, which)
        inspected = expires_on(since.day, life.family, which, extended=True) if life.extension_years else None
    return Age(life, since, last, inspected, today)


def _rule(text: str | None) -> ShelfRule:
    if text is None:
        return ShelfRule.ISO_2230
    clean = "".join(text.casefold().replace("-", "").split())
    for rule in ShelfRule:
        if clean in ("".join(rule.casefold().split()), "".join(rule.casefold().split()).removeprefix("sae")):
            return rule
    raise UsageError(f"--rule: {unknown(text.strip(), [str(rule) for rule in ShelfRule])}")


def age_object(age: Age) -> dict[str, Any]:
    """The judgement as JSON; dates are ISO 8601."""
    return {
        "family": age.life.family.value,
        "rule": age.life.rule.value,
        "group": age.life.group,
        "years": age.life.years,
        "extension_years": age.life.extension_years,
        "cured": age.cured.day.isoformat(),
        "cured_note": age.cured.why or None,
        "last_day": None if age.last_day is None else age.last_day.isoformat(),
        "last_day_inspected": None if age.last_day_inspected is None else age.last_day_inspected.isoformat(),
        "today": age.today.isoformat(),
        "in_life": age.good,
        "source": age.life.source,
        "standing": age.life.standing.value,
        "note": age.life.note,
    }


def age_lines(age: Age) -> list[str]:
    """The judgement in words: the answer, the rule, what an inspection would grant."""
    name = f"{age.life.family} cured {age.cured.day}"
    if age.last_day is None:
        lines = [f"{name}: no end of shelf life under {age.life.rule}"]
    elif age.good:
        lines = [f"{name}: in its life until {age.last_day} under {age.life.rule}"]
    else:
        lines = [f"{name}: EXPIRED, its last day was {age.last_day} under {age.life.rule}. Take it out of the bin."]
    if age.cured.why:
        lines.append(f"Counted from {age.cured.day}: {age.cured.why}.")
    years = "unlimited" if age.life.years is None else f"{age.life.years} years from cure"
    memory = ", from memory" if age.life.standing is Standing.MEMORY and "memory" not in age.life.source else ""
    group = f", group {age.life.group}" if len(age.life.group) == 1 else ""
    lines.append(f"Rule: {age.life.rule}{group}: {years} [{age.life.source}{memory}].")
    if age.life.note:
        lines.append(f"Note: {age.life.note}.")
    if age.last_day_inspected is not None:
        more = f"{age.life.extension_years} years more, until {age.last_day_inspected}"
        lines.append(f"An inspection that finds it good grants {more}.")
    lines.append("This holds for a ring kept cool, dark, dry, in its bag and not stretched.")
    return lines
