"""What is closed is let go: things alive are counted, not megabytes."""

from __future__ import annotations

import asyncio
import gc
import threading
from collections import Counter
from pathlib import Path

import pytest
from textual.dom import DOMNode
from textual.screen import Screen
from textual.strip import Strip
from textual.widget import Widget
from textual.widgets import Static
from textual.widgets._footer import FooterKey

from models.orders.short_rows import Short
from tests.tui.counter import keys, make_app, settle
from tui.app import KitwrightApp
from tui.buying import Buying
from tui.screens.asking import to_read
from tui.screens.buy.screen import BuyScreen
from tui.widgets.rows import Rows


def alive() -> Counter[str]:
    """Screens, drawn lines and keys of the key line that something still holds."""
    gc.collect()
    kinds = (Screen, Strip, FooterKey)
    return Counter(kind.__name__ for one in gc.get_objects() for kind in kinds if isinstance(one, kind))


async def test_pages_opened_and_closed_leave_nothing_behind(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(40, 12)) as pilot:
        await settle(pilot)

        async def open_and_close(times: int) -> Counter[str]:
            for _ in range(times):
                page = to_read("A page", "A line of many.\n" * 200, name="page")
                await app.push_screen(page)
                await pilot.pause()
                page.dismiss()
                await pilot.pause()
            await settle(pilot)
            return alive()

        few = await open_and_close(5)
        many = await open_and_close(45)
        # A page that is just on its way out may be counted once.
        assert many["Screen"] <= few["Screen"] + 1
        assert many["Strip"] <= 1.1 * few["Strip"]
        assert many["FooterKey"] <= few["FooterKey"] + 20


async def test_the_key_line_forgets_the_keys_it_showed(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5")
        few = alive()["FooterKey"]
        for _ in range(30):
            app.screen.refresh_bindings()
            await pilot.pause()
        await settle(pilot)
        assert alive()["FooterKey"] <= few + 20


async def test_what_watched_the_app_is_forgotten_with_its_page(tmp_path: Path) -> None:
    app = make_app(tmp_path)

    def watching(app: KitwrightApp) -> int:
        return sum(len(one) for one in getattr(app, "__watchers", {}).values())

    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        before = watching(app)
        for _ in range(3):
            await keys(pilot, "ctrl+g", "escape")
        assert watching(app) <= before + 3


async def test_a_part_that_an_area_gets_while_a_page_lies_over_it_does_not_hold_that_page(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(60, 20)) as pilot:
        await settle(pilot)
        beneath = app.screen
        before = alive()["Screen"]
        for number in range(4):
            page = to_read("A page", "A line of many.\n" * 50, name="page")
            await app.push_screen(page)
            await pilot.pause()
            page.call_next(beneath.mount, Static(f"part {number}"))
            await pilot.pause()
            page.dismiss()
            del page
            await settle(pilot)
        assert len(beneath.query("Screen > Static")) >= 4
        assert alive()["Screen"] <= before + 1


async def test_a_list_that_is_styled_anew_makes_no_new_nodes_for_its_named_parts(tmp_path: Path) -> None:
    app = make_app(tmp_path)

    def nodes() -> int:
        return sum(type(one) is DOMNode for one in gc.get_objects())

    async with app.run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5")
        rows = app.screen.query_one(Rows)
        style = rows.get_component_rich_style("rows--head")
        gc.collect()
        gc.disable()
        try:
            before = nodes()
            for _ in range(20):
                app.stylesheet.update(app.screen)
            assert nodes() == before
        finally:
            gc.enable()
        # They are styled anew all the same.
        assert rows.get_component_rich_style("rows--head") == style
        app.theme = "textual-light"
        await settle(pilot)
        assert rows.get_component_rich_style("rows--head") != style


async def test_a_closed_form_leaves_little_to_the_collector(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5", "ctrl+r", "escape")
        await settle(pilot)
        form: list[Widget] = []
        await keys(pilot, "ctrl+r")
        form += app.screen.walk_children(Widget, with_self=True)
        nodes = [styles.node for part in form for styles in part._component_styles.values()]
        assert len(nodes) > 20
        await keys(pilot, "escape")
        await settle(pilot)
        # Neither the parts nor the nodes of their named parts are held by their own styles.
        assert [one for one in (*form, *nodes) if one is not None and one._css_styles.node is not None] == []
        assert all(not one._styles_cache._cache for one in form)


async def test_a_list_that_is_asked_for_again_and_again_is_read_by_one_thread_at_a_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each reading of a large shop takes tens of megabytes; a thread goes on where its worker is cancelled."""
    app = make_app(tmp_path)
    async with app.run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        await keys(pilot, "ctrl+y")
        page = app.screen
        assert isinstance(page, BuyScreen)
        at_once, most, begun, go_on = 0, 0, 0, threading.Event()
        shorts = Buying.shorts

        def slow(self: Buying, **how: bool) -> tuple[Short, ...]:
            nonlocal at_once, most, begun
            at_once, begun = at_once + 1, begun + 1
            most = max(most, at_once)
            go_on.wait()
            at_once -= 1
            return shorts(self, **how)

        monkeypatch.setattr(Buying, "shorts", slow)
        for _ in range(8):
            page.workshop_changed()
            await asyncio.sleep(0.01)
        go_on.set()
        await settle(pilot)
        # The first was under way, the last is shown; those between were never begun.
        assert (most, begun) == (1, 2)
