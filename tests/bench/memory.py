"""What the app holds of memory under random keys in the large shop, at every thousand keys of one life.

Run it with `python -m tests.bench.memory [--keys 6000] [--seed 50] [--share 1] [--kinds]`. At each mark the app comes
to rest first and the collector runs. RSS is the whole process, this bench and the cat in it. `--kinds` prints what
there is more of than at the first mark. The shop is invented, see `tests.bench.workshop`.
"""

from __future__ import annotations

import argparse
import asyncio
import functools
import gc
import multiprocessing
import sys
import tempfile
import time
from collections import Counter
from fractions import Fraction
from pathlib import Path
from typing import Final

from textual.strip import Strip
from textual.widget import Widget

from tests.faults.monkey import Run, Subject, ground, memory, say
from tui.commands.app import COLLECTED

REST: Final = 120.0
"""Seconds that the app has to come to rest at a mark."""
MOST_KINDS: Final = 20
MANY_CACHED: Final = 500


class Measured(Run):
    """A run that looks at its memory at every mark."""

    kinds = False
    _first: Counter[str] | None = None

    async def marked(self, app: Subject) -> None:
        """Come to rest, collect, print."""
        until = time.monotonic() + REST
        while time.monotonic() < until and (app.message_queue_size or any(not one.is_finished for one in app.workers)):
            await asyncio.sleep(0.05)
        gc.collect()
        there = gc.get_objects()
        parts = [one for one in there if isinstance(one, Widget)]
        lost = sum(not one.is_attached for one in parts)
        strips = sum(isinstance(one, Strip) for one in there)
        say(
            f"{self.keys:6} keys  {time.process_time():5.0f} CPU s  RSS {memory():4} MB"
            f"  {sys.getallocatedblocks():9,} blocks  {len(there):8,} objects"
            f"  {len(parts):5} parts, {lost} of closed pages  {strips:6} strips"
        )
        if self.kinds:
            self._more(there)

    def _more(self, there: list[object]) -> None:
        count = Counter(type(one).__qualname__ for one in there)
        self._first = first = self._first or count
        more = Counter({kind: n - first[kind] for kind, n in count.items() if n > first[kind]})
        say("  more: " + ", ".join(f"{kind} {n}" for kind, n in more.most_common(MOST_KINDS)))
        cached = [
            (one.cache_info().currsize, f"{one.__module__}.{getattr(one, '__qualname__', '?')}")
            for one in there
            if isinstance(one, functools._lru_cache_wrapper)
        ]
        say("  kept: " + ", ".join(f"{name} {n}" for n, name in sorted(cached, reverse=True) if n >= MANY_CACHED))


def shop(file: Path, share: Fraction) -> None:
    """The invented shop, closed."""
    from models.database import open_workshop
    from tests.bench.workshop import build

    workshop = open_workshop(file)
    try:
        build(workshop, share, file.parent)
    finally:
        workshop.close()


def main() -> int:
    """Play and print; 1 where the app ended."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--keys", type=int, default=6_000)
    parser.add_argument("--seed", type=int, default=50)
    parser.add_argument("--share", type=Fraction, default=Fraction(1))
    parser.add_argument("--kinds", action="store_true", help="what there is more of")
    parser.add_argument("--log", type=Path, help="append every move to this file")
    given = parser.parse_args()
    gc.set_threshold(*COLLECTED)
    log = given.log.absolute() if given.log else None
    with tempfile.TemporaryDirectory() as name, ground(Path(name)):
        file = Path(name) / "shop.sqlite3"
        # Built by a process of its own: that takes memory, too.
        builder = multiprocessing.get_context("spawn").Process(target=shop, args=(file, given.share))
        builder.start()
        builder.join()
        run = Measured(file, given.seed, slow=False, net=False, log=log, tell=say)
        run.kinds = given.kinds
        say(f"at the start: RSS {memory()} MB")
        asyncio.run(run.live(given.keys + 1))
    return 1 if run.ends else 0


if __name__ == "__main__":
    sys.exit(main())
