"""How what the shop does grows with the shop: statements sent and CPU seconds at a tenth, a third and the whole.

Run it with `python -m tests.bench.shop [1/10 1/3 1] [postgresql]`. CPU time of this one process, one round each, in a
SQLite file or on a server (whose own time is not in it): the numbers to look at are how they grow. What is read is read
twice, and the second time counts. The collector runs as in the app. The workshop is invented, see
`tests.bench.workshop`.
"""

from __future__ import annotations

import gc
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from fractions import Fraction
from pathlib import Path
from typing import Final, NamedTuple

from sqlalchemy import event
from sqlmodel import Session, col, select

from models import jobs, kits, shelf
from models.database import Workshop, open_workshop
from models.inventory import count_round, reorder_rules
from models.orders.planning import gather
from models.storage.check import check
from models.tables import KitLine, Stock
from models.undoing.undo import undo
from models.words import LineState
from tests import postgres
from tests.bench.workshop import ON, SIZES, build, job_of
from tests.models.shop import act

NEEDS: Final = 200
COUNTED: Final = 500


class Cost(NamedTuple):
    """What one operation took."""

    statements: int
    cpu: float


class Meter:
    """Counts the statements of a workshop's engine and the CPU time of this process."""

    def __init__(self, workshop: Workshop) -> None:
        self.costs: dict[str, Cost] = {}
        self._sent = 0
        # Units that read share the engine's listeners.
        event.listen(workshop._engine, "before_cursor_execute", self._note)

    def _note(self, *_: object) -> None:
        self._sent += 1

    @contextmanager
    def over(self, what: str) -> Iterator[None]:
        """Measure what is done within."""
        sent, began = self._sent, time.process_time()
        yield
        self.costs[what] = Cost(self._sent - sent, time.process_time() - began)


def measure(share: Fraction, folder: Path, server: str | None) -> dict[str, Cost]:
    """Build the shop of that size and do everything once in it."""
    name = f"shop_{share.numerator}_{share.denominator}"
    workshop = open_workshop(postgres.new_database(server, name) if server else folder / f"{name}.sqlite3")
    began = time.process_time()
    built = build(workshop, share, folder)
    print(f"{built}, made in {time.process_time() - began:.1f} s", file=sys.stderr)
    meter = Meter(workshop)
    _read(workshop, meter)
    _write(workshop, meter)
    with workshop.read() as session:
        with meter.over("check"):
            report = check(session)
        print(*report.findings[:5], sep="\n", file=sys.stderr)
        assert report.ok
    workshop.close()
    return meter.costs


def _read(workshop: Workshop, meter: Meter) -> None:
    reads: dict[str, Callable[[Session], object]] = {
        "Buy opens (what is short and offered)": lambda session: gather(session, ON),
        "count round": lambda session: count_round.stops(session),
        "reorder points": lambda session: reorder_rules.rules(session, ON),
    }
    for what, ask in reads.items():
        with workshop.read() as session:
            ask(session)
        with workshop.read() as session, meter.over(what):
            ask(session)


def _write(workshop: Workshop, meter: Meter) -> None:
    with workshop.write() as session:
        job_id = job_of(session, NEEDS)
    with workshop.write() as session, meter.over(f"resolve {NEEDS} needs"):
        kits.allocate(session, act(), job_id)
    with workshop.write() as session, meter.over(f"look again, {NEEDS} needs"):
        kits.look_again(session, act(), job_id)
    with workshop.write() as session:
        found = select(KitLine.id).where(KitLine.state == LineState.HAVE)
        lines = [line for need in kits.view(session, job_id).needs for line in need.lines if line.line_id is not None]
        assert session.exec(found.where(col(KitLine.id).in_([line.line_id for line in lines]))).first()
    with workshop.write() as session, meter.over(f"pick all, {NEEDS} needs"):
        kits.pick(session, act(key="picked"), [line.line_id or 0 for line in lines])
    with workshop.write() as session, meter.over("undo of picking all"):
        undo(session, act(), "picked")
    with workshop.write() as session:
        jobs.close(session, act(key="closed"), job_id)
    with workshop.write() as session, meter.over("undo of closing"):
        undo(session, act(), "closed")
    with workshop.write() as session:
        counted = session.exec(select(Stock.id, Stock.on_hand).order_by(col(Stock.id)).limit(COUNTED)).all()
        shelf.count_many(session, act(key="counted"), {row or 0: there + 1 for row, there in counted})
    with workshop.write() as session, meter.over(f"undo of a count of {len(counted)}"):
        undo(session, act(), "counted")


def main(given: list[str]) -> int:
    """Print the figures of every size, and how the last grew from the first."""
    gc.set_threshold(50_000, 20, 100)
    shares = [Fraction(one) for one in given if one != "postgresql"] or list(SIZES)
    with tempfile.TemporaryDirectory() as folder, ExitStack() as stack:
        server = stack.enter_context(postgres.server()) if "postgresql" in given else None
        every = [measure(share, Path(folder), server) for share in shares]
    print(f"\n{'':40}" + "".join(f"{f'share {share}':>22}" for share in shares) + f"{'grew':>8}")
    for what, least in every[0].items():
        cells = [f"{costs[what].statements:>8} sent {costs[what].cpu:7.3f} s" for costs in every]
        print(f"{what:40}" + "".join(f"{cell:>22}" for cell in cells) + f"{every[-1][what].cpu / least.cpu:8.1f}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
