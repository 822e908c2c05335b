"""Kill the program hundreds of times at random instants and print what was lost: `python -m tests.faults --kills 300`.

The kills are shared out over every kind of work on both databases; each kind and database gets at least as many as
its share. Any loss ends the run with the failed comparison and the seed that repeats the draw.
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
from pathlib import Path

from tests import postgres
from tests.faults.lives import Outcome, run
from tests.faults.places import Databases, Files, Shared
from tests.faults.works import ON_SHARES, WORKS


def say(line: str) -> None:
    """A line of the table, at once."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def show(done: Outcome) -> None:
    """One line of the table."""
    say(
        f"{done.work:20}{done.place:12}{done.kills:7}{done.in_the_middle:15}{done.acknowledged:14}"
        f"{'0':>6}{done.seconds:9.1f}"
    )


def main(kills: int, seed: int) -> None:
    """Kill, judge, print."""
    each = -(-kills // (2 * len(WORKS) + len(ON_SHARES)))
    say(f"seed {seed}")
    say(f"{'killed during':20}{'on':12}{'kills':>7}{'in the middle':>15}{'acknowledged':>14}{'lost':>6}{'seconds':>9}")
    outcomes = []
    with tempfile.TemporaryDirectory() as name, postgres.server() as server:
        everywhere = ((Files(Path(name)), WORKS), (Shared(Path(name)), ON_SHARES), (Databases(server), WORKS))
        for places, works in everywhere:
            for work in works:
                folder = Path(name) / f"{places.name}-{work.__name__}"
                folder.mkdir()
                outcomes.append(run(work(places, folder), each, random.Random(seed)))
                show(outcomes[-1])
    total = (sum(one.kills for one in outcomes), sum(one.in_the_middle for one in outcomes))
    show(Outcome("in all", "", *total, sum(one.acknowledged for one in outcomes), sum(one.seconds for one in outcomes)))


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=300)
    parser.add_argument("--seed", type=int, default=random.randrange(10**6))
    arguments = parser.parse_args()
    main(arguments.kills, arguments.seed)
    sys.exit(0)
