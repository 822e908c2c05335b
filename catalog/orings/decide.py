"""Which ring goes in? Not which size it was: the ring most likely to seal, over all that the old one may have been.

The old ring may have been several sizes, each with its probability (`posterior`), and a size sits in several standard
grooves (`seats`). A ring's chance to seal is the share of all these joints in which `gland.assess` says so. What is
known sharpens it: the kind of joint, a measured groove, the service. A ring of no standard counts too, in grooves made
for its own dimensions.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from functools import lru_cache
from operator import mul
from types import MappingProxyType
from typing import TYPE_CHECKING, Final, NamedTuple

from catalog import orings
from catalog.orings.doubt import doubt
from catalog.orings.fitted import FITTED, FITTED_NONE
from catalog.orings.joint_kind import SHARES, JointKind
from catalog.orings.likelihood import settles_both
from catalog.orings.match import Ranking
from catalog.orings.on_shelf import ShelfRing
from catalog.orings.outcomes import is_of_a_port, summed
from catalog.orings.ran import Compound, Ran, best_factor, factor
from catalog.orings.reason import Verdict
from catalog.orings.same_ring import SHARE, apart
from catalog.orings.size_book import SizeBook
from catalog.orings.sizes import RingSize, Series
from catalog.orings.tolerance import class_b_id_tolerance_mm, class_b_width_tolerance_mm
from catalog.standing import Standing

if TYPE_CHECKING:
    from catalog.orings.by_look import Waits
    from catalog.orings.figures import Service
    from catalog.orings.groove import Groove
    from catalog.orings.seats import Tables

ALIKE: Final = 0.01
"""Rings within a point of each other are equally good: then the shelf decides."""
PASSED_OVER: Final = 0.10
"""By how much another ring must be better before the likeliest size is passed over for it, times how likely that is:
that a ring goes where it was is sure, that another does is judged by the grooves we know. This project's own choice."""
AT_STAKE: Final = 0.10
"""Below what the right ring would reach by more than this, the doubt is said."""
SURELY: Final = 0.9
"""From so much of its joints on a ring is said to go where another was."""
MOST: Final = 8
"""How many sizes the old ring may have been, and how many rings that could go in, are looked at."""
LEAST: Final = 0.005
STRANGE: Final = 0.03
"""Below this a ring of no standard is taken to be served as the sizes are: to look at its own grooves takes longer than
all the rest and moves no chance by a point."""
WIDEST_B_MM: Final = 8.4
"""Class B has no wider section; a wider ring is taken to be made as this one."""
PECULIAR: Final = 0.02
"""The share of grooves that are none of the tables', where no other ring than their own is known to seal (found
by `tests.bench.grooves`: each of our groove tables is left out in turn, and the others are asked of it)."""
ELSEWHERE: Final = 0.35
"""How much the grooves of all kinds of joint but ports say of one kind: our tables have two or three grooves of a kind,
and there are more. Found by leaving each of our groove tables out in turn and asking the others of it
(`tests.bench.grooves`): the square error of the chance is least about there."""
STRAY: Final = 0.02
"""The share of rings in ports that are no port's own ring. Common practice, no source."""


class Chance(NamedTuple):
    """Shares of the joints in question, 0 to 1: it seals, it is marginal, it will not. They sum to 1."""

    seals: float
    marginal: float
    will_not: float

    @property
    def worth(self) -> float:
        """What rings are compared by: a marginal joint counts half."""
        return self.seals + 0.5 * self.marginal


class ToFit(NamedTuple):
    """A ring that could go in. `match`: the probability that it is the size that was in. `why`: in a clause.

    `on_shelf`: where it lies, in rubbers that may go in; None where the shelf was not looked at. `left_out`: where it
    lies in rubbers that may not.
    """

    size: RingSize
    chance: Chance
    match: float
    why: str
    on_shelf: tuple[ShelfRing, ...] | None
    left_out: tuple[ShelfRing, ...] = ()

    @property
    def free(self) -> int:
        """Pieces on the shelf that may go in."""
        return sum(row.free for row in self.on_shelf or ())


class Wanted(NamedTuple):
    """What is known beside the readings. `joint`: None where not said. `suits`: whether a rubber may go in; None where
    the fluid is not known. `critical`: somebody may be hurt where it fails, so a marginal joint counts for nothing and
    no shelf goes before a better ring. `tables`: the groove tables to use; None: all of them, with the shop's own where
    the ranking's book has any. `shelf`: None where it was not looked at. `here`: how rings did at this very place,
    newest first; `ran_here`: what that multiplies a size's chance by, by its key, as `decide` worked it out.
    """

    joint: JointKind | None = None
    groove: Groove | None = None
    service: Service | None = None
    shelf: tuple[ShelfRing, ...] | None = None
    suits: Callable[[str], bool] | None = None
    critical: bool = False
    tables: Tables = None
    here: tuple[Ran, ...] = ()
    ran_here: Mapping[str, float] = MappingProxyType({})


class Before(NamedTuple):
    """A size that the old ring may have been (None: of no standard, at these mm), with its probability.

    `keys`: `RingSize.key` of all the names it goes by.
    """

    size: RingSize | None
    ring: RingSize
    probability: float
    keys: tuple[str, ...] = ()


class Decision(NamedTuple):
    """The rings that could go in, best first.

    `right`: what the right ring itself would reach, where one knew it: all, but in a measured groove or where no table
    has one. `waits`: nobody said how the ring looks, and that decides which goes in.
    """

    ranking: Ranking
    wanted: Wanted
    before: tuple[Before, ...]
    to_fit: tuple[ToFit, ...]
    right: Chance
    waits: Waits | None = None

    @property
    def best(self) -> ToFit | None:
        """The ring to fit."""
        return self.to_fit[0] if self.to_fit else None

    @property
    def settled(self) -> bool:
        """Whether a ring is named to be fitted: nothing is at stake.

        In a critical place, and in a groove that was measured, it must seal, whatever the right ring would do.
        """
        if self.best is None or self.waits is not None:
            return False
        if self.wanted.critical or self.wanted.groove is not None:
            return self.best.chance.seals >= 1.0 - AT_STAKE
        return self.best.chance.worth >= self.right.worth - AT_STAKE


def seated(wanted: Wanted, book: SizeBook) -> Wanted:
    """The same, in the grooves of a shop's book where no tables are named."""
    return wanted if wanted.tables is not None or book.grooves is None else wanted._replace(tables=book.grooves)


def decide(ranking: Ranking, wanted: Wanted | None = None) -> Decision:
    """The rings that could go in, best first; none where the readings can't be of one ring."""
    book = ranking.posterior.book
    wanted = seated(wanted or Wanted(), book)._replace(ran_here=MappingProxyType({}))
    if ranking.conflict is not None:
        return Decision(ranking, wanted, (), (), Chance(0.0, 0.0, 0.0))
    before = _before(ranking, wanted)
    ranking = _reweighed(ranking, wanted)
    rings = _candidates(ranking, wanted, before)
    named = {one.size.key: one.probability for one in before if one.size is not None}
    names = {one.size.key: one.keys for one in before if one.size is not None}
    there = {ring.key: _there(ring, names.get(ring.key, (ring.key,)), wanted, book) for ring in rings}
    # What leaked here is the wrong ring here: the right one is as good as ever.
    right = _mean([chance(one.ring, one.ring, wanted) for one in before], before)
    wanted = wanted._replace(ran_here=_ran_here(rings, there, wanted, book))
    to_fit, chances = [], {}
    for ring in rings:
        by_size = chances[ring.key] = tuple([chance(ring, one.ring, wanted) for one in before])
        whole, why = _mean(by_size, before), _why(before, by_size)
        to_fit.append(ToFit(ring, whole, named.get(ring.key, 0.0), why, *there[ring.key]))
    # Of a size that is not looked at the right ring is the size itself.
    unseen = max(1.0 - sum(one.probability for one in before), 0.0) if before else 0.0
    right = Chance(right.seals + unseen, right.marginal, max(right.will_not - unseen, 0.0))
    found = Decision(ranking, wanted, before, tuple(in_order(to_fit, wanted)), right)
    return found._replace(waits=orings.by_look.waits(found, chances, in_order))


class Columns(NamedTuple):
    """Chances of rings that could go in, for `best_of`: a column each, a row for each ring that may have been in."""

    seals: tuple[tuple[float, ...], ...]
    marginal: tuple[tuple[float, ...], ...]


def columns(chances: Sequence[Sequence[Chance]]) -> Columns:
    """`chances` has a row for each ring that may have been in and a column for each that could go in."""
    by_ring = list(zip(*chances, strict=True))
    return Columns(
        tuple(tuple([one.seals for one in column]) for column in by_ring),
        tuple(tuple([one.marginal for one in column]) for column in by_ring),
    )


def best_of(chances: Columns, weights: Sequence[float]) -> Chance:
    """The best ring's chance: the one worth most. The rows weigh `weights` (any sum)."""
    total = sum(weights)
    if total <= 0.0 or not chances.seals:
        return Chance(0.0, 0.0, 1.0)
    most, best = -1.0, (0.0, 0.0)
    for by_seals, by_marginal in zip(chances.seals, chances.marginal, strict=True):
        seals, marginal = sum(map(mul, weights, by_seals)), sum(map(mul, weights, by_marginal))
        if seals + 0.5 * marginal > most:
            most, best = seals + 0.5 * marginal, (seals, marginal)
    seals, marginal = best[0] / total, best[1] / total
    return Chance(seals, marginal, max(1.0 - seals - marginal, 0.0))


def best_chance(chances: Sequence[Sequence[Chance]], weights: Sequence[float]) -> Chance:
    """As `best_of`, where the chances are asked of once."""
    return best_of(columns(chances), weights)


def _before(ranking: Ranking, wanted: Wanted) -> tuple[Before, ...]:
    """What the old ring may have been, weighed by the joint or the groove where they are known.

    Their probabilities sum to at most 1: what is left are the many sizes that are not looked at.
    """
    found: list[Before] = []
    total = max(1.0 - sum(match.probability for match in ranking.matches) - ranking.none_probability, 0.0)
    for at, match in enumerate(ranking.matches):
        weight = match.probability * _suits_joint(match.size, wanted)
        total += weight
        if at < MOST and match.probability >= LEAST:
            keys = tuple(size.key for size in (match.size, *match.also))
            found.append(Before(match.size, match.size, weight, keys))
    look = ranking.posterior.as_read
    share = FITTED_NONE if wanted.groove is not None else STRAY if wanted.joint is JointKind.PORT else 1.0
    strange = ranking.none_probability >= STRANGE
    total += ranking.none_probability * share * strange
    if strange and settles_both(look.found):
        own = of_no_standard(look.id_mm, look.width_mm)
        found.append(Before(None, own, ranking.none_probability * share))
    if wanted.groove is not None:
        # A groove judges a ring by itself, whatever was in it: what is not looked at takes nothing away.
        total = sum(one.probability for one in found)
    return tuple(one._replace(probability=one.probability / total) for one in found) if total > 0.0 else ()


def _reweighed(ranking: Ranking, wanted: Wanted) -> Ranking:
    """The ranking with what the joint or the groove says of each size."""
    if wanted.groove is None and wanted.joint is not JointKind.PORT:
        return ranking
    weights = [one.probability * _suits_joint(one.size, wanted) for one in ranking.matches]
    none = ranking.none_probability * (FITTED_NONE if wanted.groove is not None else STRAY)
    total = sum(weights) + none
    if total <= 0.0:
        return ranking
    matches = [one._replace(probability=weight / total) for one, weight in zip(ranking.matches, weights, strict=True)]
    matches.sort(key=lambda one: (-one.probability, one.size.key))
    named = [(one.size, one.probability) for one in matches]
    said = ranking.doubt
    if ranking.denial is None and ranking.called is None:
        said = doubt(named, none / total, look_said=ranking.evidence.look_said)
    return ranking._replace(matches=tuple(matches), none_probability=none / total, doubt=said)


def of_no_standard(id_mm: float, width_mm: float) -> RingSize:
    """A ring of these mm as if it were made to ISO 3601-1 class B."""
    id_tol, width_tol = class_b_id_tolerance_mm(id_mm), class_b_width_tolerance_mm(min(width_mm, WIDEST_B_MM))
    return RingSize(Series.STOCK, "", id_mm, id_tol, width_mm, width_tol, "", Standing.INFERRED, "")


def _suits_joint(size: RingSize, wanted: Wanted) -> float:
    """How likely a ring found in this joint is of this size, as a factor."""
    if wanted.groove is not None:
        return FITTED[_verdict(size, wanted.groove, wanted.service)]
    if wanted.joint is JointKind.PORT:
        return 1.0 if is_of_a_port(size, wanted.tables) else STRAY
    return 1.0


def _candidates(ranking: Ranking, wanted: Wanted, before: Sequence[Before]) -> list[RingSize]:
    """The rings that could go in: what it may have been, and what lies on the shelf near it."""
    found = {one.size.key: one.size for one in before if one.size is not None}
    known = {key for one in before for key in one.keys}
    for size in _near_on_shelf(wanted.shelf or (), before, ranking.posterior.book):
        if size.key not in known:
            found[size.key] = size
    return list(found.values())


def _near_on_shelf(shelf: Iterable[ShelfRing], before: Sequence[Before], book: SizeBook) -> list[RingSize]:
    """Sizes on the shelf that may seal where one of these sat, nearest first."""
    near: dict[str, tuple[float, RingSize]] = {}
    for key in {row.key for row in shelf if row.free > 0}:
        size = book.by_key(key)
        distances = [] if size is None else [apart for one in before if (apart := _distance(size, one)) is not None]
        if size is not None and distances:
            near[key] = min(distances), size
    return [size for _, size in sorted(near.values(), key=lambda one: (one[0], one[1].key))[:MOST]]


def _distance(size: RingSize, one: Before) -> float | None:
    """How far two rings are apart, as shares of ID and width; None where no groove of one takes the other."""
    by_id = abs(size.id_mm / one.ring.id_mm - 1.0)
    by_width = abs(size.cross_section_mm / one.ring.cross_section_mm - 1.0)
    return by_id + by_width if by_id < 0.10 and by_width < 0.20 else None


def near_keys(ranking: Ranking) -> frozenset[str]:
    """`RingSize.key` of every size that could go in: what is worth looking for on the shelf."""
    before = _before(ranking, Wanted()) if ranking.conflict is None else ()
    sizes = ranking.posterior.book.sizes
    return frozenset(size.key for size in sizes if any(_distance(size, one) is not None for one in before))


def chance(ring: RingSize, old: RingSize, wanted: Wanted) -> Chance:
    """How likely `ring` seals as well as the right ring would in the joint that `old` came from.

    In a critical place how likely it seals, whatever the right ring does. In a measured groove: whether it seals there.
    Where it leaked or wept before at this place: that much less, once `decide` has worked it out.
    """
    if wanted.groove is not None:
        found = _of(_verdict(ring, wanted.groove, wanted.service), 1.0)
    else:
        kept = _chance if old.designation else _chance_once
        found = kept(ring, old, wanted.joint, wanted.service, wanted.tables, wanted.critical)
    less = wanted.ran_here.get(ring.key, 1.0)
    if less == 1.0:
        return found
    seals, marginal = found.seals * less, found.marginal * less
    return Chance(seals, marginal, max(1.0 - seals - marginal, 0.0))


def joints_of(old: RingSize, joint: JointKind | None, tables: Tables = None) -> Mapping[JointKind, float]:
    """The kinds of joint that such a ring may have come from, with their shares of 1."""
    if joint is not None:
        return _ONE_KIND[joint]
    return SHARES if is_of_a_port(old, tables) else BUT_PORTS


_ONE_KIND: Final = {kind: MappingProxyType({kind: 1.0}) for kind in JointKind}
BUT_PORTS: Final[Mapping[JointKind, float]] = MappingProxyType(
    {
        kind: share / sum(other for one, other in SHARES.items() if one is not JointKind.PORT)
        for kind, share in SHARES.items()
        if kind is not JointKind.PORT
    }
)
"""The kinds of joint that have a groove, with their shares of 1: what sits in none says nothing of a port's chamfer."""


def _reckon(
    ring: RingSize,
    old: RingSize,
    joint: JointKind | None,
    service: Service | None,
    tables: Tables,
    critical: bool,
) -> Chance:
    if joint is not None and joint is not JointKind.PORT:
        there = _in_grooves(ring, old, joints_of(old, joint, tables), service, tables, critical)
        anywhere = _in_grooves(ring, old, BUT_PORTS, service, tables, critical)
        return Chance(*(one + ELSEWHERE * (other - one) for one, other in zip(there, anywhere, strict=True)))
    return _in_grooves(ring, old, joints_of(old, joint, tables), service, tables, critical)


_chance: Final = lru_cache(maxsize=200_000)(_reckon)
_chance_once: Final = lru_cache(maxsize=2_000)(_reckon)
"""Of a ring of no standard, which is met once."""


def _in_grooves(
    ring: RingSize,
    old: RingSize,
    kinds: Mapping[JointKind, float],
    service: Service | None,
    tables: Tables,
    critical: bool,
) -> Chance:
    """How likely `ring` seals in the grooves of these kinds of joint that `old` may have sat in."""
    is_same = apart(ring, old) <= SHARE
    total, seals, marginal = summed(ring, old, kinds, service, tables, strict=critical)
    # A port's chamfer is made for one ring; another seals there only where it is the same ring.
    of_ports = kinds.get(JointKind.PORT, 0.0)
    total, seals = total + of_ports, seals + of_ports * is_same
    if not total:
        # No table has a groove for such a ring: only the ring itself is known to go in.
        return Chance(1.0, 0.0, 0.0) if is_same else Chance(0.0, 0.0, 1.0)
    seals = (1.0 - PECULIAR) * seals / total + (PECULIAR if is_same else 0.0)
    marginal = (1.0 - PECULIAR) * marginal / total + (0.0 if is_same else PECULIAR)
    return Chance(seals, marginal, max(1.0 - seals - marginal, 0.0))


def _verdict(ring: RingSize, groove: Groove, service: Service | None) -> Verdict:
    return orings.gland.verdict_of(ring, groove, service=service)


def _of(verdict: Verdict, share: float) -> Chance:
    return Chance(
        share * (verdict is Verdict.SEALS),
        share * (verdict is Verdict.MARGINAL),
        share * (verdict is Verdict.WILL_NOT),
    )


def _mean(by_size: Sequence[Chance], before: Sequence[Before]) -> Chance:
    seals = sum(one.probability * by.seals for one, by in zip(before, by_size, strict=True))
    marginal = sum(one.probability * by.marginal for one, by in zip(before, by_size, strict=True))
    return Chance(seals, marginal, max(1.0 - seals - marginal, 0.0))


def _why(before: Sequence[Before], by_size: Sequence[Chance]) -> str:
    """Where it is as good as the right ring and where it isn't, by the sizes that the old one may have been."""
    named = [(one, by) for one, by in zip(before, by_size, strict=True) if one.probability >= 0.05]
    good = [_name(one) for one, by in named if by.seals >= SURELY]
    thin = [_name(one) for one, by in named if by.seals < SURELY and by.will_not <= 0.05]
    bad = [_name(one) for one, by in named if by.will_not > 0.5]
    part = [_name(one) for one, by in named if by.seals < SURELY and 0.05 < by.will_not <= 0.5]
    words = []
    if good:
        words.append(f"goes where {_or(good)} was")
    if thin:
        words.append(f"marginal in some grooves of {_or(thin)}")
    if part:
        words.append(f"in some grooves of {_or(part)}")
    if bad:
        words.append(f"not where {_or(bad)} was")
    return "; ".join(words)


def _name(one: Before) -> str:
    return "a ring of no standard" if one.size is None else one.size.label


def _or(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"


_There = tuple[tuple[ShelfRing, ...] | None, tuple[ShelfRing, ...]]


def _there(ring: RingSize, keys: Collection[str], wanted: Wanted, book: SizeBook) -> _There:
    """Where a ring of any of these names lies in a rubber that may go in, and where in one that may not.

    First what did best here before, then where most lie.
    """
    if wanted.shelf is None:
        return None, ()

    def place(row: ShelfRing) -> tuple[float, int, str]:
        ran = factor(wanted.here, ring, Compound(row.elastomer, row.hardness), book=book) if wanted.here else 1.0
        return -ran, -row.free, row.bin

    rows = sorted((row for row in wanted.shelf if row.free > 0 and row.key in keys), key=place)
    if wanted.suits is None:
        return tuple(rows), ()
    suits = {row: wanted.suits(row.elastomer) for row in rows}
    return tuple(row for row in rows if suits[row]), tuple(row for row in rows if not suits[row])


def _ran_here(
    rings: Iterable[RingSize], there: Mapping[str, _There], wanted: Wanted, book: SizeBook
) -> Mapping[str, float]:
    """What runs at this place multiply each ring's chance by, in the best of the rubbers that lie on the shelf."""
    if not wanted.here:
        return MappingProxyType({})
    found = {}
    for ring in rings:
        on_shelf = there[ring.key][0] or ()
        compounds = [Compound(row.elastomer, row.hardness) for row in on_shelf]
        found[ring.key] = best_factor(wanted.here, ring, compounds, book=book)
    return MappingProxyType(found)


def in_order(to_fit: Sequence[ToFit], wanted: Wanted) -> list[ToFit]:
    """Best first; among those within a point of the best, what lies on the shelf, then what it most likely was: that is
    not passed over for little.

    In a critical place only what seals counts: the likeliest to seal first, whatever lies on the shelf.
    """
    if not to_fit:
        return []
    most = max(one.chance.worth for one in to_fit)
    likeliest = max(to_fit, key=lambda one: one.match)
    if likeliest.chance.worth >= most - PASSED_OVER * likeliest.match:
        most = likeliest.chance.worth

    def place(one: ToFit) -> tuple[bool, bool, float, float, str]:
        alike = one.chance.worth >= most - ALIKE
        if wanted.critical:
            return False, False, -one.chance.seals, -one.match, one.size.key
        if alike:
            return False, not one.free, -one.match, -one.chance.worth, one.size.key
        return True, False, -one.chance.worth, -one.match, one.size.key

    first, *others = sorted(to_fit, key=place)
    return [first, *sorted(others, key=lambda one: (-one.chance.seals, -one.chance.marginal, one.size.key))]
