"""Fluids: what the item claims against what the need asks, by the catalog's stand-in rules and grade limits."""

from __future__ import annotations

from functools import lru_cache

from catalog.fluids.grade_check import Verdict
from catalog.fluids.rules import Rule
from catalog.fluids.stand_in import Answer, meets
from models.qualify.wanted import AS_ASKED, INSTEAD, WITH_CARE, Judged, Offer, Wanted
from models.text import fold


def judge(wanted: Wanted, offer: Offer) -> Judged:
    """One fluid on the shelf against the need's class, grade and whatever else it asks."""
    need, item = wanted.need, offer.item
    asked = tuple(one for one in (need.spec_class, need.spec_grade, *wanted.asks) if one)
    by_fold = {fold(one): one for one in asked}
    # A class the catalog does not know still stands in for itself, however it is written.
    claims = tuple(by_fold.get(fold(one), one) for one in (item.spec_class, item.spec_grade, *offer.claims) if one)
    if not claims:
        return Judged("it states neither class nor grade: find out before it is used", care=WITH_CARE)
    verdict, answers = _meets(claims, asked, wanted.own_rules)
    if verdict is Verdict.NO:
        # Those of the right class, refused only by their grade, come first among what was tried.
        far = WITH_CARE + (not answers[0].usable)
        return Judged(next(_said(answer) for answer in answers if not answer.usable), care=far)
    because = tuple(_said(answer) for answer in answers if answer.conditions or not _itself(answer))
    if verdict is Verdict.WITH_CARE:
        return Judged("", because, WITH_CARE)
    return Judged("", because, INSTEAD if because else AS_ASKED)


@lru_cache(maxsize=2000)
def _meets(
    claims: tuple[str, ...], asked: tuple[str, ...], own: tuple[Rule, ...]
) -> tuple[Verdict, tuple[Answer, ...]]:
    """The catalog's answer, kept: a kit asks the same of the same drums each time it is shown."""
    return meets(claims, asked, own_rules=own)


def _itself(answer: Answer) -> bool:
    return fold(answer.offered) == fold(answer.required) or answer.source == "same class"


def _said(answer: Answer) -> str:
    return "; ".join((answer.reason.rstrip("."), *(condition.rstrip(".") for condition in answer.conditions)))
