"""A list of 1,000,000 rows: from the file into the database, beside a bare bulk insert and index build in the same run.

Run it with `python -m tests.bench.supplier_list [ROWS]`. The floor writes rows that are ready in memory into a bare
table, then builds the same indexes; ours reads a CSV file, checks and reads every row, compares, and writes with
constraints. On SQLite all of it happens in this process, so processor time is told beside the clock's: with other work
on the cores that is the figure to go by.
"""

from __future__ import annotations

import random
import resource
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

import psycopg

from catalog.orings.sizes import all_sizes
from models.database import open_workshop
from models.search.index import statements
from models.search.terms import compact, indexed, with_grams
from models.supplier_lists import suppliers
from models.supplier_lists.loading import load
from models.supplier_lists.progress import Progress
from models.supplier_lists.proposal import propose
from models.supplier_lists.source import open_source
from models.supplier_lists.staging import stage
from tests import postgres
from tests.bench.harness import Figure, once, show
from tests.models.shop import act

GOAL = 2.2
"""Times the floor, as README says."""
MOST_MEMORY_MB = 250
NOUNS = (
    *("Ball bearing", "Hose clamp", "Shaft seal", "Filter element", "Hex bolt", "V-belt", "Grease nipple", "Coupling"),
    *("Washer", "Spring pin", "Pump kit", "Valve", "Sprocket", "Chain link", "Gauge", "Bushing"),
)
RUBBERS = ("NBR 70", "N70", "FKM 75", "V75", "EPDM 70", "HNBR 90")
FLUIDS = ("HYD OIL", "UTTO", "Gear oil", "Coolant", "Engine oil")
PACKS = ("5GAL", "20 L", "208L", "1 QT", "4X5L")


def invented(count: int) -> Iterator[tuple[str, str, str, str]]:
    """Rows as a supplier might list them, always the same: number, name, price, pack."""
    rng, sizes = random.Random(1), all_sizes()
    for at in range(count):
        number = f"{rng.choice('ABCDEHKMPST')}{rng.choice('XYZNL')}-{at * 7 % 10_000_019:07d}{rng.choice('ABC')}"
        kind = at % 10
        if kind < 3:
            size = rng.choice(sizes)
            name = f"ORING {size.id_mm:.2f}X{size.cross_section_mm:.2f}".replace(".", ",") + f" {rng.choice(RUBBERS)}"
        elif kind < 4:
            name = f"{rng.choice(FLUIDS)} {rng.choice(PACKS)}"
        elif kind < 5:
            name = f"Cap screw M{rng.choice((6, 8, 10, 12, 16))}x{rng.randrange(10, 120, 5)} zinc"
        else:
            name = f"{rng.choice(NOUNS)} {rng.randrange(10_000)} type {rng.randrange(100)}"
        yield number, name, f"{rng.randrange(1, 90_000) / 100:.2f}", str(rng.choice((1, 1, 10, 100)))


def write(file: Path, count: int) -> None:
    """The rows as a file."""
    with file.open("w", encoding="utf-8") as out:
        out.write("Part no;Description;Price;Pack\n")
        out.writelines(f"{';'.join(row)}\n" for row in invented(count))


def ready(count: int, *, postgresql: bool) -> list[tuple[Any, ...]]:
    """Rows as they are stored, for the floor."""
    rows = []
    for number, name, price, pack in invented(count):
        squeezed, words = compact(number), indexed(number, name)
        if postgresql:
            words = with_grams(words, squeezed)
        figures = (int(pack), "each", 1, round(float(price) * 100), 1, "EUR", "", None, "")
        reading = ("as568:214", 249_900, 35_300, "NBR", 70, "", None, 800_000, "read")
        rows.append((1, number, squeezed, name, words, *figures, *reading, 1, 1, None))
    return rows


COLUMNS = (
    *("supplier_id", "number", "compact", "name", "words", "pack_quantity", "counted_in", "min_packs", "price_minor"),
    *("price_per", "currency", "breaks", "lead_days", "gtin", "size_key", "ring_id_100nm", "ring_width_100nm"),
    *("rubber", "hardness_shore_a", "thread", "volume_ul", "reading_ppm", "reading_state", "added_list_id"),
    *("priced_list_id", "withdrawn_list_id"),
)
INDEXES = (
    "CREATE UNIQUE INDEX one ON list_rows (supplier_id, number)",
    "CREATE INDEX two ON list_rows (compact, id) WHERE withdrawn_list_id IS NULL",
    "CREATE INDEX three ON list_rows (ring_width_100nm, ring_id_100nm) WHERE ring_width_100nm IS NOT NULL",
)


def floor_sqlite(file: Path, rows: list[tuple[Any, ...]]) -> Took:
    """executemany into a bare table, then every index."""

    def work() -> None:
        database = sqlite3.connect(file, isolation_level=None)
        database.execute("PRAGMA journal_mode = WAL")
        database.execute("BEGIN")
        database.execute(f"CREATE TABLE list_rows (id INTEGER PRIMARY KEY, {', '.join(COLUMNS)})")
        marks = ", ".join("?" * len(COLUMNS))
        database.executemany(f"INSERT INTO list_rows ({', '.join(COLUMNS)}) VALUES ({marks})", rows)
        for statement in (*INDEXES, *statements("sqlite")):
            database.execute(statement)
        database.execute("INSERT INTO list_words (list_words) VALUES ('rebuild')")
        database.execute("INSERT INTO list_numbers (list_numbers) VALUES ('rebuild')")
        database.execute("COMMIT")
        database.close()

    return took(work)


def floor_postgresql(address: str, rows: list[tuple[Any, ...]]) -> Took:
    """COPY into a bare table, then every index."""
    kinds = {"words": "tsvector", "compact": 'text COLLATE "C"'}
    columns = ", ".join(
        f"{name} {kinds.get(name, 'bigint' if isinstance(value, int) or value is None else 'text')}"
        for name, value in zip(COLUMNS, rows[0], strict=True)
    )

    def work() -> None:
        with psycopg.connect(address) as database:
            database.execute(f"CREATE TABLE list_rows (id serial PRIMARY KEY, {columns})")
            with database.cursor().copy(f"COPY list_rows ({', '.join(COLUMNS)}) FROM STDIN") as copy:
                for row in rows:
                    copy.write_row(row)
            for statement in (*INDEXES, *statements("postgresql")):
                database.execute(statement)

    return took(work)


class Took(NamedTuple):
    """Seconds by the clock, and of this process's processor time."""

    clock: float
    processor: float


def took(work: Callable[[], object]) -> Took:
    """Once, by both."""
    before = time.process_time()
    clock = once(work)
    return Took(clock, time.process_time() - before)


def ours(where: str, file: Path) -> Took:
    """The file into the database, as the app does it."""
    workshop = open_workshop(where)
    with workshop.write() as session:
        who = suppliers.add(session, act(), name="Northfield Seals", currency="EUR").supplier_id
    peak: dict[str, int] = {}
    steps: dict[str, float] = {}
    last = time.perf_counter()

    def watch(at: Progress) -> None:
        nonlocal last
        now = time.perf_counter()
        steps[at.step] = steps.get(at.step, 0.0) + now - last
        last = now
        if at.rows % 250_000 == 0:
            peak[f"{at.step} {at.rows}"] = memory()

    def work() -> None:
        source = open_source(file)
        with stage(source, propose(source).layout, "EUR", watch=watch) as staged, workshop.write() as session:
            done = load(session, act(), who, staged, watch=watch)
        assert done.added == sum(1 for _ in file.open(encoding="utf-8")) - 1

    taken = took(work)
    print(f"  peak memory: {memory()} MB (goal {MOST_MEMORY_MB})")
    print("  seconds by step:", {name: round(seconds, 1) for name, seconds in steps.items()})
    print("  peak memory in MB by row:", peak)
    workshop.close()
    return taken


def memory() -> int:
    """The most memory this process ever held, in MB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024


def main(count: int, kinds: list[str]) -> bool:
    """Measure; True when every goal is met."""
    figures = []
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "list.csv"
        write(file, count)
        print(f"{count} rows, {file.stat().st_size >> 20} MB; memory before: {memory()} MB")
        if "sqlite" in kinds:
            taken = ours(str(Path(folder) / "ours.sqlite3"), file)
            floor = floor_sqlite(Path(folder) / "floor.sqlite3", ready(count, postgresql=False))
            figures.append(Figure("import on SQLite, by the clock", taken.clock, floor.clock, GOAL))
            figures.append(Figure("import on SQLite, processor time", taken.processor, floor.processor, GOAL))
        if "postgresql" in kinds:
            with postgres.server() as server:
                taken = ours(postgres.new_database(server, "ours"), file)
                address = postgres.new_database(server, "floor")
                floor = floor_postgresql(address, ready(count, postgresql=True))
            figures.append(Figure("import on PostgreSQL, by the clock", taken.clock, floor.clock, GOAL))
    return show("Supplier list", figures)


if __name__ == "__main__":
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    sys.exit(0 if main(rows, sys.argv[2:] or ["sqlite", "postgresql"]) else 1)
