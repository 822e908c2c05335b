"""What to measure or say next: what most raises the chance of a dry joint, for its trouble.

Not what would sharpen the name: where nothing that could be learned would change the ring that goes in, nothing is
asked. The chance expected after a step is the mean, over what the step may show, of the best ring's chance then. For a
reading that is the normal predictive density of each size and look given all readings so far (Gaussian conditioning of
the joint covariance), its expectation a fixed Gauss-Hermite rule; nothing is sampled.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import StrEnum
from math import exp, inf, sqrt
from typing import Final, NamedTuple

from catalog.orings.by_look import LEAST_GAIN, look_shares
from catalog.orings.decide import (
    PECULIAR,
    Before,
    Columns,
    Decision,
    Wanted,
    best_chance,
    best_of,
    chance,
    columns,
    joints_of,
)
from catalog.orings.evidence import Condition, Dimension, Evidence, Reading, Tool
from catalog.orings.instruments import plus_minus_mm
from catalog.orings.joint_kind import SHARES, JointKind
from catalog.orings.likelihood import GEOMETRY, Terms, covariance, expected, pressed_in, terms
from catalog.orings.outcomes import outcomes
from catalog.orings.sizes import RingSize

MOST_RIVALS: Final = 10
EQUAL_PLACES: Final = 9
"""Decimals to which two rivals' probabilities are compared: arithmetic in another order moves the twelfth at most."""
HALF: Final = 0.5
# Gauss-Hermite, 5 points, for a standard normal variable: nodes 0, ±√(5 ∓ √10).
HERMITE: Final = (
    (0.0, 8.0 / 15.0),
    (1.355626179974266, 0.2220759220056126),
    (-1.355626179974266, 0.2220759220056126),
    (2.8569700138728056, 0.01125741132772069),
    (-2.8569700138728056, 0.01125741132772069),
)


class Step(StrEnum):
    """What can be done next: a reading, a second width across the other way, a look, a word, or the groove."""

    READ = "read"
    READ_ACROSS = "read-across"
    LOOK = "look"
    JOINT = "joint"
    GROOVE = "groove"


# What can still be taken, with which tool, and how much of its gain its trouble leaves (cutting destroys the ring).
_READINGS: Final = (
    (Dimension.ID, Tool.CALIPER, 1.0),
    (Dimension.WIDTH, Tool.CALIPER, 1.0),
    (Dimension.OD, Tool.CALIPER, 1.0),
    (Dimension.WIDTH, Tool.MICROMETER, 0.9),
    (Dimension.AROUND, Tool.TAPE, 0.85),
    (Dimension.ID, Tool.CONE, 0.85),
    (Dimension.CUT_LENGTH, Tool.RULE, 0.5),
)
GROOVE_WORTH: Final = 0.5


class NextStep(NamedTuple):
    """What to do next. `dimension` and `tool` for a reading.

    `now` and `then`: the best ring's chance to seal as well as the right one, before and (expected) after; shares of 1.
    `blind`: most of the sizes that it may be were not weighed, as with one reading alone, so `then` holds for a few.
    """

    step: Step
    dimension: Dimension | None
    tool: Tool | None
    now: float
    then: float
    hint: str = ""
    blind: bool = False

    @property
    def words(self) -> str:
        """One sentence: what to do and what it brings."""
        if self.blind:
            return f"{self.to_do}: what was read so far leaves too many sizes."
        return f"{self.to_do}: the chance of a dry joint goes from {_percent(self.now)} to about {_percent(self.then)}."

    @property
    def short(self) -> str:
        """The same for a narrow column."""
        if self.blind:
            return self.to_do
        return f"{self.to_do} ({100.0 * self.now:.0f} to {_percent(self.then)})"

    @property
    def to_do(self) -> str:
        """What to do, without a stop."""
        match self.step:
            case Step.LOOK:
                return "Say how the ring looks"
            case Step.JOINT:
                return "Say where the ring sits"
            case Step.GROOVE:
                return "Measure the groove"
        assert self.dimension is not None
        assert self.tool is not None
        with_tool = {Tool.RULE: "a steel rule", Tool.TAPE: "a tape"}.get(self.tool, f"a {self.tool}")
        across = " again, across the other way (Width 2)," if self.step is Step.READ_ACROSS else ""
        hint = f" ({self.hint})" if self.hint else ""
        return f"Measure the {self.dimension.words}{across} with {with_tool}{hint}"


def _percent(share: float) -> str:
    """Never 100 %: what a reading brings is only expected."""
    return f"{min(100.0 * share, 99.0):.0f} %"


class Rival(NamedTuple):
    """A ring and a look that the readings allow."""

    before: Before
    look: Condition
    probability: float


def next_step(decision: Decision) -> NextStep | None:
    """The step that most raises the chance of a dry joint, or None where none is worth taking."""
    before, wanted, evidence = decision.before, decision.wanted, decision.ranking.evidence
    if decision.best is None or decision.ranking.called is not None or not before:
        return None
    rings = [one.size for one in decision.to_fit]
    chances = [[chance(ring, one.ring, wanted) for ring in rings] for one in before]
    now = decision.best.chance.seals
    known = sum(one.probability * best_chance([row], [1.0]).seals for one, row in zip(before, chances, strict=True))
    found = list(_by_place(decision, rings, now))
    if known >= now + LEAST_GAIN or decision.waits is not None:  # else to know the size would change nothing
        found += _by_ring(decision, evidence, rings, now)
    if not found:
        return None
    best = max(found, key=lambda one: one[0])[1]
    return best._replace(blind=sum(one.probability for one in before) < HALF)


def _by_ring(
    decision: Decision, evidence: Evidence, rings: Sequence[RingSize], now: float
) -> Iterator[tuple[float, NextStep]]:
    """What could be learned of the ring, each with its gain less its trouble."""
    rivals = rivals_of(decision)
    chances = [[chance(ring, one.before.ring, decision.wanted) for ring in rings] for one in rivals]
    by_ring, worths = columns(chances), [[one.worth for one in row] for row in chances]
    if not evidence.look_said:
        yield from look_worth(decision, now, _look_said(decision, rings))
    for step, reading, worth in readings(evidence, rivals[0].before.ring):
        asked = {
            look: foreseen(evidence._replace(condition=look), step, reading) for look in {one.look for one in rivals}
        }
        views = [_predict(asked[one.look], one.before) for one in rivals]
        then = _expected(rivals, views, by_ring)
        hint = hint_of(rivals, views, worths, rings, pressed_in(reading))
        yield from worth_it(NextStep(step, reading.dimension, reading.tool, now, then, hint), worth)


def _look_said(decision: Decision, rings: Sequence[RingSize]) -> float:
    """The best ring's chance to seal once the look is known, over all that the old ring may have been."""
    by_ring = columns([[chance(ring, one.ring, decision.wanted) for ring in rings] for one in decision.before])
    shares = [look_shares(one, decision.ranking.posterior) for one in decision.before]
    then = 0.0
    for look, _ in decision.ranking.looks:
        weights = [one.probability * share.get(look, 0.0) for one, share in zip(decision.before, shares, strict=True)]
        then += sum(weights) * best_of(by_ring, weights).seals
    return then


def taken(evidence: Evidence, step: Step, reading: Reading) -> Evidence:
    """The evidence with one more reading: a finer one of the same dimension takes the place of what was read before.

    Of two widths it takes that of the flats, the smaller: there a caliper closes by itself.
    """
    kept = evidence.readings
    if step is Step.READ:
        before = [one for one in kept if one.dimension is reading.dimension]
        if before:
            gone = min(before, key=lambda one: one.value_mm)
            kept = tuple(one for one in kept if one is not gone)
    return evidence._replace(readings=(*kept, reading))


def foreseen(evidence: Evidence, step: Step, reading: Reading) -> Terms:
    """The evidence as vectors with the reading to come as the last one.

    What a finer reading takes the place of stays: the same wear is in both, so what was read says what it will show.
    """
    if step is Step.READ_ACROSS:
        return terms(taken(evidence, step, reading))
    known, new = terms(evidence), terms(evidence._replace(readings=(reading,)))
    return Terms(
        known.values + new.values,
        known.per_id + new.per_id,
        known.per_width + new.per_width,
        known.error_variance + new.error_variance,
        known.set_sign + new.set_sign,
        known.spread_sign + new.spread_sign,
        taken(evidence, step, reading),
    )


def worth_it(step: NextStep, worth: float) -> Iterator[tuple[float, NextStep]]:
    """The step with its gain less its trouble, if that is worth the walk."""
    gain = (step.then - step.now) * worth
    if gain >= LEAST_GAIN:
        yield gain, step


def look_worth(decision: Decision, now: float, then: float) -> Iterator[tuple[float, NextStep]]:
    """To say how it looks, with its gain. It is one key: where the answer waits for it, it goes before all else."""
    step = NextStep(Step.LOOK, None, None, now, then)
    if decision.waits is not None:
        yield inf, step
    else:
        yield from worth_it(step, 1.0)


def readings(evidence: Evidence, likely: RingSize) -> Iterator[tuple[Step, Reading, float]]:
    """The readings that can still be taken, about as they would come out on the likeliest ring."""
    widths = [one.value_mm for one in evidence.readings if one.dimension is Dimension.WIDTH]
    for dimension, tool, worth in _READINGS:
        per_id, per_width = GEOMETRY[dimension]
        value = per_id * likely.id_mm + per_width * likely.cross_section_mm
        limit = plus_minus_mm(dimension, tool, value)
        taken = [one.plus_minus_mm for one in evidence.readings if one.dimension is dimension]
        if not taken or min(taken) > 1.5 * limit:
            yield Step.READ, Reading(dimension, value, limit, tool), worth
    if len(widths) == 1 and evidence.condition in (Condition.FLATTENED, Condition.USED, Condition.NOT_SAID):
        limit = plus_minus_mm(Dimension.WIDTH, Tool.CALIPER, widths[0])
        across = Reading(Dimension.WIDTH, widths[0] * 1.001, limit, Tool.CALIPER)
        yield Step.READ_ACROSS, across, 1.0


def rivals_of(decision: Decision) -> list[Rival]:
    """Sizes and looks together, likeliest first, as far as the decision weighs them; their probabilities sum to 1."""
    known = decision.ranking.posterior
    found = []
    for before in decision.before:
        found += [Rival(before, look, before.probability * share) for look, share in look_shares(before, known).items()]
    # Sizes that are one in all that was read are equally likely but for rounding, which must not say who is left out.
    found.sort(key=lambda one: (-round(one.probability, EQUAL_PLACES), one.before.ring.key, one.look))
    found = [one for one in found[:MOST_RIVALS] if one.probability > 0.0]
    total = sum(one.probability for one in found)
    return [one._replace(probability=one.probability / total) for one in found]


def _predict(asked: Terms, before: Before) -> tuple[float, float]:
    """Mean and standard deviation in mm of the last reading for this ring, given the others."""
    ring = before.ring
    matrix = covariance(asked, ring.id_mm, ring.cross_section_mm)
    means = expected(asked, ring.id_mm, ring.cross_section_mm)
    if before.size is None:
        # A ring of no standard: its dimensions are known by the readings alone.
        by_id, by_width = (4.0 * ring.id_mm) ** 2, (4.0 * ring.cross_section_mm) ** 2
    else:
        by_id, by_width = (0.5 * ring.id_tol_mm) ** 2, (0.5 * ring.cross_section_tol_mm) ** 2
    count = len(means)
    for i in range(count):
        for j in range(count):
            matrix[i][j] += (
                asked.per_id[i] * asked.per_id[j] * by_id + asked.per_width[i] * asked.per_width[j] * by_width
            )
    # Eliminating the readings one by one leaves the last one's conditional mean and variance.
    for k in range(count - 1):
        pivot = matrix[k][k]
        miss = asked.values[k] - means[k]
        for i in range(k + 1, count):
            factor = matrix[i][k] / pivot
            means[i] += factor * miss
            for j in range(k + 1, count):
                matrix[i][j] -= factor * matrix[k][j]
    return means[-1], sqrt(max(matrix[-1][-1], 1e-12))


def _expected(rivals: Sequence[Rival], views: Sequence[tuple[float, float]], chances: Columns) -> float:
    """The best ring's chance to seal after the reading, in the mean over what it may show."""
    then = 0.0
    for own, (mean, deviation) in zip(rivals, views, strict=True):
        for node, share in HERMITE:
            weights = _weighed(rivals, views, mean + node * deviation)
            then += own.probability * share * best_of(chances, weights).seals
    return then


def _weighed(rivals: Sequence[Rival], views: Sequence[tuple[float, float]], x: float) -> list[float]:
    weights = []
    for one, (mean, deviation) in zip(rivals, views, strict=True):
        z = (x - mean) / deviation
        weights.append(one.probability * exp(-0.5 * z * z) / deviation if abs(z) < 38.0 else 0.0)
    return weights


def hint_of(
    rivals: Sequence[Rival],
    views: Sequence[tuple[float, float]],
    worths: Sequence[Sequence[float]],
    rings: Sequence[RingSize],
    pressed: float,
) -> str:
    """What it would read for two rings to put in, where the two readings lie clearly apart; else nothing.

    `worths`: of each of `rings` where each rival was.
    """
    first = rivals[0]
    mean, deviation = views[0]
    by_first = max(range(len(rings)), key=worths[0].__getitem__)
    for (other_mean, other_deviation), row, other in zip(views[1:], worths[1:], rivals[1:], strict=True):
        best = max(range(len(rings)), key=row.__getitem__)
        same = row[best] - row[by_first] < 0.05
        if same or other.before.size is None or first.before.size is None or other.probability < 0.05:
            continue
        if abs(other_mean - mean) >= 2.0 * (deviation + other_deviation):
            return (
                f"about {mean - pressed:.2f} mm: {rings[by_first].label}; "
                f"about {other_mean - pressed:.2f} mm: {rings[best].label}"
            )
    return ""


def _by_place(decision: Decision, rings: Sequence[RingSize], now: float) -> Iterator[tuple[float, NextStep]]:
    """What could be learned of the place it sits in, each with its gain less its trouble."""
    wanted = decision.wanted
    if wanted.groove is not None:
        return
    if wanted.joint is None:
        then = _joint_said(decision.before, rings, wanted)
        yield from worth_it(NextStep(Step.JOINT, None, None, now, then), 1.0)
    if wanted.joint is not JointKind.PORT:
        then = _groove_measured(decision.before, rings, wanted)
        yield from worth_it(NextStep(Step.GROOVE, None, None, now, then), GROOVE_WORTH)


def _joint_said(before: Sequence[Before], rings: Sequence[RingSize], wanted: Wanted) -> float:
    then = 0.0
    joints = [joints_of(one.ring, None, wanted.tables) for one in before]
    for kind in SHARES:
        weights = [one.probability * kinds.get(kind, 0.0) for one, kinds in zip(before, joints, strict=True)]
        said = wanted._replace(joint=kind)
        chances = [[chance(ring, one.ring, said) for ring in rings] for one in before]
        then += sum(weights) * best_chance(chances, weights).seals
    return then


def _groove_measured(before: Sequence[Before], rings: Sequence[RingSize], wanted: Wanted) -> float:
    """The best ring's chance where each groove is known: there its verdict is certain."""
    then = 0.0
    for one in before:
        own = best_chance([[chance(ring, one.ring, wanted) for ring in rings]], [1.0]).seals
        for kind, share in joints_of(one.ring, wanted.joint, wanted.tables).items():
            if kind is JointKind.PORT:
                then += one.probability * share * own
                continue
            rows = [outcomes(ring, one.ring, kind, wanted.service, wanted.tables) for ring in rings]
            if not rows[0]:
                then += one.probability * share * own
                continue
            for at, groove in enumerate(rows[0]):
                seals = 1.0 if any(row[at].as_good for row in rows) else 0.0
                then += one.probability * share * groove.share * ((1.0 - PECULIAR) * seals + PECULIAR * own)
    return then
