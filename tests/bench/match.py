"""How long one match over all sizes takes, without numpy.

Run: python -m tests.bench.match
Floor, in the same run: a plain loop over the same sizes that only scores squared distances and keeps the ten best.
"""

from __future__ import annotations

import heapq
import statistics
import sys

from catalog.orings.evidence import Condition, Dimension, Evidence, Tool
from catalog.orings.instruments import reading
from catalog.orings.match import rank
from catalog.orings.sizes import all_sizes
from tests.bench.harness import Figure, once, show

ROUNDS = 200


def plain_loop(id_mm: float, width_mm: float) -> list[tuple[float, str]]:
    """The ten sizes nearest in units of their tolerances."""
    scored = (
        (
            ((size.id_mm - id_mm) / size.id_tol_mm) ** 2
            + ((size.cross_section_mm - width_mm) / size.cross_section_tol_mm) ** 2,
            size.key,
        )
        for size in all_sizes()
    )
    return heapq.nsmallest(10, scored)


def main() -> int:
    """Print the table; 1 when a goal was missed."""
    inner, width = reading(Dimension.ID, 24.9), reading(Dimension.WIDTH, 3.5)
    asked = {
        "ID and width, caliper": Evidence((inner, width)),
        "ID and width, swollen ring": Evidence((inner, width), Condition.SWOLLEN),
        "ID by steel rule alone": Evidence((reading(Dimension.ID, 24.9, Tool.RULE),)),
        "cut length by rule alone": Evidence((reading(Dimension.CUT_LENGTH, 90.0, Tool.RULE),)),
        "width alone": Evidence((width,)),
        "no standard size": Evidence((reading(Dimension.ID, 777.7), reading(Dimension.WIDTH, 19.3))),
    }
    all_sizes()
    floor = statistics.median(once(lambda: plain_loop(24.9, 3.5)) for _ in range(ROUNDS))
    figures = []
    for what, evidence in asked.items():
        rank(evidence)
        seconds = statistics.median(once(lambda evidence=evidence: rank(evidence)) for _ in range(ROUNDS))  # type: ignore[misc]
        figures.append(Figure(what, seconds, floor, most_seconds=0.003))
    met = show(f"One match over {len(all_sizes())} sizes / plain loop (median)", figures)
    if "numpy" in sys.modules:
        print("numpy was imported: MISSED")
    return 0 if met and "numpy" not in sys.modules else 1


if __name__ == "__main__":
    sys.exit(main())
