"""Sealants by resistance and cure, and whatever is asked for by its class and grade alone."""

from __future__ import annotations

from functools import lru_cache

from models.qualify.wanted import AS_ASKED, INSTEAD, Judged, Offer, Wanted
from models.text import fold as _fold

fold = lru_cache(maxsize=10_000)(_fold)
"""Kept: the same few classes are asked for again and again."""


def by_words(wanted: Wanted, offer: Offer) -> Judged:
    """The class and the grade as they are written, case and spaces apart."""
    need, item = wanted.need, offer.item
    if need.spec_class and item.class_folded != fold(need.spec_class):
        return Judged(f"{item.spec_class or 'no class'}, {need.spec_class} asked for")
    if need.spec_grade and item.grade_folded != fold(need.spec_grade):
        return Judged(f"grade {item.spec_grade or 'not stated'}, {need.spec_grade} asked for")
    return Judged()


def resisting(offer: Offer) -> frozenset[str]:
    """What a sealant is and resists, folded: one that may serve has the first thing asked of it among these."""
    return frozenset(fold(one) for one in (offer.item.spec_class, *offer.claims))


def first_asked(wanted: Wanted) -> str:
    """What any sealant that serves must have among what it is and resists."""
    return fold((*wanted.asks, wanted.need.spec_class)[0])


def sealant(wanted: Wanted, offer: Offer) -> Judged:
    """It must resist all that is asked, and cure in time. Another sort of sealant that does both is offered too."""
    need, item = wanted.need, offer.item
    longest = need.cure_minutes_at_most
    if longest is not None and (item.cure_minutes is None or item.cure_minutes > longest):
        hours = "not stated" if item.cure_minutes is None else f"{item.cure_minutes / 60:g} h"
        return Judged(f"cure {hours}, at most {longest / 60:g} h asked for")
    claims = {fold(one) for one in (item.spec_class, *offer.claims)}
    lacking = [ask for ask in wanted.asks if fold(ask) not in claims]
    if lacking:
        return Judged(f"not known to resist {', '.join(lacking)}")
    found = by_words(wanted, offer)
    if not found.refused or fold(need.spec_class) in claims:
        return Judged("", (), AS_ASKED)
    if not wanted.asks or (need.spec_grade and item.grade_folded != fold(need.spec_grade)):
        return found
    resists = ", ".join(wanted.asks)
    return Judged("", (f"{item.spec_class or item.name} instead of {need.spec_class}: it resists {resists}",), INSTEAD)
