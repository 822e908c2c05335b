"""The worst cases are exact: they bound every draw, some draw comes near them, and the traps of the loss of width."""

from __future__ import annotations

import random
from math import cbrt, pi, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.orings import stretch
from catalog.orings.figures import Service, figures
from catalog.orings.groove import Groove, GrooveKind, face_inside, face_outside, piston, port, rod
from catalog.orings.sizes import RingSize, Series
from catalog.orings.span import Range, between, span
from catalog.standing import Standing

# The published forms again, written apart from the code (handbook ORD 5700 as quoted in public code, S05).


def loss_by_the_book(s: float) -> float:
    if s <= 0:
        return 0.0
    if s <= 3:
        return max(0.0, -0.005 + 1.19 * s - 0.19 * s**2 - 0.001 * s**3 + 0.008 * s**4)
    if s <= 25:
        return 0.56 + 0.59 * s - 0.0046 * s**2
    return max(0.56 + 0.59 * 25 - 0.0046 * 625, 100 * (1 - 1 / sqrt(1 + s / 100)))


@pytest.mark.parametrize(
    ("s", "loss"), [(1, 1.002), (2, 1.735), (3, 2.476), (5, 3.395), (10, 6.000), (25, 12.435)]
)  # NOTES: computed from S05 S06
def test_loss_of_width(s: float, loss: float) -> None:
    assert stretch.section_loss(s) == pytest.approx(loss, abs=0.0006)


@pytest.mark.parametrize(("s", "loss"), [(1, 0.496), (2, 0.985), (3, 1.467), (5, 2.410), (10, 4.654), (25, 10.557)])
def test_constant_volume(s: float, loss: float) -> None:  # NOTES, S11
    assert stretch.constant_volume_loss(s) == pytest.approx(loss, abs=0.0006)


def test_trap_1_the_seam_and_zero() -> None:
    assert stretch.section_loss(3) == pytest.approx(2.476, abs=0.0005)
    assert stretch.section_loss(3 + 1e-6) == pytest.approx(2.289, abs=0.0005)
    assert stretch.section_loss(0.001) == 0.0
    assert stretch.section_loss(0) == stretch.section_loss(-5) == 0.0


def test_trap_2_outside_the_formulas() -> None:
    assert "25 %" in (stretch.doubt(1, 26) or "")
    assert "loose" in (stretch.doubt(-1, 2) or "")
    assert stretch.doubt(0, 25) is None
    losses = [stretch.section_loss(s / 10) for s in range(31, 600)]
    assert losses == sorted(losses)  # never falls beyond the seam, nor where constant volume takes over


def test_trap_3_the_constant_is_in_percent() -> None:
    """Taken as fractions the low form is −0.00005 + 1.19X …: at 1 % it loses 1.0 %, not 1.5 %."""
    assert stretch.section_loss(1.0) < 1.05


def ring(inside: float, width: float, inside_tol: float = 0.0, width_tol: float = 0.0) -> RingSize:
    return RingSize(Series.STOCK, "x", inside, inside_tol, width, width_tol, "", Standing.MEMORY, "")


def draw(rng: random.Random, value: Range) -> float:
    # One in four draws sits on a limit, where the extremes mostly are.
    chance = rng.random()
    if chance < 0.125:
        return value.minimum
    return value.maximum if chance < 0.25 else rng.uniform(value.minimum, value.maximum)


def by_hand(inside: float, width: float, kind: GrooveKind, inner: float, outer: float) -> tuple[float, float]:
    """Squeeze in percent and in mm of one exact ring between two exact diameters."""
    section = width * (1 - loss_by_the_book(100 * (inner / inside - 1)) / 100)
    gap = (outer - inner) / 2
    return 100 * (1 - gap / section), section - gap


def check_radial(one: RingSize, groove: Groove, draws: int, seed: int) -> tuple[Range, float, float]:
    rng = random.Random(seed)
    found = figures(one, groove)
    assert groove.inner is not None
    assert groove.outer is not None
    assert groove.width is not None
    assert found.fill is not None
    lowest, highest = 1e9, -1e9
    for _ in range(draws):
        inside = draw(rng, span(one.id_mm, one.id_tol_mm))
        width = draw(rng, span(one.cross_section_mm, one.cross_section_tol_mm))
        inner, outer = draw(rng, groove.inner), draw(rng, groove.outer)
        squeeze, squeeze_mm = by_hand(inside, width, groove.kind, inner, outer)
        assert found.squeeze.minimum - 1e-9 <= squeeze <= found.squeeze.maximum + 1e-9
        assert found.squeeze_mm.minimum - 1e-9 <= squeeze_mm <= found.squeeze_mm.maximum + 1e-9
        fill = 25 * pi * pi * width**2 * (inside + width) / (pi / 4 * draw(rng, groove.width) * (outer**2 - inner**2))
        assert found.fill.minimum - 1e-9 <= fill <= found.fill.maximum + 1e-9
        lowest, highest = min(lowest, squeeze), max(highest, squeeze)
    return found.squeeze, lowest, highest


@given(
    inside=st.floats(1.0, 120.0),
    width=st.floats(0.8, 8.0),
    pull=st.floats(-4.0, 30.0),
    gap=st.floats(0.6, 0.95),
    loose=st.floats(0.0, 0.05),
    seed=st.integers(0, 2**32),
)
@settings(max_examples=100, deadline=None)
def test_worst_cases_bound_every_draw(
    inside: float, width: float, pull: float, gap: float, loose: float, seed: int
) -> None:
    """100 grooves × 100 draws; tiny rings (where the gap is not monotone) and the step at 3 % come up often."""
    inner = inside * (1 + pull / 100)
    one = ring(inside, width, loose * inside / 2, loose * width / 2)
    groove = piston(
        span(inner, loose * width), span(1.4 * width, loose), bore=span(inner + 2 * gap * width, loose * width)
    )
    check_radial(one, groove, 100, seed)


@pytest.mark.parametrize(
    ("one", "groove"),
    [
        # AS568-214 over a root about 3 % larger: the step is inside the box.
        (ring(24.99, 3.53, 0.25, 0.10), piston(span(25.74, 0.1), span(4.8, 0.1), bore=span(31.5, 0.1))),
        # AS568-001 (0.74 × 1.02): so small that a larger root squeezes it less.
        (ring(0.74, 1.02, 0.10, 0.08), rod(span(0.76, 0.05), span(1.5, 0.05), groove_diameter=span(2.3, 0.05))),
    ],
)
def test_ten_thousand_draws_come_near_the_worst_case(one: RingSize, groove: Groove) -> None:
    worst, lowest, highest = check_radial(one, groove, 10_000, 20)
    assert lowest - worst.minimum < 0.02 * worst.width
    assert worst.maximum - highest < 0.02 * worst.width


def test_turning_point_inside_the_box_is_found() -> None:
    """A tiny ring squeezed least inside the root's limits, not at an end: a dense search finds what the figure says."""
    one, groove = ring(0.8, 0.6), piston(between(0.801, 0.824), span(1.0), bore=span(1.7))
    assert groove.inner is not None
    found = figures(one, groove)
    steps = [groove.inner.minimum + (groove.inner.maximum - groove.inner.minimum) * n / 20_000 for n in range(20_001)]
    values = [by_hand(0.8, 0.6, groove.kind, inner, 1.7)[0] for inner in steps]
    assert max(values) == pytest.approx(found.squeeze.maximum, abs=2e-3)
    assert min(values) == pytest.approx(found.squeeze.minimum, abs=2e-3)
    corners = [values[0], values[-1]]
    assert found.squeeze.minimum < min(corners) - 0.01


KINDS = (
    piston(span(25.5, 0.05), span(4.8, 0.1), bore=span(31.2, 0.05)),
    piston(span(25.5, 0.05), span(4.8, 0.1), depth=span(2.85, 0.05)),
    rod(span(25.2, 0.05), span(4.8, 0.1), groove_diameter=span(31.0, 0.05)),
    face_inside(span(31.9, 0.1), span(2.7, 0.05), span(4.8, 0.1)),
    face_outside(span(25.3, 0.1), span(2.7, 0.05), span(4.8, 0.1)),
    port(span(26.0, 0.05), span(33.0, 0.1), span(12, 1)),
)
RING = ring(24.99, 3.53, 0.25, 0.10)


def scaled(groove: Groove, factor: float) -> Groove:
    def grown(value: Range | None) -> Range | None:
        return None if value is None else value.scaled(factor)

    return groove._replace(
        inner=grown(groove.inner), outer=grown(groove.outer), depth=grown(groove.depth), width=grown(groove.width)
    )


@given(factor=st.floats(0.05, 20.0), index=st.integers(0, len(KINDS) - 1))
@settings(max_examples=60, deadline=None)
def test_scale_changes_no_percentage(factor: float, index: int) -> None:
    big = ring(*(value * factor for value in (24.99, 3.53, 0.25, 0.10)))
    plain, grown = figures(RING, KINDS[index]), figures(big, scaled(KINDS[index], factor))
    for name in ("squeeze", "stretch", "od_compression", "width_loss", "fill"):
        a, b = getattr(plain, name), getattr(grown, name)
        assert (a is None) == (b is None)
        if a is not None:
            assert b == pytest.approx(a, rel=1e-6, abs=1e-6)
    assert grown.squeeze_mm == pytest.approx(plain.squeeze_mm.scaled(factor), rel=1e-6, abs=1e-9)


@given(a=st.floats(-20, 60), b=st.floats(-20, 60), index=st.integers(0, len(KINDS) - 2))
@settings(max_examples=60, deadline=None)
def test_more_swell_never_lowers_fill(a: float, b: float, index: int) -> None:
    low, high = sorted((a, b))
    less, more = (figures(RING, KINDS[index], Service(volume_swell=swell)).fill for swell in (low, high))
    assert less is not None
    assert more is not None
    assert all(x <= y + 1e-9 for x, y in zip(less, more, strict=True))


@pytest.mark.parametrize(("volume", "linear"), [(5, 1.64), (10, 3.23), (20, 6.27), (-5, -1.70)])
def test_swell_is_the_cube_root(volume: float, linear: float) -> None:  # NOTES: (1 + V)^(1/3) − 1, ISO 1817
    assert 100 * (Service(volume_swell=volume).ring_factor - 1) == pytest.approx(linear, abs=0.005)


def test_temperature_grows_rubber_more_than_metal() -> None:
    hot = figures(RING, KINDS[3], Service(temperature_c=120))
    cold = figures(RING, KINDS[3], Service(temperature_c=-30))
    assert hot.squeeze.nominal > figures(RING, KINDS[3]).squeeze.nominal > cold.squeeze.nominal
    # 100 K at 1.6e-4 and 1.2e-5 per K: depth and width to four digits, by hand.
    assert hot.squeeze.nominal == pytest.approx(100 * (1 - 2.7 * 1.0012 / (3.53 * 1.016)), abs=1e-6)
    assert cbrt(1.0) == 1.0


def test_chamfer_leaves_the_inscribed_circle() -> None:
    """A circle that touches neck, flange and cone: checked by its distances, not by the formula."""
    groove = port(span(10.0), span(14.0), span(15.0))
    diameter = figures(RING._replace(id_mm=9.9, id_tol_mm=0), groove).depth_mm.nominal
    radius = diameter / 2
    # Cone through (7, 0), 15° from the axis, narrowing downward: distance from the circle's centre (5 + r, r).
    from math import cos, radians, tan

    distance = (7.0 - radius * tan(radians(15)) - (5.0 + radius)) * cos(radians(15))
    assert distance == pytest.approx(radius, rel=1e-12)
    assert figures(RING, port(span(10.0), span(14.0), span(0.0))).depth_mm.nominal == pytest.approx(2.0)
