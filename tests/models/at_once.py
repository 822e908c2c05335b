"""What programs do that work on the same bins at the same time. Each keeps an account of its own."""

from __future__ import annotations

from collections import Counter
from typing import NamedTuple

from models import kits, shelf
from models.database import Workshop, open_workshop
from models.errors import CannotUndoError, InvalidInputError, NotEnoughError, WorkshopBusyError
from models.kitting.promises import LineMovedError
from models.orders.receiving import Came, receive
from models.undoing.undo import undo
from models.words import LineState
from tests.models.shop import act, ring_spec

ROUNDS = 3
BINS = ("A1", "B2", "C3")


class Shared(NamedTuple):
    """What all programs work on: rows of the shelf by (item, bin, stock), and an order that comes pack by pack."""

    places: list[tuple[int, int, int]]
    order_id: int
    line_id: int


class Tally(NamedTuple):
    """What one program did to the bins, by its own account."""

    received: int
    used: int
    promised: int
    picked: int
    refused: int


def work(where: str, worker: int, job_id: int, shared: Shared) -> Tally:
    """Receive, use, promise, pick, release and take in the order, in the same bins as everyone else."""
    workshop = open_workshop(where)
    done: Counter[str] = Counter()
    for number in range(ROUNDS):
        _shelf(workshop, f"{worker} {number}", shared.places[(worker + number) % len(shared.places)], number, done)
        with workshop.write() as session:
            came = [Came(shared.line_id, 1, BINS[(worker + number) % len(BINS)])]
            receive(session, act(key=f"came {worker} {number}"), shared.order_id, came)
        done["received"] += 1
        _kit(workshop, f"{worker} {number}", job_id, number, done)
    workshop.close()
    return Tally(done["received"], done["used"], done["promised"], done["picked"], done["refused"])


def _shelf(workshop: Workshop, key: str, place: tuple[int, int, int], number: int, done: Counter[str]) -> None:
    item_id, bin_id, stock_id = place
    try:
        with workshop.write() as session:
            shelf.receive(session, act(key=f"receive {key}"), item_id=item_id, bin_id=bin_id, quantity=number + 1)
        done["received"] += number + 1
        with workshop.write() as session:
            shelf.use(session, act(key=f"use {key}"), stock_id=stock_id, quantity=3)
        done["used"] += 3
    except NotEnoughError:
        done["refused"] += 1


def _kit(workshop: Workshop, key: str, job_id: int, number: int, done: Counter[str]) -> None:
    with workshop.write() as session:
        need = kits.accept_match(session, act(key=f"accept {key}"), job_id, ring_spec("as568:214", ["NBR"], pieces=4))
    for line in need.lines:
        if line.line_id is None:
            continue
        if number % 3 == 0:
            with workshop.write() as session:
                kits.pick(session, act(key=f"pick {line.line_id} {key}"), [line.line_id])
            done["picked"] += line.quantity
        elif number % 3 == 1:
            with workshop.write() as session:
                kits.release(session, act(key=f"release {line.line_id} {key}"), line.line_id)
        else:
            done["promised"] += line.quantity


def take_last(where: str, job_id: int, worker: int) -> bool:
    """Try to be promised one ring; whether that came true."""
    workshop = open_workshop(where)
    try:
        with workshop.write() as session:
            need = kits.accept_match(session, act(key=f"last {worker}"), job_id, ring_spec("as568:214", ["NBR"]))
        return need.missing == 0
    finally:
        workshop.close()


def allocate(where: str, job_id: int) -> bool:
    """Look on the shelf for a whole kit; whether all was found, without waiting in vain for another program."""
    workshop = open_workshop(where)
    try:
        with workshop.write() as session:
            return all(need.missing == 0 for need in kits.allocate(session, act(key=f"r {job_id}"), job_id).needs)
    except WorkshopBusyError:
        return False
    finally:
        workshop.close()


class Batches(NamedTuple):
    """What one program did to kits in whole batches, by its own account."""

    taken: int
    refused: int


def batches(where: str, worker: int, job_id: int, stock_ids: list[int]) -> Batches:
    """Resolve, look again, count, pick all and take it back, on a kit that another program works on as well."""
    workshop = open_workshop(where)
    taken, refused = 0, 0
    for number in range(ROUNDS):
        key = f"{worker} {number}"
        with workshop.write() as session:
            look = kits.look_again if (worker + number) % 2 else kits.allocate
            kit = look(session, act(key=f"look {key}"), job_id)
        lines = [line for need in kit.needs for line in need.lines if line.state is LineState.HAVE]
        try:
            with workshop.write() as session:
                held = shelf.rows_by_id(session, stock_ids[worker % 3 :], hold=True)
                shelf.count_many(session, act(key=f"count {key}"), {one: row.on_hand for one, row in held.items()})
            # All or none: where the other program was quicker with one of them, nothing is taken.
            with workshop.write() as session:
                kits.pick(session, act(key=f"pick {key}"), [line.line_id or 0 for line in lines])
            taken += sum(line.quantity for line in lines)
            if number < ROUNDS - 1:
                with workshop.write() as session:
                    undo(session, act(key=f"undo {key}"), f"pick {key}")
                taken -= sum(line.quantity for line in lines)
        except (LineMovedError, InvalidInputError, CannotUndoError):
            refused += 1
    workshop.close()
    return Batches(taken, refused)
