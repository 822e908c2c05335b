"""Camera and ring fitted at once to the marks' corners and the ring's edges, with how sure each is. Pure numpy."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, NamedTuple

import numpy as np

from catalog.photo.camera import Camera, Floats, turned
from catalog.photo.torus import Torus

MIDDLE_SHARE: Final = 0.01
"""How far a lens looks past the picture's middle, a standard deviation, as a share of its diagonal (from memory)."""
BEND: Final = 0.1
"""Of each radial term, a standard deviation (from memory: telephones take most of it out themselves)."""
INSET_MM: Final = 0.15
"""By how much ink and exposure move a mark's edge, a standard deviation (from memory)."""
ROUNDS: Final = 12
_CAMERA: Final = 12


class Start(NamedTuple):
    """Where a fit begins, and what is known of the lens: `focal` in px with `focal_sd` as a share of it."""

    focal: float
    focal_sd: float
    middle: tuple[float, float]
    diagonal: float
    turn: Floats
    shift: Floats


class Corners(NamedTuple):
    """The marks' corners: on the sheet in mm, in the picture in px, and each corner's way to its mark's middle."""

    sheet: Floats
    picture: Floats
    inwards: Floats


class Edges(NamedTuple):
    """Places on the ring's edges in the picture, in px, at which angle about, and each one's weight from 0 to 1."""

    places: Floats
    at: Floats
    weight: Floats


class Fitted(NamedTuple):
    """What came out. `corners_px` and `edges_mm`: what is left over, a row for each; `cov`: of x, y, radius, width and
    the two terms out of round."""

    camera: Camera
    torus: Torus
    corners_px: Floats
    edges_mm: Floats
    cov: Floats
    values: Floats


def camera_of(values: Floats, start: Start) -> Camera:
    """The camera that the first twelve values stand for."""
    size = start.diagonal * MIDDLE_SHARE
    return Camera(
        start.focal * float(np.exp(values[0])),
        (start.middle[0] + float(values[1]) * size, start.middle[1] + float(values[2]) * size),
        (float(values[3]), float(values[4])),
        turned(values[5:8]) @ start.turn,
        start.shift + values[8:11],
    )


def fit(
    start: Start,
    corners: Corners,
    torus: Torus | None,
    edges: Edges | None,
    px: float,
    mm: float,
    begin: Floats | None = None,
) -> Fitted:
    """The best camera and ring. `px`: how sure a corner's place is; `mm`: an edge's; standard deviations.

    Without edges only the camera is fitted, and the torus is given back as it came.
    """
    shape = torus or Torus(0.0, 0.0, 1.0, 1.0)
    values = np.zeros(_CAMERA) if begin is None else begin[:_CAMERA].copy()
    if edges is not None:
        values = np.concatenate((values, shape))
    prior = np.concatenate(([start.focal_sd, 1.0, 1.0, BEND, BEND], np.full(6, np.inf), [INSET_MM]))

    def off(now: Floats) -> tuple[Floats, Floats]:
        camera = camera_of(now, start)
        flat = corners.sheet + corners.inwards * now[11]
        apart = camera.seen(np.column_stack((flat, np.zeros(len(flat))))) - corners.picture
        if edges is None:
            return apart, np.zeros(0)
        return apart, Torus(*now[_CAMERA:]).missed_by(camera.place, camera.rays(edges.places), edges.at)

    def left(now: Floats) -> Floats:
        apart, missed = off(now)
        parts = [apart.ravel() / px, now[:_CAMERA] / prior]
        if edges is not None:
            parts.append(missed * np.sqrt(edges.weight) / mm)
        return np.concatenate(parts)

    values, normal = _least(left, values)
    apart, missed = off(values)
    cov = np.linalg.pinv(normal)
    done = shape if edges is None else Torus(*map(float, values[_CAMERA:]))
    return Fitted(camera_of(values, start), done, apart, missed, cov[_CAMERA:, _CAMERA:], values)


def _least(left: Callable[[Floats], Floats], values: Floats) -> tuple[Floats, Floats]:
    """Least squares by Levenberg's and Marquardt's steps; also the normal matrix at the end."""
    damping = 1e-3
    now = left(values)
    normal = np.zeros((len(values), len(values)))
    for _ in range(ROUNDS):
        steps = np.full(len(values), 1e-5)
        slope = np.column_stack(
            [(left(values + step * unit) - now) / step for step, unit in zip(steps, np.eye(len(values)), strict=True)]
        )
        normal = slope.T @ slope
        pull = slope.T @ now
        while True:
            move = np.linalg.solve(normal + damping * np.diag(np.diag(normal) + 1e-12), -pull)
            then = left(values + move)
            gained = float(now @ now - then @ then)
            if gained >= 0 or damping > 1e8:
                break
            damping *= 10
        if gained < 0:
            break
        values, now = values + move, then
        damping = max(damping / 10, 1e-9)
        if gained < 1e-5 * float(now @ now):
            break
    return values, normal
