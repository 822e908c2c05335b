"""What every screen offers in the palette: what is missed is added, and names are put right, from where one is."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input

from models import jobs, machines
from models.inventory import bins
from tests.tui.counter import keys, make_app, settle, shown, toasts, write
from tui.screens.anywhere import ANYWHERE, offered
from tui.screens.form import Form
from tui.screens.shelf.receive import ReceiveForm

AREA_KEYS = ("f2", "f3", "f4", "f5", "f11", "ctrl+f", "ctrl+y")


async def test_the_palette_finds_machine_on_every_screen(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        for key in AREA_KEYS:
            await keys(pilot, key)
            titles = [command.title for command in app.get_system_commands(app.screen)]
            assert {f"{one.label} …" for one in offered()} <= set(titles)
            assert sum(title.endswith(" …") for title in titles) == len(ANYWHERE)
            assert {"Add a machine …", "Rename a machine …"} <= set(titles)
            loading = [title for title in titles if title.startswith("Load a ") and title.endswith(" list")]
            assert loading == ["Load a list" if app.current_mode == "find" else "Load a supplier's list"]
        app.action_load_list()
        await settle(pilot)
        assert "Which file is the list?" in shown(pilot)
        await keys(pilot, "escape")


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_a_machine_is_added_renamed_merged_and_retired_by_keys_and_taken_back(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    app = make_app(tmp_path)

    def named() -> list[str]:
        return [one.name for one in app.workshop.read(machines.listed)]

    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        before = named()
        app.action_anywhere("machine", "add")
        await settle(pilot)
        assert isinstance(app.screen, Form)
        await write(pilot, "Loader 2")
        await keys(pilot, "enter")
        assert "Loader 2" in named()
        app.action_anywhere("machine", "rename")
        await settle(pilot)
        await write(pilot, "Loader2")
        await keys(pilot, "enter")
        assert "did you mean" in shown(pilot)
        app.screen.query_one("#machine", Input).value = "Loader 2"
        app.screen.query_one("#name", Input).focus()
        await settle(pilot)
        await write(pilot, "Loader, yard")
        await keys(pilot, "enter")
        assert "Loader, yard" in named()
        app.action_anywhere("machine", "merge")
        await settle(pilot)
        await write(pilot, "Loader, yard")
        await keys(pilot, "enter")
        await write(pilot, before[0])
        await keys(pilot, "enter")
        assert named() == before
        for _ in range(3):
            await keys(pilot, "f9")
        assert named() == before


async def test_what_is_highlighted_on_the_shelf_is_typed_already_and_its_likest_name_is_offered(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    app.workshop.change(lambda session, act: bins.add(session, act, code="B-3"))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f5")
        app.action_anywhere("bin", "merge")
        await settle(pilot)
        assert app.screen.query_one("#bin", Input).value == "B3"
        assert app.screen.query_one("#into", Input).value == "B-3"
        await keys(pilot, "escape")
        app.action_anywhere("bin", "rename")
        await settle(pilot)
        app.screen.query_one("#name", Input).focus()
        await settle(pilot)
        await write(pilot, "Drawer 7")
        await keys(pilot, "enter")
        assert "Drawer 7" in shown(pilot)
        assert "Renamed bin B3: Drawer 7 now. Print its label again. F9 takes it back." in toasts(pilot)
        await keys(pilot, "f9")
        assert app.workshop.read(lambda session: bins.named(session, "B3")) is not None


async def test_something_new_is_received_from_any_screen(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        app.action_anywhere("shelf", "receive")
        await settle(pilot)
        assert isinstance(app.screen, ReceiveForm)
        await write(pilot, "UTTO oil, pail 20 L")
        await keys(pilot, "enter")
        await write(pilot, "Rack")
        await keys(pilot, "enter")
        await write(pilot, "20 L")
        await keys(pilot, "enter")
        row = app.workshop.stock("UTTO").rows[-1]
        assert (row.item_name, row.bin_code, row.on_hand) == ("UTTO oil, pail 20 L", "Rack", 20_000_000)


def test_each_is_offered_once() -> None:
    assert len(ANYWHERE) == len(set(ANYWHERE))


async def test_what_was_done_on_a_machine_is_read_from_any_screen(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        app.workshop.change(lambda session, act: jobs.close(session, act, app.workshop.jobs()[0].job_id))
        app.action_anywhere("machine", "history")
        await settle(pilot)
        await write(pilot, "Sprayer 2")
        await keys(pilot, "enter")
        assert "What was done on a machine" in shown(pilot)
        assert "Reseal the spray pump" in shown(pilot)
        await keys(pilot, "escape")
        assert app.screen.AREA == "measure"  # type: ignore[attr-defined]
