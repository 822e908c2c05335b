"""Grease over grease against the printed chart of 1990 and the survey of 2019, and what may never be a plain yes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.fluids import classes
from catalog.fluids.grade_check import Verdict
from catalog.fluids.greases import Rating, heats, mixing, thickener
from catalog.fluids.stand_in import Refusal, may_use
from catalog.standing import Standing

YES, CARE, NO = Verdict.YES, Verdict.WITH_CARE, Verdict.NO

# Typed off Lubrication of Powerplant Equipment (FIST 2-4, November 1990), Table 2, row by row.
OF_1990 = """
                  sodium  aluminium complex  barium  calcium  calcium complex  clay  lithium  lithium complex  polyurea
sodium            C I I I I I I I I
aluminium complex I C I I I I B C I
barium            I I C I I I I I I
calcium           I I I C I I B C I
calcium complex   I I I I C I I I I
clay              I I I I I B I I I
lithium           I B I B I I C C I
lithium complex   I C I C I I C C I
polyurea          I I I I I I I I C
"""
NAMES = ["sodium", "aluminium complex", "barium", "calcium", "calcium complex", "clay", "lithium", "lithium complex",
         "polyurea"]  # fmt: skip
LETTERS = {"C": Rating.COMPATIBLE, "B": Rating.BORDERLINE, "I": Rating.INCOMPATIBLE}
THICKENERS = st.sampled_from(list(heats()))


def test_the_chart_of_1990_is_the_printed_one() -> None:
    for row in OF_1990.strip().splitlines()[1:]:
        name = next(one for one in sorted(NAMES, key=len, reverse=True) if row.startswith(f"{one} "))
        for other, letter in zip(NAMES, row.removeprefix(name).split(), strict=True):
            (entry,) = [one for one in mixing(name, other).entries if one.year == 1990]
            assert entry.rating is LETTERS[letter], (name, other)
            assert entry.standing is Standing.PUBLISHED


@given(THICKENERS, THICKENERS)
def test_charts_are_the_same_either_way_and_the_worst_counts(first: str, second: str) -> None:
    found = mixing(first, second)
    assert found == mixing(second, first)
    order = list(Rating)
    for entry in found.entries:
        assert found.rating is not None
        assert order.index(entry.rating) <= order.index(found.rating)


@given(THICKENERS, THICKENERS)
def test_an_answer_is_never_better_than_the_worst_chart(first: str, second: str) -> None:
    if first == second:
        return
    answer = may_use(f"thickener {first}", f"thickener {second}")
    found = mixing(first, second)
    if found.rating is None or found.rating is Rating.INCOMPATIBLE:
        assert answer.verdict is NO
    if found.rating is Rating.BORDERLINE or not found.seen:
        assert answer.verdict is not YES
    if answer.usable:
        assert any("purge" in condition for condition in answer.conditions)
    assert any("disagree" in one.rule for one in answer.because) or found.rating is None
    if heats()[first].step < heats()[second].step:
        assert answer.verdict is not YES


@pytest.mark.parametrize(
    ("offered", "required", "verdict", "refusal"),
    [
        # Chart of 1990 (V31); the survey of 2019 (V32) found five charts of 21 that call the last pair incompatible.
        ("lithium complex grease", "lithium grease", YES, None),
        ("lithium complex grease", "cup grease", YES, None),
        ("lithium grease", "cup grease", CARE, None),
        ("aluminium complex grease", "lithium grease", NO, Refusal.INCOMPATIBLE),
        ("polyurea grease", "lithium complex grease", NO, Refusal.INCOMPATIBLE),
        ("lithium complex grease", "polyurea grease", NO, Refusal.INCOMPATIBLE),
        ("clay grease", "lithium grease", NO, Refusal.INCOMPATIBLE),
        ("clay grease", "clay grease", CARE, None),
        ("soda grease", "lithium grease", NO, Refusal.INCOMPATIBLE),
        ("barium grease", "lithium complex grease", NO, Refusal.INCOMPATIBLE),
        ("aluminium complex grease", "lithium complex grease", NO, Refusal.INCOMPATIBLE),
        ("calcium complex grease", "polyurea grease", NO, Refusal.INCOMPATIBLE),
        # From memory: never a plain yes.
        ("calcium sulfonate grease", "lithium complex grease", CARE, None),
        ("shear-stable polyurea grease", "lithium complex grease", CARE, None),
        # A cup grease melts where lithium complex is asked.
        ("cup grease", "lithium complex grease", NO, Refusal.LACKS),
        ("lithium grease", "lithium complex grease", CARE, None),
        # No chart speaks of them.
        ("PTFE grease", "lithium grease", NO, Refusal.NO_RULE),
        ("silicone grease", "PTFE grease", NO, Refusal.NO_RULE),
        ("PTFE grease", "PTFE grease", YES, None),
    ],
)
def test_grease_over_grease(offered: str, required: str, verdict: Verdict, refusal: Refusal | None) -> None:
    answer = may_use(offered, required)
    assert answer.verdict is verdict, answer.reason
    assert answer.refusal is refusal


def test_charts_that_disagree_are_both_named_with_their_years() -> None:
    answer = may_use("aluminium complex grease", "lithium complex grease")
    assert "1990" in answer.reason
    assert "2019" in answer.reason
    assert "disagree" in answer.reason


def test_every_thickener_of_the_classes_has_its_heat() -> None:
    named = {thickener(one.code) for one in classes.all_classes() if one.family == "grease thickener"}
    assert named == set(heats())


def test_a_thickeners_class_is_called_as_a_mechanic_does_and_its_old_name_is_known() -> None:
    for name in heats():
        found = classes.get(f"thickener {name}")
        assert found is not None
        assert found.code.endswith(" grease")
        assert thickener(found.code) == name
        assert not any("thickener" in word for word in (found.code, *found.aliases))
