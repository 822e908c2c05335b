"""The sizes that rings may be at all, over arrays: `posterior`'s window on the ID and one check a reading."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from catalog.orings.box.normal import Floats, Places
from catalog.orings.box.readings import Readings
from catalog.orings.box.sizes import Sizes
from catalog.orings.condition import FREE_FACE_DOUBT, WEAR, Wear
from catalog.orings.evidence import Condition
from catalog.orings.likelihood import ANY_ID_MM, ANY_WIDTH_MM
from catalog.orings.posterior import REACH, TOLERANCE_SHARE


class Entries(NamedTuple):
    """Rings, by their column, each with a size that it may be, by its place; each ring's sizes together."""

    ring: Places
    size: Places


def near(read: Readings, look: Condition, sizes: Sizes) -> Entries:
    """The sizes that could have given these readings, looking so."""
    wear = WEAR[look]
    low, high = _id_window(read, wear, sizes.id_tolerance)
    start = np.searchsorted(sizes.id_mm, low, side="left")
    counts = np.maximum(np.searchsorted(sizes.id_mm, high, side="right") - start, 0)
    ring = np.repeat(np.arange(len(counts)), counts)
    size = np.arange(len(ring)) + np.repeat(start - (np.cumsum(counts) - counts), counts)
    sides = zip(
        read.values, read.per_id, read.per_width, read.error_variance, read.set_sign, read.spread_sign, strict=True
    )
    least, most = _width_window(read, wear, float(sizes.width_tol_mm.max()))
    width = sizes.width_mm[size]
    kept = (width >= least[ring]) & (width <= most[ring])
    ring, size = ring[kept], size[kept]
    for value, h1, h2, variance, sign, spread in sides:
        id_mm, width = sizes.id_mm[size], sizes.width_mm[size]
        by_size = h1 * id_mm + h2 * width
        by_width = (sign * wear.set.deviation) ** 2 + (spread * wear.spread.deviation) ** 2
        by_width += (FREE_FACE_DOUBT * max(sign, 0.0) * (wear.set.mean + wear.set.deviation)) ** 2
        across = (1.0 + wear.scale.mean) * by_size + (sign * wear.set.mean + spread * wear.spread.mean) * width
        reach = np.sqrt(variance[ring] + (by_size * wear.scale.deviation) ** 2 + by_width * width * width)
        edge = h1 * sizes.id_tol_mm[size] + h2 * sizes.width_tol_mm[size] + REACH * reach
        kept = np.abs(value[ring] - across) <= edge
        ring, size = ring[kept], size[kept]
    return Entries(ring, size)


def _id_window(read: Readings, wear: Wear, tolerance: float) -> tuple[Floats, Floats]:
    least = 1.0 + wear.scale.mean - REACH * wear.scale.deviation
    most = 1.0 + wear.scale.mean + REACH * wear.scale.deviation
    widths = [2.0 * value + 1.0 for value, h1 in zip(read.values, read.per_id, strict=True) if not h1]
    widest = np.min(widths, axis=0) if widths else np.full(len(read.at), ANY_WIDTH_MM[1])
    low, high = np.zeros(len(read.at)), np.full(len(read.at), 2.0 * ANY_ID_MM[1])
    for value, h1, h2, variance in zip(read.values, read.per_id, read.per_width, read.error_variance, strict=True):
        if h1 > 0.0:
            slack = REACH * (np.sqrt(variance) + wear.spread.deviation * widest * h1)
            low = np.maximum(
                low, ((value - slack) / h1 - h2 / h1 * most * widest - tolerance) / (most + TOLERANCE_SHARE)
            )
            high = np.minimum(high, ((value + slack) / h1 + tolerance) / (least - TOLERANCE_SHARE))
    return low, high


def _width_window(read: Readings, wear: Wear, widest_tol: float) -> tuple[Floats, Floats]:
    """Bounds on the width by the width readings: wider than the checks that follow, and quicker."""
    low, high = np.zeros(len(read.at)), np.full(len(read.at), np.inf)
    for value, h1, variance, sign in zip(read.values, read.per_id, read.error_variance, read.set_sign, strict=True):
        if h1:
            continue
        scale = 1.0 + wear.scale.mean + sign * wear.set.mean
        slack = widest_tol + REACH * np.sqrt(variance)
        doubt = REACH * (wear.scale.deviation + abs(sign) * wear.set.deviation)
        doubt += REACH * FREE_FACE_DOUBT * max(sign, 0.0) * (wear.set.mean + wear.set.deviation)
        low = np.maximum(low, (value - slack) / (scale + doubt))
        if scale > doubt:
            high = np.minimum(high, (value + slack) / (scale - doubt))
    return low, high
