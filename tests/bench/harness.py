"""What the benches share: repeat, take the median, and print it beside a floor measured in the same run."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Sequence
from typing import NamedTuple


class Figure(NamedTuple):
    """One measured time in seconds, the floor it is held against and the goal as a ratio or in seconds."""

    what: str
    seconds: float
    floor: float | None = None
    most_times_floor: float | None = None
    most_seconds: float | None = None

    @property
    def is_met(self) -> bool:
        """Whether every goal that was set is met."""
        ratio_met = (
            self.floor is None or self.most_times_floor is None or self.seconds <= self.floor * self.most_times_floor
        )
        return ratio_met and (self.most_seconds is None or self.seconds <= self.most_seconds)


def once(work: Callable[[], object]) -> float:
    """Seconds that one call takes."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def medians(*measures: Callable[[], float], rounds: int) -> list[float]:
    """The median of each measure, taken in turns so that a busy moment hits them all alike. One round warms up."""
    for measure in measures:
        measure()
    taken = [[measure() for measure in measures] for _ in range(rounds)]
    return [statistics.median(column) for column in zip(*taken, strict=True)]


def show(title: str, figures: Sequence[Figure]) -> bool:
    """Print a table; True when every goal is met."""
    print(f"\n{title}")
    print(f"{'':52}{'ms':>9}  {'floor':>8}  {'ratio':>6}  goal")
    for figure in figures:
        floor = "" if figure.floor is None else f"{figure.floor * 1000:.2f}"
        ratio = "" if figure.floor is None else f"{figure.seconds / figure.floor:.2f}"
        goals = [
            *([] if figure.most_times_floor is None else [f"≤ {figure.most_times_floor:g} × floor"]),
            *([] if figure.most_seconds is None else [f"≤ {figure.most_seconds * 1000:g} ms"]),
        ]
        verdict = "" if not goals else "  met" if figure.is_met else "  MISSED"
        print(f"{figure.what:52}{figure.seconds * 1000:9.2f}  {floor:>8}  {ratio:>6}  {', '.join(goals)}{verdict}")
    return all(figure.is_met for figure in figures)
