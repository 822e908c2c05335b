"""What a person does at a bench whose database is far away: 5 ms a round trip to PostgreSQL, each deed at most 0.5 s.

Run it with `python -m tests.bench.slow_line [MILLISECONDS [SHARE]]`. A proxy on the loopback holds back what the
program sends; answers pass at once, so every question that is waited for costs the whole delay. What is printed is
the wall clock, beside the round trips that the proxy saw and how long the deed takes without the delay. The shop is
the invented one at a tenth, or at the share of it that is named, see `tests.bench.workshop`; each deed was done once
before, so that no statement is compiled in it.
"""

from __future__ import annotations

import asyncio
import contextlib
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import partial
from itertools import count
from pathlib import Path
from typing import Final, NamedTuple

from sqlmodel import Session, col, select

from models import jobs, kits, shelf
from models.acts import Act
from models.database import Workshop, open_workshop
from models.inventory import count_round, items, reorder_rules
from models.kits import NeedSpec
from models.orders import listing
from models.orders.planning import gather
from models.search import searching
from models.tables import Need, Stock
from models.undoing.undo import undo
from models.words import Kind
from tests import postgres
from tests.bench.workshop import ON, SIZES, build
from tests.models.shop import act

DELAY_MS: Final = 5.0
GOAL_S: Final = 0.5
SIZE: Final = SIZES[0]
COUNTED: Final = 500


class Line:
    """A line to a server: what is sent there is held back, and each time that an answer is waited for is counted."""

    def __init__(self, host: str, port: int) -> None:
        self._to = host, port
        self.delay_s = 0.0
        self.round_trips = 0
        self.port = 0
        self._loop = asyncio.new_event_loop()
        self._server: asyncio.Server | None = None

    @contextlib.contextmanager
    def open(self) -> Iterator[Line]:
        """Pass on what comes, in a thread of its own, until left."""
        ready = threading.Event()

        async def serve() -> None:
            self._server = await asyncio.start_server(self._connected, "127.0.0.1", 0)
            self.port = self._server.sockets[0].getsockname()[1]
            ready.set()

        def run() -> None:
            self._loop.run_until_complete(serve())
            self._loop.run_forever()
            left = asyncio.all_tasks(self._loop)
            for one in left:
                one.cancel()
            self._loop.run_until_complete(asyncio.gather(*left, return_exceptions=True))
            self._loop.close()

        thread = threading.Thread(target=run, daemon=True)
        thread.start()
        ready.wait()
        try:
            yield self
        finally:
            self._loop.call_soon_threadsafe(self._loop.stop)
            thread.join()

    async def _connected(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        answers, to_server = await asyncio.open_connection(*self._to)
        asked = False

        async def there() -> None:
            nonlocal asked
            while data := await reader.read(1 << 16):
                if not asked:
                    # What follows before an answer came is of the same question, and travels with it.
                    asked = True
                    self.round_trips += 1
                    await asyncio.sleep(self.delay_s)
                to_server.write(data)
            to_server.close()

        async def back() -> None:
            nonlocal asked
            while data := await answers.read(1 << 16):
                asked = False
                writer.write(data)
            writer.close()

        await asyncio.gather(there(), back(), return_exceptions=True)


class Deed(NamedTuple):
    """What one deed took: round trips, seconds over the slow line and seconds without the delay."""

    round_trips: int
    slow_s: float
    near_s: float


class Person:
    """Does each deed, and takes it back before it is done again."""

    def __init__(self, workshop: Workshop) -> None:
        self._workshop = workshop
        self._numbers = count()
        self._done: dict[str, str] = {}
        self._specs = [NeedSpec(Kind.RING, 2, title=f"ring {at}", size_key=f"as568:{at}") for at in range(210, 230)]
        with workshop.write() as session:
            self._job = jobs.open_job(session, act(), title="Service").job_id
            kits.add_needs(session, act(), self._job, self._specs)
            kits.allocate(session, act(), self._job)
            lies = select(Stock.id, Stock.on_hand).where(col(Stock.on_hand) > col(Stock.promised) + 50)
            self._stock = [(row or 0, there) for row, there in session.exec(lies.limit(COUNTED)).all()]
            self._need = session.exec(select(Need.id).where(col(Need.job_id) == self._job)).first() or 0

    def reads(self) -> dict[str, Callable[[Session], object]]:
        """What only asks."""
        return {
            "the Shelf's rows": lambda session: shelf.stock_rows(session, limit=500),
            "the Shelf, narrowed": lambda session: shelf.stock_rows(session, "nbr 70", limit=500),
            "a row's ledger": lambda session: shelf.movements(session, self._stock[0][0], limit=20),
            "items to choose from": lambda session: items.page(session, limit=500),
            "open jobs": lambda session: jobs.listed(session, limit=500),
            "a kit of 20 needs": lambda session: kits.view(session, self._job),
            "what else a need takes": lambda session: kits.offers(session, self._need, on=ON),
            "Find, three letters": lambda session: searching.search(session, "nbr", limit=200),
            "Buy opens": lambda session: gather(session, ON),
            "orders": listing.listed,
            "a count round": count_round.stops,
            "reorder points": lambda session: reorder_rules.rules(session, ON),
        }

    def changes(self) -> dict[str, Callable[[Session, Act], object]]:
        """What is booked, and can be undone."""
        first, there = self._stock[0]
        lies = self._stock
        return {
            "use one": lambda session, by: shelf.use(session, by, stock_id=first, quantity=1),
            "count one": lambda session, by: shelf.count(session, by, stock_id=first, counted=there + 3),
            f"count {COUNTED}": lambda session, by: shelf.count_many(session, by, {row: n + 1 for row, n in lies}),
            "open a job": lambda session, by: jobs.open_job(session, by, title="Another"),
            "add a need": lambda session, by: kits.add_need(session, by, self._job, self._specs[0]),
            "pick 20 needs": lambda session, by: kits.pick(session, by, self._lines),
            "look again for 20 needs": lambda session, by: kits.look_again(session, by, self._job),
        }

    def ask(self, what: str) -> None:
        """Read it."""
        with self._workshop.read() as session:
            self.reads()[what](session)

    def prepare(self, what: str) -> None:
        """Take back what was done before, and see which lines there are to pick."""
        if what in self._done:
            self.undo(what)
        with self._workshop.read() as session:
            needs = kits.view(session, self._job).needs
            self._lines = [line.line_id for need in needs for line in need.lines if line.line_id is not None]

    def change(self, what: str) -> None:
        """Book it."""
        self._done[what] = f"{what} {next(self._numbers)}"
        with self._workshop.write() as session:
            self.changes()[what](session, act(key=self._done[what]))

    def undo(self, what: str) -> None:
        """Take it back."""
        with self._workshop.write() as session:
            undo(session, act(), self._done.pop(what))


def measure(delay_ms: float, share: Fraction) -> dict[str, Deed]:
    """Every deed three times: to warm up, without the delay, with it."""
    with postgres.server() as server, tempfile.TemporaryDirectory() as folder:
        port = int(server.rpartition(":")[2])
        with Line("127.0.0.1", port).open() as line:
            where = postgres.new_database(server, "shop")
            workshop = open_workshop(where.replace(f":{port}/", f":{line.port}/"))
            build(workshop, share, Path(folder))
            person = Person(workshop)
            found: dict[str, Deed] = {}

            def timed(what: str, do: Callable[[], None], before: Callable[[], None] = lambda: None) -> None:
                took = []
                for delay in (0.0, 0.0, delay_ms / 1000):
                    before()
                    line.delay_s, line.round_trips = delay, 0
                    began = time.perf_counter()
                    do()
                    took.append(time.perf_counter() - began)
                    line.delay_s = 0.0
                    trips = line.round_trips
                found[what] = Deed(trips, took[2], took[1])

            for what in person.reads():
                timed(what, partial(person.ask, what))
            for what in person.changes():
                timed(what, partial(person.change, what), partial(person.prepare, what))
            for what in ("use one", f"count {COUNTED}", "pick 20 needs"):

                def again(what: str = what) -> None:
                    person.prepare(what)
                    person.change(what)

                timed(f"undo: {what}", partial(person.undo, what), again)
            workshop.close()
    return found


def main(given: list[str]) -> int:
    """Print the deeds, slowest first; 1 where one takes longer than it may."""
    delay_ms = float(given[0]) if given else DELAY_MS
    found = measure(delay_ms, Fraction(given[1]) if len(given) > 1 else SIZE)
    print(f"{'deed':26}{'round trips':>12}{f'at {delay_ms:g} ms':>12}{'at 0 ms':>10}")
    for what, deed in sorted(found.items(), key=lambda pair: -pair[1].slow_s):
        late = "" if deed.slow_s <= GOAL_S else f"  more than {GOAL_S:g} s"
        print(f"{what:26}{deed.round_trips:>12}{deed.slow_s:>10.3f} s{deed.near_s:>8.3f} s{late}")
    return int(any(deed.slow_s > GOAL_S for deed in found.values()))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
