"""Killed while receiving, using, promising and picking: one committed action after another."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from models import kits, shelf
from models.database import Workshop
from tests.faults.lives import Says, Told, Work, sound
from tests.faults.places import opened
from tests.models.replay import Sums, by_key, replayed
from tests.models.shop import act, job, ring, ring_spec

DOES = {"receive": Sums(5, 0), "use": Sums(-1, 0), "promise": Sums(0, 1), "pick": Sums(-1, -1)}
"""What each action does to what is on hand and to what is promised."""


ROUNDS = 2


class Shelf(NamedTuple):
    """The one shelf row and the life's own job."""

    item_id: int
    bin_id: int
    stock_id: int
    job_id: int


def book(workshop: Workshop, key: str, at: Shelf) -> int:
    """Do one action, told by its key alone: `receive`, `use`, `promise` or `pick LINE`. A promise answers its line."""
    kind, *rest = key.split()
    with workshop.write() as session:
        if kind == "receive":
            shelf.receive(session, act(key=key), item_id=at.item_id, bin_id=at.bin_id, quantity=5)
        elif kind == "use":
            shelf.use(session, act(key=key), stock_id=at.stock_id, quantity=1)
        elif kind == "promise":
            need = kits.accept_match(session, act(key=key), at.job_id, ring_spec("as568:214", ["NBR"]))
            return need.lines[0].line_id or 0
        else:
            kits.pick(session, act(key=key), [int(rest[-1])])
    return 0


def book_on(told: str, where: str, life: int, at: Shelf) -> None:
    """Book and tell, book and tell."""
    says, workshop, line_id = Says(told), opened(where), 0
    for number in range(ROUNDS):
        for kind in DOES:
            key = f"{kind} {life} {number} {line_id}"
            says.tries(key)
            line_id = book(workshop, key, at) or line_id
            says.done(key)
    workshop.close()


class Booking(Work):
    """Promise, pick and use."""

    name = "promise, pick, use"

    def prepare(self) -> None:
        self._where = self.places.empty()
        workshop = opened(self._where)
        with workshop.write() as session:
            self._row = ring(session, 1)
        workshop.close()
        self._booked: set[str] = set()

    def next_life(self, life: int) -> tuple[Callable[..., None], tuple[Any, ...], str]:
        workshop = opened(self._where)
        with workshop.write() as session:
            self._at = Shelf(self._row.item_id, self._row.bin_id, self._row.stock_id, job(session, f"life {life}"))
        workshop.close()
        return book_on, (self._where, life, self._at), self._where

    def _ours(self) -> dict[str, Sums]:
        return {key: did for key, did in by_key(self._where).items() if key.split()[0] in DOES}

    def judge(self, told: Told) -> None:
        ours = self._ours()
        new = ours.keys() - self._booked
        assert set(told.done) <= new <= set(told.tried), "something acknowledged was lost, or never tried"
        assert len(new - set(told.done)) <= 1
        workshop = opened(self._where)
        sound(workshop)
        if told.unsure is not None:
            book(workshop, told.unsure, self._at)  # nobody told the person: they press again
        workshop.close()
        ours = self._ours()
        assert ours.keys() == self._booked | set(told.tried)
        assert all(did == DOES[key.split()[0]] for key, did in ours.items()), "an action was done in part, or twice"
        self._booked = set(ours)
        end = replayed(self._where)[self._row.stock_id]
        assert end == Sums(1 + sum(one.on_hand for one in ours.values()), sum(one.promised for one in ours.values()))
