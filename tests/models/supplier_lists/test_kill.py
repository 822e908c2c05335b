"""A program killed in the middle of an import: the old list or the new one, whole; opened without repair."""

from __future__ import annotations

import multiprocessing
import os
import random
import time
from pathlib import Path

from models.check import check
from models.database import open_workshop
from models.search.searching import search
from tests import postgres
from tests.models.supplier_lists.lists import listed, supplier, take_over, written

FORKS = multiprocessing.get_context("forkserver")
FORKS.set_forkserver_preload(["tests.models.supplier_lists.lists"])
ROWS = 6000
MARKS = "abcdefghij"
"""A version's mark. A digit would be found in the rows' numbers too."""


def lines(version: int) -> list[str]:
    """A list in which every row says which version it is from."""
    return [f"N-{at + version % 2:05},Ring version{MARKS[version]},{version}.00,1" for at in range(ROWS)]


def _import(where: str, who: int, file: str, told: str) -> None:
    said = os.open(told, os.O_WRONLY | os.O_APPEND | os.O_CREAT)
    os.write(said, b"start\n")
    take_over(open_workshop(where), who, Path(file))
    os.write(said, b"done\n")


def test_killed_at_any_moment_the_list_is_whole(where: str, tmp_path: Path) -> None:
    kills = 8 if "://" not in where else 4
    workshop = open_workshop(where)
    who = supplier(workshop)
    take_over(workshop, who, written(tmp_path / "0.csv", lines(0)))
    workshop.close()
    now, chance = 0, random.Random(9)
    finished = 0
    for version in range(1, kills + 1):
        file, told = written(tmp_path / f"{version}.csv", lines(version)), tmp_path / f"told-{version}"
        program = FORKS.Process(target=_import, args=(where, who, str(file), str(told)))
        program.start()
        until = time.monotonic() + 60
        while not told.exists() or not told.read_text():
            assert time.monotonic() < until
            time.sleep(0.002)
        time.sleep(chance.uniform(0.05, 1.5))
        program.kill()
        program.join()
        if "://" in where:
            postgres.wait_until_alone(where)
        workshop = open_workshop(where)
        with workshop.read() as session:
            names = {row.name for row in listed(session, who)}
            assert len(listed(session, who)) == ROWS
            assert len(names) == 1
            stored = MARKS.index(names.pop().removeprefix("Ring version"))
            assert stored in (now, version)
            if "done" in told.read_text():
                assert stored == version
                finished += 1
            now = stored
            found = {mark for mark in MARKS[: version + 2] if search(session, f"version{mark}", limit=1).rows}
            assert found == {MARKS[now]}
            assert check(session).findings == ()
        workshop.close()
    assert finished < kills, "no program was killed in time"
