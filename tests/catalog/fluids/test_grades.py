"""Reading and comparing viscosity grades."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.fluids import grades
from catalog.fluids.grade_check import Verdict, compare
from catalog.fluids.grades import Grade, GradeError, Scale, grades_at, parse
from catalog.standing import Standing


@pytest.mark.parametrize(
    ("text", "grade"),
    [
        ("15W-40", Grade(Scale.ENGINE, 15, 40)),
        ("sae 15w40", Grade(Scale.ENGINE, 15, 40)),
        ("15W/40", Grade(Scale.ENGINE, 15, 40)),
        ("0W–20", Grade(Scale.ENGINE, 0, 20)),
        ("SAE 30", Grade(Scale.ENGINE, None, 30)),
        ("10W", Grade(Scale.ENGINE, 10, None)),
        ("80W-90", Grade(Scale.GEAR, 80, 90)),
        ("75w90", Grade(Scale.GEAR, 75, 90)),
        ("SAE 140", Grade(Scale.GEAR, None, 140)),
        ("SAE 80W-90 (gear)", Grade(Scale.GEAR, 80, 90)),
        ("VG 46", Grade(Scale.ISO, None, 46)),
        ("iso vg46", Grade(Scale.ISO, None, 46)),
        ("ISO 68", Grade(Scale.ISO, None, 68)),
    ],
)
def test_grades_as_they_are_written(text: str, grade: Grade) -> None:
    assert parse(text) == grade


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("80W-40", "different|belong together"),
        ("15W-99", "neither an engine"),
        ("VG 50", "VG 46 and VG 68"),
        ("46", "type VG 46"),
        ("", "not a viscosity grade"),
        ("thick", "not a viscosity grade"),
        ("15W-40 gear", "engine oil, not gear oil"),
        ("80W-90 engine", "gear oil, not engine oil"),
    ],
)
def test_what_is_no_grade_says_what_to_type(text: str, words: str) -> None:
    with pytest.raises(GradeError, match=words):
        parse(text)


@given(st.sampled_from(list(Scale)), st.data())
def test_label_reads_back(scale: Scale, data: st.DataObject) -> None:
    rows = grades.limits(scale)
    hot = data.draw(st.sampled_from([int(row.grade) for row in rows if not row.winter]))
    winter = [None, *(int(row.grade[:-1]) for row in rows if row.winter)]
    grade = Grade(scale, data.draw(st.sampled_from(winter)) if scale is not Scale.ISO else None, hot)
    assert parse(grade.label) == grade
    assert compare(grade, grade).verdict is Verdict.YES


@pytest.mark.parametrize(
    ("scale", "kv", "found"),
    [
        # SAE J300 and J306: lower limits inclusive, upper limits exclusive.
        (Scale.ENGINE, 9.3, ["30"]),
        (Scale.ENGINE, 12.499, ["30"]),
        (Scale.ENGINE, 12.5, ["40", "40"]),
        (Scale.ENGINE, 26.1, []),
        (Scale.GEAR, 13.5, ["90"]),
        (Scale.GEAR, 18.5, ["110"]),
        (Scale.GEAR, 100.0, ["250"]),
        # The thin engine grades overlap: 6.9 to under 7.1 is 12, 16 and 20 (NOTES of the trade, section C).
        (Scale.ENGINE, 7.0, ["12", "16", "20"]),
        (Scale.ENGINE, 5.5, ["8", "12"]),
        # ISO 3448: both limits belong to the grade; between grades there is none.
        (Scale.ISO, 41.4, ["46"]),
        (Scale.ISO, 50.6, ["46"]),
        (Scale.ISO, 38.0, []),
    ],
)
def test_grades_of_a_measured_viscosity(scale: Scale, kv: float, found: list[str]) -> None:
    assert [row.grade for row in grades_at(scale, kv)] == found


def test_hths_decides_between_overlapping_grades() -> None:
    # SAE J300: HTHS minima 2.0, 2.3 and 2.6 mPa·s for 12, 16 and 20.
    assert [row.grade for row in grades_at(Scale.ENGINE, 7.0, hths=2.4)] == ["12", "16"]


def test_a_viscosity_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="above zero"):
        grades_at(Scale.ISO, 0)


@pytest.mark.parametrize(
    ("offered", "required", "verdict", "words"),
    [
        # Follows from SAE J300: same hot limits, lower W number.
        ("10W-30", "SAE 30", Verdict.YES, "flows better when cold"),
        ("5W-30", "10W-30", Verdict.YES, "flows better when cold"),
        ("15W-40", "SAE 40", Verdict.YES, "Same grade when hot"),
        # SAE J300: HTHS minimum 3.5 for 0W-, 5W- and 10W-40, 3.7 for 15W-40 and SAE 40.
        ("10W-40", "15W-40", Verdict.WITH_CARE, "Same grade when hot"),
        ("5W-40", "SAE 40", Verdict.WITH_CARE, "Same grade when hot"),
        ("15W-40", "10W-40", Verdict.NO, "-20 °C.*-25 °C"),
        ("SAE 30", "10W-30", Verdict.NO, "no W grade"),
        ("10W-40", "10W-30", Verdict.NO, "thicker"),
        ("10W-30", "10W-40", Verdict.NO, "thinner"),
        # SAE J306.
        ("85W-90", "SAE 90", Verdict.YES, "flows better when cold"),
        ("75W-80", "80W", Verdict.YES, "Not thinner"),
        ("75W-85", "80W", Verdict.YES, "Not thinner"),
        ("75W-140", "80W", Verdict.WITH_CARE, "Not thinner"),
        ("SAE 110", "SAE 90", Verdict.WITH_CARE, "before 2005"),
        ("SAE 140", "SAE 90", Verdict.NO, "thicker"),
        # SAE J300: 5W may be as thin as 3.8 mm²/s at 100 °C, 10W no thinner than 4.1.
        ("5W", "10W", Verdict.NO, "thinner at 100 °C"),
        # ISO 3448: 68 is 68/46 - 1 = 48 % thicker.
        ("VG 68", "VG 46", Verdict.NO, "48 % thicker"),
        ("VG 32", "VG 46", Verdict.NO, "30 % thinner"),
        # The trap: gear 80W-90 (13.5 to 18.5) is about engine 40 to 50 (12.5 to 21.9), on another scale.
        ("80W-90", "15W-40", Verdict.NO, "different scales.*SAE 40 to 50"),
        ("15W-40", "80W-90", Verdict.WITH_CARE, "different scales"),
        ("SAE 30", "80W-90", Verdict.NO, "different scales"),
        # Quick reference S108.
        ("VG 100", "SAE 30", Verdict.WITH_CARE, "different scales"),
        ("VG 46", "15W", Verdict.WITH_CARE, "different scales"),
        ("VG 46", "SAE 30", Verdict.NO, "no table"),
    ],
)
def test_one_grade_for_another(offered: str, required: str, verdict: Verdict, words: str) -> None:
    answer = compare(parse(offered), parse(required))
    assert answer.verdict is verdict
    assert re.search(words, answer.reason)
    assert (verdict is Verdict.WITH_CARE) is bool(answer.conditions)


def test_engine_oil_in_a_gearbox_is_marked_as_from_memory() -> None:
    answer = compare(parse("15W-40"), parse("80W-90"))
    assert answer.standing is Standing.MEMORY
    assert "no EP additive" in answer.conditions[0]


_SAE = [
    Grade(scale, cold, hot)
    for scale in (Scale.ENGINE, Scale.GEAR)
    for cold in (None, *(int(row.grade[:-1]) for row in grades.limits(scale) if row.winter))
    for hot in dict.fromkeys((None, *(int(row.grade) for row in grades.limits(scale) if not row.winter)))
    if cold is not None or hot is not None
]


@given(st.sampled_from(_SAE), st.sampled_from(_SAE))
def test_a_higher_w_number_is_never_accepted(offered: Grade, required: Grade) -> None:
    if required.scale is offered.scale and required.cold is not None:
        too_thick = offered.cold is None or offered.cold > required.cold
        if too_thick:
            assert compare(offered, required).verdict is Verdict.NO


@given(st.sampled_from(_SAE), st.sampled_from(_SAE))
def test_other_scales_are_never_a_plain_yes(offered: Grade, required: Grade) -> None:
    if required.scale is not offered.scale:
        assert compare(offered, required).verdict is not Verdict.YES
