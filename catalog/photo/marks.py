"""The sheet's marks in a picture, and the ring's rough outline in its field. Needs OpenCV."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, Final, NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from catalog.photo.refusal import PhotoError
from catalog.photo.sheet import APART, CELLS, FIELD_MM, PATTERNS, cells, corners

Floats = NDArray[Any]
Picture = NDArray[Any]
Outline = NDArray[Any]

LEAST_MARKS: Final = 9
"""Of twelve; fewer leave a side of the field without any."""
LEAST_ROUND: Final = 0.04
"""Of a mark's outline, as a share of the picture's longer side: at the coarsest that is measured none is shorter."""
MOST_SQUARES: Final = 500
"""A sheet shows 250 things, 100 of them squares. Comparing each with each takes seconds where there are thousands."""
WINDOWS: Final = (3, 13, 23)
"""px: what is darker than the mean of so much around it is looked at, as OpenCV does unless told otherwise."""
PLAN_PX_PER_MM: Final = 6.0
WIDEST_MM: Final = 13.0
"""Wider cords than this would be taken for a shadow."""
GLINT: Final = 0.93
"""A glint of less than this share of the paper's brightness is told from paper."""
NO_RING: Final = "no ring is seen in the sheet's field: lay it in the middle of the white square"
FAINT: Final = 0.75
"""Of the paper's brightness: a ring as light as this can't be told from it."""


class Marks(NamedTuple):
    """The marks' corners: on the sheet as drawn, in mm, and in the picture, in px; a row each."""

    sheet: Floats
    picture: Floats
    missing: int


class _Shape(NamedTuple):
    """What is dark: the px within its outline and within its hole, and both lines."""

    area: float
    hole: float
    outline: Outline
    edge: Outline


class Rough(NamedTuple):
    """A ring as first seen: its middle, the middle of its cord's radius and its width, in mm of the sheet as drawn."""

    x: float
    y: float
    radius: float
    width: float


def dictionary() -> cv2.aruco.Dictionary:
    """Our patterns as OpenCV takes them."""
    rows = [
        cv2.aruco.Dictionary.getByteListFromBits(np.array(cells(pattern), dtype=np.uint8))[0] for pattern in PATTERNS
    ]
    return cv2.aruco.Dictionary(np.array(rows), CELLS, (APART - 1) // 4)


def find(picture: Picture) -> Marks:
    """The marks of a grey picture. Raises `PhotoError` where too few are seen."""
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    settings.minMarkerPerimeterRate = LEAST_ROUND
    settings.adaptiveThreshWinSizeMin, settings.adaptiveThreshWinSizeMax = WINDOWS[0], WINDOWS[-1]
    settings.adaptiveThreshWinSizeStep = WINDOWS[1] - WINDOWS[0]
    # A large picture's marks are found as well in a smaller one; the corners are then sought in the picture itself.
    smaller = max(1, round(max(picture.shape) / 1800))
    seen = (
        picture
        if smaller == 1
        else cv2.resize(picture, None, fx=1 / smaller, fy=1 / smaller, interpolation=cv2.INTER_AREA)
    )
    if _squares(seen) > MOST_SQUARES:
        raise PhotoError(
            "the picture is full of squares, among which no mark can be told: lay the sheet on a plain table, and let "
            "it fill the picture"
        )
    found, numbers, _ = cv2.aruco.ArucoDetector(dictionary(), settings).detectMarkers(seen)
    known = {} if numbers is None else {int(n): f[0] for n, f in zip(numbers.ravel(), found, strict=True)}
    if len(known) < LEAST_MARKS:
        if not known:
            raise PhotoError(
                "no mark of the sheet is seen: lay the ring on the sheet that “kitwright sheet photo” prints, "
                "and take all of it"
            )
        raise PhotoError(
            f"only {len(known)} of the 12 marks are seen: take the picture again with all of them in it, sharp "
            "and not hidden"
        )
    order = sorted(known)
    places = np.concatenate([known[n] for n in order]).astype(np.float64)
    if smaller > 1:
        places = (places + 0.5) * smaller - 0.5
    side = float(np.median([np.linalg.norm(np.diff(known[n], axis=0), axis=1).mean() for n in order])) * smaller
    window = max(3, min(12, round(side / 14)))
    fine = cv2.cornerSubPix(
        picture,
        places.astype(np.float32).reshape(-1, 1, 2),
        (window, window),
        (-1, -1),
        (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 60, 0.002),
    ).reshape(-1, 2)
    sheet = np.array([corner for n in order for corner in corners(n)])
    return Marks(sheet, fine.astype(np.float64), len(PATTERNS) - len(order))


def _squares(seen: Picture) -> int:
    """About how many things with four corners the search for marks would compare; it stops where they are too many.

    Where there are few things so large, with however many corners, it is at most so many: counting those is quick.
    """
    least = LEAST_ROUND * max(seen.shape)
    count = 0
    for window in WINDOWS:
        dark = cv2.adaptiveThreshold(seen, 255, cv2.ADAPTIVE_THRESH_MEAN_C, cv2.THRESH_BINARY_INV, window, 7)
        things = sum(_large(one, least / 4) for one in (dark, cv2.bitwise_not(dark)))
        if count + things > MOST_SQUARES:
            outlines, _ = cv2.findContours(dark, cv2.RETR_LIST, cv2.CHAIN_APPROX_NONE)
            things = sum(
                len(cv2.approxPolyDP(one, 0.03 * len(one), True)) == 4 for one in outlines if len(one) >= least
            )
        count += things
        if count > MOST_SQUARES:
            break
    return count


def _large(one: Picture, side: float) -> int:
    """How many connected things are at least so large as a square of this side, by what they reach over."""
    _, _, of_each, _ = cv2.connectedComponentsWithStats(one, connectivity=8)
    across = of_each[:, cv2.CC_STAT_WIDTH] + of_each[:, cv2.CC_STAT_HEIGHT]
    return int((across >= 2 * side).sum())


def rough(picture: Picture, marks: Marks) -> Rough:
    """The ring in the field, by its outline on the sheet's plane. Raises `PhotoError` where there is not just one."""
    side = round(FIELD_MM * PLAN_PX_PER_MM)
    plan = (marks.sheet + FIELD_MM / 2) * PLAN_PX_PER_MM - 0.5
    matrix, _ = cv2.findHomography(marks.picture, plan)
    flat = cv2.warpPerspective(picture, matrix, (side, side), flags=cv2.INTER_AREA, borderMode=cv2.BORDER_REPLICATE)
    flat = cv2.GaussianBlur(flat, (0, 0), 0.8)
    paper = _paper(flat)
    share = flat.astype(np.float32) / np.maximum(paper, 1.0)
    level = _level(share)
    dark: Picture = (share < level).astype(np.uint8)
    dark = cv2.morphologyEx(dark, cv2.MORPH_OPEN, np.ones((3, 3), np.uint8))
    # A glint across the cord must not open the ring.
    dark = cv2.morphologyEx(dark, cv2.MORPH_CLOSE, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (5, 5)))
    outlines, inside = cv2.findContours(dark, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    return _ring(outlines, inside, share)


def _paper(flat: Picture) -> Floats:
    """What the paper alone would look like: what is dark and narrower than a cord is closed over."""
    small = cv2.resize(flat, None, fx=1 / 3, fy=1 / 3, interpolation=cv2.INTER_AREA)
    wide = round(WIDEST_MM * PLAN_PX_PER_MM / 3) | 1
    closed = cv2.morphologyEx(small, cv2.MORPH_CLOSE, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (wide, wide)))
    grown = cv2.resize(closed, (flat.shape[1], flat.shape[0]), interpolation=cv2.INTER_LINEAR)
    return cv2.GaussianBlur(grown, (0, 0), 4.0).astype(np.float32)


def _level(share: Floats) -> float:
    """Between ring and paper, nearer to the ring, for its shadow is no part of it."""
    scaled = np.clip(share * 200, 0, 255).astype(np.uint8)
    cut, _ = cv2.threshold(scaled, 0, 255, cv2.THRESH_BINARY + cv2.THRESH_OTSU)
    dark = share[share < min(cut / 200, FAINT)]
    if dark.size < 40:
        raise PhotoError(NO_RING)
    return float(0.65 * np.quantile(dark, 0.3) + 0.35)


def _ring(outlines: Sequence[Outline], inside: Outline | None, share: Floats) -> Rough:
    """The one ring of what is dark. Raises `PhotoError`."""
    found, solid = _rings(outlines, inside)
    if not found:
        if solid > 60:
            raise PhotoError(
                "what lies in the field is not a closed ring: a broken or cut one is measured by --cut-length, "
                "and a ring must lie wholly in the white square"
            )
        raise PhotoError(NO_RING)
    outer = found[0]
    rest = found[1:]
    points = outer.outline.reshape(-1, 2)
    if points.min() <= 1 or points.max() >= len(share) - 2:
        raise PhotoError(
            "the ring reaches out of the sheet's white square: lay it in the middle; one of over 100 mm is too large"
        )
    inner = outer
    if rest and _one_with(outer, rest[0], share):
        inner, rest = rest[0], rest[1:]
    if any(one.area > 0.05 * outer.area for one in rest) or solid > 0.05 * outer.area:
        raise PhotoError("more than one thing lies on the sheet: leave the one ring alone on it")
    # An outline runs through the outermost dark px, a hole's through the dark ones round it.
    outside = (math.sqrt(outer.area / math.pi) + 0.5) / PLAN_PX_PER_MM
    within = (math.sqrt(inner.hole / math.pi) - 0.5) / PLAN_PX_PER_MM
    x, y = (points.mean(axis=0) + 0.5) / PLAN_PX_PER_MM - FIELD_MM / 2
    return Rough(float(x), float(y), (outside + within) / 2, outside - within)


def _rings(outlines: Sequence[Outline], inside: Outline | None) -> tuple[list[_Shape], float]:
    """What is dark and has a hole, largest first; and the area of the largest that has none."""
    found, solid = [], 0.0
    tree = np.zeros((0, 4), int) if inside is None else inside[0]
    for number, shape in enumerate(outlines):
        if tree[number][3] >= 0:
            continue
        area = cv2.contourArea(shape)
        holes = [(cv2.contourArea(outlines[n]), n) for n in range(len(outlines)) if tree[n][3] == number]
        hole, which = max(holes, default=(0.0, -1))
        if hole < 0.02 * area or hole < 12:
            solid = max(solid, area)
        else:
            found.append(_Shape(area, hole, shape, outlines[which]))
    return sorted(found, key=lambda one: -one.area), solid


def _one_with(outer: _Shape, inner: _Shape, share: Floats) -> bool:
    """Whether two rings in one another are one cord, which a glint all round parts: there it is darker than paper."""
    if not 0.4 * outer.hole < inner.area < outer.hole:
        return False
    gap: Picture = np.zeros(share.shape, np.uint8)
    cv2.drawContours(gap, [outer.edge], -1, 1, cv2.FILLED)
    cv2.drawContours(gap, [inner.outline], -1, 0, cv2.FILLED)
    gap = cv2.erode(gap, np.ones((3, 3), np.uint8))
    return bool(gap.any()) and float(np.median(share[gap > 0])) < GLINT
