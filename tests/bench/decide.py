"""Whether the ring that is said to go in seals, next to the first-named size, the nearest size and the right ring.

    python -m tests.bench.decide [--rings 20000] [--seed 1]

Rings are drawn by the matcher's own prior (now and then one of no standard), made within their tolerances, worn as
their condition says and read by caliper (ID and width; where it is said to be flattened the width both ways), as in
`tests.bench.identify`. Each sat in a groove from the table TRUE, which the decision does not use, with a stretch of 1
to 4 % (JIS P and G sizes on the diameter that they are named after). A ring put in counts as sealing where
`gland.assess` says *seals*; as good as the right ring where its verdict is no worse.

With --next the advice is followed instead: what it promised beside how often the ring then chosen is as good as the
right one, by what was asked for.
"""

from __future__ import annotations

import argparse
import random
import time
from collections.abc import Callable, Iterator, Sequence
from functools import cache
from itertools import accumulate, islice
from math import comb, exp, log, sqrt
from statistics import median
from typing import NamedTuple

from catalog.orings.box.rankings import rankings
from catalog.orings.condition import WEAR, looks, spread_sign
from catalog.orings.decide import Decision, Wanted, decide, of_no_standard
from catalog.orings.evidence import Condition, Dimension, Evidence, Reading, Tool
from catalog.orings.gland import verdict_of
from catalog.orings.groove import Groove, GrooveKind, Motion
from catalog.orings.instruments import plus_minus_mm, reading
from catalog.orings.joint_kind import SHARES, JointKind
from catalog.orings.likelihood import ANY_ID_MM, ANY_WIDTH_MM, GEOMETRY, pressed_in
from catalog.orings.match import rank
from catalog.orings.next_step import Step, next_step, taken
from catalog.orings.reason import Verdict
from catalog.orings.seats import worked_out
from catalog.orings.sizes import RingSize, all_sizes
from catalog.orings.span import Range
from catalog.orings.standard_grooves import groove_for, groove_rows, jis_diameter, rows_for
from tests.bench.identify import PRIOR, Worn, draw_wear, nearest, read, shown

TRUE = "Metric housing table"
TABLES = frozenset(row.table for row in groove_rows()) - {TRUE}
KINDS = {
    JointKind.PLUG: ((GrooveKind.PISTON, Motion.STATIC),),
    JointKind.BORE: ((GrooveKind.ROD, Motion.STATIC),),
    JointKind.COVER: ((GrooveKind.FACE_INSIDE, Motion.STATIC), (GrooveKind.FACE_OUTSIDE, Motion.STATIC)),
    JointKind.SHAFT: ((GrooveKind.ROD, Motion.RECIPROCATING),),
}


class Score(NamedTuple):
    """Shares of rings, 0 to 1; `ms` a decision; `lost` and `won`: first-named seals and fit doesn't, the other way."""

    fit: float
    first: float
    nearest: float
    right: float
    as_good: float
    calibration: float
    lost: int
    won: int
    ms: float
    a_second: float

    @property
    def sign_test(self) -> float:
        """How likely the two would be at least so far apart were they equally good (the exact two-sided sign test)."""
        changed = self.lost + self.won
        tail = sum(comb(changed, k) for k in range(min(self.lost, self.won) + 1))
        return min(1.0, tail / 2 ** (changed - 1)) if changed else 1.0


def true_groove(size: RingSize, dice: random.Random) -> tuple[JointKind, Groove] | None:
    """A groove of the table TRUE that this ring sat in; None where it has none of this width."""
    kinds = list(KINDS)
    kind = dice.choices(kinds, [SHARES[one] for one in kinds])[0]
    groove_kind, motion = dice.choice(KINDS[kind])
    rows = [row for row in rows_for(size, groove_kind, motion) if row.table == TRUE]
    if not rows and not size.designation:  # of no standard: its groove is scaled to it
        scaled = worked_out(size.cross_section_mm, groove_kind, motion, frozenset({TRUE}))
        rows = [] if scaled is None else [scaled]
    if not rows:
        return None
    named = jis_diameter(size)  # a P or G size sits on the diameter that it is named after
    stretch = dice.uniform(1.0, 4.0) if named is None else 100.0 * (named / size.id_mm - 1.0)
    try:
        groove = groove_for(size, groove_kind, motion, row=rows[0], stretch=stretch)
    except ValueError:  # too small for such a groove
        return None
    return None if groove is None else (kind, groove)


def drawn(dice: random.Random) -> RingSize:
    """A ring as the matcher expects it before anything is measured: a standard size, or now and then none."""
    if dice.random() >= PRIOR.none:
        return dice.choices(all_sizes(), cum_weights=_weights())[0]
    return of_no_standard(*(low * exp(dice.random() * log(high / low)) for low, high in (ANY_ID_MM, ANY_WIDTH_MM)))


@cache
def _weights() -> list[float]:
    return list(accumulate(PRIOR.weight(size) for size in all_sizes()))


class Placed(NamedTuple):
    """A ring as it came out of its groove, and what was read of it."""

    size: RingSize
    kind: JointKind
    groove: Groove
    look: Condition
    worn: Worn
    made: tuple[float, float]
    evidence: Evidence


def placed_rings(condition: Condition, rings: int, dice: random.Random) -> Iterator[Placed]:
    """Rings that look so (one of all looks where that is not said), each from a groove of the table TRUE."""
    ways = looks(condition)
    done = 0
    while done < rings:
        size = drawn(dice)
        placed = true_groove(size, dice)
        if placed is None:
            continue
        done += 1
        look = dice.choices([one for one, _ in ways], [share for _, share in ways])[0]
        made, worn = make(size, dice), draw_wear(WEAR[look], dice)
        # Who doesn't say that it is flattened has not looked for its free faces either.
        evidence = read(shown(made[0], made[1], worn, condition is Condition.FLATTENED), look, WEAR[look], dice)
        yield Placed(size, *placed, look, worn, made, evidence)


def calibration(told: Sequence[tuple[float, bool]], bins: int = 10) -> float:
    """Expected calibration error of the chance to seal."""
    boxes: list[list[tuple[float, bool]]] = [[] for _ in range(bins)]
    for chance, sealed in told:
        boxes[min(int(chance * bins), bins - 1)].append((chance, sealed))
    return sum(abs(sum(chance for chance, _ in box) - sum(sealed for _, sealed in box)) for box in boxes) / len(told)


BOX = 2000
"""Rings decided together."""
BY_ITSELF = 200
"""Of so many rings the time of a decision by itself is taken."""


def score(condition: Condition, rings: int, seed: int, *, joint_said: bool) -> Score:
    """Simulate `rings` rings that look so, the joint said or not."""
    fit = first = near = right = good = lost = won = 0
    told: list[tuple[float, bool]] = []
    spent = 0.0
    alone: list[float] = []
    placed = placed_rings(condition, rings, random.Random(seed))
    while box := list(islice(placed, BOX)):
        start = time.perf_counter()
        decided = _decided(box, condition, joint_said=joint_said)
        spent += time.perf_counter() - start
        alone += [_by_itself(one, condition, joint_said=joint_said) for one in box[: BY_ITSELF - len(alone)]]
        for one, found in zip(box, decided, strict=True):
            best = _sealing(one.size, one.groove)
            fitted, names = found.best, found.ranking.matches
            chosen = _sealing(fitted.size, one.groove) if fitted is not None else Verdict.WILL_NOT
            named = _sealing(names[0].size, one.groove) if names else Verdict.WILL_NOT
            told.append((fitted.chance.seals if fitted is not None else 0.0, chosen.rank <= best.rank))
            fit += chosen is Verdict.SEALS
            first += named is Verdict.SEALS
            near += _sealing(nearest(one.evidence), one.groove) is Verdict.SEALS
            right += best is Verdict.SEALS
            good += chosen.rank <= best.rank
            lost += named is Verdict.SEALS and chosen is not Verdict.SEALS
            won += chosen is Verdict.SEALS and named is not Verdict.SEALS
    return Score(
        fit / rings, first / rings, near / rings, right / rings, good / rings, calibration(told), lost, won,
        1000.0 * median(alone), rings / spent,
    )  # fmt: skip


def _wanted(joint: JointKind | None) -> Wanted:
    return Wanted(joint=joint, tables=TABLES)


def _decided(box: Sequence[Placed], condition: Condition, *, joint_said: bool) -> list[Decision]:
    """What is decided for each: the box is ranked together."""
    evidences = [one.evidence._replace(condition=condition) for one in box]
    return [
        decide(ranking or rank(evidence, prior=PRIOR), _wanted(one.kind if joint_said else None))
        for one, evidence, ranking in zip(box, evidences, rankings(evidences, PRIOR), strict=True)
    ]


def _by_itself(one: Placed, condition: Condition, *, joint_said: bool) -> float:
    """Seconds of processor that a ring's decision takes when it is asked about by itself."""
    start = time.process_time()
    joint = one.kind if joint_said else None
    decide(rank(one.evidence._replace(condition=condition), prior=PRIOR), _wanted(joint))
    return time.process_time() - start


class Kept(NamedTuple):
    """What advice of one kind promised and what came of it, as shares of the rings it was given for."""

    times: int
    before: float
    promised: float
    came: float


def worn_value(dimension: Dimension, made: Sequence[float], worn: Worn, across: bool) -> float:
    """What a perfect instrument reads of a ring made so (ID, width in mm) and worn so; `across`: on the free faces."""
    id_mm, width = made
    per_id, per_width = GEOMETRY[dimension]
    value = (per_id * id_mm + per_width * width) * (1.0 + worn.scale)
    if dimension is Dimension.WIDTH:
        return value + (worn.gain if across else -1.0) * worn.set * width
    return value + spread_sign(Reading(dimension, value, 0.0, Tool.STATED)) * worn.spread * width


def measured(groove: Groove, dice: random.Random) -> Groove:
    """The groove as a person reads it with a caliper and a depth gauge, each reading within its limit."""

    def read_off(value: Range | None, limit: float) -> Range | None:
        if value is None:
            return None
        true = dice.uniform(value.minimum, value.maximum)
        shown_mm = true + dice.uniform(-limit, limit)
        return Range(shown_mm - limit, shown_mm, shown_mm + limit)

    return groove._replace(
        inner=read_off(groove.inner, 0.03),
        outer=read_off(groove.outer, 0.03),
        depth=read_off(groove.depth, 0.03),
        width=read_off(groove.width, 0.05),
    )


def followed(condition: Condition, rings: int, seed: int) -> dict[str, Kept]:
    """Simulate rings and do what is asked for, once each."""
    dice = random.Random(seed)
    told: dict[str, list[tuple[float, float, bool]]] = {}
    for size, kind, groove, look, worn, made, evidence in placed_rings(condition, rings, dice):
        evidence = evidence._replace(condition=condition)
        wanted = Wanted(tables=TABLES)
        step = next_step(decide(rank(evidence, prior=PRIOR), wanted))
        if step is None:
            continue
        match step.step:
            case Step.LOOK:
                evidence = evidence._replace(condition=look)
            case Step.JOINT:
                wanted = wanted._replace(joint=kind)
            case Step.GROOVE:
                wanted = wanted._replace(groove=measured(groove, dice))
            case _:
                assert step.dimension is not None
                assert step.tool is not None
                value = worn_value(step.dimension, made, worn, step.step is Step.READ_ACROSS)
                limit = plus_minus_mm(step.dimension, step.tool, value)
                again = reading(step.dimension, dice.gauss(value, limit / sqrt(3.0)), step.tool)
                if step.dimension is Dimension.OD:
                    again = again._replace(value_mm=again.value_mm - pressed_in(again))
                evidence = taken(evidence, step.step, again)
        after = decide(rank(evidence, prior=PRIOR), wanted)
        best = _sealing(size, groove)
        chosen = _sealing(after.best.size, groove) if after.best is not None else Verdict.WILL_NOT
        name = f"{step.step} {step.dimension or ''}".strip()
        told.setdefault(name, []).append((step.now, step.then, chosen.rank <= best.rank))
    return {
        name: Kept(len(rows), *(sum(row[at] for row in rows) / len(rows) for at in range(3)))
        for name, rows in sorted(told.items())
    }


def make(size: RingSize, dice: random.Random) -> tuple[float, float]:
    """ID and width in mm of a ring made within its tolerance, mostly near the middle."""

    def one(nominal: float, tolerance: float) -> float:
        while abs(off := dice.gauss(0.0, 0.5)) > 1.0:
            pass
        return nominal + tolerance * off

    return one(size.id_mm, size.id_tol_mm), one(size.cross_section_mm, size.cross_section_tol_mm)


def _sealing(size: RingSize, groove: Groove) -> Verdict:
    return verdict_of(size, groove)


def main(write: Callable[[str], None] = print) -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rings", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--looks", type=Condition, nargs="*")
    parser.add_argument("--next", action="store_true")
    asked = parser.parse_args()
    if asked.next:
        write("| looks | asked for | times | chance before | promised | came |")
        write("| --- | --- | --- | --- | --- | --- |")
        for condition in asked.looks or Condition:
            for name, kept in followed(condition, asked.rings, asked.seed).items():
                shares = " | ".join(f"{100.0 * share:.1f}" for share in kept[1:])
                write(f"| {condition} | {name} | {kept.times} | {shares} |")
        return
    write(f"{asked.rings} rings a row, seed {asked.seed}; percent that seal; true grooves: {TRUE}.")
    write(
        "| looks | joint | fit | first-named | nearest | right ring | as good | calibration | lost : won | p | ms "
        "| rings/s |"
    )
    write(f"|{12 * ' --- |'}")
    for condition in asked.looks or Condition:
        for joint_said in (False, True):
            row = score(condition, asked.rings, asked.seed, joint_said=joint_said)
            shares = " | ".join(f"{100.0 * share:.1f}" for share in row[:6])
            said = "said" if joint_said else "not said"
            write(
                f"| {condition} | {said} | {shares} | {row.lost} : {row.won} | {row.sign_test:.2g} | "
                f"{row.ms:.1f} | {row.a_second:,.0f} |"
            )


if __name__ == "__main__":
    main()
