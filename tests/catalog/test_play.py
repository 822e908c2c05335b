"""A part pushed over: more play never seals better, and a margin's sign is its verdict's."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.orings.candidates import rings_for
from catalog.orings.figures import Service, figures
from catalog.orings.gland import Sealing, assess
from catalog.orings.groove import Groove, GrooveKind, Guiding, Motion, face_inside, guided, piston, port, rod
from catalog.orings.names import find
from catalog.orings.play import turns
from catalog.orings.sizes import RingSize, Series, all_sizes
from catalog.orings.span import span
from catalog.orings.verdict import Verdict
from catalog.standing import Standing

MOTIONS = tuple(Motion)


def ring(inside: float, width: float, inside_tol: float = 0.0, width_tol: float = 0.0) -> RingSize:
    return RingSize(Series.STOCK, "x", inside, inside_tol, width, width_tol, "", Standing.MEMORY, "")


def named(name: str) -> RingSize:
    found = find(name)
    assert found is not None
    return found


@st.composite
def glands(draw: st.DrawFn) -> tuple[RingSize, Groove]:
    """A ring and a radial groove around it, from no squeeze to far too much, by bore or by depth."""
    width = draw(st.floats(1.0, 7.0))
    inside = draw(st.floats(3 * width, 30 * width))
    one = ring(inside, width, draw(st.floats(0, 0.02)) * inside, draw(st.floats(0, 0.04)) * width)
    depth = width * draw(st.floats(0.5, 1.05))
    inner = inside * (1 + draw(st.floats(-0.02, 0.08)))
    off = draw(st.floats(0, 0.03)) * width
    wide = span(width * draw(st.floats(1.05, 1.6)), off / 2)
    motion = draw(st.sampled_from(MOTIONS))
    build = draw(st.sampled_from((piston, rod)))
    if draw(st.booleans()):
        return one, build(span(inner, off), wide, depth=span(depth, off), motion=motion)
    outer = span(inner + 2 * depth, off)
    if build is piston:
        return one, piston(span(inner, off), wide, bore=outer, motion=motion)
    return one, rod(span(inner, off), wide, groove_diameter=outer, motion=motion)


SERVICES = st.one_of(
    st.none(),
    st.builds(
        Service,
        volume_swell=st.floats(-10, 30),
        temperature_c=st.floats(-30, 150),
        rubber_expansion=st.just(1.6e-4),
        metal_expansion=st.just(1.2e-5),
        pressure_bar=st.one_of(st.none(), st.floats(0, 400)),
        shore_a=st.sampled_from((60, 70, 80, 90)),
    ),
)


@given(glands(), st.floats(0, 0.45), st.floats(0, 0.45), SERVICES, st.sampled_from(("play", "clearance")))
@settings(max_examples=300, deadline=None)
def test_more_play_never_seals_better(
    gland: tuple[RingSize, Groove], a: float, b: float, service: Service | None, name: str
) -> None:
    one, groove = gland
    judged = []
    for share in (0.0, *sorted((a, b))):
        gap = share * one.cross_section_mm
        pushed = groove._replace(play=gap) if name == "play" else groove._replace(clearance=gap)
        judged.append(assess(one, pushed, service=service))
    for less, more in pairwise(judged):
        assert less.verdict.rank <= more.verdict.rank
        assert less.margin >= more.margin - 1e-9
        assert less.squeeze.minimum >= more.squeeze.minimum - 1e-9
        assert less.squeeze.nominal >= more.squeeze.nominal - 1e-9
        assert less.squeeze.maximum <= more.squeeze.maximum + 1e-9
        assert (less.stretch, less.fill, less.od_compression) == (more.stretch, more.fill, more.od_compression)


def signs(sealing: Sealing) -> None:
    for margin, verdict in (
        (sealing.margin, sealing.verdict),
        *((reason.margin, reason.verdict) for reason in sealing.reasons),
    ):
        assert (margin >= 0) if verdict is Verdict.SEALS else (margin <= 0), (margin, verdict, sealing.reasons)


@given(glands(), st.floats(0, 0.3), SERVICES)
@settings(max_examples=300, deadline=None)
def test_a_margins_sign_is_its_verdicts(gland: tuple[RingSize, Groove], share: float, service: Service | None) -> None:
    one, groove = gland
    signs(assess(one, groove, service=service))
    signs(assess(one, groove._replace(clearance=share * one.cross_section_mm), service=service))


def test_every_size_in_a_few_grooves_has_the_sign_of_its_verdict() -> None:
    """Real sizes meet the limits as printed figures do, where a drawn one hardly ever stands on them."""
    grooves = (
        piston(span(25.4, 0.05), span(4.8, 0.1), bore=span(31.1, 0.05), clearance=0.1524),
        rod(span(30.0), span(4.8), groove_diameter=span(35.7), motion=Motion.RECIPROCATING, clearance=0.254),
        face_inside(span(40, 0.1), span(2.0, 0.05), span(3.6, 0.1)),
        port(span(9.6, 0.05), span(12.4, 0.1), span(12, 1)),
    )
    for groove in grooves:
        for one in all_sizes()[::7]:
            signs(assess(one, groove, service=Service(10, 90, pressure_bar=100)))


@given(
    width=st.integers(70, 275),
    gap=st.integers(50, 260),
    root=st.integers(400, 4000),
    off=st.integers(0, 5),
    play=st.integers(0, 20),
    motion=st.sampled_from(MOTIONS),
    psi=st.sampled_from((0, 500, 1000, 1500, 2000, 3000)),
)
@settings(max_examples=200, deadline=None)
def test_the_same_groove_in_inches_and_in_millimetres_has_the_same_verdict(
    width: int, gap: int, root: int, off: int, play: int, motion: Motion, psi: int
) -> None:
    """Thousandths of an inch, converted one by one, against the millimetres of the sums."""
    if gap >= width * 1.1 or play >= 2 * (gap - 2 * off):
        return

    def mm(thousandths: int) -> float:
        return thousandths * 0.0254

    one = ring(mm(root) / 1.02, mm(width), 0.0, mm(3))
    in_inches = piston(
        span(mm(root), mm(off)), span(mm(width) * 1.4), bore=span(mm(root) + 2 * mm(gap), mm(off)), motion=motion,
        clearance=mm(play),
    )  # fmt: skip
    in_mm = piston(
        span(root / 1000 * 25.4, off * 25.4 / 1000), span(width * 1.4 / 1000 * 25.4),
        bore=span((root + 2 * gap) * 25.4 / 1000, off / 1000 * 25.4), motion=motion, clearance=play / 1000 * 25.4,
    )  # fmt: skip
    first = assess(one, in_inches, service=Service(pressure_bar=psi * 0.0689475729316836))
    other = assess(one, in_mm, service=Service(pressure_bar=psi * 6894.757293168361 / 100_000))
    assert first.verdict is other.verdict
    assert first.margin == pytest.approx(other.margin, abs=1e-6)
    assert [(one.about, one.verdict) for one in first.reasons] == [(one.about, one.verdict) for one in other.reasons]


@given(glands(), SERVICES)
@settings(max_examples=40, deadline=None)
def test_the_turning_play_is_where_the_verdict_turns(gland: tuple[RingSize, Groove], service: Service | None) -> None:
    one, groove = gland
    last = assess(one, groove, service=service).verdict
    found = turns(one, groove, service=service)
    if last is not Verdict.WILL_NOT:
        assert found[-1].verdict is Verdict.WILL_NOT
    for turn in found:
        if turn.play_mm > 1e-6:
            assert assess(one, groove._replace(play=turn.play_mm * 0.999_999), service=service).verdict is last
        assert (
            assess(one, groove._replace(play=turn.play_mm * 1.000_001 + 1e-9), service=service).verdict is turn.verdict
        )
        last = turn.verdict
    assert turns(one, groove._replace(play=0.1)) == turns(one, groove._replace(centred=True)) == ()


@given(glands(), st.floats(0, 0.3))
@settings(max_examples=8, deadline=None)
def test_the_window_drops_nothing_that_seals_pushed_over(gland: tuple[RingSize, Groove], share: float) -> None:
    one, groove = gland
    pushed = groove._replace(play=share * one.cross_section_mm)
    found = {sealing.ring.key for sealing in rings_for(pushed)}
    assert found == {size.key for size in all_sizes() if assess(size, pushed).verdict is not Verdict.WILL_NOT}


def by_hand(inside: float, width: float, inner: float, gap: float) -> float:
    """Squeeze in percent of an exact ring by the handbook's loss above 3 % stretch (ORD 5700, as quoted, S05)."""
    stretch = 100 * (inner / inside - 1)
    assert 3 < stretch < 25
    section = width * (1 - (0.56 + 0.59 * stretch - 0.0046 * stretch**2) / 100)
    return 100 * (1 - gap / section)


def test_the_case_of_the_issue_by_hand() -> None:
    """AS568-219, 34 mm root, 40.3 mm bore: 3.15 mm deep, 3.35 on the open side and 2.95 on the closed one."""
    one = named("AS568-219")._replace(id_tol_mm=0.0, cross_section_tol_mm=0.0)
    groove = piston(span(34), span(4.8), bore=span(40.3), clearance=0.4)
    found = figures(one, groove)
    assert found.opened.nominal == pytest.approx(by_hand(one.id_mm, one.cross_section_mm, 34, 3.35), abs=1e-9)
    assert found.closed.nominal == pytest.approx(by_hand(one.id_mm, one.cross_section_mm, 34, 2.95), abs=1e-9)
    assert found.squeeze.nominal == pytest.approx(2.7, abs=0.05)
    assert found.squeeze.maximum == found.closed.maximum
    assert assess(named("AS568-219"), groove).verdict is Verdict.WILL_NOT
    assert assess(named("AS568-219"), guided(groove, centred=True)).verdict is Verdict.SEALS


def test_what_is_taken_of_the_play() -> None:
    groove = piston(span(34), span(4.8), bore=span(40.3))
    assert (groove.guiding, groove.pushed_mm) == (Guiding.UNKNOWN, 0.0)
    assert (guided(groove, clearance=0.4).guiding, guided(groove, clearance=0.4).pushed_mm) == (Guiding.CLEARANCE, 0.4)
    both = guided(groove, clearance=0.4, play=0.1)
    assert (both.guiding, both.pushed_mm) == (Guiding.PLAY, 0.1)
    assert guided(groove, clearance=0.4, centred=True).pushed_mm == 0.0
    face = face_inside(span(40), span(2.0), span(3.6), clearance=0.1)
    assert (face.guiding, face.pushed_mm) == (Guiding.NONE, 0.0)
    assert face.kind is GrooveKind.FACE_INSIDE


@pytest.mark.parametrize(
    ("given_", "words"),
    [
        ({"play": -0.1}, "must be 0 or more"),
        ({"clearance": float("nan")}, "must be 0 or more"),
        ({"play": 0.5, "clearance": 0.4}, "can't be more than the clearance"),
        ({"play": 7.0}, "whole depth"),
        ({"clearance": 6.3}, "whole depth"),
        ({"play": 0.1, "centred": True}, "not both"),
    ],
)
def test_a_play_that_can_not_be_gets_one_sentence(given_: dict[str, float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        guided(piston(span(34), span(4.8), bore=span(40.3)), **given_)  # type: ignore[arg-type]


def test_a_face_and_a_port_have_no_play() -> None:
    for groove in (face_inside(span(40), span(2.0), span(3.6)), port(span(9.6), span(12.4), span(12))):
        with pytest.raises(ValueError, match="has no play"):
            guided(groove, play=0.1)


# S12: 0.016 in on diameter to 500 psi at 70 Shore A. The row holds inches; 0.4064 mm is the same figure.
@pytest.mark.parametrize(("clearance", "verdict"), [(0.016 * 25.4, "seals"), (0.4064, "seals"), (0.4065, "will not")])
def test_a_printed_gap_is_allowed_and_the_next_tenth_is_not(clearance: float, verdict: str) -> None:
    groove = piston(span(25.4), span(4.8), bore=span(31.0), clearance=clearance, centred=True)
    found = assess(named("-214"), groove, service=Service(pressure_bar=500 * 0.0689475729316836))
    reason = next(one for one in found.reasons if one.about == "extrusion")
    assert reason.verdict == verdict
    assert "0.4064 mm (0.016 in) allowed" in reason.text
    assert (reason.margin >= 0) is (verdict == "seals")


def test_a_gap_too_wide_names_what_would_do() -> None:
    """S12: 1000 to 1500 psi, 0.006 in at 70 Shore A and 0.020 at 90. S01: .139 section, .208 and .275 in wide."""
    narrow = piston(span(25.4), span(4.8), bore=span(31.0), clearance=0.3, centred=True)
    text = assess(named("-214"), narrow, service=Service(pressure_bar=100)).reasons[0].text
    assert "ring of 90 Shore A bridges up to 0.508 mm (0.02 in)" in text
    assert "5.28 mm wide with one back-up ring and 6.99 mm with two" in text
    assert "no room for any" in text
    wide = narrow._replace(width=span(5.5))
    assert "room for one" in assess(named("-214"), wide, service=Service(pressure_bar=100)).reasons[0].text
    none = assess(named("-214"), narrow, service=Service(pressure_bar=200)).reasons[0].text
    assert "no hardness of the tables" in none.lower()
    odd = ring(24.9, 3.31)
    said = assess(odd, narrow, service=Service(pressure_bar=200)).reasons[0].text
    assert "close the gap" in said
