"""A ring lying on the sheet, and its silhouette: each ray along its edge passes the cord's middle by half the width.

The middle line is a circle at a height of half the width, with two terms more for a ring out of round. Pure numpy.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from catalog.photo.camera import Camera, Floats


class Torus(NamedTuple):
    """In mm: the middle, the radius of the cord's middle line, the width, and out of round along and aslant."""

    x: float
    y: float
    radius: float
    width: float
    along: float = 0.0
    aslant: float = 0.0

    def line(self, at: Floats) -> Floats:
        """The cord's middle line at angles, a row each."""
        far = self.radius + self.along * np.cos(2 * at) + self.aslant * np.sin(2 * at)
        return np.column_stack(
            (self.x + far * np.cos(at), self.y + far * np.sin(at), np.full(len(at), -self.width / 2))
        )

    def edge(self, at: Floats, outer: bool, camera: Camera) -> tuple[Floats, Floats]:
        """Where the silhouette runs in the picture at these angles, and which way leads out of the cord, in px."""
        step = 1e-4
        middle = self.line(at)
        along = self.line(at + step) - self.line(at - step)
        sight = middle - camera.place
        out = np.cross(along, sight)
        out /= np.linalg.norm(out, axis=1, keepdims=True)
        away = np.column_stack((np.cos(at), np.sin(at), np.zeros(len(at))))
        sign = np.sign((out * away).sum(axis=1, keepdims=True))
        out *= sign if outer else -sign
        limb = camera.seen(middle + out * (self.width / 2))
        way = camera.seen(middle + out * (self.width / 2 + 0.02)) - limb
        return limb, way / np.linalg.norm(way, axis=1, keepdims=True)

    def missed_by(self, start: Floats, ways: Floats, near: Floats) -> Floats:
        """How far rays from `start` pass the middle line, less half the width, in mm; `near`: at which angle, about."""
        at = near
        for step in (0.03, 0.006):
            before, here, after = (self._gap(start, ways, at + by) for by in (-step, 0.0, step))
            curve = before - 2 * here + after
            move = np.where(curve > 1e-15, 0.5 * step * (before - after) / np.where(curve > 1e-15, curve, 1.0), 0.0)
            at = at + np.clip(move, -0.1, 0.1)
        return np.sqrt(np.maximum(self._gap(start, ways, at), 0.0)) - self.width / 2

    def _gap(self, start: Floats, ways: Floats, at: Floats) -> Floats:
        apart = self.line(at) - start
        reach = (apart * ways).sum(axis=1)
        gap: Floats = (apart * apart).sum(axis=1) - reach * reach
        return gap
