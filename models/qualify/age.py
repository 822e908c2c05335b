"""The age of what lies on the shelf: what has expired is refused, what soon will is never offered without a word."""

from __future__ import annotations

from datetime import date, timedelta
from functools import lru_cache
from typing import Final

from catalog.orings.shelf_age import ShelfRule, expires_on, shelf_life
from models.qualify.wanted import AS_ASKED, WITH_CARE, Judged, Offer
from models.words import Kind

SOON: Final = timedelta(days=60)


def judge(offer: Offer, on: date, due_on: date | None) -> Judged:
    """By the lot's last day; for rings without one, by the day they came in: they are no younger than that."""
    last = offer.lot.expires_on if offer.lot is not None else None
    if last is None or offer.lot is None:
        return Judged(_outlived(offer, on))
    code = offer.lot.code
    if last < on:
        return Judged(f"lot {code} expired on {last}")
    if due_on is not None and last < due_on:
        return Judged("", (f"lot {code} expires on {last}, before the job's day {due_on}",), WITH_CARE)
    if last - on <= SOON:
        return Judged("", (f"lot {code} expires soon, on {last}",), AS_ASKED)
    return Judged()


@lru_cache(maxsize=4_000)
def rubber_expires_on(cured_on: date, rubber: str) -> date | None:
    """The last day of a ring cured then, by ISO 2230; None where the family's life is unlimited or not known."""
    try:
        return expires_on(cured_on, rubber)
    except ValueError:
        return None


def shelf_years(rubber: str) -> int | None:
    """How many years rings of it may lie, by ISO 2230; None where that is unlimited or the family is not known."""
    try:
        return shelf_life(rubber).years
    except ValueError:
        return None


def has_shelf_life(rubber: str) -> bool:
    """Whether rings of it may lie only so many years, by ISO 2230; not where the family is not known."""
    return shelf_years(rubber) is not None


def _outlived(offer: Offer, on: date) -> str:
    item = offer.item
    if item.kind is not Kind.RING or offer.received_on is None:
        return ""
    last = rubber_expires_on(offer.received_on, item.rubber)
    if last is None or last >= on:
        return ""
    years = shelf_life(item.rubber).years
    return (
        f"nothing came in since {offer.received_on}, and {item.rubber} keeps {years} years "
        f"({ShelfRule.ISO_2230}): expired on {last} at the latest"
    )
