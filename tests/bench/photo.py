"""How far off rings are that are measured from a picture, and whether the ± that is told holds.

Run it with `python -m tests.bench.photo [COUNT] [SEED]`. Pictures are rendered (`tests/catalog/photo/rendered.py`):
rings of 8 to 60 mm, black, grey, green and shiny, out of round by up to 0.6 mm, flattened, at most 30° aslant, of 4 to
8 megapixels, with lens, blur, noise, shadow, sharpening, a telephone's own tones and JPEG; the sheet bulges, the
printer scales, the bar is misread and the file's focal length is off or not said. No real picture is among them.
"""

from __future__ import annotations

import sys
import time
from concurrent.futures import ProcessPoolExecutor
from typing import NamedTuple

import numpy as np

from catalog.photo.measure import measure
from catalog.photo.reading import Bar, Measured
from catalog.photo.refusal import PhotoError
from tests.catalog.photo.rendered import Scene, render


class Taken(NamedTuple):
    scene: Scene
    bar_mm: float
    film: float | None


class Told(NamedTuple):
    taken: Taken
    measured: Measured | None
    why: str
    seconds: float


def drawn(seed: int) -> Taken:
    """A picture by lot."""
    dice = np.random.default_rng([seed, 14])
    inside = float(np.exp(dice.uniform(np.log(8), np.log(60))))
    width = float(np.clip(dice.choice([1.78, 2.4, 2.62, 3.0, 3.53, 5.0, 5.33, 5.7, 6.99]), 0, 0.45 * inside))
    wide, high = ((2304, 1728), (3264, 2448), (3264, 2448))[dice.integers(3)]
    kind = dice.choice(["black", "grey", "green", "shiny"], p=[0.5, 0.15, 0.15, 0.2])
    scale = 1 + dice.normal(0, 0.004)
    room = max(0.0, 40 - inside / 2 - width)
    film = float(dice.uniform(23, 28))
    scene = Scene(
        inside=inside,
        width=width,
        x=float(dice.uniform(-1, 1) * min(12, room)),
        y=float(dice.uniform(-1, 1) * min(12, room)),
        oval=float(dice.uniform(0, min(0.6, 0.03 * inside))),
        oval_at=float(dice.uniform(0, 180)),
        wide=wide,
        high=high,
        film=film,
        over=float(dice.uniform(190, 250)) * film / 26,
        tilt=float(dice.uniform(0, 30)),
        towards=float(dice.uniform(0, 360)),
        roll=float(dice.uniform(0, 360)),
        bend=(float(dice.normal(0, 0.02)), float(dice.normal(0, 0.01))),
        middle=(float(dice.normal(0, 0.006) * wide), float(dice.normal(0, 0.006) * wide)),
        scale=(scale, scale * (1 + dice.normal(0, 0.0006))),
        bulge=float(dice.normal(0, 0.2)),
        flat=float(dice.uniform(0.9, 1.0)),
        ring={"black": 0.04, "grey": 0.22, "green": 0.15, "shiny": 0.05}[str(kind)],
        shine=float(dice.uniform(0.3, 0.9)) if kind == "shiny" else 0.05,
        sun=float(dice.uniform(0, 0.45)),
        sun_at=float(dice.uniform(0, 360)),
        sun_up=float(dice.uniform(35, 75)),
        slope=float(dice.uniform(0, 0.4)),
        blur=float(dice.uniform(0.6, 1.6)),
        tone=float(dice.uniform(0.85, 1.15)),
        sharpen=float(dice.choice([0.0, dice.uniform(0.2, 0.8)])),
        noise=float(dice.uniform(1, 5)),
        quality=int(dice.integers(70, 96)),
        seed=seed,
    )
    said = film * (1 + dice.normal(0, 0.02)) if dice.random() < 0.75 else None
    return Taken(scene, scene.bar_mm + float(dice.normal(0, 0.05)), said)


def told(seed: int) -> Told:
    """What is told of the picture of that number."""
    taken = drawn(seed)
    picture = render(taken.scene)
    began = time.process_time()
    try:
        return Told(taken, measure(picture, Bar(taken.bar_mm), taken.film), "", time.process_time() - began)
    except PhotoError as refused:
        return Told(taken, None, str(refused), time.process_time() - began)


def main(count: int = 40, seed: int = 1000) -> None:
    """Print each picture, then what they come to."""
    with ProcessPoolExecutor(2) as pool:
        all_told = []
        for one in pool.map(told, range(seed, seed + count)):
            all_told.append(one)
            print(_line(one), flush=True)
    measured = [(one.taken, one.measured) for one in all_told if one.measured is not None]
    print(f"\n{len(measured)} of {count} measured, {count - len(measured)} refused")
    by_id = np.array([(m.id_mm - t.scene.inside, m.id_plus_minus_mm, t.scene.inside) for t, m in measured])
    by_width = np.array([(m.width_mm - t.scene.width, m.width_plus_minus_mm, t.scene.inside) for t, m in measured])
    for name, rows in (("ID", by_id), ("width", by_width), ("ID to 30 mm", by_id[by_id[:, 2] <= 30])):
        off = np.abs(rows[:, 0])
        print(
            f"{name}: n {len(rows)}, mean {rows[:, 0].mean():+.3f}, rms {np.sqrt((off**2).mean()):.3f}, "
            f"95 % {np.quantile(off, 0.95):.3f}, max {off.max():.3f} mm; "
            f"± {np.median(rows[:, 1]):.3f} (most {rows[:, 1].max():.3f}), holds in {(off <= rows[:, 1]).mean():.1%}"
        )
    print(f"{np.median([one.seconds for one in all_told]):.1f} s of processor a picture")


def _line(one: Told) -> str:
    scene, said = one.taken.scene, one.taken.film
    about = (
        f"{scene.seed} {scene.inside:5.2f}x{scene.width:4.2f} {scene.tilt:2.0f}° ring {scene.ring:.2f} "
        f"shine {scene.shine:.1f} sun {scene.sun:.2f} blur {scene.blur:.1f} {'f' if said else '-'}"
    )
    if one.measured is None:
        return f"{about}: refused, {one.why}"
    found = one.measured
    return (
        f"{about}: ID {found.id_mm - scene.inside:+.3f} ±{found.id_plus_minus_mm:.3f}, "
        f"width {found.width_mm - scene.width:+.3f} ±{found.width_plus_minus_mm:.3f}"
    )


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
