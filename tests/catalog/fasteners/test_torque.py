"""Torque and clamp load against published worked examples; the caution stands on every answer."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.fasteners.sizes import System, Thread, all_threads, thread_named
from catalog.fasteners.strength import property_classes, sae_grades, strength, stress_area
from catalog.fasteners.torque import (
    CAUTION,
    NM_PER_LBF_FT,
    Tightening,
    at_figure_meant_for,
    clamp_at,
    clamp_n,
    nut_factor,
    nut_factors,
    tighten_to,
    torque_nm,
)

LBF = 4.4482216152605  # N, exact (NIST SP 811)


def _classes(thread: Thread) -> list[str]:
    """The classes that this thread is made in."""
    found = []
    for name in dict.fromkeys(row.name for row in (*property_classes(), *sae_grades())):
        try:
            strength(name, thread)
        except ValueError:
            continue
        found.append(name)
    return found


def test_the_published_m12_example() -> None:
    """M12 class 8.8 at 70 % of proof, K 0.20: 34 kN and 82 N·m (aionlinecalculator.com, worked example)."""
    answer = tighten_to(thread_named("M12"), "8.8", "dry", 0.70)
    assert answer.clamp_n == pytest.approx(34_000, rel=0.01)
    assert answer.torque_nm == pytest.approx(82, rel=0.01)


# The same example: the same 82 N·m gives about 45 kN with oil (K 0.15) and about 23 kN on rust (K 0.30).
@pytest.mark.parametrize(("condition", "clamp"), [("oiled", 45_000), ("rusty", 23_000)])
def test_the_published_m12_example_in_other_conditions(condition: str, clamp: float) -> None:
    assert clamp_at(thread_named("M12"), "8.8", 82, condition).clamp_n == pytest.approx(clamp, rel=0.02)


# Arithmetic on F = share × proof stress × stress area and T = K d F (notes of the trade; ISO 898-1 areas and proof
# stresses as printed): torque in N·m at 75 % of proof. M20 takes 600 MPa, the sizes up to M16 take 580. M6 takes the
# printed proof load, 11 600 N, where 20.1 mm² × 580 MPa would be 11 658 N.
@pytest.mark.parametrize(
    ("name", "grade", "condition", "torque"),
    [
        ("M6", "8.8", "dry", 10.44),
        ("M8", "8.8", "dry", 25.5),
        ("M10", "8.8", "dry", 50.5),
        ("M14", "8.8", "dry", 140.1),
        ("M16", "8.8", "dry", 218.5),
        ("M16", "8.8", "oiled", 163.9),
        ("M16", "8.8", "anti-seize", 142.1),
        ("M16x1.5", "8.8", "dry", 232.5),
        ("M20", "8.8", "dry", 441.0),
        ("M12", "10.9", "dry", 125.9),
        ("M16", "10.9", "oiled", 234.6),
    ],
)
def test_torques_worked_by_hand(name: str, grade: str, condition: str, torque: float) -> None:
    assert tighten_to(thread_named(name), grade, condition, 0.75).torque_nm == pytest.approx(torque, rel=0.005)


# SAE J429 grade 2, dry, K 0.20, 75 % of proof: torque in lbf·ft and clamp load in lbf (coxhardware.com). Small torques
# are printed to half a pound-foot.
GRADE_2 = [
    ("1/4-20", 5.4, 1_312), ("5/16-18", 11.5, 2_162), ("3/8-16", 20, 3_197), ("7/16-14", 32, 4_385),
    ("1/2-13", 48.8, 5_853), ("9/16-12", 70.4, 7_508), ("5/8-11", 97.1, 9_323), ("3/4-10", 172, 13_778),
    ("7/8-9", 167, 11_435), ("1-8", 250, 14_999), ("1 1/8-7", 354, 18_884), ("1 1/4-7", 500, 23_983),
    ("1 1/2-6", 869, 34_774), ("1/4-28", 6.3, 1_502), ("3/8-24", 22.6, 3_622), ("1/2-20", 55, 6_600),
    ("3/4-16", 192, 15_366), ("7/8-14", 184, 12_598), ("1-12", 273, 16_409), ("1 1/2-12", 978, 39_130),
]  # fmt: skip


@pytest.mark.parametrize(("name", "torque", "clamp"), GRADE_2)
def test_every_size_of_a_published_torque_table(name: str, torque: float, clamp: float) -> None:
    answer = tighten_to(thread_named(name), "grade 2", "dry", 0.75)
    assert answer.clamp_n / LBF == pytest.approx(clamp, rel=0.005)
    assert answer.torque_lbf_ft == pytest.approx(torque, rel=0.012, abs=0.25)


def test_wheel_bolts_are_set_below_the_dry_limit() -> None:
    """M16 × 2.0 wheel bolts are commonly set near 100 lbf·ft (common practice, no source)."""
    limit = tighten_to(thread_named("M16x2"), "8.8", "dry")
    assert limit.torque_lbf_ft > 100
    assert clamp_at(thread_named("M16x2"), "8.8", 100 * NM_PER_LBF_FT, "dry").fraction_of_proof < 0.75


def test_a_lubricated_thread_at_the_dry_figure_is_overloaded() -> None:
    """0.20 dry against 0.15 oiled: a third more; with anti-seize 0.13: 54 % more, past the proof load."""
    bolt = thread_named("M16")
    dry = tighten_to(bolt, "8.8").torque_nm
    oiled = at_figure_meant_for(bolt, "8.8", dry, "oiled")
    assert oiled.percent == pytest.approx(100 / 3, abs=0.1)
    assert "pulls the bolt 33 % tighter than was meant" in oiled.sentence
    assert oiled.got.fraction_of_proof == pytest.approx(1.0, abs=0.001)
    paste = at_figure_meant_for(bolt, "8.8", dry, "anti-seize")
    assert paste.percent == pytest.approx(53.8, abs=0.1)
    assert paste.got.fraction_of_proof > 1
    assert "stretches for good" in paste.got.warnings[0]
    # Common practice, no source: anti-seize takes the dry torque times 0.6 to 0.75.
    assert 0.6 <= paste.right_torque_nm / dry <= 0.75
    assert paste.percent_high > paste.percent


def test_rust_at_the_dry_figure_is_loose_and_the_same_condition_is_neither() -> None:
    bolt = thread_named("M10")
    assert "looser" in at_figure_meant_for(bolt, "8.8", 50, "rusty").sentence
    same = at_figure_meant_for(bolt, "8.8", 50, "dry")
    assert same.percent == pytest.approx(0)
    assert "overload" not in same.sentence


def test_the_range_holds_the_published_nut_factors() -> None:
    """Dry 0.20 to 0.25, oiled 0.15 to 0.20, anti-seize 0.12 to 0.16 (mechconcepts.tech)."""
    for key, low, high in (("dry", 0.20, 0.25), ("oiled", 0.15, 0.20), ("anti-seize", 0.12, 0.16)):
        factor = nut_factor(key)
        assert factor.low <= low <= factor.typical + 0.01
        assert factor.typical <= high <= factor.high
    # Dry zinc 0.22 and light oil 0.18 (metricmech.com).
    assert (nut_factor("zinc").typical, nut_factor("light-oil").typical) == (0.22, 0.18)
    for factor in nut_factors():
        assert factor.low < factor.typical < factor.high


@pytest.mark.parametrize("condition", [factor.key for factor in nut_factors()])
def test_every_answer_carries_the_caution_and_its_range(condition: str) -> None:
    answer = tighten_to(thread_named("M12x1.25"), "10.9", condition)
    assert answer.caution == CAUTION
    assert "The machine's manual has the last word" in answer.caution
    assert answer.clamp_low_n < answer.clamp_n < answer.clamp_high_n
    assert answer.friction.source


bolts = st.sampled_from(
    [thread for thread in all_threads() if thread.system is System.METRIC and 3 <= thread.diameter_mm <= 39]
)
conditions = st.sampled_from([factor.key for factor in nut_factors()])
classes = st.sampled_from(["4.6", "8.8", "10.9", "12.9"])


@given(st.floats(0.05, 0.5), st.floats(1, 100), st.floats(0.1, 1e6))
def test_torque_and_clamp_go_round(factor: float, diameter: float, clamp: float) -> None:
    assert clamp_n(factor, diameter, torque_nm(factor, diameter, clamp)) == pytest.approx(clamp)


@given(bolts, classes, conditions, st.floats(0.05, 1.0))
def test_the_torque_for_a_fraction_gives_that_fraction(bolt, grade: str, condition: str, fraction: float) -> None:  # type: ignore[no-untyped-def]
    there = tighten_to(bolt, grade, condition, fraction)
    back = clamp_at(bolt, grade, there.torque_nm, condition)
    assert back.fraction_of_proof == pytest.approx(fraction)
    beyond = there.clamp_n > there.proof_load_n * (1.0 + 1e-9)  # a last digit is no torque
    assert beyond == any("for good" in warning for warning in there.warnings)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: tighten_to(thread_named("M8"), "8.8", "greasy"), "type one of dry"),
        (lambda: tighten_to(thread_named("M8"), "8.8", "dry", 1.2), "fraction"),
        (lambda: clamp_at(thread_named("M8"), "8.8", -3), "above 0"),
        (lambda: clamp_at(thread_named("M8"), "8.8", float("nan")), "above 0"),
        (lambda: clamp_at(thread_named("NPT 1/2"), "8.8", 30), "pipe thread"),
    ],
)
def test_bad_input_is_one_sentence(call, says: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match=says):
        call()


# The same ratio, the same advice: what a bolt is told depends on its share of the proof load and on nothing else.
STEEL = [(thread, grade) for thread in all_threads() for grade in _classes(thread)]
KINDS = ("stretches for good", "tighten less")


def _told(answer: Tightening) -> tuple[bool, ...]:
    return tuple(any(kind in warning for warning in answer.warnings) for kind in KINDS)


@pytest.mark.parametrize("condition", [factor.key for factor in nut_factors()])
@pytest.mark.parametrize("fraction", [0.6, 0.75, 0.9, 1.0])
def test_the_same_ratio_gives_the_same_advice_on_every_bolt(condition: str, fraction: float) -> None:
    told: dict[tuple[bool, ...], list[str]] = {}
    for thread, grade in STEEL:
        there = tighten_to(thread, grade, condition, fraction)
        # There and back through each unit that a torque wrench is marked in.
        for per_nm in (1.0, NM_PER_LBF_FT, NM_PER_LBF_FT / 12):
            again = clamp_at(thread, grade, there.torque_nm / per_nm * per_nm, condition)
            told.setdefault(_told(again), []).append(thread.designation)
        told.setdefault(_told(there), []).append(thread.designation)
    assert len(told) == 1, {kind: names[:3] for kind, names in told.items()}


def test_three_quarters_of_proof_dry_reaches_the_proof_load_exactly_and_is_no_warning() -> None:
    """0.75 × 0.20 / 0.15 = 1: on every bolt the slipperiest dry thread comes to the limit, and a limit is inclusive."""
    for thread, grade in STEEL:
        answer = tighten_to(thread, grade, "dry", 0.75)
        assert answer.fraction_high == pytest.approx(1)
        assert not answer.may_overload
        assert not any("tighten less" in warning for warning in answer.warnings)


@given(st.sampled_from(STEEL), conditions, conditions, st.floats(0.05, 1.0))
def test_a_figure_for_another_condition_is_off_by_the_ratio_of_the_nut_factors(
    bolt: tuple[Thread, str], condition: str, meant: str, fraction: float
) -> None:
    torque = tighten_to(*bolt, meant, fraction).torque_nm
    compared = at_figure_meant_for(*bolt, torque, condition, meant)
    ratio = nut_factor(meant).typical / nut_factor(condition).typical
    assert compared.percent == pytest.approx(100 * (ratio - 1), abs=1e-6)
    assert (compared.tighter, compared.looser) == (ratio > 1.005, ratio < 0.995)
    # The torque that is called right gives the clamp load that was meant.
    right = clamp_at(*bolt, compared.right_torque_nm, condition)
    assert right.clamp_n == pytest.approx(compared.meant.clamp_n)


@given(st.sampled_from(STEEL), conditions, st.floats(0.05, 1.0))
def test_every_answer_says_why_and_from_where(bolt: tuple[Thread, str], condition: str, fraction: float) -> None:
    answer = tighten_to(*bolt, condition, fraction)
    assert any(one.rule.lower().startswith(answer.proof.limit.load) for one in answer.because)
    assert any("Nut factor" in one.rule for one in answer.because)
    for one in answer.because:
        assert len(one.source) > 8
        assert not one.source.isupper()
    assert answer.clamp_n < answer.ultimate_load_n
    assert answer.stress_mpa * stress_area(bolt[0]) == pytest.approx(answer.clamp_n)


def test_stainless_runs_dry_only_with_a_warning() -> None:
    for condition, warned in (("dry", True), ("rusty", True), ("anti-seize", False), ("oiled", False)):
        answer = tighten_to(thread_named("M8"), "A2-70", condition)
        assert any("gall" in warning for warning in answer.warnings) is warned
    assert not any("gall" in warning for warning in tighten_to(thread_named("M8"), "8.8").warnings)


# A vehicle maker's dry torques by old strength mark, plain hexagon bolts, N·m; printed to a half or a whole.
@pytest.mark.parametrize(
    ("name", "mark", "torque"),
    [
        ("M6", "4T", 5.5), ("M8", "4T", 13.5), ("M10", "4T", 28), ("M12", "4T", 45), ("M14x1.5", "4T", 80),
        ("M6", "7T", 9), ("M8", "7T", 22), ("M10x1.25", "7T", 45), ("M12x1.25", "7T", 80), ("M14x1.5", "7T", 130),
    ],
)  # fmt: skip
def test_old_japanese_marks_against_a_printed_torque_table(name: str, mark: str, torque: float) -> None:
    assert tighten_to(thread_named(name), mark, "dry", 0.75).torque_nm == pytest.approx(torque, rel=0.06)
