"""How well a ring explains the readings: the probability density of the readings, in closed form.

Readings are m = H·d + wear + error, with d = (ID, width). H holds ID (1, 0), OD (1, 2), width (0, 1), inner
circumference (π, 0) and cut length (π, π). Reading errors and wear are normal (JCGM 100, Type B: a limit ±a counts as
variance a²/3). The ring as made lies towards the middle of its tolerance: normal with a standard deviation of half
the tolerance, cut at the tolerance. The product of the two is an error function in each dimension; where the readings
tie ID and width together a little, the tetrachoric series, and where they tie them much, an error function in one
dimension and a fixed Gauss-Legendre rule of 8 or 16 points in the other. Nothing is sampled.

Uncut, its tails would name a size for rings that are out of tolerance to every standard. Even over the tolerance, an
exactly nominal reading would not name its own size (`tests.bench.identify` compares shapes).
"""

from __future__ import annotations

from math import exp, inf, log, pi, sqrt
from typing import NamedTuple

from catalog.orings.condition import FREE_FACE_DOUBT, WEAR, set_signs, spread_sign
from catalog.orings.evidence import Condition, Dimension, Evidence, Reading, Tool
from catalog.uncertainty import (
    SQRT_2PI,
    gauss_legendre,
    limit_variance,
    normal_between,
    normal_rectangle,
    rectangle_terms,
)

GEOMETRY: dict[Dimension, tuple[float, float]] = {
    Dimension.ID: (1.0, 0.0),
    Dimension.OD: (1.0, 2.0),
    Dimension.WIDTH: (0.0, 1.0),
    Dimension.AROUND: (pi, 0.0),
    Dimension.CUT_LENGTH: (pi, pi),
}
LOG_2PI = log(2.0 * pi)
# Rings as made: a normal of this many standard deviations to the tolerance, cut there.
CUT = 2.0
# The mean over the box of exp(-½(CUT·t)²) is the share that the cut normal keeps of even density: its reciprocal.
_PEAK = 2.0 * CUT / (SQRT_2PI * normal_between(-CUT, CUT))
LOG_PEAK = log(_PEAK)
# Fingers that hold a soft ring, and the jaws, press it in: an OD reads small by so much. Measured on ten rings of
# 15.8 × 2.4 by three persons (HANDREAD in SOURCES.md); other sizes are taken as alike, which their limit allows for.
PRESSED_IN_MM = 0.09
_JAWS = (Tool.CALIPER, Tool.MICROMETER)

# The ring that is of no standard: any ID and width in these ranges, equally likely by ratio.
ANY_ID_MM = (0.5, 1000.0)
ANY_WIDTH_MM = (0.5, 20.0)


class Terms(NamedTuple):
    """The evidence as vectors: one entry a reading. `values` are freed of what the hand takes off (`pressed_in`)."""

    values: tuple[float, ...]
    per_id: tuple[float, ...]
    per_width: tuple[float, ...]
    error_variance: tuple[float, ...]
    set_sign: tuple[float, ...]
    spread_sign: tuple[float, ...]
    evidence: Evidence


class Fit(NamedTuple):
    """The readings' log density around a nominal size, as a quadratic in the deviation (x, y) of ID and width.

    -½ (rest - 2·ux·x - 2·uy·y + xx·x² + 2·xy·x·y + yy·y²) + log_scale.
    """

    xx: float
    xy: float
    yy: float
    ux: float
    uy: float
    rest: float
    log_scale: float
    readings: int


def pressed_in(reading: Reading) -> float:
    """By how many mm jaws and fingers make this reading too small; 0 where its ± was stated."""
    return PRESSED_IN_MM if reading.dimension is Dimension.OD and reading.tool in _JAWS else 0.0


def terms(evidence: Evidence) -> Terms:
    """The evidence as vectors."""
    readings = evidence.readings
    return Terms(
        tuple(reading.value_mm + pressed_in(reading) for reading in readings),
        tuple(GEOMETRY[reading.dimension][0] for reading in readings),
        tuple(GEOMETRY[reading.dimension][1] for reading in readings),
        tuple(limit_variance(reading.plus_minus_mm) for reading in readings),
        set_signs(evidence),
        tuple(spread_sign(reading) for reading in readings),
        evidence,
    )


def expected(given: Terms, id_mm: float, width_mm: float) -> list[float]:
    """What each instrument is expected to show, in mm, on a ring made `id_mm` × `width_mm` in the given condition."""
    wear = WEAR[given.evidence.condition]
    return [
        (h1 * id_mm + h2 * width_mm) * (1.0 + wear.scale.mean)
        + (sign * wear.set.mean + spread * wear.spread.mean) * width_mm
        for h1, h2, sign, spread in zip(given.per_id, given.per_width, given.set_sign, given.spread_sign, strict=True)
    ]


def covariance(given: Terms, id_mm: float, width_mm: float) -> list[list[float]]:
    """Covariance in mm² of the readings around `expected`: reading errors on the diagonal, shared wear beside it."""
    wear = WEAR[given.evidence.condition]
    count = len(given.values)
    matrix = [[0.0] * count for _ in range(count)]
    scale = [
        (h1 * id_mm + h2 * width_mm) * wear.scale.deviation
        for h1, h2 in zip(given.per_id, given.per_width, strict=True)
    ]
    set_ = [sign * width_mm * wear.set.deviation for sign in given.set_sign]
    spread = [sign * width_mm * wear.spread.deviation for sign in given.spread_sign]
    for i in range(count):
        for j in range(i + 1):
            matrix[i][j] = matrix[j][i] = scale[i] * scale[j] + set_[i] * set_[j] + spread[i] * spread[j]
        matrix[i][i] += given.error_variance[i]
        if given.set_sign[i] > 0.0:
            matrix[i][i] += (FREE_FACE_DOUBT * (wear.set.mean + wear.set.deviation) * width_mm) ** 2
    return matrix


def fit(given: Terms, id_mm: float, width_mm: float) -> Fit:
    """The readings' log density around the nominal size `id_mm` × `width_mm`, in mm."""
    if given.evidence.condition is Condition.NEW:
        return _fit_new(given, id_mm, width_mm)
    count = len(given.values)
    misses = [value - mean for value, mean in zip(given.values, expected(given, id_mm, width_mm), strict=True)]
    xx = xy = yy = ux = uy = rest = log_det = 0.0
    rows: list[list[float]] = []
    solved: list[tuple[float, float, float]] = []
    matrix = covariance(given, id_mm, width_mm)
    for i in range(count):
        row: list[float] = []
        for j in range(i):
            entry = matrix[i][j]
            for k in range(j):
                entry -= row[k] * rows[j][k]
            row.append(entry / rows[j][j])
        pivot = sqrt(matrix[i][i] - sum(entry * entry for entry in row))
        row.append(pivot)
        rows.append(row)
        x, y, miss = given.per_id[i], given.per_width[i], misses[i]
        for entry, (px, py, pm) in zip(row, solved, strict=False):
            x -= entry * px
            y -= entry * py
            miss -= entry * pm
        x, y, miss = x / pivot, y / pivot, miss / pivot
        solved.append((x, y, miss))
        xx += x * x
        xy += x * y
        yy += y * y
        ux += x * miss
        uy += y * miss
        rest += miss * miss
        log_det += log(pivot)
    return Fit(xx, xy, yy, ux, uy, rest, -0.5 * count * LOG_2PI - log_det, count)


def _fit_new(given: Terms, id_mm: float, width_mm: float) -> Fit:
    """As `fit`, for a ring without wear: its readings are independent, so the sums need no covariance."""
    xx = xy = yy = ux = uy = rest = log_det = 0.0
    for value, h1, h2, variance in zip(given.values, given.per_id, given.per_width, given.error_variance, strict=True):
        miss = value - h1 * id_mm - h2 * width_mm
        x, y = h1 / variance, h2 / variance
        xx += h1 * x
        xy += h1 * y
        yy += h2 * y
        ux += x * miss
        uy += y * miss
        rest += miss * miss / variance
        log_det += log(variance)
    count = len(given.values)
    return Fit(xx, xy, yy, ux, uy, rest, -0.5 * (count * LOG_2PI + log_det), count)


def made_log_density(found: Fit, id_tol_mm: float, width_tol_mm: float) -> float:
    """Log density of the readings for a ring made within these tolerances (half-widths in mm), most near the middle."""
    along_width = found.yy + (CUT / width_tol_mm) ** 2
    if found.xx <= 0.0:
        return _line(found.rest, found.uy, along_width, width_tol_mm) + LOG_PEAK + found.log_scale
    along_id = found.xx + (CUT / id_tol_mm) ** 2
    if abs(found.xy) < 1e-12 * sqrt(found.xx * max(found.yy, 1e-300)) or found.yy <= 0.0:
        by_id = _line(0.0, found.ux, along_id, id_tol_mm)
        return by_id + _line(found.rest, found.uy, along_width, width_tol_mm) + 2.0 * LOG_PEAK + found.log_scale
    by_both = found._replace(xx=along_id, yy=along_width)
    return _plane(by_both, id_tol_mm, width_tol_mm) + 2.0 * LOG_PEAK + found.log_scale


def _line(rest: float, slope: float, square: float, half: float) -> float:
    """Log of the mean of exp(-½(rest - 2·slope·t + square·t²)) over |t| <= half."""
    if square <= 0.0:
        return -0.5 * rest
    root = sqrt(square)
    centre = slope / square
    inside = normal_between(root * (-half - centre), root * (half - centre))
    if inside <= 0.0:
        return -inf
    return -0.5 * (rest - slope * centre) + log(inside * SQRT_2PI / (root * 2.0 * half))


def _plane(found: Fit, id_half: float, width_half: float) -> float:
    """As `_line`, over both dimensions: a series where ID and width are hardly tied, else `_tied`."""
    across = found.xx * found.yy
    correlation = -found.xy / sqrt(across)
    terms = rectangle_terms(correlation)
    if not terms:
        return _tied(found, id_half, width_half)
    determinant = across - found.xy * found.xy
    at_id = (found.ux * found.yy - found.uy * found.xy) / determinant
    at_width = (found.uy * found.xx - found.ux * found.xy) / determinant
    by_id, by_width = sqrt(determinant / found.yy), sqrt(determinant / found.xx)
    inside = normal_rectangle(
        (by_id * (-id_half - at_id), by_id * (id_half - at_id)),
        (by_width * (-width_half - at_width), by_width * (width_half - at_width)),
        correlation,
        terms,
    )
    if inside <= 0.0:
        return -inf
    explained = found.ux * at_id + found.uy * at_width
    return -0.5 * (found.rest - explained) + log(inside * pi / (sqrt(determinant) * 2.0 * id_half * width_half))


def _tied(found: Fit, id_half: float, width_half: float) -> float:
    """As `_plane`: closed along the ID, Gauss-Legendre along the width."""
    root = sqrt(found.xx)
    lean = found.xy / found.xx
    square = max(found.yy - found.xy * lean, 0.0)
    slope = found.uy - found.ux * lean
    rest = found.rest - found.ux * found.ux / found.xx
    low, high = -width_half, width_half
    best = 0.0
    if square > 1e-9 * found.yy:
        centre, reach = slope / square, 7.0 / sqrt(square)
        low, high = max(low, centre - reach), min(high, centre + reach)
        if high <= low:
            return -inf
        best = min(max(centre, low), high)
    peak = 2.0 * slope * best - square * best * best
    middle, half = 0.5 * (low + high), 0.5 * (high - low)
    total = 0.0
    # Over a few standard deviations half the nodes are exact to five digits.
    for node, weight in gauss_legendre(8 if (high - low) * sqrt(square) <= 6.5 else 16):
        y = middle + half * node
        along = found.ux / found.xx - lean * y
        inside = normal_between(root * (-id_half - along), root * (id_half - along))
        if inside > 0.0:
            total += weight * inside * exp(0.5 * (2.0 * slope * y - square * y * y - peak))
    if total <= 0.0:
        return -inf
    return -0.5 * (rest - peak) + log(total * half * SQRT_2PI / (root * 4.0 * id_half * width_half))


def any_ring_log_density(given: Terms) -> tuple[float, Fit, float, float]:
    """Log density of the readings for a ring of no standard, with the fit and the ID and width in mm it was taken at.

    Any ID and width in range, equally likely by ratio: flat over the narrow region that the readings allow, so the
    integral over it is that of the normal density (Laplace's method, exact for a flat prior).
    """
    id_mm, width_mm = _start(given)
    for _ in range(3):
        found = fit(given, id_mm, width_mm)
        x, y = _peak(found)
        id_mm = min(max(id_mm + x, ANY_ID_MM[0]), ANY_ID_MM[1])
        width_mm = min(max(width_mm + y, ANY_WIDTH_MM[0]), ANY_WIDTH_MM[1])
    found = fit(given, id_mm, width_mm)
    x, y = _peak(found)
    misfit = max(found.rest - found.ux * x - found.uy * y, 0.0)
    id_density = 1.0 / (id_mm * log(ANY_ID_MM[1] / ANY_ID_MM[0]))
    width_density = 1.0 / (width_mm * log(ANY_WIDTH_MM[1] / ANY_WIDTH_MM[0]))
    determinant = found.xx * found.yy - found.xy * found.xy
    log_density = found.log_scale - 0.5 * misfit
    if determinant > 1e-9 * found.xx * found.yy and determinant > 0.0:
        log_density += LOG_2PI - 0.5 * log(determinant) + log(id_density * width_density)
    elif found.xx > 0.0:
        log_density += 0.5 * (LOG_2PI - log(found.xx)) + log(id_density)
    else:
        log_density += 0.5 * (LOG_2PI - log(found.yy)) + log(width_density)
    return log_density, found, id_mm, width_mm


def settles_both(found: Fit) -> bool:
    """Whether the readings fix ID and width both."""
    return found.xx * found.yy - found.xy * found.xy > 1e-9 * found.xx * found.yy > 0.0


def _peak(found: Fit) -> tuple[float, float]:
    """The deviation of ID and width in mm where the readings are likeliest; what they do not fix stays at 0."""
    determinant = found.xx * found.yy - found.xy * found.xy
    if found.xx > 0.0 and found.yy > 0.0 and determinant > 1e-9 * found.xx * found.yy:
        return (
            (found.ux * found.yy - found.uy * found.xy) / determinant,
            (found.uy * found.xx - found.ux * found.xy) / determinant,
        )
    if found.xx > 0.0:
        return found.ux / found.xx, 0.0
    return 0.0, found.uy / found.yy if found.yy > 0.0 else 0.0


def _start(given: Terms) -> tuple[float, float]:
    """A rough ID and width in mm to begin with."""
    widths = [reading.value_mm for reading in given.evidence.readings if reading.dimension is Dimension.WIDTH]
    width = sum(widths) / len(widths) if widths else 2.5
    for reading in given.evidence.readings:
        h1, h2 = GEOMETRY[reading.dimension]
        if h1 > 0.0:
            return max((reading.value_mm - h2 * width) / h1, ANY_ID_MM[0]), width
    return 20.0, width
