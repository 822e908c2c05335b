"""Search as you type over 1,000,000 rows: every keystroke of some searches, beside the bare index query.

Run it with `python -m tests.bench.search [ROWS] [sqlite|postgresql …]`. The floor asks the index for the words of the
text and fetches what is shown of fifty rows, nothing else: no exact and no prefix look, no items, no order across them.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from pathlib import Path

from sqlmodel import Session

from models.database import open_workshop
from models.inventory import items
from models.search.asking import Asking
from models.search.found import How, Where
from models.search.hits import load_hits
from models.search.searching import search
from models.search.terms import asked, typed_words
from models.words import Kind
from tests import postgres
from tests.bench.harness import Figure, show
from tests.bench.supplier_list import ours, write
from tests.models.shop import act

TYPED = (
    *("oring 24,9", "3.5 x 25 nbr", "hyd oil 5gal", "kx-0042"),
    *("hex bolt 12", "shaft seal 77", "1234567", "m12x40", "v-belt"),
)
SHOWN = 50
ROUNDS = 5


def keystrokes() -> list[str]:
    """Every text that stands in the box while the searches are typed."""
    return [text[:end] for text in TYPED for end in range(1, len(text) + 1)]


def bare(session: Session, text: str) -> None:
    """The floor: the words' index alone."""
    words = typed_words(text)
    if not words:
        return
    ask = Asking(session)
    if ask.postgresql:
        wanted = " & ".join(asked(word) for word in words)
        ids = ask.column(f"SELECT id FROM list_rows WHERE words @@ ?::tsquery LIMIT {SHOWN}", (wanted,))
    else:
        wanted = " AND ".join(f'"{word}"*' for word in words)
        ids = ask.column(f"SELECT rowid FROM list_words WHERE list_words MATCH ? LIMIT {SHOWN}", (wanted,))
    load_hits(ask, [((Where.LIST, row_id), How.WORDS) for row_id in ids])


def measure(where: str, name: str) -> list[Figure]:
    """p50 and p95 of one keystroke, and of a jump to any place in the whole list."""
    workshop = open_workshop(where)
    with workshop.write() as session:
        for at in range(500):
            items.add(session, act(), kind=Kind.CONSUMABLE, name=f"Item {at} of the shop")
    taken: list[float] = []
    floor: list[float] = []
    slow: dict[str, float] = {}
    for round_ in range(ROUNDS):
        for text in keystrokes():
            with workshop.read() as session:
                session.connection()
                start = time.perf_counter()
                search(session, text, limit=SHOWN)
                middle = time.perf_counter()
                bare(session, text)
                end = time.perf_counter()
            if round_:
                taken.append(middle - start)
                floor.append(end - middle)
                slow[text] = min(slow.get(text, 9.0), middle - start)
    jumps, steps = [], []
    with workshop.read() as session:
        total = search(session, "", limit=1).total
        for at in range(20):
            start = time.perf_counter()
            page = search(session, "", limit=SHOWN, offset=total * at // 20)
            middle = time.perf_counter()
            search(session, "", limit=SHOWN, after=page.rows[-1])
            jumps.append(middle - start)
            steps.append(time.perf_counter() - middle)
    workshop.close()
    worst = sorted(slow, key=lambda text: -slow[text])[:6]
    print(f"  slowest on {name}:", {text: f"{slow[text] * 1000:.1f} ms" for text in worst})
    p95, floor_p95 = (statistics.quantiles(each, n=20)[-1] for each in (taken, floor))
    return [
        Figure(f"{name}: one keystroke, p50", statistics.median(taken), statistics.median(floor)),
        Figure(f"{name}: one keystroke, p95", p95, floor_p95, 1.5, 0.020),
        Figure(f"{name}: a jump anywhere in the list, p50", statistics.median(jumps)),
        Figure(f"{name}: scrolling on from there, p50", statistics.median(steps)),
    ]


def main(count: int, kinds: list[str]) -> bool:
    """Measure; True when every goal is met."""
    figures: list[Figure] = []
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "list.csv"
        write(file, count)
        if "sqlite" in kinds:
            where = str(Path(folder) / "w.sqlite3")
            ours(where, file)
            figures += measure(where, "SQLite")
        if "postgresql" in kinds:
            with postgres.server() as server:
                where = postgres.new_database(server, "shop")
                ours(where, file)
                figures += measure(where, "PostgreSQL")
    return show(f"Search over {count} rows", figures)


if __name__ == "__main__":
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    sys.exit(0 if main(rows, sys.argv[2:] or ["sqlite", "postgresql"]) else 1)
