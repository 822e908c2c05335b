"""A camera over the sheet: where a point of the sheet's space lies in the picture, and the ray through a point of it.

The sheet's plane is z = 0 and what stands on it has z < 0, so that x, y, z are right-handed. Brown's radial terms bend
the lens (D. C. Brown, Close-range camera calibration, 1971). Pure numpy.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[Any]


class Camera(NamedTuple):
    """`focal`: in px; `middle`: where the lens looks, in px; `bend`: the radial terms; `turn` and `shift`: the pose."""

    focal: float
    middle: tuple[float, float]
    bend: tuple[float, float]
    turn: Floats
    shift: Floats

    @property
    def place(self) -> Floats:
        """Where the camera stands, in mm."""
        return -self.turn.T @ self.shift

    def seen(self, points: Floats) -> Floats:
        """The places in the picture of points, a row each."""
        at = points @ self.turn.T + self.shift
        flat = at[:, :2] / at[:, 2:]
        far = (flat * flat).sum(axis=1, keepdims=True)
        bent = flat * (1.0 + far * (self.bend[0] + far * self.bend[1]))
        return bent * self.focal + np.asarray(self.middle)

    def rays(self, places: Floats) -> Floats:
        """The directions, of length 1, in which places of the picture look."""
        bent = (places - np.asarray(self.middle)) / self.focal
        flat = bent.copy()
        for _ in range(8):
            far = (flat * flat).sum(axis=1, keepdims=True)
            flat = bent / (1.0 + far * (self.bend[0] + far * self.bend[1]))
        ways = np.column_stack((flat, np.ones(len(flat)))) @ self.turn
        return ways / np.linalg.norm(ways, axis=1, keepdims=True)


def turned(by: Floats) -> Floats:
    """The rotation by a vector: its length is the angle (Rodrigues)."""
    angle = float(np.linalg.norm(by))
    if angle < 1e-12:
        return np.eye(3)
    x, y, z = by / angle
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    return np.eye(3) + np.sin(angle) * cross + (1.0 - np.cos(angle)) * (cross @ cross)
