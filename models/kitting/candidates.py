"""What on the shelf could serve a need, best first, and in words why the rest can't."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from datetime import date
from heapq import merge
from itertools import groupby, pairwise
from operator import itemgetter
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
    "FreeFor",
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
    offers = all_offers(session, by_kind, on)
    found: dict[int, list[Candidate]] = {}
    for key, one in sought.items():
        judged = _judged(one, _near(one, offers[one.need.kind]))
        near = [_candidate(one, offer, how, on) for offer, how in judged]
        found[key] = sorted(near, key=lambda candidate: (bool(candidate.refused), candidate.order))
    return found


NOT_LOOKED: Final = Free(0, 0)


class FreeFor:
    """What lies free of what can serve each of many needs, best first. What one takes is gone for the others."""

    def __init__(self, turns: Mapping[int, _InTurn]) -> None:
        self._turns = turns
        self._taken: dict[int, int] = {}

    def of(self, need_id: int) -> Iterable[Free]:
        """All that lay free for it at first."""
        return self._turns[need_id]

    def take(self, need_id: int, missing: int) -> int:
        """How much of what is missing there is for it, and is taken."""
        return self._turns[need_id].take(missing, self._taken)


def free_all(session: Session, sought: Mapping[int, Wanted], on: date) -> FreeFor:
    """What lies free of what can serve many needs, best first as in `candidates_all`; the rest is not put in words.

    What several needs ask for alike is judged once, and of things that are judged alike only one is judged. What comes
    after what a need takes is never put in order.
    """
    by_kind: defaultdict[Kind, list[Wanted]] = defaultdict(list)
    for one in sought.values():
        by_kind[one.need.kind].append(one)
    lying = {kind: _Lying(kind, lies, on) for kind, lies in all_offers(session, by_kind, on, free=True).items()}
    found: dict[int, _InTurn] = {}
    able: dict[str, list[_Able]] = {}
    alike: dict[tuple[str, date | None], _InTurn] = {}
    for key, one in sought.items():
        asked = key_of(one)
        if asked not in able:
            able[asked] = list(lying[one.need.kind].able(one))
        due_on = one.due_on if any(some.is_dated for some in able[asked]) else None
        if (asked, due_on) not in alike:
            alike[asked, due_on] = _InTurn(able[asked], on, due_on)
        found[key] = alike[asked, due_on]
    return FreeFor(found)


class _Able(NamedTuple):
    """Things that lie free and are judged alike, the first in turn first; and where they stand for a need: `Order`."""

    offers: Sequence[Offer]
    care: int
    rubber: int
    size: int

    @property
    def is_dated(self) -> bool:
        """Whether any of it lies in a lot that says its last day."""
        return self.offers[0].turn[0] != date.max


class _InTurn:
    """What may serve needs that are alike, best first: put in order as far as anybody asks."""

    def __init__(self, able: Sequence[_Able], on: date, due_on: date | None) -> None:
        self._able = able
        self._on = on
        self._due_on = due_on
        self._ahead = iter(self)
        self._next: Free | None = NOT_LOOKED

    def take(self, missing: int, taken: dict[int, int]) -> int:
        """How much of what is missing lies free, less what is `taken`, by stock id, which is added to.

        What was found to be all taken is not looked at again: nothing is given back.
        """
        lies = 0
        if self._next is NOT_LOOKED:
            self._next = next(self._ahead, None)
        while self._next is not None and lies < missing:
            stock_id, free = self._next
            gone = taken.get(stock_id, 0)
            take = min(missing - lies, free - gone)
            if take > 0:
                taken[stock_id] = gone + take
                lies += take
            if lies < missing:
                self._next = next(self._ahead, None)
        return lies

    def __iter__(self) -> Iterator[Free]:
        if len(self._able) == 1 and not self._able[0].is_dated:
            yield from (Free(one.stock_id, one.on_hand - one.promised) for one in self._able[0].offers)
            return
        runs = sorted(self._runs(), key=itemgetter(0))
        for _, alike in groupby(runs, key=itemgetter(0)):
            some = [offers for _, offers in alike]
            for one in some[0] if len(some) == 1 else merge(*some, key=_turn):
                yield Free(one.stock_id, one.free)

    def _runs(self) -> Iterator[tuple[tuple[int, int, int], Sequence[Offer]]]:
        """Pieces that are in turn and stand at one place: cut where their age tells them apart."""
        for one in self._able:
            offers, care, rubber, size = one
            if not one.is_dated:
                yield (care, rubber, size), offers
                continue
            days = (self._on,) if self._due_on is None else (self._on, self._due_on)
            cuts = sorted({0, len(offers), *(bisect_left(offers, day, key=_last_day) for day in (*days, date.max))})
            for first, end in pairwise(cuts):
                old = NO_AGE
                if offers[first].turn[0] != date.max:
                    old = age.judge(offers[first], self._on, self._due_on)
                if not old.refused:
                    yield (max(care, old.care), rubber, size), offers[first:end]


def _turn(offer: Offer) -> tuple[date, bool, str, int]:
    return offer.turn


def _last_day(offer: Offer) -> date:
    return offer.turn[0]


class _Lying:
    """What lies on the shelf of one kind, by what is asked for it: a need looks at no more than it may take."""

    def __init__(self, kind: Kind, offers: Sequence[Offer], on: date) -> None:
        self._kind = kind
        # What is said of each alike; and by the size or class that a need asks for.
        self._alike: defaultdict[Hashable, list[Offer]] = defaultdict(list)
        self._by_name: defaultdict[str | None, dict[Hashable, None]] = defaultdict(dict)
        self._by_item: defaultdict[int, list[Offer]] = defaultdict(list)
        for one in offers:
            # What lies in no lot is too old for every need or for none, and only by the day it came in.
            if one.received_on is not None and one.turn[0] == date.max and age.judge(one, on, None).refused:
                continue
            alike = self._said(one)
            if alike not in self._alike:
                for name in self._names(one):
                    self._by_name[name][alike] = None
            self._alike[alike].append(one)
            if kind is Kind.FILTER:
                self._by_item[one.item.item_id].append(one)
        for some in (*self._alike.values(), *self._by_item.values()):
            some.sort(key=_turn)
        self._fluids = fluids.Claimed(self._alike) if kind is Kind.FLUID else None  # type: ignore[arg-type]

    def able(self, sought: Wanted) -> Iterator[_Able]:
        """What can serve the need but for its age, and how; what is said alike is judged once."""
        order, near = _Order(sought), self._near(sought)
        seals: Mapping[str, Sealing] = {}
        if self._kind is Kind.RING:
            seals = rings.sealing(sought, [some[0].item.size_key or "" for some in near])
        for some in near:
            size = some[0].item.size_key
            if self._kind is Kind.RING and size not in sought.called and size not in seals:
                continue
            how = judge(sought, some[0], seals)
            if not how.refused:
                yield _Able(some, *order.of(some[0], how, NO_AGE)[:3])

    def _said(self, one: Offer) -> Hashable:
        """All that a need of the kind is judged by, but for a filter's element in a housing."""
        item = one.item
        match self._kind:
            case Kind.RING:
                return item.size_key, item.rubber, item.hardness_shore_a
            case Kind.FLUID:
                return fluids.claims_of(one)
            case Kind.SEALANT:
                return item.item_id
            case _:
                return item.class_folded, item.grade_folded

    def _names(self, one: Offer) -> Iterable[str | None]:
        match self._kind:
            case Kind.RING:
                return (one.item.size_key,)
            case Kind.SEALANT:
                return others.resisting(one)
            case _:
                return (one.item.class_folded,)

    def _near(self, sought: Wanted) -> Sequence[list[Offer]]:
        """What may serve the need; more where only its own judge can tell."""
        if self._fluids is not None:
            return [self._alike[claims] for claims in self._fluids.that_may(sought)]
        if self._kind is Kind.SEALANT:
            return [self._alike[one] for one in self._by_name.get(others.first_asked(sought), ())]
        names = names_of(sought)
        if names is None:
            return list((self._by_item if self._kind is Kind.FILTER else self._alike).values())
        near = [self._alike[one] for name in names for one in self._by_name.get(name, ())]
        if self._kind is Kind.RING:
            return [some for some in near if not sought.rubbers or some[0].item.rubber in sought.rubbers]
        grade = others.fold(sought.need.spec_grade)
        return [some for some in near if not grade or some[0].item.grade_folded == grade]


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
    offers = all_offers(session, {sought.need.kind: [sought]}, on, stock_id=stock_id)[sought.need.kind]
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
        return "No fit record at this position names its ring: measure it."
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
