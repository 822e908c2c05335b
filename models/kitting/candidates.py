"""What on the shelf could serve a need, best first, and in words why the rest can't."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Final, NamedTuple

from sqlmodel import Session

from catalog.orings.gland import Sealing
from catalog.orings.sizes import label_of
from models.kitting.lying import all_offers, last_received, names_of, unit_of
from models.qualify import age, elements, fluids, others, rings
from models.qualify.wanted import AS_FITTED, Judged, Offer, Wanted, key_of, wanted, wanted_all
from models.volume import in_words
from models.words import Kind

__all__ = [
    "Candidate",
    "Free",
    "Wanted",
    "candidates",
    "candidates_all",
    "free_all",
    "judge",
    "last_received",
    "one_candidate",
    "take_free",
    "unit_of",
    "wanted",
    "wanted_all",
    "what_was_tried",
]

NAMED_IN_WORDS = 3


NO_AGE: Final = Judged()
Order = tuple[int, int, int, tuple[date, bool, str, int]]


class Free(NamedTuple):
    """A stock row that can serve a need, and how much of it is promised to nobody."""

    stock_id: int
    free: int


class Candidate(NamedTuple):
    """One stock row near a need. `refused` says why it can't serve; `because` what a person should know if it does.

    `opened`: a container of it is begun.
    """

    stock_id: int
    item_name: str
    bin_code: str
    on_hand: int
    free: int
    refused: str
    because: str
    order: Order
    opened: bool = False

    @property
    def lies_free(self) -> Free:
        """What of it can be taken: nothing where it can't serve."""
        return Free(self.stock_id, 0 if self.refused else self.free)


def candidates(session: Session, sought: Wanted, on: date) -> list[Candidate]:
    """Every stock row near the need with something on hand, those that can serve first.

    Among those: what was asked, and rings that seal as surely, before what stands in for it; the rubber named first,
    the size itself, the oldest shelf life, an opened container before a full one, then walking order.
    """
    return candidates_all(session, {0: sought}, on)[0]


def candidates_all(session: Session, sought: Mapping[int, Wanted], on: date) -> dict[int, list[Candidate]]:
    """`candidates` of many needs, under the keys given, in a handful of queries a kind."""
    by_kind: defaultdict[Kind, list[Wanted]] = defaultdict(list)
    for one in sought.values():
        by_kind[one.need.kind].append(one)
    offers = all_offers(session, by_kind)
    found: dict[int, list[Candidate]] = {}
    for key, one in sought.items():
        judged = _judged(one, _near(one, offers[one.need.kind]))
        near = [_candidate(one, offer, how, on) for offer, how in judged]
        found[key] = sorted(near, key=lambda candidate: (bool(candidate.refused), candidate.order))
    return found


def free_all(session: Session, sought: Mapping[int, Wanted], on: date) -> dict[int, Sequence[Free]]:
    """What lies free of what can serve many needs, best first as in `candidates_all`; the rest is not put in words.

    What several needs ask for alike is judged once, and put in order once for all that no lot expires between: the days
    of their jobs tell nothing apart then.
    """
    by_kind: defaultdict[Kind, list[Wanted]] = defaultdict(list)
    for one in sought.values():
        by_kind[one.need.kind].append(one)
    lying = {kind: _Lying(kind, lies, on) for kind, lies in all_offers(session, by_kind, free=True).items()}
    found: dict[int, Sequence[Free]] = {}
    alike: dict[str, _Alike] = {}
    for key, one in sought.items():
        asked = key_of(one)
        if asked not in alike:
            alike[asked] = _Alike(lying[one.need.kind].able(one), on)
        found[key] = alike[asked].usable(one)
    return found


class _Alike:
    """What may serve needs that ask for the same; they differ by the days of their jobs alone."""

    def __init__(self, able: Sequence[tuple[Offer, Judged]], on: date) -> None:
        self._able = able
        self._on = on
        self._last_days = sorted({one.turn[0] for one, _ in able if one.turn[0] != date.max})
        self._kept: dict[int, list[Free]] = {}

    def usable(self, sought: Wanted) -> list[Free]:
        """Those that can serve, best first."""
        over = 0 if sought.due_on is None else bisect_left(self._last_days, sought.due_on)
        if over not in self._kept:
            order = _Order(sought)
            places = []
            for offer, judged in self._able:
                old = NO_AGE if offer.turn[0] == date.max else age.judge(offer, self._on, sought.due_on)
                if not old.refused:
                    places.append((order.of(offer, judged, old), offer.free))
            self._kept[over] = [Free(place[-1][-1], free) for place, free in sorted(places)]
        return self._kept[over]


class _Lying:
    """What lies on the shelf of one kind, by what is asked for it: a need looks at no more than it may take."""

    def __init__(self, kind: Kind, offers: Sequence[Offer], on: date) -> None:
        # What lies in no lot is too old for every need or for none.
        self._all = [one for one in offers if one.turn[0] != date.max or not age.judge(one, on, None).refused]
        self._kind = kind
        self._by_name: defaultdict[str | None, list[Offer]] = defaultdict(list)
        self._by_claims: defaultdict[tuple[str, ...], list[Offer]] = defaultdict(list)
        for one in self._all:
            self._by_name[one.item.size_key if kind is Kind.RING else one.item.class_folded].append(one)
            if kind is Kind.FLUID:
                self._by_claims[fluids.claims_of(one)].append(one)
            elif kind is Kind.SEALANT:
                for said in others.resisting(one):
                    self._by_claims[said,].append(one)
        self._fluids = fluids.Claimed(self._by_claims)

    def able(self, sought: Wanted) -> list[tuple[Offer, Judged]]:
        """What can serve the need but for its age, and how; what is claimed alike is judged once."""
        if self._kind is not Kind.FLUID:
            judged = _judged(sought, _near(sought, self._near(sought)))
            return [(offer, how) for offer, how in judged if not how.refused]
        found: list[tuple[Offer, Judged]] = []
        for claims in self._fluids.that_may(sought):
            some = self._by_claims[claims]
            how = judge(sought, some[0], {})
            if not how.refused:
                found += [(one, how) for one in some]
        return found

    def _near(self, sought: Wanted) -> Sequence[Offer]:
        """What may serve the need; more where only its own judge can tell."""
        if self._kind is Kind.SEALANT:
            return self._by_claims.get((others.first_asked(sought),), ())
        names = names_of(sought)
        if names is None:
            return self._all
        near = (one for name in names for one in self._by_name.get(name, ()))
        if self._kind is Kind.RING:
            return [one for one in near if not sought.rubbers or one.item.rubber in sought.rubbers]
        grade = others.fold(sought.need.spec_grade)
        return [one for one in near if not grade or one.item.grade_folded == grade]


def take_free(found: Iterable[Free], missing: int, taken: dict[int, int]) -> int:
    """How much of what is missing lies free, less what needs before took: `taken`, by stock id, which is added to."""
    lies = 0
    for one in found:
        if lies >= missing:
            break
        take = min(missing - lies, one.free - taken.get(one.stock_id, 0))
        if take > 0:
            taken[one.stock_id] = taken.get(one.stock_id, 0) + take
            lies += take
    return lies


def one_candidate(session: Session, sought: Wanted, on: date, stock_id: int) -> Candidate | None:
    """How one stock row comes out for a need, whatever its size or class; None when it is of another kind."""
    offers = all_offers(session, {sought.need.kind: [sought]}, stock_id=stock_id)[sought.need.kind]
    keys = tuple(one.item.size_key for one in offers if one.item.size_key)
    # As if its size were asked for, so that it is judged in the groove even where it does not come near.
    seals = rings.sealing(sought._replace(sizes=(*sought.called, *keys)), ())
    return next((_candidate(sought, one, judge(sought, one, seals), on) for one in offers), None)


def _near(sought: Wanted, offers: Sequence[Offer]) -> list[Offer]:
    """Those of the kind's offers that are near this need."""
    names, ring = names_of(sought), sought.need.kind is Kind.RING
    near = [one for one in offers if names is None or (one.item.size_key if ring else one.item.class_folded) in names]
    # What was measured tells only where there is a housing to judge it in.
    if sought.housing is not None:
        return near
    return [one if one.element is None else one._replace(element=None) for one in near]


def _judged(sought: Wanted, offers: Sequence[Offer]) -> Iterable[tuple[Offer, Judged]]:
    if sought.need.kind is not Kind.RING:
        return [(offer, judge(sought, offer, {})) for offer in offers]
    seals = rings.sealing(sought, [offer.item.size_key or "" for offer in offers])
    near = [one for one in offers if one.item.size_key in sought.called or one.item.size_key in seals]
    return [(offer, judge(sought, offer, seals)) for offer in near]


def judge(sought: Wanted, offer: Offer, seals: Mapping[str, Sealing]) -> Judged:
    """How one offer comes out for a need; `seals`: rings judged in the need's groove, see `rings.sealing`."""
    match sought.need.kind:
        case Kind.RING:
            return rings.judge(sought, offer, seals)
        case Kind.FLUID:
            return fluids.judge(sought, offer)
        case Kind.FILTER:
            return elements.judge(sought, offer)
        case Kind.SEALANT:
            return others.sealant(sought, offer)
        case _:
            return others.by_words(sought, offer)


def _candidate(sought: Wanted, offer: Offer, judged: Judged, on: date) -> Candidate:
    old = age.judge(offer, on, sought.due_on)
    return Candidate(
        offer.stock_id,
        offer.item.name,
        offer.bin_code,
        offer.on_hand,
        offer.free,
        "; ".join(filter(None, (old.refused, judged.refused))),
        "; ".join((*judged.because, *old.because)),
        _Order(sought).of(offer, judged, old),
        offer.opened,
    )


class _Order:
    """What comes before what for a need: less is better."""

    def __init__(self, sought: Wanted) -> None:
        # The first place of a word counts.
        self._rubbers = {one: at for at, one in reversed(list(enumerate(sought.rubbers)))}
        self._called = {one: at for at, one in reversed(list(enumerate(sought.called)))}
        self._last = len(sought.rubbers), len(sought.called)

    def of(self, offer: Offer, judged: Judged, old: Judged) -> Order:
        """Where it stands: how far from what was asked, its rubber, its size, and then whose turn it is."""
        item, (rubber, size) = offer.item, self._last
        care = max(judged.care, old.care)
        return care, self._rubbers.get(item.rubber, rubber), self._called.get(item.size_key or "", size), offer.turn


def what_was_tried(sought: Wanted, found: Sequence[Candidate]) -> str:
    """In words, why the shelf does not cover the need."""
    need = sought.need
    if need.size_key == AS_FITTED and not sought.sizes and not found:
        return "No fit record at this position says which ring it takes: measure it."
    asked = " or ".join(map(label_of, sought.sizes)) if sought.sizes else f"{need.spec_class} {need.spec_grade}".strip()
    if not found:
        return f"No {asked or 'ring'} on the shelf{_nor_others(sought)}."
    unit = unit_of(need)
    said = [
        f"{one.item_name} in {one.bin_code}: {one.refused}"
        if one.refused
        else f"{one.item_name} in {one.bin_code}: "
        + (f"{in_words(one.free, unit)} free" if one.free else f"all {in_words(one.on_hand, unit)} promised")
        for one in found[:NAMED_IN_WORDS]
    ]
    more = len(found) - NAMED_IN_WORDS
    end = f"; and {more} more" if more > 0 else ""
    return ("; ".join(said) + end).rstrip(".") + "."


def _nor_others(sought: Wanted) -> str:
    """The other rings that would do, where there are any, after "No … on the shelf"."""
    others = [label_of(key) for key in dict.fromkeys(one.size_key for one in sought.instead.values())]
    if not others:
        return ""
    more = len(others) - NAMED_IN_WORDS
    named = ", ".join([*others[:NAMED_IN_WORDS], *([f"{more} more"] if more > 0 else [])])
    return f", nor another that would do ({named})"
