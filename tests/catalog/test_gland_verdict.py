"""Verdicts and reasons, the reverse (groove to rings), interchange, and bad input."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.orings.candidates import interchange, rings_for
from catalog.orings.figures import Service
from catalog.orings.gland import assess, verdict_of
from catalog.orings.groove import GrooveKind, Motion, face_inside, face_outside, piston, port, rod
from catalog.orings.joint_kind import JointKind
from catalog.orings.names import find
from catalog.orings.outcomes import KINDS
from catalog.orings.seats import seats
from catalog.orings.sizes import RingSize, all_sizes
from catalog.orings.span import between, span
from catalog.orings.standard_grooves import groove_for
from catalog.orings.verdict import Verdict

GROOVE = piston(span(25.4, 0.05), span(4.8, 0.1), bore=span(31.1, 0.05), clearance=0.15)


def named(name: str) -> RingSize:
    ring = find(name)
    assert ring is not None
    return ring


def test_every_reason_is_a_sentence_with_figures_and_a_source() -> None:
    for name in ("-214", "-113", "P26", "-325", "G25"):
        sealing = assess(named(name), GROOVE, service=Service(10, 90, pressure_bar=160))
        assert sealing.verdict is max((reason.verdict for reason in sealing.reasons), key=lambda one: one.rank)
        for reason in sealing.reasons:
            assert reason.source
            assert reason.text.endswith(".")
            assert any(letter.isdigit() for letter in reason.text)


@pytest.mark.parametrize(
    ("name", "verdict", "about"),
    [
        ("-214", Verdict.SEALS, None),
        ("-115", Verdict.WILL_NOT, "squeeze"),  # 2.62 wide in a 2.85 gap: it touches nothing
        ("-317", Verdict.WILL_NOT, "squeeze"),  # 5.33 wide: half of it squeezed
        ("-212", Verdict.WILL_NOT, "stretch"),  # 21.8 mm over 25.4
        ("-218", Verdict.WILL_NOT, "stretch"),  # 31.3 mm on 25.4
    ],
)
def test_plain_cases(name: str, verdict: Verdict, about: str | None) -> None:
    sealing = assess(named(name), GROOVE)
    assert sealing.verdict is verdict
    if about is not None:
        assert about in {reason.about for reason in sealing.reasons if reason.verdict is Verdict.WILL_NOT}
    else:
        assert sealing.margin > 0


def test_wide_doubt_in_the_groove_is_marginal_not_a_no() -> None:
    sealing = assess(named("-214"), piston(span(25.4, 0.5), span(4.8, 0.1), bore=span(31.1, 0.5)))
    assert sealing.verdict is Verdict.MARGINAL
    assert sealing.margin < 0


def test_service_can_fail_what_fits_at_the_bench() -> None:
    shrunk = assess(named("-214"), GROOVE, service=Service(volume_swell=-40))
    assert shrunk.verdict is not Verdict.SEALS
    assert shrunk.served is not None
    assert shrunk.served.squeeze.nominal < shrunk.fitted.squeeze.nominal
    swollen = assess(named("-214"), GROOVE, service=Service(volume_swell=60))
    assert "service_fill" in {reason.about for reason in swollen.reasons if reason.verdict is Verdict.WILL_NOT}


def test_extrusion_gap_joins_the_verdict() -> None:
    """S12: 70 Shore A bridges 0.15 mm to 103 bar and 0.10 mm above."""
    ring = named("-214")
    assert assess(ring, GROOVE, service=Service(pressure_bar=100)).verdict is Verdict.SEALS
    assert assess(ring, GROOVE, service=Service(pressure_bar=120)).verdict is Verdict.WILL_NOT
    assert assess(ring, GROOVE, service=Service(pressure_bar=120, shore_a=90)).verdict is Verdict.SEALS


def test_a_narrow_groove_refuses_the_ring() -> None:
    groove = face_outside(span(25.2), span(2.75), span(3.4))
    reasons = assess(named("-214"), groove).reasons
    assert any(reason.about == "entry" and reason.verdict is Verdict.WILL_NOT for reason in reasons)


def test_rings_for_finds_the_ring_that_a_standard_puts_there() -> None:
    for name in ("-214", "P20", "G40", "25x3.55"):
        ring = named(name)
        groove = groove_for(ring, GrooveKind.PISTON)
        assert groove is not None
        found = rings_for(groove)
        assert ring.key in [one.ring.key for one in found if one.verdict is Verdict.SEALS]
        order = [(one.verdict.rank, -one.margin) for one in found]
        assert order == sorted(order)


def test_rings_for_drops_nothing_that_seals() -> None:
    """The window against judging every size, in each kind of groove."""
    grooves = (
        GROOVE,
        rod(span(30, 0.05), span(4.8, 0.1), groove_diameter=span(35.7, 0.05), motion=Motion.RECIPROCATING),
        rod(span(30, 0.05), span(4.8, 0.1), depth=span(2.85, 0.05)),
        face_inside(span(40, 0.1), span(2.0, 0.05), span(3.6, 0.1)),
        face_outside(span(8, 0.1), span(1.35, 0.05), span(2.6, 0.1)),
        port(span(9.6, 0.05), span(12.4, 0.1), span(12, 1)),
    )
    for groove in grooves:
        all_judged = {ring.key for ring in all_sizes() if assess(ring, groove).verdict is not Verdict.WILL_NOT}
        found = [one.ring.key for one in rings_for(groove)]
        assert set(found) == all_judged
        assert found


def test_shelf_goes_first_among_equals() -> None:
    plain = rings_for(GROOVE)
    seals = [one for one in plain if one.verdict is Verdict.SEALS]
    last = seals[-1].ring.key
    again = rings_for(GROOVE, preferred={last})
    assert again[0].ring.key == last
    assert len(again) == len(plain)


def test_interchange_names_what_seals_and_what_only_looks_so() -> None:
    """-214 (24.99 × 3.53) overlaps 25 × 3.55, P25 and P25.5 in size; JIS P26 is near but hangs loose."""
    found = interchange(named("-214"), GROOVE)
    assert found.ring.verdict is Verdict.SEALS
    seals = {one.ring.label for one in found.seals}
    assert {"25 × 3.55", "JIS P25"} <= seals
    assert "AS568-214" not in seals
    near = {one.sealing.ring.label: one for one in found.look_alikes}
    assert "JIS P26" in near
    assert near["JIS P26"].why.verdict is not Verdict.SEALS
    assert seals.isdisjoint(near)


@pytest.mark.parametrize(
    ("build", "words"),
    [
        (lambda: piston(span(31.1), span(4.8), bore=span(25.4)), "must be smaller than the bore"),
        (lambda: piston(span(25.4), span(4.8)), "either the bore or the depth"),
        (lambda: piston(span(25.4), span(4.8), bore=span(31), depth=span(2.8)), "not both"),
        (lambda: piston(span(0), span(4.8), bore=span(31)), "above zero"),
        (lambda: face_inside(span(5), span(2), span(3)), "does not fit inside"),
        (lambda: port(span(10), span(14), span(60)), "0 and 45"),
        (lambda: span(3, -1), "without a sign"),
        (lambda: span(float("nan")), "must be numbers"),
        (lambda: between(3, 2), "swap the two"),
        (lambda: Service(volume_swell=-100).ring_factor, "no ring"),
        (lambda: Service(temperature_c=900).ring_factor, "outside what rubber meets"),
    ],
)
def test_bad_input_gets_one_sentence(build: object, words: str) -> None:
    assert callable(build)
    with pytest.raises(ValueError, match=words):
        build()


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from(all_sizes()),
    st.integers(-12, 12),
    st.sampled_from(list(KINDS)),
    st.sampled_from([None, 0.04, 0.2]),
)
def test_the_verdict_alone_is_the_judgements_own(old: RingSize, step: int, kind: JointKind, play: float | None) -> None:
    places = all_sizes()
    ring = places[min(max(places.index(old) + step, 0), len(places) - 1)]
    for seat in seats(old, kind):
        groove = seat.groove._replace(play=play)
        assert verdict_of(ring, groove) is assess(ring, groove).verdict
