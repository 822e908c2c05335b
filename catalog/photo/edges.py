"""Where a ring's edge runs in a picture, to a fraction of a px. Pure numpy.

First roughly, where brightness changes fastest. Then as it is: a step, blurred, between rubber and paper that both
change in brightness as they leave it, for close to a cord the paper is in its shade. Taking the steepest place alone
would put the edge as much as half a px outwards.
"""

from __future__ import annotations

import math
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from catalog.photo.camera import Floats

STEP: Final = 0.5
"""px between two samples along a profile."""
SHIFT: Final = 0.125
"""px between two places that a step is tried at."""
COUNTS: Final = 0.16
"""How steep an edge must be to count, as a share of the steepest there."""
MOST: Final = 4
BLURS: Final = (0.45, 0.6, 0.75, 0.95, 1.2, 1.5, 1.9, 2.4, 3.0, 3.8, 4.8, 6.0)
"""Standard deviations in px that a picture's blur is tried as."""


class Found(NamedTuple):
    """Each profile's edge: how far from where it was looked for, in px outwards, and how strong it is."""

    offset: Floats
    strength: Floats


def light(grey: Floats) -> Floats:
    """How much light a grey of 0 to 255 stands for, 0 to 1: the curve of sRGB (IEC 61966-2-1)."""
    share = grey / 255.0
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)


_LIGHT: Final = light(np.arange(256, dtype=np.float64))


def rises(picture: NDArray[np.uint8], places: Floats, ways: Floats, reach: float, smooth: float) -> Floats:
    """Where it grows light on profiles through `places` that lead `ways`, at most `reach` px away: for each the first
    so many places, in px outwards, not a number where there are no more.

    Coming from the cord, its edge lies before that of the shadow it throws. `smooth`: the standard deviation in px of
    what evens out noise.
    """
    along, profile = _profiles(picture, places, ways, reach + 4 * smooth)
    wide = np.arange(-round(4 * smooth / STEP), round(4 * smooth / STEP) + 1) * STEP
    slope = wide * np.exp(-0.5 * (wide / smooth) ** 2)
    slope /= (slope * wide).sum()
    # The slope of the profile evened out, for every profile at once.
    slopes = np.lib.stride_tricks.sliding_window_view(profile, len(wide), axis=1) @ slope
    middle = along[len(wide) // 2 : len(wide) // 2 + slopes.shape[1]]
    peaks = np.zeros(slopes.shape, bool)
    peaks[:, 1:-1] = (slopes[:, 1:-1] >= slopes[:, :-2]) & (slopes[:, 1:-1] > slopes[:, 2:])
    peaks &= slopes >= np.maximum(COUNTS * slopes.max(axis=1, keepdims=True), 0.1 * COUNTS * slopes.max())
    found = np.full((len(places), MOST), np.nan)
    for number in range(MOST):
        some = peaks.any(axis=1)
        best = np.argmax(peaks, axis=1)
        found[some, number] = middle[best[some]]
        peaks[np.arange(len(peaks)), best] = False
    return found


def steps(picture: NDArray[np.uint8], places: Floats, ways: Floats, reach: float, far: float, blur: float) -> Found:
    """The blurred steps on profiles through `places` that lead `ways`, at most `reach` px away.

    `far`: how many px on both sides are looked at; `blur`: as `blur_of` says.
    """
    along, profile = _profiles(picture, places, ways, far)
    shifts = np.arange(-round(reach / SHIFT), round(reach / SHIFT) + 1) * SHIFT
    left = np.stack([_left_over(along - shift, blur, profile) for shift in shifts], axis=1)
    best = np.argmin(left, axis=1)
    inner = np.clip(best, 1, len(shifts) - 2)
    offset = shifts[inner] + SHIFT * _turning(left, inner)
    height = np.zeros(len(profile))
    for number in np.unique(inner):
        these = inner == number
        parts = _parts(along - shifts[number], blur)
        height[these] = (np.linalg.pinv(parts) @ profile[these].T)[1]
    return Found(offset, np.where((best == inner) & (height > 0), height, 0.0))


def blur_of(picture: NDArray[np.uint8], places: Floats, ways: Floats, far: float) -> float:
    """The picture's blur by edges that run through `places`, about: a standard deviation in px."""
    along, profile = _profiles(picture, places, ways, far)
    shifts = np.arange(-1.5, 1.51, 0.25)
    tried = [
        float(np.median(np.min([_left_over(along - shift, blur, profile) for shift in shifts], axis=0)))
        for blur in BLURS
    ]
    best = int(np.argmin(tried))
    if not 0 < best < len(BLURS) - 1:
        return BLURS[best]
    by = float(_turning(np.array([tried]), np.array([best]))[0])
    return BLURS[best] * (BLURS[best + 1] / BLURS[best]) ** by


def _parts(along: Floats, blur: float) -> Floats:
    """What a profile is made of where the step is at 0: a level, the step, and how both sides change."""
    by = along / blur
    risen = 0.5 * (1 + np.array([math.erf(one / math.sqrt(2)) for one in by]))
    bell = np.exp(-0.5 * by * by) / math.sqrt(2 * math.pi)
    outwards = along * risen + blur * bell
    return np.column_stack((np.ones(len(along)), risen, outwards, along - outwards))


def _left_over(along: Floats, blur: float, profile: Floats) -> Floats:
    base, _ = np.linalg.qr(_parts(along, blur))
    put: Floats = (profile * profile).sum(axis=1) - ((profile @ base) ** 2).sum(axis=1)
    return put


def _turning(rows: Floats, at: NDArray[np.intp]) -> Floats:
    """Where the lowest place near `at` of each row lies, in steps from there, by a parabola."""
    number = np.arange(len(rows))
    before, here, after = rows[number, at - 1], rows[number, at], rows[number, at + 1]
    curve = before - 2 * here + after
    good = curve > 1e-12
    return np.clip(np.where(good, 0.5 * (before - after) / np.where(good, curve, 1.0), 0.0), -1.0, 1.0)


def _profiles(picture: NDArray[np.uint8], places: Floats, ways: Floats, far: float) -> tuple[Floats, Floats]:
    """The light along lines, a row each, between the px by the four next to each place."""
    count = math.ceil(far / STEP)
    along = np.arange(-count, count + 1) * STEP
    at = places[:, None, :] + ways[:, None, :] * along[None, :, None]
    high, wide = picture.shape
    x = np.clip(at[..., 0], 0, wide - 1.001)
    y = np.clip(at[..., 1], 0, high - 1.001)
    left, top = x.astype(np.intp), y.astype(np.intp)
    x, y = x - left, y - top
    upper = _LIGHT[picture[top, left]] * (1 - x) + _LIGHT[picture[top, left + 1]] * x
    lower = _LIGHT[picture[top + 1, left]] * (1 - x) + _LIGHT[picture[top + 1, left + 1]] * x
    return along, upper * (1 - y) + lower * y
