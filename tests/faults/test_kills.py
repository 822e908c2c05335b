"""A few kills in every kind of work on both databases; `python -m tests.faults` does hundreds."""

from __future__ import annotations

import random
import sqlite3
from pathlib import Path

import pytest

from models.database import open_workshop
from models.errors import WorkshopUnavailableError
from tests.faults.lives import Work, run
from tests.faults.places import Databases, Files, Places, Shared
from tests.faults.works import ON_SHARES, WORKS

KILLS = 2


@pytest.mark.parametrize(
    ("database", "work"),
    [
        *(("sqlite", work) for work in WORKS),
        *(("share", work) for work in ON_SHARES),
        *(("postgresql", work) for work in WORKS),
    ],
    ids=lambda value: value if isinstance(value, str) else value.name,
)
def test_nothing_acknowledged_is_lost(
    database: str, work: type[Work], tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    if database == "postgresql":
        places: Places = Databases(request.getfixturevalue("postgres_server"))
    else:
        places = Files(tmp_path) if database == "sqlite" else Shared(tmp_path)
    done = run(work(places, tmp_path), KILLS, random.Random(work.name))
    assert done.kills == KILLS


def test_a_first_opening_that_died_half_way_is_rolled_back(tmp_path: Path) -> None:
    """The kill that is seldom hit, made by hand: the file was being written when it came (SQLite: a hot journal)."""
    file = tmp_path / "w.sqlite3"
    dying = sqlite3.connect(file, isolation_level=None)
    dying.execute("PRAGMA cache_size = 1")  # so that it writes into the file before it is asked to commit
    dying.execute("CREATE TABLE t (x)")
    dying.execute("BEGIN")
    dying.executemany("INSERT INTO t VALUES (?)", [("x" * 1000,)] * 100)
    left = {part.name: part.read_bytes() for part in tmp_path.iterdir()}
    dying.execute("DROP TABLE IF EXISTS u")
    dying.rollback()
    dying.close()
    assert set(left) == {"w.sqlite3", "w.sqlite3-journal"}
    for name, content in left.items():
        (tmp_path / name).write_bytes(content)
    with pytest.raises(WorkshopUnavailableError, match="not one of Kitwright's"):
        open_workshop(file)
