"""Many programs on the same bin: no update lost, nothing negative, on both databases."""

from __future__ import annotations

import multiprocessing
from collections import Counter
from multiprocessing.pool import Pool
from typing import NamedTuple

import pytest
from sqlmodel import select

from models import jobs, kits, shelf
from models.check import check
from models.database import Workshop, open_workshop
from models.errors import NotEnoughError, WorkshopBusyError
from models.tables import Movement
from models.words import LineState
from tests.models.shop import act, job, ring

ROUNDS = 8


def programs_of_their_own(number: int) -> Pool:
    """So many processes that share nothing with this one. One server imports the models, the rest are its forks."""
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(["tests.models.shop", "models.undo", "models.check"])
    return context.Pool(number)


class Tally(NamedTuple):
    """What one program did to the bins, by its own account."""

    received: int
    used: int
    promised: int
    picked: int
    refused: int


def _work(where: str, worker: int, job_id: int, places: list[tuple[int, int, int]]) -> Tally:
    """Receive, use, promise, pick and release in the same bins as everyone else; keep an own account."""
    workshop = open_workshop(where)
    done: Counter[str] = Counter()

    def key(what: str, number: int) -> str:
        return f"{what} {worker} {number}"

    for number in range(ROUNDS):
        item_id, bin_id, stock_id = places[(worker + number) % len(places)]
        try:
            with workshop.write() as session:
                shelf.receive(
                    session, act(key=key("receive", number)), item_id=item_id, bin_id=bin_id, quantity=number + 1
                )
            done["received"] += number + 1
            with workshop.write() as session:
                shelf.use(session, act(key=key("use", number)), stock_id=stock_id, quantity=3)
            done["used"] += 3
        except NotEnoughError:
            done["refused"] += 1
        with workshop.write() as session:
            need = kits.accept_match(
                session, act(key=key("accept", number)), job_id, "as568:214", 0.9, None, ["NBR"], pieces=4
            )
        for line in need.lines:
            if line.line_id is None:
                continue
            if number % 3 == 0:
                with workshop.write() as session:
                    kits.pick(session, act(key=key(f"pick {line.line_id}", number)), [line.line_id])
                done["picked"] += line.quantity
            elif number % 3 == 1:
                with workshop.write() as session:
                    kits.release(session, act(key=key(f"release {line.line_id}", number)), line.line_id)
            else:
                done["promised"] += line.quantity
    workshop.close()
    return Tally(done["received"], done["used"], done["promised"], done["picked"], done["refused"])


@pytest.mark.parametrize("programs", [2, 8])
def test_programs_on_the_same_bins_lose_nothing(where: str, programs: int) -> None:
    workshop = open_workshop(where)
    with workshop.write() as session:
        rows = [ring(session, 5, bin_code=code) for code in ("A1", "B2", "C3")]
        job_ids = [job(session, f"job {worker}") for worker in range(programs)]
    workshop.close()
    places = [(row.item_id, row.bin_id, row.stock_id) for row in rows]
    with programs_of_their_own(programs) as pool:
        tallies = pool.starmap(_work, [(where, worker, job_ids[worker], places) for worker in range(programs)])

    workshop = open_workshop(where)
    with workshop.read() as session:
        stock = [shelf.stock_row(session, row.stock_id) for row in rows]
        lines = [
            line
            for job_id in job_ids
            for need in kits.view(session, job_id).needs
            for line in need.lines
            if line.line_id is not None
        ]
        # An independent replay: plain sums over the raw log, no code of the shelf's.
        log = session.exec(select(Movement)).all()
        report = check(session)
        assert len(jobs.listed(session)) == programs
    workshop.close()

    told = Tally(*(sum(column) for column in zip(*tallies, strict=True)))
    assert sum(row.on_hand for row in stock) == 15 + told.received - told.used - told.picked
    assert sum(row.promised for row in stock) == told.promised
    assert sum(line.quantity for line in lines if line.state is LineState.HAVE) == told.promised
    assert sum(line.quantity for line in lines if line.state is LineState.PICKED) == told.picked
    assert sum(one.on_hand_change for one in log) == sum(row.on_hand for row in stock)
    assert sum(one.promised_change for one in log) == sum(row.promised for row in stock)
    assert all(0 <= row.promised <= row.on_hand for row in stock)
    assert report.findings == ()


def _take_last(where: str, job_id: int, worker: int) -> bool:
    workshop = open_workshop(where)
    try:
        with workshop.write() as session:
            need = kits.accept_match(session, act(key=f"last {worker}"), job_id, "as568:214", 0.9, None, ["NBR"])
        return need.missing == 0
    finally:
        workshop.close()


def test_the_last_ring_goes_to_one_kit_only(where: str) -> None:
    workshop = open_workshop(where)
    with workshop.write() as session:
        row = ring(session, 1)
        job_ids = [job(session, f"job {worker}") for worker in range(4)]
    workshop.close()
    with programs_of_their_own(4) as pool:
        won = pool.starmap(_take_last, [(where, job_id, worker) for worker, job_id in enumerate(job_ids)])
    assert won.count(True) == 1
    workshop = open_workshop(where)
    with workshop.read() as session:
        assert shelf.stock_row(session, row.stock_id).promised == 1
        assert check(session).ok
    workshop.close()


def test_kits_that_want_the_same_rows_in_other_order_do_not_lock_up(workshop: Workshop, where: str) -> None:
    with workshop.write() as session:
        ring(session, 40, size_key="as568:214")
        ring(session, 40, size_key="as568:116", bin_code="B2")
        for title, sizes in (("one", ("as568:214", "as568:116")), ("two", ("as568:116", "as568:214"))):
            number = job(session, title)
            for size_key in sizes * 4:
                kits.add_ring_need(session, act(), number, size_key, rubbers=["NBR"], pieces=5)
    with programs_of_their_own(2) as pool:
        answers = pool.starmap(_resolve, [(where, 1), (where, 2)])
    assert answers == [True, True]


def _resolve(where: str, job_id: int) -> bool:
    workshop = open_workshop(where)
    try:
        with workshop.write() as session:
            return all(need.missing == 0 for need in kits.resolve(session, act(key=f"r {job_id}"), job_id).needs)
    except WorkshopBusyError:
        return False
    finally:
        workshop.close()
