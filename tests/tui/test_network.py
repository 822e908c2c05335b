"""A workshop on a server: what another bench books shows, and what happens while the network is away."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from textual.widgets import Input

from models import shelf
from models.database import Session, Workshop, open_workshop
from models.errors import AlreadyThereError, WorkshopUnavailableError
from models.watching import watch
from tests import postgres
from tests.cable import Cable
from tests.models.shop import ring
from tests.tui.counter import Shown, keys, settle, shown, toasts, write
from tests.tui.test_elsewhere_booked import SOON, until, use, watching
from tui.app import AWAY
from tui.screens.form import Form
from tui.workshop import Workshop as Mine


@pytest.fixture
def other(postgres_workshop: str) -> Iterator[Workshop]:
    """Another bench, by a cable of its own."""
    postgres.empty(postgres_workshop)
    opened = open_workshop(postgres_workshop)
    with opened.write() as session:
        ring(session, 9)
    yield opened
    opened.close()


@pytest.fixture
def cable(postgres_server: str) -> Iterator[Cable]:
    one = Cable(urlsplit(postgres_server).port or 0)
    yield one
    one.close()


def through(cable: Cable, address: str) -> str:
    return address.replace(f":{urlsplit(address).port}/", f":{cable.port}/")


async def test_the_shelf_follows_another_bench_and_outlives_a_pulled_cable(
    postgres_workshop: str, other: Workshop, cable: Cable, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(watch, "AGAIN_S", 0.1)
    app = Shown(data=through(cable, postgres_workshop))
    async with app.run_test(size=(100, 24), notifications=True) as pilot:
        await watching(pilot)
        await keys(pilot, "f5")
        page: Any = app.screen
        use(other, page._stock[0].stock_id)
        assert await until(pilot, lambda: "8 on record" in shown(pilot) or "took 1 meanwhile" in shown(pilot)) < SOON
        await keys(pilot, "enter")
        form = app.screen
        assert isinstance(form, Form)
        await write(pilot, "5")
        cable.pull()
        await until(pilot, lambda: AWAY in toasts(pilot))
        await keys(pilot, "enter")
        assert app.screen is form
        assert "can't be reached" in str(form.query_one("#quantity-said").render())
        assert form.query_one("#quantity", Input).value == "5"
        use(other, page._stock[0].stock_id)
        cable.put_back()
        await until(pilot, lambda: "meanwhile" in shown(pilot))
        assert "The workshop can be reached again." in toasts(pilot)
        assert form.query_one("#quantity", Input).value == "5"
        await keys(pilot, "enter")
        await settle(pilot)
        assert app.screen_stack == [page]
        assert page.chosen.on_hand == 5


async def test_what_is_typed_outlives_a_server_that_is_stopped_and_started_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(watch, "AGAIN_S", 0.1)
    with postgres.restartable() as server:
        address = postgres.new_database(server.address, "shop")
        with closing(open_workshop(address)) as first, first.write() as session:
            ring(session, 9)
        app = Shown(data=address)
        async with app.run_test(size=(100, 24), notifications=True) as pilot:
            await watching(pilot)
            await write(pilot, "24.9")
            await keys(pilot, "f5", "enter")
            form = app.screen
            assert isinstance(form, Form)
            await write(pilot, "5")
            server.stop()
            await until(pilot, lambda: AWAY in toasts(pilot))
            # It says so where it is asked for, as often as that is, and nothing that is typed is lost.
            for _ in range(2):
                await keys(pilot, "enter")
                assert app.screen is form
                assert "can't be reached" in " ".join(str(form.query_one("#quantity-said").render()).split())
                assert form.query_one("#quantity", Input).value == "5"
            server.start()
            await until(pilot, lambda: "The workshop can be reached again." in toasts(pilot))
            # What another bench books from now on is told as before.
            with closing(open_workshop(address)) as other:
                use(other, other_stock(other))
            await until(pilot, lambda: "took 1 meanwhile" in shown(pilot))
            assert form.query_one("#quantity", Input).value == "5"
            await keys(pilot, "enter")
            await settle(pilot)
            page: Any = app.screen
            assert page.chosen.on_hand == 5
            await keys(pilot, "f2")
            assert "24.9" in shown(pilot)


def other_stock(workshop: Workshop) -> int:
    """The one stock row there is."""
    with workshop.read() as session:
        return shelf.rows_of(session)[0].stock_id


def test_what_was_booked_as_the_line_was_lost_is_not_booked_twice(sqlite_workshop: Path, tmp_path: Path) -> None:
    file = tmp_path / "w.sqlite3"
    file.write_bytes(sqlite_workshop.read_bytes())
    mine = Mine(str(file), demo=False)
    stock = mine.change(lambda session, _: ring(session, 9))

    def take(session: Session, done: Any) -> None:
        shelf.use(session, done, stock_id=stock.stock_id, quantity=1)

    def lost_after(session: Session, done: Any) -> None:
        take(session, done)
        session.commit()
        raise WorkshopUnavailableError("The server can't be reached.", "Try again.")

    def lost_before(session: Session, done: Any) -> None:
        raise WorkshopUnavailableError("The server can't be reached.", "Try again.")

    with pytest.raises(WorkshopUnavailableError):
        mine.change(lost_before)
    mine.change(take)
    with pytest.raises(WorkshopUnavailableError):
        mine.change(lost_after)
    with pytest.raises(AlreadyThereError, match="was booked after all"):
        mine.change(take)
    assert mine.stock("").rows[0].on_hand == 7
    assert mine.undo()
    assert mine.stock("").rows[0].on_hand == 8
    mine.close()
