"""How well rings explain their readings, over arrays: `catalog.orings.likelihood` entry by entry.

An entry is a ring with a size that it may be. The formulas are those of that module, where they are explained; a test
holds the two together.
"""

from __future__ import annotations

from math import log, pi
from typing import NamedTuple

import numpy as np

from catalog.orings.box.normal import Flags, Floats, between, rectangle
from catalog.orings.box.readings import Readings
from catalog.orings.condition import FREE_FACE_DOUBT, WEAR
from catalog.orings.evidence import Condition
from catalog.orings.likelihood import ANY_ID_MM, ANY_WIDTH_MM, CUT, LOG_2PI, LOG_PEAK
from catalog.uncertainty import RECTANGLE_TERMS, SQRT_2PI, gauss_legendre


class Fits(NamedTuple):
    """As `likelihood.Fit`, an entry each."""

    xx: Floats
    xy: Floats
    yy: Floats
    ux: Floats
    uy: Floats
    rest: Floats
    log_scale: Floats

    def only(self, kept: Flags) -> Fits:
        """These entries of them."""
        return Fits(*(one[kept] for one in self))


def fits(read: Readings, look: Condition, id_mm: Floats, width_mm: Floats) -> Fits:
    """The readings' log density around sizes, one to each column of `read`."""
    wear = WEAR[look]
    count = len(read.values)
    xx, xy, yy, ux, uy, rest, log_det = (np.zeros_like(id_mm) for _ in range(7))
    sides = list(zip(read.per_id, read.per_width, read.set_sign, read.spread_sign, strict=True))
    across = [h1 * id_mm + h2 * width_mm for h1, h2, _, _ in sides]
    misses = [
        value - part * (1.0 + wear.scale.mean) - (sign * wear.set.mean + spread * wear.spread.mean) * width_mm
        for value, part, (_, _, sign, spread) in zip(read.values, across, sides, strict=True)
    ]
    rows: list[list[Floats]] = []
    solved: list[tuple[Floats, Floats, Floats]] = []
    for i in range(count):
        h1, h2, sign, spread = sides[i]
        row: list[Floats] = []
        for j in range(i):
            if look is Condition.NEW:
                row.append(np.zeros_like(id_mm))
                continue
            by_wear = sign * sides[j][2] * wear.set.deviation**2 + spread * sides[j][3] * wear.spread.deviation**2
            entry = across[i] * across[j] * wear.scale.deviation**2 + by_wear * width_mm**2
            for k in range(j):
                entry = entry - row[k] * rows[j][k]
            row.append(entry / rows[j][j])
        own = (sign * wear.set.deviation) ** 2 + (spread * wear.spread.deviation) ** 2
        if sign > 0.0:
            own += (FREE_FACE_DOUBT * (wear.set.mean + wear.set.deviation)) ** 2
        variance = read.error_variance[i] + (across[i] * wear.scale.deviation) ** 2 + own * width_mm**2
        for left in row:
            variance = variance - left * left
        pivot = np.sqrt(variance)
        row.append(pivot)
        rows.append(row)
        x, y, miss = np.full_like(id_mm, h1), np.full_like(id_mm, h2), misses[i]
        if look is not Condition.NEW:
            for left, (px, py, pm) in zip(row, solved, strict=False):
                x = x - left * px
                y = y - left * py
                miss = miss - left * pm
        x, y, miss = x / pivot, y / pivot, miss / pivot
        solved.append((x, y, miss))
        xx += x * x
        xy += x * y
        yy += y * y
        ux += x * miss
        uy += y * miss
        rest += miss * miss
        log_det += np.log(pivot)
    return Fits(xx, xy, yy, ux, uy, rest, -0.5 * count * LOG_2PI - log_det)


def log_bound(found: Fits, id_tol: Floats, width_tol: Floats) -> Floats:
    """Above the log density of rings made within these tolerances: what it would be were they not cut there."""
    xx, yy = found.xx + (CUT / id_tol) ** 2, found.yy + (CUT / width_tol) ** 2
    determinant = xx * yy - found.xy**2
    explained = (yy * found.ux**2 - 2.0 * found.xy * found.ux * found.uy + xx * found.uy**2) / determinant
    inside = np.log(0.5 * pi / (np.sqrt(determinant) * id_tol * width_tol))
    bound: Floats = -0.5 * (found.rest - explained) + inside + 2.0 * LOG_PEAK + found.log_scale
    return bound


def log_densities(found: Fits, id_tol: Floats, width_tol: Floats) -> Floats:
    """As `likelihood.made_log_density`, for readings of which one at least touches the ID."""
    wide = found._replace(xx=found.xx + (CUT / id_tol) ** 2, yy=found.yy + (CUT / width_tol) ** 2)
    apart = (np.abs(found.xy) < 1e-12 * np.sqrt(found.xx * np.maximum(found.yy, 1e-300))) | (found.yy <= 0.0)
    correlation = -wide.xy / np.sqrt(wide.xx * wide.yy)
    logs = np.empty_like(id_tol)
    size, least = np.abs(correlation), -1.0
    with np.errstate(divide="ignore"):
        if apart.any():
            part = wide.only(apart)
            by_id = _line(np.zeros_like(part.rest), part.ux, part.xx, id_tol[apart])
            logs[apart] = by_id + _line(part.rest, part.uy, part.yy, width_tol[apart])
        for most, terms in RECTANGLE_TERMS:
            kept = ~apart & (size <= most) & (size > least)
            if kept.any():
                logs[kept] = _plane(wide.only(kept), id_tol[kept], width_tol[kept], correlation[kept], terms)
            least = most
        kept = ~apart & (size > least)
        if kept.any():
            logs[kept] = _tied(wide.only(kept), id_tol[kept], width_tol[kept])
    logs += 2.0 * LOG_PEAK + found.log_scale
    return logs


def _line(rest: Floats, slope: Floats, square: Floats, half: Floats) -> Floats:
    root = np.sqrt(square)
    centre = slope / square
    inside = between(root * (-half - centre), root * (half - centre))
    found: Floats = -0.5 * (rest - slope * centre) + np.log(inside * SQRT_2PI / (root * 2.0 * half))
    return found


def _plane(found: Fits, id_half: Floats, width_half: Floats, correlation: Floats, terms: int) -> Floats:
    determinant = found.xx * found.yy - found.xy * found.xy
    at_id = (found.ux * found.yy - found.uy * found.xy) / determinant
    at_width = (found.uy * found.xx - found.ux * found.xy) / determinant
    by_id, by_width = np.sqrt(determinant / found.yy), np.sqrt(determinant / found.xx)
    inside = rectangle(
        (by_id * (-id_half - at_id), by_id * (id_half - at_id)),
        (by_width * (-width_half - at_width), by_width * (width_half - at_width)),
        correlation,
        terms,
    )
    explained = found.ux * at_id + found.uy * at_width
    logs: Floats = -0.5 * (found.rest - explained) + np.log(
        inside * pi / (np.sqrt(determinant) * 2.0 * id_half * width_half)
    )
    return logs


def _tied(found: Fits, id_half: Floats, width_half: Floats) -> Floats:
    root = np.sqrt(found.xx)
    lean = found.xy / found.xx
    square = np.maximum(found.yy - found.xy * lean, 0.0)
    slope = found.uy - found.ux * lean
    rest = found.rest - found.ux * found.ux / found.xx
    held = square > 1e-9 * found.yy
    some = np.where(held, square, 1.0)
    centre, reach = slope / some, 7.0 / np.sqrt(some)
    low = np.where(held, np.maximum(-width_half, centre - reach), -width_half)
    high = np.where(held, np.minimum(width_half, centre + reach), width_half)
    best = np.where(held, np.minimum(np.maximum(centre, low), high), 0.0)
    peak = 2.0 * slope * best - square * best * best
    middle, half = 0.5 * (low + high), np.maximum(0.5 * (high - low), 0.0)
    total = np.zeros_like(middle)
    few = (high - low) * np.sqrt(square) <= 6.5
    for count, kept in ((8, few), (16, ~few)):
        if not kept.any():
            continue
        for node, weight in gauss_legendre(count):
            y = middle[kept] + half[kept] * node
            along = found.ux[kept] / found.xx[kept] - lean[kept] * y
            inside = between(root[kept] * (-id_half[kept] - along), root[kept] * (id_half[kept] - along))
            quadratic = 2.0 * slope[kept] * y - square[kept] * y * y - peak[kept]
            total[kept] += weight * inside * np.exp(0.5 * quadratic)
    logs: Floats = -0.5 * (rest - peak) + np.log(total * half * SQRT_2PI / (root * 4.0 * id_half * width_half))
    return logs


class AnyRing(NamedTuple):
    """As `likelihood.any_ring_log_density`, a ring each. `both`: whether the readings fix ID and width both.

    `misfit`: by how much the readings miss each other, in what `disagreement` counts. `found`: their fit there.
    """

    log_density: Floats
    id_mm: Floats
    width_mm: Floats
    both: Flags
    misfit: Floats
    found: Fits

    def only(self, kept: Flags) -> AnyRing:
        """These rings of them."""
        log_density, id_mm, width_mm, both, misfit, found = self
        return AnyRing(log_density[kept], id_mm[kept], width_mm[kept], both[kept], misfit[kept], found.only(kept))


def any_rings(read: Readings, look: Condition) -> AnyRing:
    """Where the readings put a ring of no standard."""
    id_mm, width_mm = np.maximum(read.start_id, ANY_ID_MM[0]), read.start_width
    for _ in range(3):
        x, y = _peak(fits(read, look, id_mm, width_mm))
        id_mm = np.minimum(np.maximum(id_mm + x, ANY_ID_MM[0]), ANY_ID_MM[1])
        width_mm = np.minimum(np.maximum(width_mm + y, ANY_WIDTH_MM[0]), ANY_WIDTH_MM[1])
    found = fits(read, look, id_mm, width_mm)
    x, y = _peak(found)
    misfit = np.maximum(found.rest - found.ux * x - found.uy * y, 0.0)
    by_id = 1.0 / (id_mm * log(ANY_ID_MM[1] / ANY_ID_MM[0]))
    by_width = 1.0 / (width_mm * log(ANY_WIDTH_MM[1] / ANY_WIDTH_MM[0]))
    determinant = found.xx * found.yy - found.xy * found.xy
    both = (determinant > 1e-9 * found.xx * found.yy) & (found.yy > 0.0)
    safe = np.where(both, determinant, 1.0)
    log_density = np.where(
        both,
        LOG_2PI - 0.5 * np.log(safe) + np.log(by_id * by_width),
        0.5 * (LOG_2PI - np.log(found.xx)) + np.log(by_id),
    )
    return AnyRing(found.log_scale - 0.5 * misfit + log_density, id_mm, width_mm, both, misfit, found)


def _peak(found: Fits) -> tuple[Floats, Floats]:
    determinant = found.xx * found.yy - found.xy * found.xy
    both = (found.yy > 0.0) & (determinant > 1e-9 * found.xx * found.yy)
    safe = np.where(both, determinant, 1.0)
    x = np.where(both, (found.ux * found.yy - found.uy * found.xy) / safe, found.ux / found.xx)
    return x, np.where(both, (found.uy * found.xx - found.ux * found.xy) / safe, 0.0)
