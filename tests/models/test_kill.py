"""A program killed at any instant: nothing acknowledged is lost, sums hold, trying again is safe."""

from __future__ import annotations

import multiprocessing
import os
import random
import shutil
import time
from collections import Counter
from pathlib import Path

from sqlalchemy import text
from sqlmodel import select

from models import bins, kits, shelf
from models.check import check
from models.database import Workshop, open_workshop
from models.tables import Action
from models.upgrade import CURRENT, Schema
from tests import postgres
from tests.models.shop import act, job, one_step_ahead, ring

FORKS = multiprocessing.get_context("forkserver")
FORKS.set_forkserver_preload(["tests.models.shop", "models.undo", "models.check", "alembic.command"])
KINDS = ("receive", "use", "accept")


def _book(workshop: Workshop, key: str, places: tuple[int, int, int, int]) -> None:
    """One committed action, told by its key alone: 5 in, 1 out, or 1 promised."""
    item_id, bin_id, stock_id, job_id = places
    kind = key.split()[0]
    with workshop.write() as session:
        if kind == "receive":
            shelf.receive(session, act(key=key), item_id=item_id, bin_id=bin_id, quantity=5)
        elif kind == "use":
            shelf.use(session, act(key=key), stock_id=stock_id, quantity=1)
        else:
            kits.accept_match(session, act(key=key), job_id, "as568:214", 0.9, None, ["NBR"])


def _book_for_ever(where: str, life: int, places: tuple[int, int, int, int], told: str) -> None:
    """Book and tell, book and tell, until killed."""
    said = os.open(told, os.O_WRONLY | os.O_APPEND | os.O_CREAT)
    workshop = open_workshop(where)
    for number in range(10_000):
        key = f"{KINDS[number % 3]} {life} {number}"
        os.write(said, f"try {key}\n".encode())
        _book(workshop, key, places)
        os.write(said, f"done {key}\n".encode())


def _wait_for(told: Path, *, bookings: int) -> None:
    until = time.monotonic() + 60
    while not told.exists() or told.read_text().count("done ") < bookings:
        assert time.monotonic() < until, "the program never got that far"
        time.sleep(0.001)


def test_killed_while_booking(where: str, tmp_path: Path) -> None:
    kills = 24 if "://" not in where else 8
    workshop = open_workshop(where)
    with workshop.write() as session:
        row = ring(session, 1)
        places = (row.item_id, row.bin_id, row.stock_id, job(session))
    workshop.close()
    chance = random.Random(3)
    booked: set[str] = set()
    for life in range(kills):
        told = tmp_path / f"told-{life}"
        program = FORKS.Process(target=_book_for_ever, args=(where, life, places, str(told)))
        program.start()
        # Some lives end while the database is still being opened, most after a few bookings, in the middle of one.
        _wait_for(told, bookings=life % 5)
        time.sleep(chance.uniform(0.0, 0.04))
        program.kill()
        program.join()

        lines = told.read_text().splitlines()
        done = {line.removeprefix("done ") for line in lines if line.startswith("done ")}
        tried = [line.removeprefix("try ") for line in lines if line.startswith("try ")]
        assert len(done) >= life % 5
        if "://" in where:
            postgres.wait_until_alone(where)
        workshop = open_workshop(where)
        with workshop.read() as session:
            keys = {key for key in session.exec(select(Action.key)).all() if key.split()[0] in KINDS}
            assert check(session).findings == ()
        new = keys - booked
        assert done <= new <= set(tried)
        assert len(new - done) <= 1
        if tried:
            _book(workshop, tried[-1], places)  # nobody told the person: they press again
            new.add(tried[-1])
        booked |= new
        with workshop.read() as session:
            stock = shelf.stock_row(session, row.stock_id)
            assert check(session).findings == ()
        count = Counter(key.split()[0] for key in booked)
        assert stock.on_hand == 1 + 5 * count["receive"] - count["use"]
        assert stock.promised == count["accept"]
        workshop.close()


def _open_ahead(file: str, steps: str) -> None:
    open_workshop(file, schema=Schema("9999", (*CURRENT.earlier, CURRENT.head), steps)).close()


def test_killed_while_upgrading(tmp_path: Path) -> None:
    ahead = one_step_ahead(tmp_path / "steps")
    pattern = tmp_path / "pattern.sqlite3"
    workshop = open_workshop(pattern)
    with workshop.write() as session:
        for number in range(200):
            bins.add(session, act(), code=f"bin {number}")
    workshop.close()
    chance = random.Random(5)
    for life in range(12):
        folder = tmp_path / str(life)
        folder.mkdir()
        file = Path(shutil.copy(pattern, folder / "w.sqlite3"))
        program = FORKS.Process(target=_open_ahead, args=(str(file), ahead.steps))
        program.start()
        time.sleep(chance.uniform(0.0, 0.4))
        program.kill()
        program.join()
        upgraded = open_workshop(file, schema=ahead)
        with upgraded.read() as session:
            assert session.connection().execute(text("SELECT count(*), min(walk), max(walk) FROM bins")).one() == (
                200,
                7,
                7,
            )
        upgraded.close()


def _open_new(file: str) -> None:
    open_workshop(file).close()


def test_killed_while_the_first_tables_are_made(tmp_path: Path) -> None:
    chance = random.Random(7)
    for life in range(12):
        file = tmp_path / f"{life}.sqlite3"
        program = FORKS.Process(target=_open_new, args=(str(file),))
        program.start()
        time.sleep(chance.uniform(0.0, 0.15))
        program.kill()
        program.join()
        workshop = open_workshop(file)
        with workshop.write() as session:
            ring(session, 1)
            assert check(session).ok
        workshop.close()
