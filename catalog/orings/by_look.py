"""Where nobody said how the ring looks, and that decides which ring goes in.

One key says it. So while a look that is likely enough asks for another ring, none is named to be fitted: the answer
says which ring goes in with which look.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from operator import mul
from typing import TYPE_CHECKING, Final, NamedTuple

from catalog.orings.joint_kind import JointKind

if TYPE_CHECKING:
    from catalog.orings.decide import Before, Chance, Decision, ToFit, Wanted
    from catalog.orings.evidence import Condition
    from catalog.orings.posterior import Posterior
    from catalog.orings.sizes import RingSize

LIKELY: Final = 0.10
"""A look less likely than this changes nothing that is said. This project's own choice."""
BEHIND: Final = 0.10
"""A look asks for another ring where, of rings that look so, the one to fit comes behind it by more than this."""


LEAST_GAIN: Final = 0.02
"""Below this no step is worth its trouble: to say how it looks no more than to take a reading."""
HAIR: Final = 1e-6
"""Wider by far more than float arithmetic: a ring at the limit is looked at closer."""


class IfLooks(NamedTuple):
    """What goes in where the ring looks so. `share`: how likely it looks so; `seals`: how likely `ring` seals then;
    `else_seals`: how likely the ring does that would be fitted without a word on the look.
    """

    looks: tuple[Condition, ...]
    share: float
    ring: RingSize
    seals: float
    else_seals: float


class Waits(NamedTuple):
    """How it looks decides: the looks that ask for another ring, likeliest first, and how the best does in all others.

    `else_seals`: the chance of `ring`, the one to fit, where it looks otherwise.
    """

    others: tuple[IfLooks, ...]
    ring: RingSize
    else_seals: float


def look_shares(before: Before, known: Posterior) -> dict[Condition, float]:
    """How likely each look is, were the old ring this one: shares of 1; empty where no look allows it."""
    if before.size is None:
        shares = {look.condition: look.none for look in known.looks}
    else:
        shares = {look.condition: sum(look.chances.get(key, 0.0) for key in before.keys) for look in known.looks}
    total = sum(shares.values())
    return {look: share / total for look, share in shares.items()} if total > 0.0 else {}


def waits(
    decision: Decision,
    chances: Mapping[str, tuple[Chance, ...]],
    in_order: Callable[[Sequence[ToFit], Wanted], list[ToFit]],
) -> Waits | None:
    """Whether a word on the look must come first. `chances`: of each ring that could go in (by its key), where each
    of `decision.before` was. `in_order` puts rings best first, as `decide` does.
    """
    if decision.best is None or decision.ranking.evidence.look_said or decision.ranking.called is not None:
        return None
    shares = [look_shares(one, decision.ranking.posterior) for one in decision.before]
    found: dict[str, list[IfLooks]] = {}
    rest = rest_seals = 0.0
    reweighed = decision.wanted.groove is not None or decision.wanted.joint is JointKind.PORT
    half = 0.0 if decision.wanted.critical else 0.5
    columns = [
        (tuple([by.seals for by in chances[one.size.key]]), tuple([by.marginal for by in chances[one.size.key]]))
        for one in decision.to_fit
    ]
    for look, likely in decision.ranking.looks:
        weights = [one.probability * share.get(look, 0.0) for one, share in zip(decision.before, shares, strict=True)]
        # Sizes that are not looked at count as in `decide`: no ring is known to seal where they were.
        total = sum(weights) if reweighed else max(sum(weights), likely)
        if total <= 0.0:
            continue
        worths = [sum(map(mul, weights, by[0])) + half * sum(map(mul, weights, by[1])) for by in columns]
        if total >= LIKELY and max(worths) > worths[0] + (BEHIND - HAIR) * total:
            then = [_so(one, chances[one.size.key], weights, total, decision) for one in decision.to_fit]
            best = in_order(then, decision.wanted)[0]
            if _worth(best, decision) > _worth(then[0], decision) + BEHIND:
                one = IfLooks((look,), total, best.size, best.chance.seals, then[0].chance.seals)
                found.setdefault(best.size.key, []).append(one)
                continue
        rest += total
        rest_seals += sum(map(mul, weights, columns[0][0]))
    others = sorted((_together(alike) for alike in found.values()), key=lambda one: (-one.share, one.ring.key))
    if sum(one.share * (one.seals - one.else_seals) for one in others) < LEAST_GAIN:
        return None
    return Waits(tuple(others), decision.best.size, rest_seals / rest if rest > 0.0 else 0.0)


def _so(one: ToFit, by_size: tuple[Chance, ...], weights: list[float], total: float, decision: Decision) -> ToFit:
    """The ring to fit with its chances where the sizes that may have been in weigh so, of a `total`."""
    seals = sum(weight * by.seals for weight, by in zip(weights, by_size, strict=True)) / total
    marginal = sum(weight * by.marginal for weight, by in zip(weights, by_size, strict=True)) / total
    own = sum(
        weight
        for weight, before in zip(weights, decision.before, strict=True)
        if before.size is not None and before.size.key == one.size.key
    )
    chance = one.chance._replace(seals=seals, marginal=marginal, will_not=max(1.0 - seals - marginal, 0.0))
    return one._replace(chance=chance, match=own / total)


def _worth(one: ToFit, decision: Decision) -> float:
    return one.chance.seals if decision.wanted.critical else one.chance.worth


def _together(alike: list[IfLooks]) -> IfLooks:
    """Looks that ask for the same ring."""
    alike.sort(key=lambda one: -one.share)
    share = sum(one.share for one in alike)
    return IfLooks(
        tuple(look for one in alike for look in one.looks),
        share,
        alike[0].ring,
        sum(one.share * one.seals for one in alike) / share,
        sum(one.share * one.else_seals for one in alike) / share,
    )
