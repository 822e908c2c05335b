"""A ring's ID and width from a picture of it on the printed sheet, with a ± that holds, or the reason why not."""

from __future__ import annotations

import math
from typing import Final

import cv2
import numpy as np

from catalog.photo import edges, marks
from catalog.photo.camera import Floats
from catalog.photo.fit import Corners, Edges, Fitted, Start, fit
from catalog.photo.reading import Bar, Measured, checked
from catalog.photo.refusal import PhotoError
from catalog.photo.torus import Torus

USUAL_FOCAL: Final = 26.0
"""mm as on 35 mm film: a telephone's main lens (from memory)."""
UNKNOWN_FOCAL: Final = 0.3
SAID_FOCAL: Final = 0.03
"""How far a focal length may be off, a standard deviation as a share: where the file says none, and where it does."""
FILM_DIAGONAL: Final = 43.27
"""mm: of the 36 x 24 mm picture that a focal length "as on 35 mm film" goes by."""

BASE_MM: Final = 0.02
BASE_SHARE: Final = 0.0005
"""What rendered pictures were off beyond all that is known, standard deviations (tests/bench/photo.py)."""
BLUR_SHARE: Final = 0.12
"""How far an edge is misplaced by what a camera does to brightness, a standard deviation as a share of its blur."""
BULGE_MM: Final = 0.2
"""How high a sheet that was smoothed out bulges under a ring, a standard deviation (common practice, no source)."""
TWO_WAYS: Final = 0.0003
"""By how much a printer scales more along than across, as a share of a ring's mean (common practice, no source)."""
FLATTENED: Final = 0.03
"""How much lower than half its width a cord's middle may lie, as a share of the width (common practice, no source)."""
OPTIMISM: Final = 2.0
"""Edges next to each other are off together: the fit thinks itself so many times too sure."""

STEEPEST_DEG: Final = 40.0
BLUR_MM: Final = 0.22
UNSHARP: Final = 0.1
"""An edge blurred (a standard deviation) over more than so many mm, or so much of the width, is too blurred."""
COARSEST_MM: Final = 0.25
CORNERS_PX: Final = 0.15
WARPED_MM: Final = 0.12
"""What the marks' corners may be off, the median of them, for a sheet that lies flat."""
UNEVEN: Final = 0.025
UNEVEN_MM: Final = (0.045, 0.09)
"""How much of its width an edge may wander about a ring's, within these limits (rendered pictures: 0.01 to 0.03 mm)."""
UNEVEN_SHARE: Final = 0.7
"""How far a ring may be off by what makes its edge wander, a standard deviation as a share of that."""
OVAL_SHARE: Final = 0.08
"""How far a mean ID may be off, a standard deviation as a share of out of round: a ring that stands off looks so."""
OVAL: Final = 0.03
OVAL_MM: Final = 0.8
"""A ring further out of round than this share of its ID, or so many mm, is bent or does not lie flat."""
LOST: Final = 0.3
"""The share of a ring's edge that may be hidden by glare or shadow."""
NARROWEST_MM: Final = 0.8
FAINT_EDGE: Final = 0.1
"""As strong as this share of the usual edge one counts: in the cord's own shadow edges are faint."""
ROUNDS: Final = 4
"""A ring's edges are looked for so often, each time from where the last fit puts them."""


def measure(picture: marks.Picture, bar: Bar, focal_as_film: float | None = None) -> Measured:
    """The ring in a grey picture. `focal_as_film`: in mm as on 35 mm film, where the file says it.

    Raises `PhotoError`.
    """
    scale = checked(bar)
    found = marks.find(picture)
    first = marks.rough(picture, found)
    corners = _corners(found, scale)
    start = _start(picture, corners, focal_as_film)
    seen = fit(start, corners, None, None, CORNERS_PX, 1.0)
    mm_per_px = _mm_per_px(seen)
    if mm_per_px > COARSEST_MM:
        raise PhotoError("the sheet is too small in the picture: go nearer, so that the marks fill it")
    tilt = math.degrees(math.acos(min(1.0, abs(float(seen.camera.turn[2, 2])))))
    if tilt > STEEPEST_DEG:
        raise PhotoError(f"the picture was taken {tilt:.0f}° aslant: hold the camera over the sheet, within 30°")
    warped = float(np.median(np.linalg.norm(seen.corners_px, axis=1))) * mm_per_px
    if warped > WARPED_MM:
        raise PhotoError(
            f"the sheet does not lie flat (its marks are {warped:.1f} mm out of place): smooth it out on a table"
        )

    torus = Torus(first.x * scale, first.y * scale, first.radius * scale, first.width * scale)
    if torus.width < NARROWEST_MM or torus.width / mm_per_px < 6:
        raise PhotoError("the ring's cord is too thin to be measured in this picture: go nearer")
    result, share, blur_px = _fitted(picture, start, corners, seen, torus, mm_per_px)
    return _judged(result, share, blur_px, mm_per_px, bar, tilt, found.missing)


def _corners(found: marks.Marks, scale: float) -> Corners:
    sheet = found.sheet * scale
    middles = sheet.reshape(-1, 4, 2).mean(axis=1).repeat(4, axis=0)
    return Corners(sheet, found.picture, np.sign(middles - sheet))


def _start(picture: marks.Picture, corners: Corners, focal_as_film: float | None) -> Start:
    high, wide = picture.shape
    diagonal = math.hypot(high, wide)
    focal = (focal_as_film or USUAL_FOCAL) / FILM_DIAGONAL * diagonal
    middle = (wide - 1) / 2, (high - 1) / 2
    inner = np.array([[focal, 0, middle[0]], [0, focal, middle[1]], [0, 0, 1]])
    flat = np.column_stack((corners.sheet, np.zeros(len(corners.sheet))))
    done, turn, shift = cv2.solvePnP(flat, corners.picture, inner, None, flags=cv2.SOLVEPNP_IPPE)
    if not done:
        raise PhotoError("the marks do not lie as on the sheet: print it again, and lay it flat")
    sd = UNKNOWN_FOCAL if focal_as_film is None else SAID_FOCAL
    return Start(focal, sd, middle, diagonal, np.asarray(cv2.Rodrigues(turn)[0]), np.asarray(shift).ravel())


def _mm_per_px(seen: Fitted) -> float:
    cross = np.array([[-10.0, 0, 0], [10.0, 0, 0], [0, -10.0, 0], [0, 10.0, 0]])
    at = seen.camera.seen(cross)
    return float(40.0 / (np.linalg.norm(at[1] - at[0]) + np.linalg.norm(at[3] - at[2])))


def _fitted(
    picture: marks.Picture, start: Start, corners: Corners, seen: Fitted, torus: Torus, mm_per_px: float
) -> tuple[Fitted, float, float]:
    """The ring fitted to its edges, in narrower and narrower windows; the share of edge found, and its blur in px."""
    wide_px = torus.width / mm_per_px
    result = seen._replace(torus=torus)
    share = blur = 0.0
    count = int(np.clip(2 * np.pi * torus.radius / mm_per_px / 2, 96, 240))
    at = np.arange(count) * (2 * np.pi / count)
    angles = np.concatenate((at, at))
    # How much is known of the corners is seen from what the fit of the marks alone left over.
    px = max(CORNERS_PX / 3, float(np.sqrt((seen.corners_px**2).mean())) * 1.1)
    torus = _near(picture, result, at, wide_px, mm_per_px)
    result = result._replace(torus=torus)
    begin = None
    for number in range(ROUNDS):
        limb, way = _both(result, at)
        if number == 0:
            blur = edges.blur_of(picture, limb, way, float(np.clip(0.3 * wide_px, 3, 9)))
        far = min(max(3.0, 3.0 * blur), 0.42 * wide_px)
        found = edges.steps(picture, limb, way, float(np.clip(0.12 * wide_px, 1.5, 4)), far, blur)
        usual = np.repeat([max(float(np.median(one)), 1e-9) for one in np.split(found.strength, 2)], count)
        weight = (found.strength > FAINT_EDGE * usual).astype(np.float64)
        if weight.mean() < 1 - 2 * LOST:
            raise _hidden()
        all_of = Edges(limb + way * found.offset[:, None], angles, weight)
        mm = max(0.3 * mm_per_px, 0.01)
        for _ in range(2):
            result = fit(start, corners, result.torus, all_of, px, mm, begin)
            begin = result.values
            off = np.abs(result.edges_mm)
            spread = 1.4826 * float(np.median(off[weight > 0])) + 1e-4
            mm = max(spread, 0.05 * mm_per_px)
            all_of = all_of._replace(weight=weight * np.maximum(0.0, 1 - (off / (4.5 * spread)) ** 2) ** 2)
        share = float((all_of.weight > 0.05).mean())
    return result._replace(edges_mm=result.edges_mm[all_of.weight > 0.05]), share, blur


def _both(result: Fitted, at: Floats) -> tuple[Floats, Floats]:
    """Outer edge, then inner: where they run in the picture, and which way leads out of the cord."""
    limbs, ways = zip(*(result.torus.edge(at, outer, result.camera) for outer in (True, False)), strict=True)
    return np.concatenate(limbs), np.concatenate(ways)


def _near(picture: marks.Picture, seen: Fitted, at: Floats, wide_px: float, mm_per_px: float) -> Torus:
    """The ring to about half a px, with the camera held: each profile offers what rises on it, the first of these is
    taken at first, then whichever lies nearest to the ring so far."""
    limb, way = _both(seen, at)
    smooth = float(np.clip(0.05 * wide_px, 1.0, 2.5))
    offered = edges.rises(picture, limb - way * (0.14 * wide_px), way, float(np.clip(0.36 * wide_px, 4, 40)), smooth)
    offered -= 0.14 * wide_px
    some = ~np.isnan(offered[:, 0])
    if some.mean() < 1 - 2 * LOST:
        raise _hidden()
    offered, way, angles = offered[some], way[some], np.concatenate((at, at))[some]
    outer = np.repeat((1.0, -1.0), len(at))[some]
    # Seen from above, to the first order: a ring moved and made larger moves its edges so.
    moves = np.column_stack((np.cos(angles), np.sin(angles), np.ones(len(angles)), 0.5 * outer)) * outer[:, None]
    now = np.zeros(4)
    chosen = offered[:, 0]
    spread = 0.12 * wide_px
    for _ in range(12):
        off = chosen - moves @ now
        weight = 1 / (1 + (off / spread) ** 2) ** 2
        now = np.linalg.lstsq(moves * np.sqrt(weight)[:, None], chosen * np.sqrt(weight), rcond=None)[0]
        spread = max(0.7 * spread, 1.0)
        gaps = np.abs(offered - (moves @ now)[:, None])
        chosen = offered[np.arange(len(offered)), np.nanargmin(gaps, axis=1)]
    by = now * mm_per_px
    first = seen.torus
    return Torus(first.x + by[0], first.y + by[1], first.radius + by[2], max(first.width + by[3], 0.5 * first.width))


def _hidden() -> PhotoError:
    return PhotoError(
        "too much of the ring's edge can't be seen, by glare or a shadow: take it in even light, without flash, "
        "or lay a sheet of white paper over the lamp"
    )


def _judged(
    result: Fitted, share: float, blur_px: float, mm_per_px: float, bar: Bar, tilt: float, missing: int
) -> Measured:
    torus = result.torus
    blur = blur_px * mm_per_px
    if blur > min(BLUR_MM, UNSHARP * torus.width):
        raise PhotoError(
            f"the picture is too blurred for this ring (its edges spread over {2 * blur:.2f} mm): hold still, tap on "
            "the ring to focus, go nearer"
        )
    uneven = float(np.sqrt((result.edges_mm**2).mean()))
    if uneven > min(max(UNEVEN * torus.width, UNEVEN_MM[0]), UNEVEN_MM[1]):
        raise PhotoError(
            f"the edge seen wanders by {uneven:.2f} mm from a ring's: it does not lie flat, is bent, or a hard shadow "
            "lies beside it; press it flat, let go, and take it in even light"
        )
    if share < 1 - LOST:
        raise _hidden()
    inside = 2 * torus.radius - torus.width
    if inside < 1.0:
        raise PhotoError("the hole is too small to be measured by a picture: use a cone or pins")
    oval = 4.0 * math.hypot(torus.along, torus.aslant)
    if oval > max(OVAL_MM, OVAL * inside):
        raise PhotoError(
            f"the ring looks {oval:.1f} mm longer than it is wide: it is bent or does not lie flat; press it flat, let "
            "go, and take it again"
        )
    # A flattened cord shows its height to a camera that looks aslant: so much less wide it seems.
    lower = 2 * FLATTENED * torus.width * math.sin(math.radians(tilt)) ** 2 / 2
    seen = math.hypot(BLUR_SHARE * blur, UNEVEN_SHARE * uneven, lower)
    over = float(np.linalg.norm(result.camera.place))
    return Measured(
        inside,
        2.0 * _id_sd(result.cov, inside, torus, over, bar, seen),
        torus.width,
        2.0 * _width_sd(result.cov, torus, over, bar, seen),
        oval,
        tilt,
        mm_per_px,
        missing,
    )


def _id_sd(cov: Floats, inside: float, torus: Torus, over: float, bar: Bar, seen: float) -> float:
    """The standard deviation in mm of an ID by all that may be off; `over`: the camera's
    distance, `seen`: by how the edge is seen."""
    of_fit = math.sqrt(max(0.0, 4 * cov[2, 2] - 4 * cov[2, 3] + cov[3, 3]))
    across = 2 * torus.radius
    return math.hypot(
        OPTIMISM * of_fit,
        BASE_MM,
        seen,
        BASE_SHARE * inside,
        across * BULGE_MM / over,
        inside * bar.plus_minus_mm / 2 / bar.length_mm,
        inside * TWO_WAYS,
        across * FLATTENED * torus.width / over,
        OVAL_SHARE * 4.0 * math.hypot(torus.along, torus.aslant),
    )


def _width_sd(cov: Floats, torus: Torus, over: float, bar: Bar, seen: float) -> float:
    return math.hypot(
        OPTIMISM * math.sqrt(max(0.0, cov[3, 3])),
        BASE_MM,
        seen,
        torus.width * BULGE_MM / over,
        torus.width * bar.plus_minus_mm / 2 / bar.length_mm,
    )
