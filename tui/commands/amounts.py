"""Quantities, days and names as typed at the shelf and the kit: pieces or a volume, in the item's own count."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from typing import TypeVar

from tui.commands.parsing import UsageError, did_you_mean, shown

MOST_PIECES = 10**9 - 1
MOST_MICROLITRES = 10**12
EACH = "each"

Thing = TypeVar("Thing")


def number(what: str, text: str, *, least: int = 1, most: int = MOST_PIECES) -> int:
    """A whole number."""
    clean = text.strip()
    if not (clean.isascii() and clean.isdigit() and len(clean) <= 9 and least <= int(clean) <= most):
        raise UsageError(f"{what}: {shown(text)} is not a whole number from {least} {_up_to(most)}")
    return int(clean)


def _up_to(most: int) -> str:
    return "up" if most == MOST_PIECES else f"to {most}"


def amount(what: str, text: str, counted_in: str, *, least: int = 1) -> int:
    """Pieces, or microlitres of what is counted by volume; a volume is typed with its unit."""
    if counted_in == EACH:
        return number(what, text, least=least)
    if least == 0 and text.strip() == "0":
        return 0
    found = microlitres(what, text)
    if not max(least, 1) <= found <= MOST_MICROLITRES:
        raise UsageError(f"{what}: {shown(text)} can't be booked; type a volume above zero, as 2 qt or 1.5 L")
    return found


def microlitres(what: str, text: str) -> int:
    """A volume, to the nearest microlitre; a bare number is in the bench's kept unit."""
    from catalog.quantity import Kind
    from tui.commands.judging import typed

    return round(typed(what, text, Kind.VOLUME).to("µL"))


def day(what: str, text: str | None) -> date | None:
    """A day written as ISO 8601 does."""
    if text is None:
        return None
    try:
        if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text.strip()):
            return date.fromisoformat(text.strip())
    except ValueError:
        pass
    raise UsageError(f"{what}: {shown(text)} is not a day; type year, month, day, as 2026-12-04")


def folded(text: str) -> str:
    """A name as it is compared: case and spaces apart."""
    return " ".join(text.split()).casefold()


def named(option: str, name: str, known: Iterable[tuple[str, Thing]], what: str, none: str) -> Thing:
    """The one thing of that name. Near names are offered, never taken; `none` is said where there is nothing at all."""
    pairs = list(known)
    exact = [thing for called, thing in pairs if folded(called) == folded(name)]
    if exact:
        return exact[0]
    names = {folded(called): called for called, _ in pairs}
    near = did_you_mean(folded(name), names)
    for low, right in names.items():
        near = near.replace(f" {low}?", f" {shown(right)}?")
    said = near or (f"; there are: {', '.join(shown(one) for one, _ in pairs[:10])}" if pairs else f". {none}")
    raise UsageError(f"{option}: there is no {what} {shown(name)}{said}")


def iso(one: date | None) -> str | None:
    """A day for JSON."""
    return None if one is None else one.isoformat()
