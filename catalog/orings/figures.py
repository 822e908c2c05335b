"""The figures of a ring in a groove as exact worst cases: squeeze, stretch, loss of width, fill.

Every figure is the lowest, nominal and highest over the whole box of tolerances, found by calculus, never by sampling:
at a corner where the figure rises or falls with each dimension alone, and at the turning points inside where it does
not. Only one case is not monotone: between two diameters (piston, rod, port) a larger inner diameter both narrows the
gap and stretches the ring thinner, and the loss of width steps down at 3 % stretch. See `_quotients`.

Play is no tolerance: a loaded part lies pushed over all the time (MIL-G-5514 3.6.2 counts clearances, eccentricities
and side loads beside the tolerances). So squeeze is reckoned at both sides: where the gap is open by half the diametral
play (`Figures.opened`) and where it is closed by half of it (`Figures.closed`). Stretch and fill are the whole ring's
and stay.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import cbrt, cos, pi, radians, sin
from typing import NamedTuple

from catalog.orings.groove import Groove, GrooveKind
from catalog.orings.sizes import RingSize
from catalog.orings.span import Range
from catalog.orings.stretch import LOSS_ABOVE_SEAM, LOSS_BELOW_SEAM, SEAM, loss_limits, pieces_within, section_loss

ROOM_TEMPERATURE_C = 20.0


class Service(NamedTuple):
    """What the ring meets at work. All optional; what is left out is taken as at the bench.

    `volume_swell`: percent change of the rubber's volume in the fluid (ISO 1817), negative where it shrinks.
    `temperature_c`: working temperature. Expansions are linear, per kelvin: NBR about 1.1e-4 to 1.6e-4, steel 1.2e-5
    (both from memory). `pressure_bar`, `shore_a`: for the extrusion gap.
    """

    volume_swell: float = 0.0
    temperature_c: float = ROOM_TEMPERATURE_C
    rubber_expansion: float = 1.6e-4
    metal_expansion: float = 1.2e-5
    pressure_bar: float | None = None
    shore_a: int = 70

    @property
    def ring_factor(self) -> float:
        """Free ring in service over free ring as bought, linear: (1 + V)^(1/3) · (1 + α·ΔT).

        Raises ValueError for a swell or a temperature that cannot be.
        """
        if self.volume_swell <= -100:
            raise ValueError(f"A volume change of {self.volume_swell:g} % leaves no ring; type for example 10 or -5.")
        if not -200 <= self.temperature_c <= 400:
            raise ValueError(f"{self.temperature_c:g} °C is outside what rubber meets; type a temperature in °C.")
        return cbrt(1 + self.volume_swell / 100) * (1 + self.rubber_expansion * self._warmer)

    @property
    def metal_factor(self) -> float:
        """Groove in service over groove at the bench, linear."""
        return 1 + self.metal_expansion * self._warmer

    @property
    def _warmer(self) -> float:
        return self.temperature_c - ROOM_TEMPERATURE_C


class Figures(NamedTuple):
    """What the ring does in the groove. Percent unless the name ends in `_mm`; None where the kind has no such figure.

    `stretch` is over the diameter it is pulled on (percent of ID, negative: loose). `od_compression` is percent of OD
    by which the groove's outer diameter holds the ring in (negative: a gap). `section_mm` is the width after stretch.

    `opened`, `centred` and `closed`: the squeeze where the part's play opens the gap, with the part in the middle, and
    where the play closes the gap; the same where there is no play. `squeeze` tells both sides: least and nominal of the
    open one, most of the closed one. `squeeze_mm` and `depth_mm` likewise: their nominal is the open side's.
    """

    squeeze: Range
    squeeze_mm: Range
    stretch: Range | None
    od_compression: Range | None
    width_loss: Range
    section_mm: Range
    fill: Range | None
    depth_mm: Range
    opened: Range
    centred: Range
    closed: Range


def squeeze_range(section: Range, depth: Range) -> Range:
    """Percent squeeze 100·(1 − depth/section) of a section in a gap, both mm, each free in its own limits.

    Falls with depth, rises with section: the corners are exact.
    """
    return Range(
        100 * (1 - depth.maximum / section.minimum),
        100 * (1 - depth.nominal / section.nominal),
        100 * (1 - depth.minimum / section.maximum),
    )


def section_fill(section: Range, depth: Range, width: Range) -> Range:
    """Percent of the groove's cross-section that a round ring's takes: (π/4·section²)/(depth·width), corners exact.

    The handbook's figure, for a groove whose diameters are not known.
    """
    return Range(
        25 * pi * section.minimum**2 / (depth.maximum * width.maximum),
        25 * pi * section.nominal**2 / (depth.nominal * width.nominal),
        25 * pi * section.maximum**2 / (depth.minimum * width.minimum),
    )


def figures(ring: RingSize, groove: Groove, service: Service | None = None) -> Figures:
    """The figures of `ring` in `groove`, as fitted, or in service when a service is given."""
    grown, metal = (service.ring_factor, service.metal_factor) if service else (1.0, 1.0)
    inside, width = (one.scaled(grown) for one in as_made(ring))
    groove = _warmed(groove, metal) if metal != 1.0 else groove
    stretch = None if groove.inner is None else stretch_on(inside, groove.inner)
    loss = _loss(stretch)
    section = _thinned(width, loss)
    pushed = groove.pushed_mm
    length = _squeeze_mm(inside, width, section, groove)
    opened, centred, closed = _sides(inside, width, section, groove)
    return Figures(
        Range(opened.squeeze.minimum, opened.squeeze.nominal, closed.squeeze.maximum),
        # In mm a gap that is wider by so much squeezes by so much less: no side needs reckoning anew.
        Range(length.minimum - pushed / 2, length.nominal - pushed / 2, length.maximum + pushed / 2),
        stretch,
        od_compression(inside, width, groove),
        loss,
        section,
        fill(inside, width, groove),
        Range(closed.depth.minimum, opened.depth.nominal, opened.depth.maximum),
        opened.squeeze,
        centred.squeeze,
        closed.squeeze,
    )


def as_made(ring: RingSize) -> tuple[Range, Range]:
    """ID and width in mm, with their tolerances."""
    id_mm, id_tol, width, width_tol = ring.id_mm, ring.id_tol_mm, ring.cross_section_mm, ring.cross_section_tol_mm
    return Range(id_mm - id_tol, id_mm, id_mm + id_tol), Range(width - width_tol, width, width + width_tol)


def _thinned(width: Range, loss: Range) -> Range:
    """The width, mm, after such losses in percent."""
    return Range(
        width.minimum * (1 - loss.maximum / 100),
        width.nominal * (1 - loss.nominal / 100),
        width.maximum * (1 - loss.minimum / 100),
    )


class Side(NamedTuple):
    """Depth in mm and squeeze in percent at one side of a part."""

    depth: Range
    squeeze: Range


def sides(inside: Range, width: Range, groove: Groove, stretch: Range | None) -> tuple[Side, Side, Side]:
    """Where the play opens the gap, with the part in the middle, and where it closes it; `stretch` of the ring."""
    # Between two diameters the ring's own ID says how much width it has left.
    section = width if groove.depth is None else _thinned(width, _loss(stretch))
    return _sides(inside, width, section, groove)


def rough_sides(width: Range, groove: Groove, stretch: Range) -> tuple[Side, Side, Side]:
    """As `sides`, between two diameters: the exact depths, and squeezes whose limits hold the exact ones, at once."""
    section, pushed = _thinned(width, _loss(stretch)), groove.pushed_mm

    def side(by: float) -> Side:
        depth = _depth(*_diameters(groove, by))
        return Side(depth, squeeze_range(section, depth))

    centred = side(0.0)
    return (side(pushed), centred, side(-pushed)) if pushed else (centred, centred, centred)


def _sides(inside: Range, width: Range, section: Range, groove: Groove) -> tuple[Side, Side, Side]:
    pushed = groove.pushed_mm
    centred = opened = closed = _gap(inside, width, section, groove, 0.0)
    if pushed:
        opened = _gap(inside, width, section, groove, pushed)
        closed = _gap(inside, width, section, groove, -pushed)
    return opened, centred, closed


def _gap(inside: Range, width: Range, section: Range, groove: Groove, pushed: float) -> Side:
    """Depth and squeeze at the side that is open by half of `pushed`, mm on diameter; closed where that is below 0."""
    if groove.depth is None:
        # Half of the difference of two diameters: the outer one larger by `pushed` is the same gap.
        return _between_diameters(inside, width, groove, pushed)
    # The gap does not depend on the diameters, so section and depth are free of each other.
    depth = Range(*(value + pushed / 2 for value in groove.depth))
    return Side(depth, squeeze_range(section, depth))


def _squeeze_mm(inside: Range, width: Range, section: Range, groove: Groove) -> Range:
    """Squeeze in mm with the part in the middle."""
    if (depth := groove.depth) is not None:
        return Range(section.minimum - depth.maximum, section.nominal - depth.nominal, section.maximum - depth.minimum)
    inner, outer, factor = _diameters(groove, 0.0)
    tight, loose = _corners(width, factor, outer)
    kept = 1 - section_loss(100 * (inner.nominal / inside.nominal - 1)) / 100
    return _around(
        min(_differences(*loose, inside, inner, least_loss=False)),
        width.nominal * kept - factor.nominal * (outer.nominal - inner.nominal) / 2,
        max(_differences(*tight, inside, inner, least_loss=True)),
    )


def nominal_depth(groove: Groove) -> float:
    """The width in mm that the groove leaves a round ring, all dimensions nominal."""
    if groove.depth is not None:
        return groove.depth.nominal
    assert groove.inner is not None
    assert groove.outer is not None
    factor = 1.0 if groove.chamfer is None else _chamfer_factor(groove.chamfer.nominal)
    return factor * (groove.outer.nominal - groove.inner.nominal) / 2


def _warmed(groove: Groove, factor: float) -> Groove:
    def grown(value: Range | None) -> Range | None:
        return None if value is None else value.scaled(factor)

    return groove._replace(
        inner=grown(groove.inner), outer=grown(groove.outer), depth=grown(groove.depth), width=grown(groove.width),
        clearance=None if groove.clearance is None else groove.clearance * factor,
        play=None if groove.play is None else groove.play * factor,
    )  # fmt: skip


def stretch_on(inside: Range, seat: Range) -> Range:
    """Percent of stretch of a ring of this ID on a diameter, both mm."""
    # Rises with the seat, falls with the ID: corners.
    return Range(
        100 * (seat.minimum / inside.maximum - 1),
        100 * (seat.nominal / inside.nominal - 1),
        100 * (seat.maximum / inside.minimum - 1),
    )


def _loss(stretch: Range | None) -> Range:
    if stretch is None:
        return Range(0.0, 0.0, 0.0)
    low, high = loss_limits(stretch.minimum, stretch.maximum)
    return Range(low, section_loss(stretch.nominal), high)


def od_compression(inside: Range, width: Range, groove: Groove) -> Range | None:
    """Percent by which the groove holds the OD in; None where it does not touch it."""
    if groove.kind not in (GrooveKind.ROD, GrooveKind.FACE_INSIDE):
        return None
    outer = groove.outer
    if outer is None:
        assert groove.inner is not None
        assert groove.depth is not None
        outer = Range(*(rod + 2 * gap for rod, gap in zip(groove.inner, groove.depth, strict=True)))
    # Rises with the ring's OD, falls with the groove's: corners.
    return Range(
        100 * (1 - outer.maximum / (inside.minimum + 2 * width.minimum)),
        100 * (1 - outer.nominal / (inside.nominal + 2 * width.nominal)),
        100 * (1 - outer.minimum / (inside.maximum + 2 * width.maximum)),
    )


def _groove_volume(groove: Groove, inner: float, outer: float, depth: float, width: float) -> float:
    """mm³. Rises with outer, depth and width, falls with inner where outer is given and rises where depth is.

    A face groove measured at its OD rises with width because the width stays below half that OD (`face_inside`).
    """
    if groove.kind is GrooveKind.FACE_INSIDE:
        return pi * width * depth * (outer - width)
    if groove.kind is GrooveKind.FACE_OUTSIDE:
        return pi * width * depth * (inner + width)
    if groove.depth is not None:
        return pi * width * depth * (inner + depth)
    return pi / 4 * width * (outer * outer - inner * inner)


def fill(inside: Range, width: Range, groove: Groove) -> Range | None:
    """Ring volume over groove volume. Stretching keeps the ring's volume, so no loss of width enters."""
    if groove.width is None:
        return None  # a port's chamfer opens into the thread's relief: its volume is not the groove's
    none = Range(0.0, 0.0, 0.0)
    inner, outer, depth = (value or none for value in (groove.inner, groove.outer, groove.depth))
    smallest_inner, largest_inner = (
        (inner.minimum, inner.maximum) if groove.depth is not None else (inner.maximum, inner.minimum)
    )
    rooms = (
        _groove_volume(groove, largest_inner, outer.maximum, depth.maximum, groove.width.maximum),
        _groove_volume(groove, inner.nominal, outer.nominal, depth.nominal, groove.width.nominal),
        _groove_volume(groove, smallest_inner, outer.minimum, depth.minimum, groove.width.minimum),
    )
    low, nominal, high = (
        25 * pi * pi * w * w * (d + w) / room for d, w, room in zip(inside, width, rooms, strict=True)
    )
    return Range(low, nominal, high)


def _chamfer_factor(angle: float) -> float:
    """Width that a chamfer leaves a round ring, over the radial gap at its mouth.

    The circle that touches the neck, the flange and a cone `angle` degrees from the axis has the diameter
    gap · 2cos a/(1 + cos a + sin a) (own geometry). It falls as the angle grows, up to 45°.
    """
    a = radians(angle)
    return 2 * cos(a) / (1 + cos(a) + sin(a))


def _diameters(groove: Groove, pushed: float) -> tuple[Range, Range, Range]:
    """Inner and outer diameter, the outer one larger by `pushed`, and the factor of a port's chamfer."""
    inner, outer = groove.inner, groove.outer
    assert inner is not None
    assert outer is not None
    factor = Range(1.0, 1.0, 1.0)
    if groove.chamfer is not None:
        factor = Range(
            _chamfer_factor(groove.chamfer.maximum),
            _chamfer_factor(groove.chamfer.nominal),
            _chamfer_factor(groove.chamfer.minimum),
        )
    return inner, Range(*(value + pushed for value in outer)) if pushed else outer, factor


def _corners(
    width: Range, factor: Range, outer: Range
) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    """Width, half the factor and outer diameter for most squeeze (widest ring, narrowest gap) and for least."""
    return (width.maximum, factor.minimum / 2, outer.minimum), (width.minimum, factor.maximum / 2, outer.maximum)


def _depth(inner: Range, outer: Range, factor: Range) -> Range:
    return Range(
        factor.minimum * (outer.minimum - inner.maximum) / 2,
        factor.nominal * (outer.nominal - inner.nominal) / 2,
        factor.maximum * (outer.maximum - inner.minimum) / 2,
    )


def _between_diameters(inside: Range, width: Range, groove: Groove, pushed: float) -> Side:
    """Depth and squeeze (percent) where the gap is half the difference of two diameters."""
    inner, outer, factor = _diameters(groove, pushed)
    depth = _depth(inner, outer, factor)
    kept = 1 - section_loss(100 * (inner.nominal / inside.nominal - 1)) / 100
    tight, loose = _corners(width, factor, outer)
    least_ratio = min(_quotients(*tight, inside, inner, least_loss=True))
    most_ratio = max(_quotients(*loose, inside, inner, least_loss=False))
    squeeze = Range(100 * (1 - most_ratio), 100 * (1 - depth.nominal / (width.nominal * kept)), 100 * (1 - least_ratio))
    return Side(depth, squeeze)


def _around(low: float, nominal: float, high: float) -> Range:
    # The nominal is inside the box; only rounding could put it a last digit outside.
    return Range(min(low, nominal), nominal, max(high, nominal))


def _quotients(
    width: float, half: float, outer: float, inside: Range, inner: Range, *, least_loss: bool
) -> Iterator[float]:
    """Values of gap/section that hold its extreme over inner diameter and ID, all other dimensions fixed.

    With d the ID, x the stretch in percent and inner = d(1 + x/100), the ratio is
    h(x) = half·(outer − d(1 + x/100)) / (width·(1 − R(x)/100)). For a fixed inner diameter h rises with the loss R,
    and R rises with x but for its step at 3 %; so the extreme lies on d = its limit, or at the step. Along d fixed,
    h' has the sign of k(x) = (outer − inner)·R' − d·(1 − R/100), and k' = (outer − inner)·R'' keeps one sign on each
    piece of the loss curve (outer > inner): k has at most one root a piece, found by halving.
    """
    d = inside.maximum if least_loss else inside.minimum

    def value(x: float, loss: float) -> float:
        return half * (outer - d * (1 + x / 100)) / (width * (1 - loss / 100))

    def turning(x: float, loss: float, slope: float) -> float:
        return (outer - d * (1 + x / 100)) * slope - d * (1 - loss / 100)

    yield from _along(value, turning, d, inner)
    for at, loss in _at_seam(inside, inner, least_loss=least_loss):
        yield half * (outer - at) / (width * (1 - loss / 100))


def _differences(
    width: float, half: float, outer: float, inside: Range, inner: Range, *, least_loss: bool
) -> Iterator[float]:
    """As `_quotients`, for section − gap: its slope along d fixed is (half·d − width·R')/100, one root a piece."""
    d = inside.maximum if least_loss else inside.minimum

    def value(x: float, loss: float) -> float:
        return width * (1 - loss / 100) - half * (outer - d * (1 + x / 100))

    def turning(_x: float, _loss: float, slope: float) -> float:
        return half * d - width * slope

    yield from _along(value, turning, d, inner)
    for at, loss in _at_seam(inside, inner, least_loss=least_loss):
        yield width * (1 - loss / 100) - half * (outer - at)


def _at_seam(inside: Range, inner: Range, *, least_loss: bool) -> Iterator[tuple[float, float]]:
    """Inner diameters where the ID's limits straddle the step at 3 %, at their useful end, with the loss there."""
    low, high = (inside.minimum * (1 + SEAM / 100), inside.maximum * (1 + SEAM / 100))
    first, last = max(inner.minimum, low), min(inner.maximum, high)
    if first <= last and (last > low or not least_loss):
        # Section and gap both ask for the largest inner diameter for most squeeze, the smallest for least.
        yield (last, LOSS_ABOVE_SEAM) if least_loss else (first, LOSS_BELOW_SEAM)


def _along(
    value: Callable[[float, float], float], turning: Callable[[float, float, float], float], d: float, inner: Range
) -> Iterator[float]:
    low, high = 100 * (inner.minimum / d - 1), 100 * (inner.maximum / d - 1)
    for piece in pieces_within(low, high):
        a, b = piece.low, piece.high
        yield value(a, piece.loss(a))
        yield value(b, piece.loss(b))
        at_a = turning(a, piece.loss(a), piece.slope(a))
        at_b = turning(b, piece.loss(b), piece.slope(b))
        if at_a * at_b < 0:
            for _ in range(60):
                middle = (a + b) / 2
                if turning(middle, piece.loss(middle), piece.slope(middle)) * at_a > 0:
                    a = middle
                else:
                    b = middle
            yield value(a, piece.loss(a))
