"""Fluids judged by figures, against limits typed off the standards here, and what must hold for any figure."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.fluids.by_figures import NAMES, judge_needs, judge_text
from catalog.fluids.by_figures.coolant import freezing_point
from catalog.fluids.grade_check import Verdict

YES, CARE, NO = Verdict.YES, Verdict.WITH_CARE, Verdict.NO


@pytest.mark.parametrize(
    ("typed", "required", "verdict", "words"),
    [
        # FMVSS 116: DOT 3 205/140, DOT 4 230/155, DOT 5 and 5.1 260/180 °C, dry and wet, minima inclusive (S47).
        ("dry=205 wet=140", "DOT 3", YES, "DOT 3"),
        ("dry=401F wet=284F", "DOT 3", YES, "DOT 3"),
        ("dry=204.9 wet=140", "DOT 3", NO, "dry"),
        ("dry=230 wet=155", "DOT 4", YES, ""),
        ("dry=230 wet=154", "DOT 4", NO, "wet"),
        ("dry=259 wet=180", "DOT 5.1", NO, "dry"),
        ("dry=260 wet=180", "DOT 5.1", YES, ""),
        # Figures cannot tell silicone.
        ("dry=260 wet=180", "DOT 5", CARE, ""),
        ("dry=240", "DOT 4", CARE, "wet boiling point is missing"),
        ("dry=220", "DOT 4", NO, "dry"),
        ("dry=154 state=used", "DOT 4", NO, "Renew"),
        ("dry=155 state=used", "DOT 4", CARE, "water"),
        ("dry=235 state=used", "DOT 4", YES, ""),
        ("dry=190 wet=130", "", NO, "below every grade"),
        # ISO 22241-1 (S53, V38): urea 31.8 to 33.2 %, 1087.0 to 1093.0 kg/m³, nD 1.3814 to 1.3843.
        ("urea=31.8 density=1087.0", "DEF", YES, ""),
        ("urea=33.2 density=1093", "", YES, ""),
        ("urea=31.7 density=1090", "", NO, "urea"),
        ("urea=33,3 density=1,09", "", NO, "urea"),
        ("urea=32.5 density=1.094", "", NO, "density"),
        ("refraction=1.3814 density=1090", "", YES, ""),
        ("refraction=1.3850", "", NO, "refractive"),
        ("density=1090", "", CARE, "one figure alone"),
        ("urea=32.5 density=1090 biuret=0.4", "", NO, "biuret"),
        # JASO M345:2004 (V34).
        ("lubricity=95 torque=98 detergency=85 smoke=45 blocking=45", "JASO FB", YES, ""),
        ("lubricity=95 torque=98 detergency=85 smoke=45 blocking=45", "JASO FC", NO, "detergency"),
        ("lubricity=94 torque=98 detergency=125 skirt=95 smoke=85 blocking=90", "JASO FD", NO, "lubricity"),
        ("lubricity=95 torque=98 detergency=125 skirt=95 smoke=85 blocking=90", "FD", YES, ""),
        ("lubricity=95 torque=98 detergency=125 smoke=85 blocking=90", "FD", CARE, "piston skirt"),
        ("smoke=84", "JASO FC", NO, "smoke"),
        ("lubricity=95 torque=98 detergency=95 smoke=85 blocking=90", "", YES, "JASO FB, JASO FC"),
        # JASO T903:2016 (S43, S44): MA 1.35/1.45/1.40 to 2.50, MA2 from 1.50/1.60/1.60.
        ("dfi=1.35 sfi=1.45 sti=1.40", "MA", YES, ""),
        ("dfi=1.34 sfi=1.45 sti=1.40", "MA", NO, "MB"),
        ("dfi=1.50 sfi=1.60 sti=1.60", "MA2", YES, ""),
        ("dfi=1.50 sfi=1.60 sti=1.60", "MA1", CARE, "MA2"),
        ("dfi=1.49 sfi=1.59 sti=1.59", "MA1", YES, ""),
        ("dfi=1.49 sfi=1.70 sti=1.70", "MA2", NO, "not JASO MA2"),
        ("dfi=2.51 sfi=1.7 sti=1.7", "MA", NO, "above"),
        ("dfi=1.2 sfi=1.3 sti=1.3", "MB", YES, ""),
        ("dfi=1.9 sfi=1.8 sti=1.8", "MB", CARE, "friction"),
        ("dfi=1.9", "MA", CARE, "not known"),
        # JASO T904:2006 limits (V39): what is MA2 by 2016 may be MA1 by 2006.
        ("dfi=1.7 sfi=1.65 sti=1.85 edition=2006", "MA2", NO, "MA1"),
        # ASTM D3306: prediluted at least 50 vol %, used at 40 to 70 (S49).
        ("glycol=50 sold=prediluted", "", YES, ""),
        ("glycol=49.9 sold=prediluted", "", NO, "prediluted"),
        ("glycol=45", "D3306 III", NO, "prediluted"),
        ("glycol=33 sold=prediluted coldest=-5C", "", NO, "prediluted"),
        ("freezes=-20C coldest=-25C", "", NO, "crack"),
        ("freezes=-4F coldest=-13F", "", NO, "crack"),
        ("freezes=-37C coldest=-25C", "", YES, ""),
        ("freezes=-27C coldest=-25C", "", CARE, "less than 5"),
        ("freezes=-37C", "D3306 III", CARE, "-37"),
        ("glycol=38 coldest=-10C", "", CARE, "inhibitor"),
        ("glycol=65 coldest=-10C", "D6210 I-FF", CARE, "outside 40 to 60"),
        ("glycol=75 coldest=-10C", "", NO, "no is our inference"),
        ("glycol=70 coldest=-10C", "D6210 I-FF", CARE, "outside 40 to 60"),
        # ASTM D217, NLGI: 2 is 265 to 295, 1 is 310 to 340; 296 to 309 is of no number (S51).
        ("penetration=265", "NLGI 2", YES, ""),
        ("penetration=295", "NLGI 2", YES, ""),
        ("penetration=296", "NLGI 2", NO, "gap between NLGI 1 (310 to 340) and NLGI 2 (265 to 295)"),
        ("penetration=250", "NLGI 2", NO, "stiffer"),
        ("penetration=320", "", YES, "NLGI 1"),
        ("penetration=480", "", NO, "above NLGI 000"),
        ("penetration=60", "", NO, "below NLGI 6"),
        # ISO 3448: VG 46 is 41.4 to 50.6 mm²/s at 40 °C. Watch from 10 %, change from 20 % (practice).
        ("v40=41.4", "VG 46", YES, ""),
        ("v40=50.6", "VG 46", YES, ""),
        ("v40=51", "VG 46", CARE, "thicker"),
        ("v40=40.9", "VG 46", CARE, "thinner"),
        ("v40=36", "VG 46", NO, "thinner"),
        ("v40=50 new=45", "VG 46", CARE, "11 % thicker"),
        ("v40=47 cSt new=46 cSt", "VG 46", YES, ""),
        # SAE J300: 40 is 12.5 to under 16.3 mm²/s at 100 °C; a laboratory's guide: 10 % down, 20 % up (V40).
        ("v100=12.5", "15W-40", YES, ""),
        ("v100=12.4", "15W-40", CARE, "below"),
        ("v100=16.3", "15W-40", CARE, "above"),
        ("v100=12.6 new=14.5", "15W-40", CARE, "13 % thinner"),
        ("v100=11 new=14.5", "15W-40", NO, "24 % thinner"),
        ("v100=19 new=14.5", "15W-40", NO, "31 % thicker"),
    ],
)  # fmt: skip
def test_figures_against_the_standards_limits(typed: str, required: str, verdict: Verdict, words: str) -> None:
    found = judge_text(typed, required)
    assert found.verdict is verdict, found.reason
    assert words in " ".join((found.reason, *found.conditions))
    assert found.because
    assert all(one.source and one.source != "memory" for one in found.because)


# ASHRAE, by volume: half ethylene glycol freezes near -37 °C (V12: -36.8), a third near -18; half propylene near -34.
@pytest.mark.parametrize(
    ("base", "share", "freezes"),
    [("ethylene glycol", 50, -36.8), ("ethylene glycol", 33, -18), ("propylene glycol", 50, -33.5)],
)
def test_freezing_points(base: str, share: float, freezes: float) -> None:
    assert freezing_point(base, share) == pytest.approx(freezes, abs=0.7)


@given(st.floats(0, 57), st.floats(0, 57))
def test_more_glycol_never_freezes_warmer(one: float, other: float) -> None:
    for base in ("ethylene glycol", "propylene glycol"):
        first, second = freezing_point(base, min(one, other)), freezing_point(base, max(one, other))
        assert first is not None
        assert second is not None
        assert second <= first + 1e-9


@given(st.floats(150, 300), st.floats(100, 149))
def test_a_higher_boiling_point_never_judges_worse_and_the_unit_does_not_matter(dry: float, wet: float) -> None:
    order = [YES, CARE, NO]
    for grade in ("DOT 3", "DOT 4", "DOT 5.1"):
        at = judge_text(f"dry={dry:.3f} wet={wet:.3f}", grade).verdict
        higher = judge_text(f"dry={dry + 5:.3f} wet={wet + 1:.3f}", grade).verdict
        assert order.index(higher) <= order.index(at)
        fahrenheit = judge_text(f"dry={round(dry, 1) * 9 / 5 + 32:.2f}F wet={round(wet, 1) * 9 / 5 + 32:.2f}F", grade)
        assert fahrenheit.verdict is judge_text(f"dry={dry:.1f} wet={wet:.1f}", grade).verdict


@given(st.integers(85, 475))
def test_a_penetration_is_of_one_number_or_in_a_gap(worked: int) -> None:
    found = judge_text(f"penetration={worked}")
    assert (found.verdict is YES) is (len(found.reaches) == 1)
    assert found.verdict is YES or "lies" in found.reason


def test_the_requirement_that_the_figures_speak_of_is_found_among_several() -> None:
    assert judge_needs("v100=14", ["API CI-4", "15W-40"]).required == "SAE 15W-40"
    assert judge_needs("dry=240 wet=160", []).required == ""
    with pytest.raises(ValueError, match="UTTO is not a coolant"):
        judge_needs("glycol=50", ["UTTO"])


@pytest.mark.parametrize(
    ("typed", "required", "words"),
    [
        ("", "", "name=value"),
        ("232 157", "", "name=value"),
        ("colour=3", "", "not a figure that is judged here"),
        ("dry=232 urea=32", "", "different fluids"),
        ("dry=232 dry=230", "", "given twice"),
        ("dry=", "", "temperature is missing"),
        ("dry=hot", "", "hot"),
        ("dry=232 wet=240", "", "wet boiling point is above"),
        ("dry=20", "", "boils at"),
        ("dry=230 wet=155", "HSMO", "judged by name"),
        ("dry=230 state=old", "DOT 4", "new or used"),
        ("dry=230 state=used", "", "grade asked"),
        ("urea=abc", "", "not a number"),
        ("urea=90", "", "cannot be"),
        ("urea=32.5", "UTTO", "judged by name"),
        ("lubricity=95", "JASO MA", "not a grade of JASO M345"),
        ("smoke=0", "", "cannot be"),
        ("dfi=1.8", "JASO FC", "no friction index"),
        ("dfi=1.8 edition=2011", "", "2016 and of 2006"),
        ("edition=2016", "", "No friction index"),
        ("coldest=-20C", "", "Nothing is measured"),
        ("glycol=120", "", "between 0 and 100"),
        ("freezes=37C", "", "check the sign"),
        ("freezes=-37C sold=prediluted", "", "judged by its share"),
        ("penetration=5", "", "cannot be"),
        ("penetration=280", "UTTO", "not an NLGI number"),
        ("v40=46", "", "grade the oil was sold as"),
        ("v40=46", "UTTO", "grade the oil was sold as"),
        ("v100=6.8", "VG 46", "defined at 40 °C"),
        ("v40=46", "15W-40", "defined at 100 °C"),
        ("x=" + "1" * 400, "", "at most 300"),
    ],
)
def test_what_cannot_be_read_says_what_to_type(typed: str, required: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        judge_text(typed, required)


@given(st.text(max_size=40), st.sampled_from(["", "DOT 4", "VG 46", "UTTO"]))
def test_any_text_is_answered_or_refused_in_one_sentence(text: str, required: str) -> None:
    for name in ("dry", "urea", "v40", next(iter(NAMES["coolant"]))):
        with suppress(ValueError):
            assert judge_text(f"{name}={text}", required).reason
