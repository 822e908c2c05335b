"""Killed while an order is received, a pack at a time, for a kit that waits for it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from models.database import Workshop
from models.orders.receiving import Came, receive
from tests.faults.lives import Says, Told, Work, sound
from tests.faults.places import opened
from tests.models.orders.buying import ordered, rings, short_job, supplier
from tests.models.replay import Sums, by_key, received_of_orders, replayed
from tests.models.shop import act

PACKS = 4


def come(workshop: Workshop, key: str, order_id: int, line_id: int) -> None:
    """One pack of the line comes; the kit that waits is promised it."""
    with workshop.write() as session:
        receive(session, act(key=key), order_id, [Came(line_id, 1, "Box 9")])


def come_one_by_one(told: str, where: str, life: int, order_id: int, line_id: int) -> None:
    """Receive the whole order in parts, telling of each."""
    says, workshop = Says(told), opened(where)
    for number in range(PACKS):
        key = f"came {life} {number}"
        says.tries(key)
        come(workshop, key, order_id, line_id)
        says.done(key)
    workshop.close()


class Receiving(Work):
    """Receiving an order."""

    name = "receive an order"

    def prepare(self) -> None:
        self._where = self.places.empty()
        workshop = opened(self._where)
        supplier(workshop, self.folder, ["R214,O-RING AS568-214 HNBR 70,0.50,1"])
        workshop.close()
        self._came: set[str] = set()

    def next_life(self, life: int) -> tuple[Callable[..., None], tuple[Any, ...], str]:
        workshop = opened(self._where)
        with workshop.write() as session:
            job_id = short_job(session, rings(PACKS), title=f"life {life}", look=False)
        order = ordered(workshop, job_ids=[job_id], reorder=False)
        workshop.close()
        self._order = (order.order_id, order.lines[0].line_id)
        return come_one_by_one, (self._where, life, *self._order), self._where

    def _ours(self) -> dict[str, Sums]:
        return {key: did for key, did in by_key(self._where).items() if key.startswith("came ") and "/" not in key}

    def judge(self, told: Told) -> None:
        new = self._ours().keys() - self._came
        assert set(told.done) <= new <= set(told.tried), "something acknowledged was lost, or never tried"
        assert len(new - set(told.done)) <= 1
        workshop = opened(self._where)
        sound(workshop)
        if told.unsure is not None:
            come(workshop, told.unsure, *self._order)
        workshop.close()
        ours = self._ours()
        assert ours.keys() == self._came | set(told.tried)
        assert all(did == Sums(1, 1) for did in ours.values()), "a delivery was booked in part, or twice"
        self._came = set(ours)
        assert received_of_orders(self._where).get(self._order[1], 0) == len(told.tried)
        assert sum(one.on_hand for one in replayed(self._where).values()) == len(self._came)
