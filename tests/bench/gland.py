"""Gland bench: one verdict, and every size against one groove, each beside a plain loop in the same run.

Run: python -m tests.bench.gland
"""

from __future__ import annotations

from collections.abc import Callable
from statistics import median
from time import perf_counter

from catalog.orings.candidates import rings_for
from catalog.orings.figures import Service
from catalog.orings.gland import assess
from catalog.orings.groove import GrooveKind, piston
from catalog.orings.sizes import all_sizes, by_key
from catalog.orings.span import span
from catalog.orings.standard_grooves import groove_for

VERDICT_MS = 1.0
RANKED_MS = 20.0


def timed(call: Callable[[], object], times: int) -> float:
    """Median of single calls, ms."""
    taken = []
    for _ in range(times):
        start = perf_counter()
        call()
        taken.append((perf_counter() - start) * 1000)
    return median(taken)


def main() -> int:
    """Print both figures with their floors; 1 when a goal is missed."""
    ring = by_key("as568:214")
    assert ring is not None
    groove = piston(span(25.4, 0.05), span(4.8, 0.1), bore=span(31.1, 0.05), clearance=0.15)
    tiny = piston(span(2.85, 0.05), span(2.4, 0.1), bore=span(5.5, 0.05))
    service = Service(10, 90, pressure_bar=100)
    sizes = all_sizes()

    def floor() -> int:
        """A plain loop: nominal squeeze and stretch of every size, no tolerances, no reasons."""
        gap, kept = 2.85, 0
        for one in sizes:
            stretch = 25.4 / one.id_mm - 1
            squeeze = 1 - gap / one.cross_section_mm
            kept += 0.05 <= squeeze <= 0.3 and 0 <= stretch <= 0.05
        return kept

    def every() -> int:
        """No window: the whole judgement of every size."""
        return sum(assess(one, groove).verdict.rank for one in sizes)

    verdict = timed(lambda: assess(ring, groove), 300)
    served = timed(lambda: assess(ring, groove, service=service), 300)
    ranked = timed(lambda: rings_for(groove), 30)
    ranked_tiny = timed(lambda: rings_for(tiny), 30)
    loop, whole = timed(floor, 30), timed(every, 3)
    print(f"one verdict                {verdict:8.3f} ms   goal {VERDICT_MS} ms")
    print(f"one verdict, in service    {served:8.3f} ms   goal {VERDICT_MS} ms")
    print(f"{len(sizes)} sizes, one groove    {ranked:8.3f} ms   goal {RANKED_MS} ms ({len(rings_for(groove))} rings)")
    print(f"the same, small groove     {ranked_tiny:8.3f} ms   goal {RANKED_MS} ms ({len(rings_for(tiny))} rings)")
    print(f"floor: plain nominal loop  {loop:8.3f} ms   ranked / floor {ranked / loop:.1f}")
    print(f"no window, all judged      {whole:8.3f} ms   ranked / this {ranked / whole:.3f}")
    own = groove_for(ring, GrooveKind.PISTON)
    assert own is not None
    print(f"standard groove, judged    {timed(lambda: assess(ring, own), 300):8.3f} ms")
    return int(max(verdict, served) > VERDICT_MS or max(ranked, ranked_tiny) > RANKED_MS)


if __name__ == "__main__":
    raise SystemExit(main())
