"""Fluids: what the item claims against what the need asks, by the catalog's stand-in rules and grade limits."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from functools import lru_cache

from catalog.fluids.grade_check import Verdict
from catalog.fluids.rules import Rule
from catalog.fluids.stand_in import Answer, is_usable, meets
from models.qualify.others import fold
from models.qualify.wanted import AS_ASKED, INSTEAD, WITH_CARE, Judged, Offer, Wanted


def judge(wanted: Wanted, offer: Offer) -> Judged:
    """One fluid on the shelf against the need's class, grade and whatever else it asks."""
    return _judged(claims_of(offer), _asked(wanted), wanted.own_rules)


@lru_cache(maxsize=8_000)
def _judged(claimed: tuple[str, ...], asked: tuple[str, ...], own: tuple[Rule, ...]) -> Judged:
    """Kept: a kit asks the same of the same drums each time it is shown."""
    # A class the catalog does not know still stands in for itself, however it is written.
    by_fold = {fold(one): one for one in asked}
    claims = tuple(by_fold.get(fold(one), one) for one in claimed)
    if not claims:
        return Judged("it states neither class nor grade: find out before it is used", care=WITH_CARE)
    verdict, answers = meets(claims, asked, own_rules=own)
    if verdict is Verdict.NO:
        # Those of the right class, refused only by their grade, come first among what was tried.
        far = WITH_CARE + (not answers[0].usable)
        return Judged(next(_said(answer) for answer in answers if not answer.usable), care=far)
    because = tuple(_said(answer) for answer in answers if answer.conditions or not _itself(answer))
    if verdict is Verdict.WITH_CARE:
        return Judged("", because, WITH_CARE)
    return Judged("", because, INSTEAD if because else AS_ASKED)


def claims_of(offer: Offer) -> tuple[str, ...]:
    """What an item claims to be: its class, its grade and all else."""
    return tuple(one for one in (offer.item.spec_class, offer.item.spec_grade, *offer.claims) if one)


def _asked(wanted: Wanted) -> tuple[str, ...]:
    return tuple(one for one in (wanted.need.spec_class, wanted.need.spec_grade, *wanted.asks) if one)


class Able:
    """Tells quickly what can't meet a need: of all that is asked, each must be met by some claim taken alone.

    More claims never make usable what none of them is: see `catalog.fluids.stand_in.may_use`.
    """

    def __init__(self, wanted: Wanted) -> None:
        self._asked = [_alone(one, wanted.own_rules) for one in _asked(wanted)]

    def may(self, claims: tuple[str, ...]) -> bool:
        """Whether an item with these claims may meet it; False is certain. With no claim at all none can."""
        return all(any(alone[claim] for claim in claims) for alone in self._asked)


class Claimed:
    """What is claimed on a shelf, by each single claim: what may meet a need is found without asking all of it."""

    def __init__(self, claimed: Iterable[tuple[str, ...]]) -> None:
        self._by_claim: defaultdict[str, set[tuple[str, ...]]] = defaultdict(set)
        for claims in claimed:
            for one in claims:
                self._by_claim[one].add(claims)
        self._serving: dict[tuple[str, tuple[Rule, ...]], frozenset[tuple[str, ...]]] = {}

    def that_may(self, wanted: Wanted) -> frozenset[tuple[str, ...]]:
        """The claims for which `Able.may` is true."""
        each = [self._serves(one, wanted.own_rules) for one in _asked(wanted)]
        return frozenset.intersection(*each) if each else frozenset().union(*self._by_claim.values())

    def _serves(self, asked: str, own: tuple[Rule, ...]) -> frozenset[tuple[str, ...]]:
        if (asked, own) not in self._serving:
            alone = _alone(asked, own)
            able = (some for claim, some in self._by_claim.items() if alone[claim])
            self._serving[asked, own] = frozenset[tuple[str, ...]]().union(*able)
        return self._serving[asked, own]


class _Alone(dict[str, bool]):
    """Which claims, each taken alone, may be used where one thing is asked for; found out as they come."""

    def __init__(self, asked: str, own: tuple[Rule, ...]) -> None:
        super().__init__()
        self._asked, self._own = asked, own

    def __missing__(self, claim: str) -> bool:
        able = fold(claim) == fold(self._asked) or is_usable(claim, self._asked, own_rules=self._own)
        self[claim] = able
        return able


@lru_cache(maxsize=1_000)
def _alone(asked: str, own: tuple[Rule, ...]) -> _Alone:
    return _Alone(asked, own)


def _itself(answer: Answer) -> bool:
    return fold(answer.offered) == fold(answer.required) or answer.source == "same class"


def _said(answer: Answer) -> str:
    return "; ".join((answer.reason.rstrip("."), *(condition.rstrip(".") for condition in answer.conditions)))
