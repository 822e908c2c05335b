"""What to do next: what raises the chance of a dry joint, and nothing where it would change no ring."""

from __future__ import annotations

import random

import pytest

from catalog.orings.condition import WEAR
from catalog.orings.decide import Wanted, decide
from catalog.orings.evidence import Condition, Dimension, Evidence, Tool
from catalog.orings.instruments import plus_minus_mm, reading
from catalog.orings.joint_kind import JointKind
from catalog.orings.likelihood import terms
from catalog.orings.match import rank
from catalog.orings.next_step import NextStep, Step, foreseen, next_step, taken
from catalog.orings.seats import seats
from catalog.orings.sizes import by_key


def _next(evidence: Evidence, wanted: Wanted | None = None) -> NextStep | None:
    return next_step(decide(rank(evidence), wanted))


def test_after_the_width_comes_the_size_across() -> None:
    found = _next(Evidence((reading(Dimension.WIDTH, 3.5),)))
    assert found is not None
    assert found.step is Step.READ
    assert found.dimension in (Dimension.ID, Dimension.OD)
    assert found.then > found.now + 0.5


def test_a_look_is_asked_for_where_it_decides() -> None:
    # A -214 that swelled by 5 % reads 26.2 × 3.7: as a new ring it would be another size.
    found = _next(Evidence((reading(Dimension.ID, 26.2), reading(Dimension.WIDTH, 3.7))))
    assert found is not None
    assert found.step is Step.LOOK
    assert found.words.startswith("Say how the ring looks: the chance of a dry joint goes from ")


def test_a_second_width_says_which_way() -> None:
    step = NextStep(Step.READ_ACROSS, Dimension.WIDTH, Tool.CALIPER, 0.6, 0.9)
    assert "across the other way (Width 2)" in step.words


def test_a_reading_that_is_yet_to_come_never_promises_all() -> None:
    step = NextStep(Step.GROOVE, None, None, 0.891, 0.9971)
    assert step.words.endswith("goes from 89 % to about 99 %.")
    assert step.short.endswith("(89 to 99 %)")


def test_nothing_is_asked_where_nothing_would_change_the_ring() -> None:
    # Read to a hundredth and new: no other size is near -425, and none is asked about.
    exact = Evidence(
        (reading(Dimension.ID, 113.67, plus_minus=0.01), reading(Dimension.WIDTH, 6.99, plus_minus=0.01)),
        Condition.NEW,
    )
    assert _next(exact) is None


def test_nothing_is_asked_of_readings_that_cannot_be_of_one_ring() -> None:
    readings = (reading(Dimension.ID, 24.9), reading(Dimension.WIDTH, 3.5), reading(Dimension.OD, 36.0))
    assert _next(Evidence(readings)) is None


def test_a_measured_groove_and_a_said_joint_are_not_asked_for_again() -> None:
    old = by_key("as568:214")
    assert old is not None
    evidence = Evidence((reading(Dimension.ID, 24.9), reading(Dimension.WIDTH, 3.5)), Condition.USED)
    said = _next(evidence, Wanted(joint=JointKind.PLUG))
    assert said is None or said.step is not Step.JOINT
    measured = _next(evidence, Wanted(groove=seats(old, JointKind.PLUG)[0].groove))
    assert measured is None or measured.step not in (Step.JOINT, Step.GROOVE)


def test_a_finer_reading_is_foreseen_with_the_wear_of_the_coarser_one() -> None:
    # Both are taken across the same flats: the finer one will show what the coarser one did, within its limit.
    evidence = Evidence((reading(Dimension.ID, 24.9), reading(Dimension.WIDTH, 3.4)), Condition.USED)
    finer = reading(Dimension.WIDTH, 3.53, Tool.MICROMETER)
    asked = foreseen(evidence, Step.READ, finer)
    assert asked.values[:-1] == terms(evidence).values
    assert asked.set_sign == (0.0, -1.0, -1.0)
    assert taken(evidence, Step.READ, finer).readings == (evidence.readings[0], finer)


def test_a_finer_width_takes_the_place_of_that_of_the_flats() -> None:
    flat, free = reading(Dimension.WIDTH, 3.3), reading(Dimension.WIDTH, 3.7)
    evidence = Evidence((reading(Dimension.ID, 24.9), flat, free), Condition.FLATTENED)
    finer = reading(Dimension.WIDTH, 3.31, Tool.MICROMETER)
    assert taken(evidence, Step.READ, finer).readings == (evidence.readings[0], free, finer)


@pytest.mark.parametrize("look", [Condition.NEW, Condition.USED])
def test_the_advice_keeps_its_promise(look: Condition) -> None:
    # An ID alone: draw the true ring by the decision's own probabilities, wear it, keep it where it would have read
    # that ID, read what is asked for, and see what the best ring's chance comes to.
    dice = random.Random(11)
    evidence = Evidence((reading(Dimension.ID, 24.9),), look)
    decision = decide(rank(evidence))
    step = next_step(decision)
    assert step is not None
    assert step.step is Step.READ
    assert step.dimension is Dimension.WIDTH
    assert step.tool is not None
    weights = [one.probability for one in decision.before]
    wear, limit = WEAR[look], evidence.readings[0].plus_minus_mm
    reached: list[float] = []
    for _ in range(20_000):
        if len(reached) == 200:
            break
        old = dice.choices(decision.before, weights)[0].ring
        grown, spread = 1.0 + dice.gauss(*wear.scale), dice.gauss(*wear.spread)
        width = dice.gauss(old.cross_section_mm, old.cross_section_tol_mm / 2.0)
        id_mm = dice.gauss(old.id_mm, old.id_tol_mm / 2.0) * grown - spread * width
        if abs(dice.gauss(id_mm, limit / 3.0**0.5) - 24.9) > 0.05:
            continue
        flat = width * (grown - dice.gauss(*wear.set))
        asked = plus_minus_mm(step.dimension, step.tool, flat)
        read = reading(step.dimension, dice.gauss(flat, asked / 3.0**0.5), step.tool)
        after = decide(rank(evidence._replace(readings=(*evidence.readings, read))))
        assert after.best is not None
        reached.append(after.best.chance.seals)
    assert len(reached) == 200
    assert sum(reached) / len(reached) == pytest.approx(step.then, abs=0.05)
