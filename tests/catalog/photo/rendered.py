"""Pictures of rings on the sheet, worked out ray by ray: what a telephone would take, with all that goes wrong.

Its own geometry, apart from `catalog.photo`: of that only the sheet's drawing is used. A ring is found by walking each
ray as far as the ring's surface is away (sphere tracing), not by its silhouette.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from catalog.photo.sheet import BAR_MM, CELLS, MARK_MM, PATTERNS, PLACES, cells

Floats = NDArray[Any]
ROWS = 96
"""Rows of the picture worked out at a time."""


@dataclass(frozen=True)
class Scene:
    """A picture to be. mm, degrees; `film`: the focal length as on 35 mm film; `bulge`: of the sheet's middle."""

    inside: float = 24.9
    width: float = 3.5
    x: float = 0.0
    y: float = 0.0
    oval: float = 0.0
    """Longest less shortest ID."""
    oval_at: float = 0.0
    wide: int = 1632
    high: int = 1224
    film: float = 26.0
    over: float = 200.0
    tilt: float = 10.0
    towards: float = 40.0
    roll: float = 0.0
    bend: tuple[float, float] = (0.0, 0.0)
    middle: tuple[float, float] = (0.0, 0.0)
    """px that the lens looks past the picture's middle."""
    scale: tuple[float, float] = (1.0, 1.0)
    bulge: float = 0.0
    flat: float = 1.0
    """Height of the cord as a share of its width."""
    ring: float = 0.05
    """How light the ring is, 0 to 1."""
    shine: float = 0.0
    sun: float = 0.3
    """The share of light that comes from one side."""
    sun_at: float = 120.0
    sun_up: float = 55.0
    slope: float = 0.15
    """How much darker the far side of the sheet is, as a share."""
    blur: float = 0.8
    sharpen: float = 0.0
    tone: float = 1.0
    """The telephone's own curve on top of the usual one: under 1 it lifts what is dark."""
    noise: float = 2.0
    quality: int = 90
    seed: int = 1
    lifted: float = 0.0
    """How high one side of the ring stands off the sheet."""

    @property
    def bar_mm(self) -> float:
        """The bar as printed; it lies across."""
        return BAR_MM * self.scale[0]


def render(scene: Scene) -> NDArray[np.uint8]:
    """The picture, grey."""
    wide, high = scene.wide, scene.high
    light = np.empty((high, wide), np.float32)
    turn, place = _pose(scene)
    for top in range(0, high, ROWS):
        rows = min(ROWS, high - top)
        where = np.meshgrid(np.arange(top, top + rows, dtype=float), np.arange(wide, dtype=float), indexing="ij")
        light[top : top + rows] = _light(scene, turn, place, *where)
    # Where it changes from px to px, each is the mean of nine places in it.
    window = np.ones((3, 3), np.uint8)
    v, u = np.nonzero(cv2.dilate(light, window) - cv2.erode(light, window) > 0.015)
    by_v, by_u = (one.ravel() for one in np.meshgrid((-1 / 3, 0, 1 / 3), (-1 / 3, 0, 1 / 3), indexing="ij"))
    for some in np.array_split(np.arange(len(v)), max(1, len(v) // 20_000)):
        finer = _light(scene, turn, place, v[some, None] + by_v, u[some, None] + by_u)
        light[v[some], u[some]] = finer.mean(axis=1)
    return _developed(scene, light)


def encoded(picture: NDArray[np.uint8], quality: int = 90) -> bytes:
    """As a JPEG."""
    return bytes(cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, quality])[1])


def _pose(scene: Scene) -> tuple[Floats, Floats]:
    """Rows: the camera's axes. The camera looks at the middle of the sheet from `over` mm away."""
    tilt, towards, roll = np.radians((scene.tilt, scene.towards, scene.roll))
    up = np.array([np.sin(tilt) * np.cos(towards), np.sin(tilt) * np.sin(towards), -np.cos(tilt)])
    ahead = -up
    right = np.cross(np.array([-np.sin(roll), np.cos(roll), 0.0]), ahead)
    right /= np.linalg.norm(right)
    down = np.cross(ahead, right)
    return np.stack((right, down, ahead)), up * scene.over


def _light(scene: Scene, turn: Floats, place: Floats, v: Floats, u: Floats) -> Floats:
    diagonal = float(np.hypot(scene.wide, scene.high))
    focal = scene.film / 43.2666 * diagonal
    x = (u - (scene.wide - 1) / 2 - scene.middle[0]) / focal
    y = (v - (scene.high - 1) / 2 - scene.middle[1]) / focal
    flat_x, flat_y = x, y
    if any(scene.bend):
        for _ in range(7):
            far = flat_x**2 + flat_y**2
            by = 1 + far * (scene.bend[0] + far * scene.bend[1])
            flat_x, flat_y = x / by, y / by
    ways = flat_x[..., None] * turn[0] + flat_y[..., None] * turn[1] + turn[2]
    ways /= np.linalg.norm(ways, axis=-1, keepdims=True)
    at = _on_sheet(scene, place, ways)
    seen = _paper(scene, at)
    near = _aside(scene, at) < _band(scene)
    if near.any():
        seen[near] = _near(scene, place, ways[near], at[near], seen[near])
    return seen


def _aside(scene: Scene, at: Floats) -> Floats:
    """How far from the cord's middle line points lie, seen from above, of a round ring."""
    return np.abs(np.hypot(at[..., 0] - scene.x, at[..., 1] - scene.y) - (scene.inside + scene.width) / 2)


def _band(scene: Scene) -> float:
    """How far from there the cord still darkens the paper."""
    return 2.4 * scene.width + 2 + scene.oval + scene.lifted


def _height(scene: Scene, x: Floats, y: Floats) -> Floats:
    """The sheet curls up along one way; its middle is `bulge` mm over its marks."""
    return scene.bulge * np.cos(np.clip(x / 75.0, -1.5, 1.5) * np.pi / 2)


def _on_sheet(scene: Scene, place: Floats, ways: Floats) -> Floats:
    up = np.zeros(ways.shape[:-1])
    for _ in range(4 if scene.bulge else 1):
        at = place + ways * ((-up - place[2]) / ways[..., 2])[..., None]
        up = _height(scene, at[..., 0], at[..., 1]) if scene.bulge else up
    return at


def _paper(scene: Scene, at: Floats) -> Floats:
    """How much light the paper gives, without the ring."""
    x, y = at[..., 0] / scene.scale[0], at[..., 1] / scene.scale[1]
    ink = np.full(x.shape, 0.85)
    ink[(np.abs(x) > 105) | (np.abs(y) > 148)] = 0.25  # the bench
    cell = MARK_MM / (CELLS + 2)
    for (left, top), pattern in zip(PLACES, PATTERNS, strict=True):
        within = np.flatnonzero((np.abs(x - left) < MARK_MM / 2).ravel() & (np.abs(y - top) < MARK_MM / 2).ravel())
        if len(within):
            column = (x.ravel()[within] - left + MARK_MM / 2) / cell
            row = (y.ravel()[within] - top + MARK_MM / 2) / cell
            bits = np.pad(np.array(cells(pattern)), 1)
            ink.ravel()[within] = np.where(bits[row.astype(int), column.astype(int)] == 1, 0.85, 0.04)
    return ink * (1 - scene.slope * (0.5 + x / 210))


def _away(scene: Scene, at: Floats) -> Floats:
    """How far points are from the ring's surface, or a little less."""
    x, y = at[..., 0] - scene.x, at[..., 1] - scene.y
    turned = np.arctan2(y, x) if scene.oval or scene.lifted else np.zeros(x.shape)
    radius = (scene.inside + scene.width) / 2 + scene.oval / 4 * np.cos(2 * (turned - np.radians(scene.oval_at)))
    up = -at[..., 2] - scene.bulge - scene.lifted * (0.5 + 0.5 * np.cos(turned))
    aside, over = np.hypot(x, y) - radius, (up - scene.width * scene.flat / 2) / scene.flat
    return (np.hypot(aside, over) - scene.width / 2) * min(1.0, scene.flat)


def _near(scene: Scene, place: Floats, ways: Floats, at: Floats, paper: Floats) -> Floats:
    """The light of rays that come near the ring."""
    sun = _sun(scene)
    seen = paper.copy()
    hit = np.zeros(len(at), bool)
    may = np.flatnonzero(_aside(scene, at) < 1.9 * scene.width + scene.oval + scene.lifted)
    # From where the ray comes down to just over the ring.
    top = -(scene.width * scene.flat + scene.bulge + scene.lifted + 0.01)
    gone = (top - place[2]) / ways[:, 2]
    end = (at[:, 2] - place[2]) / ways[:, 2]
    for _ in range(40):
        away = _away(scene, place + ways[may] * gone[may, None])
        hit[may[away < 2e-3]] = True
        gone[may] += np.maximum(away * 0.98, 0.0)
        may = may[(away >= 2e-3) & (gone[may] < end[may])]
    hit &= gone < end
    seen[~hit] *= _shade(scene, at[~hit], sun)
    touched = (place + ways * gone[:, None])[hit]
    if len(touched):
        seen[hit] = _rubber(scene, touched, ways[hit], sun)
    return seen


def _sun(scene: Scene) -> Floats:
    at, up = np.radians((scene.sun_at, scene.sun_up))
    return np.array([np.cos(at) * np.cos(up), np.sin(at) * np.cos(up), -np.sin(up)])


def _shade(scene: Scene, at: Floats, sun: Floats) -> Floats:
    """The share of light that reaches the paper: the cord hides part of the sky, and throws a shadow."""
    half = scene.width / 2
    aside = _aside(scene, at)
    far = np.hypot(aside, half)
    at_angle, opens = np.arctan2(aside, half), np.arcsin(np.minimum(1.0, half / far))
    hidden = 0.5 * (np.sin(np.minimum(at_angle + opens, np.pi / 2)) - np.sin(at_angle - opens))
    fades = np.clip(2 * (1 - aside / _band(scene)), 0, 1)
    sky = 1 - np.clip(hidden, 0, 1) * fades
    if not scene.sun:
        return sky
    lit = np.ones(len(at))
    gone = np.full(len(at), 0.05)
    for _ in range(18):
        away = _away(scene, at + sun * gone[:, None])
        lit = np.minimum(lit, np.clip(0.5 + 6.0 * away / np.maximum(gone, 0.3), 0, 1))
        gone += np.clip(away, 0.08, 2.0)
    return (1 - scene.sun) * sky + scene.sun * lit


def _rubber(scene: Scene, at: Floats, ways: Floats, sun: Floats) -> Floats:
    step = 1e-3
    normal = np.stack([_away(scene, at + axis) - _away(scene, at - axis) for axis in np.eye(3) * step], axis=-1)
    normal /= np.linalg.norm(normal, axis=-1, keepdims=True)
    sky = 0.5 - 0.5 * normal[:, 2]
    from_sun = np.maximum(0.0, normal @ sun)
    half = sun - ways
    half /= np.linalg.norm(half, axis=-1, keepdims=True)
    glint = scene.shine * np.maximum(0.0, (normal * half).sum(axis=-1)) ** 60
    graze = 0.04 + 0.3 * (1 - np.abs((normal * ways).sum(axis=-1))) ** 5
    return scene.ring * ((1 - scene.sun) * sky + scene.sun * from_sun) + glint + (0.2 * scene.shine + 0.1) * graze * sky


def _developed(scene: Scene, light: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Lens, film and file."""
    dice = np.random.default_rng(scene.seed)
    seen = cv2.GaussianBlur(light, (0, 0), scene.blur) if scene.blur else light
    seen = np.clip(seen * 1.05, 0, 1) ** scene.tone
    shown = 255 * np.where(seen <= 0.0031308, 12.92 * seen, 1.055 * seen ** (1 / 2.4) - 0.055)
    shown = shown + dice.normal(0, scene.noise, shown.shape) if scene.noise else shown
    shown = shown.astype(np.float32)
    if scene.sharpen:
        shown += scene.sharpen * (shown - cv2.GaussianBlur(shown, (0, 0), 1.2))
    picture = np.clip(np.round(shown), 0, 255).astype(np.uint8)
    kept = np.frombuffer(encoded(picture, scene.quality), np.uint8)
    return np.asarray(cv2.imdecode(kept, cv2.IMREAD_GRAYSCALE), dtype=np.uint8)
