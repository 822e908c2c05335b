"""Many programs on the same bins: no update lost, nothing negative, no deadlock seen, on both databases."""

from __future__ import annotations

from pathlib import Path

from catalog.orings.sizes import all_sizes
from models import jobs, kits
from models.database import Workshop, open_workshop
from models.kits import NeedSpec
from models.storage.check import check
from models.words import Kind, LineState
from tests.faults.lives import FORKS
from tests.models.at_once import BINS, ROUNDS, Shared, Tally, allocate, batches, take_last, work
from tests.models.orders.buying import ordered, rings, short_job, supplier
from tests.models.replay import Sums, by_key, received_of_orders, replayed
from tests.models.shop import act, job, ring, ring_spec

PROGRAMS = 8


def test_programs_on_the_same_bins_lose_nothing(where: str, tmp_path: Path) -> None:
    workshop = open_workshop(where)
    supplier(workshop, tmp_path, ["R214,O-RING AS568-214 NBR 70,0.50,1"])
    with workshop.write() as session:
        waiting = short_job(session, rings(PROGRAMS * ROUNDS, rubbers=["NBR"]))
    order = ordered(workshop)
    with workshop.write() as session:
        rows = [ring(session, 5, bin_code=code) for code in BINS]
        job_ids = [job(session, f"job {worker}") for worker in range(PROGRAMS)]
    workshop.close()
    shared = Shared([(row.item_id, row.bin_id, row.stock_id) for row in rows], order.order_id, order.lines[0].line_id)
    with FORKS.Pool(PROGRAMS) as pool:
        # A deadlock, or a wait in vain, would come out of here as an error.
        tallies = pool.starmap(work, [(where, worker, job_ids[worker], shared) for worker in range(PROGRAMS)])

    workshop = open_workshop(where)
    with workshop.read() as session:
        lines = {
            job_id: [line for need in kits.view(session, job_id).needs for line in need.lines if line.line_id]
            for job_id in (*job_ids, waiting)
        }
        report = check(session)
        assert len(jobs.listed(session)) == PROGRAMS + 1
    workshop.close()
    assert report.findings == ()

    told = Tally(*(sum(column) for column in zip(*tallies, strict=True)))
    # The ledger walked from its first entry in plain Python: never below zero, and its end is what is stored.
    end = replayed(where)
    assert set(end) == {row.stock_id for row in rows}
    for_waiting = sum(line.quantity for line in lines.pop(waiting) if line.state is LineState.HAVE)
    in_all = Sums(sum(one.on_hand for one in end.values()), sum(one.promised for one in end.values()))
    assert in_all == Sums(15 + told.received - told.used - told.picked, told.promised + for_waiting)
    theirs = [line for each in lines.values() for line in each]
    assert sum(line.quantity for line in theirs if line.state is LineState.HAVE) == told.promised
    assert sum(line.quantity for line in theirs if line.state is LineState.PICKED) == told.picked
    assert received_of_orders(where) == {order.lines[0].line_id: PROGRAMS * ROUNDS}
    # Each action that was told is there with what it did.
    keys = by_key(where)
    for kind, number in (("came", PROGRAMS * ROUNDS), ("receive", PROGRAMS * ROUNDS), ("accept", PROGRAMS * ROUNDS)):
        assert len([key for key in keys if key.startswith(f"{kind} ") and "/" not in key]) == number
    assert sum(did.on_hand for key, did in keys.items() if key.startswith("use ")) == -told.used


def test_programs_with_overlapping_batches_lose_nothing_and_wait_in_one_order(where: str) -> None:
    sizes = [one.key for one in all_sizes() if one.key.startswith("as568:2")][:12]
    workshop = open_workshop(where)
    with workshop.write() as session:
        rows = [ring(session, 9, size_key=size, bin_code=f"B{at}") for at, size in enumerate(sizes)]
        specs = [NeedSpec(Kind.RING, 2, title=size, size_key=size, rubbers=["NBR"]) for size in sizes]
        job_ids = [job(session, f"job {number}") for number in range(PROGRAMS // 2)]
        for number, job_id in enumerate(job_ids):
            # Each kit wants the same rows in another order.
            kits.add_needs(session, act(), job_id, specs[number * 3 :] + specs[: number * 3])
    workshop.close()
    stock_ids = [row.stock_id for row in rows]
    with FORKS.Pool(PROGRAMS) as pool:
        asked = [(where, worker, job_ids[worker // 2], stock_ids) for worker in range(PROGRAMS)]
        told = pool.starmap(batches, asked)

    workshop = open_workshop(where)
    with workshop.read() as session:
        assert check(session).findings == ()
        lines = [one for job_id in job_ids for need in kits.view(session, job_id).needs for one in need.lines]
    workshop.close()
    picked = sum(line.quantity for line in lines if line.state is LineState.PICKED)
    assert picked == sum(one.taken for one in told) > 0
    end = replayed(where)
    assert set(end) == set(stock_ids)
    assert sum(one.on_hand for one in end.values()) == 9 * len(sizes) - picked
    assert sum(one.promised for one in end.values()) == sum(
        line.quantity for line in lines if line.state is LineState.HAVE
    )


def test_the_last_ring_goes_to_one_kit_only(where: str) -> None:
    workshop = open_workshop(where)
    with workshop.write() as session:
        row = ring(session, 1)
        job_ids = [job(session, f"job {worker}") for worker in range(4)]
    workshop.close()
    with FORKS.Pool(4) as pool:
        won = pool.starmap(take_last, [(where, job_id, worker) for worker, job_id in enumerate(job_ids)])
    assert won.count(True) == 1
    assert replayed(where) == {row.stock_id: Sums(1, 1)}


def test_kits_that_want_the_same_rows_in_other_order_do_not_lock_up(workshop: Workshop, where: str) -> None:
    with workshop.write() as session:
        ring(session, 40, size_key="as568:214")
        ring(session, 40, size_key="as568:116", bin_code="B2")
        for title, sizes in (("one", ("as568:214", "as568:116")), ("two", ("as568:116", "as568:214"))):
            number = job(session, title)
            for size_key in sizes * 4:
                kits.add_need(session, act(), number, ring_spec(size_key, ["NBR"], pieces=5))
    with FORKS.Pool(2) as pool:
        assert pool.starmap(allocate, [(where, 1), (where, 2)]) == [True, True]
