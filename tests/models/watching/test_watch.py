"""What one program books, another that watches hears: soon, once, in order, and after the line was down."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from queue import Empty, Queue

import psycopg
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models import shelf
from models.actions import newest_id
from models.database import Workshop, open_workshop
from models.inventory import bins
from models.storage.locations import place
from models.watching import watch as watching
from models.watching.heard import Booked, Heard, Line, Told
from models.watching.moved import stock_news
from models.watching.on_server import CALLED
from models.watching.watch import Watch
from tests import postgres
from tests.models.shop import act, ring
from tests.statements import counted

SOON = 1.0
"""Seconds within which what was booked has to be told."""
PATIENCE = 20.0
"""Seconds for what has no such promise, on a busy machine."""


@contextmanager
def watched(where: str, begun: Callable[[], None] = lambda: None) -> Iterator[Queue[Heard]]:
    """What a watch of the workshop tells; its thread ends with the block. `begun` is called once it looks."""
    told: Queue[Heard] = Queue()
    one = Watch(place(where, False))

    def listen() -> None:
        for heard in one.heard():
            told.put(heard)

    thread = threading.Thread(target=listen)
    thread.start()
    try:
        begun()
        assert one.ready.wait(PATIENCE)
        yield told
    finally:
        one.stop()
        thread.join(PATIENCE)
        assert not thread.is_alive()


def add_bin(workshop: Workshop, code: str, who: str = "Bench 2") -> None:
    with workshop.write() as session:
        bins.add(session, act(who), code=code)


def test_what_is_booked_is_told_within_a_second_once_and_in_order(workshop: Workshop, where: str) -> None:
    add_bin(workshop, "before")
    with watched(where) as told:
        add_bin(workshop, "A1")
        began = time.monotonic()
        heard = told.get(timeout=PATIENCE)
        assert time.monotonic() - began < SOON
        assert [(one.who, one.what) for one in heard.booked] == [("Bench 2", "bins.add")]
        assert heard.line is Line.UP
        for number in range(5):
            add_bin(workshop, f"B{number}")
        ids = [one.action_id for one in heard.booked]
        while len(ids) < 6:
            ids += [one.action_id for one in told.get(timeout=PATIENCE).booked]
        assert ids == sorted(set(ids))
        with pytest.raises(Empty):
            told.get(timeout=0.5)


def test_what_was_not_committed_is_not_told(workshop: Workshop, where: str) -> None:
    with watched(where) as told:
        with suppress(RuntimeError), workshop.write() as session:
            bins.add(session, act(), code="A1")
            raise RuntimeError
        with pytest.raises(Empty):
            told.get(timeout=0.5)


def test_a_burst_is_told_in_few(workshop: Workshop, where: str) -> None:
    with watched(where) as told:
        for number in range(30):
            add_bin(workshop, f"A{number}")
        found, tellings = 0, 0
        while found < 30:
            found += len(told.get(timeout=PATIENCE).booked)
            tellings += 1
        assert found == 30
        assert tellings < 20


def test_a_workshop_that_is_made_later_is_watched_from_then_on(tmp_path: Path) -> None:
    file = str(tmp_path / "later.sqlite3")
    made: list[Workshop] = []
    with watched(file, lambda: made.append(open_workshop(file))) as told:
        add_bin(made[0], "A1")
        assert len(told.get(timeout=PATIENCE).booked) == 1
    made[0].close()


def test_a_lost_line_is_told_and_what_came_meanwhile_is_caught_up(
    postgres_workshop: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    postgres.empty(postgres_workshop)
    monkeypatch.setattr(watching, "AGAIN_S", 0.05)
    workshop = open_workshop(postgres_workshop)
    database, server = postgres_workshop.rsplit("/", 1)[1], f"{postgres_workshop.rsplit('/', 1)[0]}/postgres"
    with watched(postgres_workshop) as told, psycopg.connect(server, autocommit=True) as keeper:
        keeper.execute(f"ALTER DATABASE {database} ALLOW_CONNECTIONS false".encode())
        try:
            keeper.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = %s AND application_name = %s",
                [database, CALLED],
            )
            lost = told.get(timeout=PATIENCE)
            assert lost == Heard(line=Line.LOST)
            # The pool's connection stands yet.
            add_bin(workshop, "A1")
        finally:
            keeper.execute(f"ALTER DATABASE {database} ALLOW_CONNECTIONS true".encode())
        back = told.get(timeout=PATIENCE)
        assert back.line is Line.BACK
        assert [one.what for one in back.booked] == ["bins.add"]
        add_bin(workshop, "A2")
        assert told.get(timeout=PATIENCE).line is Line.UP
    workshop.close()


def test_an_action_that_is_committed_late_under_a_lower_number_is_told(postgres_workshop: str) -> None:
    postgres.empty(postgres_workshop)
    first, second = open_workshop(postgres_workshop), open_workshop(postgres_workshop)
    with watched(postgres_workshop) as told:
        with first.write() as session:
            bins.add(session, act("slow"), code="A1")
            session.flush()
            add_bin(second, "A2", "quick")
            assert [one.who for one in told.get(timeout=PATIENCE).booked] == ["quick"]
        heard = told.get(timeout=PATIENCE)
        assert [one.who for one in heard.booked] == ["slow"]
    first.close()
    second.close()


@given(st.permutations(range(1, 40)), st.integers(1, 39))
def test_each_action_is_told_once_in_whatever_order_they_are_committed(order: list[int], at_once: int) -> None:
    there: set[int] = set()

    def look(sql: str, *values: object) -> list[tuple[object, ...]]:
        if "max" in sql:
            return [(max(there, default=0),)]
        floor = values[0]
        assert isinstance(floor, int)
        found = sorted(one for one in there if one > floor)
        return [(one,) for one in found] if "key" not in sql else [(one, f"{one}", "w", "x", None) for one in found]

    told = Told()
    told.begin(look)
    heard: list[int] = []
    for start in range(0, len(order), at_once):
        there.update(order[start : start + at_once])
        heard += [one.action_id for one in told.news(look)]
    assert sorted(heard) == sorted(order)
    assert len(heard) == len(set(heard))


@pytest.mark.parametrize("rows", [5, 50])
def test_what_moved_and_how_it_stands_is_two_statements_however_many_rows(workshop: Workshop, rows: int) -> None:
    with workshop.write() as session:
        stock = [ring(session, 9, size_key=f"as568:{201 + one}").stock_id for one in range(rows)]
        before = newest_id(session)
    with workshop.write() as session:
        for one in stock:
            shelf.use(session, act("Bench 2"), stock_id=one, quantity=2)
    with workshop.read() as session, counted(session) as sent:
        news = stock_news(session, [Booked(before + 1 + one, "", "", "shelf.use", None) for one in range(rows)])
    assert len(sent) == 2
    assert {one[1:] for one in news.moves.values()} == {(-2, 0, "used", "shelf.use", "Bench 2")}
    assert set(news.moves) == set(stock)
    assert {row.on_hand for row in news.rows.values()} == {7}
    assert not news.whole


def test_a_list_is_read_anew_only_where_it_may_have_other_rows(workshop: Workshop) -> None:
    with workshop.write() as session:
        shelf.use(session, act(), stock_id=ring(session, 9, size_key="as568:215").stock_id, quantity=1)
        after = [newest_id(session)]
        row = ring(session, 3)
        shelf.receive(
            session, act(), item_id=row.item_id, bin_id=bins.add(session, act(), code="Z9").bin_id, quantity=4
        )
        after.append(newest_id(session))
        shelf.use(session, act(), stock_id=row.stock_id, quantity=3)
        after.append(newest_id(session))

    def whole(number: int, what: str = "shelf.x") -> bool:
        with workshop.read() as session:
            return stock_news(session, [Booked(number, "", "", what, None)]).whole

    assert not whole(after[0])
    assert not whole(after[0], "fluid_rules.add")
    # Another row, and one that is empty now.
    assert whole(after[1])
    assert whole(after[2])
    assert whole(after[0], "items.rename")
