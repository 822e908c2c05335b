"""The Catalog's elements, what of a row lies on the shelf, the pictures, and a row put on a kit, by keys."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from models import shelf
from models.inventory import bins, items
from models.words import Kind
from tests.tui.counter import keys, make_app, settle, shown, toasts, write
from tests.tui.seed import act
from tui.app import KitwrightApp
from tui.screens.catalog.picture import Frame
from tui.screens.catalog.tables import TABLES
from tui.screens.choose_job import ChooseJob

CAN = "Spin-on element, engine oil"
OPEN_BOTH = "Cartridge 60 x 120 open 30 both ends 60 mesh"
OPEN_ONE = "Cartridge 62 x 121 open 28 one end"


def with_elements(app: KitwrightApp) -> KitwrightApp:
    """Four elements of the shop's, one of them without measures; and bolts."""
    with app.workshop.open().write() as session:
        drawer = bins.add(session, act(), code="Drawer F1").bin_id
        can = items.add(
            session, act(), kind=Kind.FILTER, name=CAN, spec_class="spin-on 3/4-16 UNF 93 x 142 gasket 62 x 71"
        )
        shelf.receive(session, act(), item_id=can.item_id, bin_id=drawer, quantity=3)
        for name in (OPEN_BOTH, OPEN_ONE, "Cab air filter"):
            items.add(session, act(), kind=Kind.FILTER, name=name)
        bolt = items.add(session, act(), kind=Kind.FASTENER, name="Bolt M10", spec_class="M10 × 1.5 × 30")
        shelf.receive(session, act(), item_id=bolt.item_id, bin_id=drawer, quantity=25)
    return app


async def _filters(pilot: Pilot[Any], text: str) -> str:
    await write(pilot, text)
    return shown(pilot)


async def test_elements_are_narrowed_by_kind_thread_seal_and_outline(tmp_path: Path) -> None:
    app = with_elements(make_app(tmp_path))
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f3", "f12", "f12")
        await settle(pilot)
        assert "4 of 4 elements" in shown(pilot)
        for typed, name in (
            ("3/4-16 93 x 142", CAN),
            ("93x142", CAN),
            ("3.66 5.59", CAN),
            ("spin-on 62 71", CAN),
            ("cartridge open both", OPEN_BOTH),
            ("cartridge open one", OPEN_ONE),
            ("60 mesh", OPEN_BOTH),
            ("cab", "Cab air filter"),
        ):
            text = await _filters(pilot, typed)
            assert "1 of 4 elements" in text, typed
            assert app.screen.chosen.name == name  # type: ignore[attr-defined]
        # Only kinds that are there: the group narrows as well, and says how many.
        await keys(pilot, "f8", "escape", "a")
        assert "1 of 4 elements" in shown(pilot)
        assert "3/4-16 UNF" in shown(pilot)


async def test_an_element_says_where_it_lies_and_goes_on_a_kit(tmp_path: Path) -> None:
    app = with_elements(make_app(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f3", "f12", "f12")
        await settle(pilot)
        await write(pilot, "3/4-16")
        assert "On shelf: 3 free: 3 in Drawer F1." in shown(pilot)
        await keys(pilot, "enter")
        assert isinstance(app.screen, ChooseJob)
        await keys(pilot, "down", "enter")
        # Asked for by the class of the item itself, so what lies there meets it.
        assert f"{CAN} on “Loader lift valve weeps”" in " ".join(toasts(pilot).split())
        assert "SHORT" not in toasts(pilot)


@pytest.mark.parametrize(
    ("table", "typed", "line"),
    [
        # The seed's shelf: 14 rings of which 3 are promised; 25 US gal of a tractor fluid that claims UTTO; 25 bolts.
        (0, "as568-214", "On shelf: 11 free: 11 in B3"),
        (0, "as568-210", "On shelf: none."),
        (1, "utto", "On shelf: 94.64 L free: 94.64 L in F2"),
        (4, "m10", "On shelf: 25 free: 25 in Drawer F1 (Bolt M10)."),
        (4, "3/4-16", "On shelf: 3 free: 3 in Drawer F1 (Spin-on element, engine oil)."),
    ],
)
async def test_a_row_says_what_of_it_lies_on_the_shelf(tmp_path: Path, table: int, typed: str, line: str) -> None:
    app = with_elements(make_app(tmp_path))
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f3", *["f12"] * table)
        await settle(pilot)
        await write(pilot, typed)
        assert line in " ".join(shown(pilot).split())


async def test_a_class_and_a_thread_go_on_a_kit(tmp_path: Path) -> None:
    app = with_elements(make_app(tmp_path))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f3", "f12")
        await write(pilot, "utto")
        await keys(pilot, "enter")
        assert isinstance(app.screen, ChooseJob)
        assert "Low mark" in shown(pilot)
        await keys(pilot, "escape", "f12", "f12", "f12")
        await write(pilot, "m10")
        await keys(pilot, "enter")
        assert isinstance(app.screen, ChooseJob)
        assert "Grade" in shown(pilot)


def _still(pilot: Pilot[Any]) -> None:
    """Keep the cursor from blinking."""
    pilot.app.screen.query_one(Input).cursor_blink = False


async def _elements(pilot: Pilot[Any]) -> None:
    await settle(pilot)
    await keys(pilot, "f3", "f12", "f12")
    await settle(pilot)
    await write(pilot, "3/4-16")
    _still(pilot)


async def _in_full(pilot: Pilot[Any]) -> None:
    await _elements(pilot)
    await keys(pilot, "question_mark")


async def _fluid(pilot: Pilot[Any]) -> None:
    await settle(pilot)
    await keys(pilot, "f3", "f12")
    await write(pilot, "utto")
    _still(pilot)


@pytest.mark.parametrize(
    ("act_", "size"),
    [(_elements, (120, 40)), (_elements, (80, 24)), (_in_full, (80, 24)), (_fluid, (120, 40))],
    ids=["elements-wide", "elements", "element-in-full", "fluid-wide"],
)
def test_how_they_look(snap_compare: Any, tmp_path: Path, act_: Any, size: tuple[int, int]) -> None:
    assert snap_compare(with_elements(make_app(tmp_path)), terminal_size=size, run_before=act_)


@pytest.mark.parametrize("table", [one for one in TABLES if one.name != "filters"], ids=lambda one: one.name)
@pytest.mark.parametrize("plain", [False, True])
def test_every_row_of_every_table_has_a_picture_that_fits(table: Any, plain: bool) -> None:
    for frame in (Frame(41, 14, "mm", plain), Frame(56, 12, "in", plain)):
        for entry in tuple(table.load())[::7]:
            lines = table.picture(entry, frame)
            assert any(line.strip() for line in lines), entry
            assert len(lines) <= frame.rows, entry
            assert max(map(len, lines)) <= frame.columns, entry
            if plain:
                assert not any(0x2800 <= ord(letter) < 0x2900 for line in lines for letter in line)
