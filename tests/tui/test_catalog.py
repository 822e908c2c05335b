"""The Catalog, driven by keys."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from textual.geometry import Region
from textual.widget import Widget

from catalog.orings.joints import ports
from catalog.orings.sizes import Series, all_sizes, load
from catalog.standing import Standing
from tests.tui.counter import HOSTILE, Shown, keys, make_app, settle, shown, toasts, write
from tests.tui.judge.opened import fill
from tui.screens.catalog.entries import entries, narrow, words
from tui.screens.choose_job import ChooseJob


async def test_every_size_of_every_series_is_there(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f3")
        assert app.screen.rows.count == len(all_sizes())  # type: ignore[attr-defined]
        # SAE AS568 has 369 sizes.
        await keys(pilot, "escape", "a", "escape")
        assert app.screen.rows.count == len(load(Series.AS568)) == 369  # type: ignore[attr-defined]


# Published sizes: SAE AS568 (214: 0.984 × 0.139 in), JIS B 2401 (P22A: 21.7 × 3.5), ISO 3601-1 (25 × 3.55).
async def test_a_filter_finds_by_name_series_and_dimension(tmp_path: Path) -> None:
    expected = {
        "as568-214": "AS568-214",
        "0.984 0.139": "AS568-214",
        "24.99x3.53": "AS568-214",
        "24,99 × 3,53": "AS568-214",
        "p22a": "JIS P22A",
        "JIS 21.7": "JIS P22A",
        "iso 25 3.55": "25 × 3.55",
    }
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f3")
        for typed, label in expected.items():
            await write(pilot, typed)
            labels = [entry.size.label for entry in app.screen._kept]  # type: ignore[attr-defined]
            assert label in labels
            assert len(labels) < 40


async def test_typing_and_rubbing_out_letter_by_letter_equals_typing_at_once(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f3", *"25 3", "backspace", "backspace", *" 5.")
        once = list(narrow(entries(), words("25 5.")))
        assert list(app.screen._kept) == once  # type: ignore[attr-defined]
        assert once


async def test_both_units_standing_and_source_are_in_sight_and_the_unit_key_turns_them(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f3")
        await write(pilot, "as568-214")
        text = shown(pilot)
        assert "24.99     3.53   0.984    0.139 published" in text
        assert "24.99 ±0.25 mm = 0.984 ±0.010 in" in text
        await keys(pilot, "f6")
        assert "0.984    0.139    24.99     3.53 published" in shown(pilot)
        assert "0.984 ±0.010 in = 24.99 ±0.25 mm" in shown(pilot)


async def test_a_row_from_memory_says_so_in_words(tmp_path: Path) -> None:
    assert any(size.standing is Standing.MEMORY for size in all_sizes())
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f3")
        await write(pilot, "memory")
        assert app.screen.rows.count == sum(size.standing is Standing.MEMORY for size in all_sizes())  # type: ignore[attr-defined]
        assert "Unchecked row" in shown(pilot)
        assert "compare with a published table first" in shown(pilot)


async def test_hostile_text_finds_nothing_and_says_so(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), tooltips=True, notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f3")
        for text in HOSTILE:
            await write(pilot, text)
            # A line break parts two words like a space; both letters stand in many names.
            assert (app.screen.rows.count == 0) == (text != "a\nb")  # type: ignore[attr-defined]
            assert ("No size matches. F8 clears the filter." in shown(pilot)) == (text != "a\nb")
            await keys(pilot, "f8")
            assert app.screen.rows.count == len(all_sizes())  # type: ignore[attr-defined]


async def test_arrows_and_pages_move_from_inside_the_filter_and_slash_comes_back(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f3", "down", "down", "pagedown", "up")
        assert app.screen.rows.cursor > 5  # type: ignore[attr-defined]
        await keys(pilot, "escape", "G")
        assert app.screen.rows.cursor == len(all_sizes()) - 1  # type: ignore[attr-defined]
        await keys(pilot, "slash", "2")
        assert app.screen.query_one("#filter").value == "2"  # type: ignore[attr-defined]
        await keys(pilot, "escape", "s", "c")
        assert app.screen.rows.count == len(all_sizes())  # type: ignore[attr-defined]


async def test_enter_puts_the_size_on_a_kit(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f3", *"p25 ", "enter")
        assert isinstance(app.screen, ChooseJob)
        assert "JIS P25: for which job?" in shown(pilot)
        await keys(pilot, "down", "enter")
        # Both rings of this size on the seeded shelf are promised to the first job.
        assert "JIS P25 on “Loader lift valve weeps”: SHORT 2" in toasts(pilot)


async def test_a_resize_keeps_filter_and_cursor(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await keys(pilot, "f3")
        await write(pilot, "jis")
        await keys(pilot, *["down"] * 30)
        await pilot.resize_terminal(80, 24)
        await settle(pilot)
        assert app.screen.query_one("#filter").value == "jis"  # type: ignore[attr-defined]
        assert app.screen.rows.cursor == 30  # type: ignore[attr-defined]
        assert "▸" in shown(pilot)


async def test_typing_in_the_filter_lays_nothing_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f3")
        laid_out: list[str] = []
        refresh = Widget.refresh

        def watched(self: Widget, *regions: Region, layout: bool = False, **rest: bool) -> Widget:
            if layout:
                laid_out.append(type(self).__name__)
            return refresh(self, *regions, layout=layout, **rest)

        monkeypatch.setattr(Widget, "refresh", watched)
        await keys(pilot, *"319", "backspace")
        assert laid_out == []
        assert app.screen.rows.count > 0  # type: ignore[attr-defined]


async def test_a_table_of_the_shops_own_is_loaded_shown_matched_and_taken_back(tmp_path: Path) -> None:
    """Loaded by keys from the Catalog; its sizes stand first, a row it corrects stands there once; Measure names it."""
    head = "designation,id_mm,id_tol_mm,cross_section_mm,cross_section_tol_mm\n"
    (tmp_path / "list.csv").write_text(f"{head}X7,33.3,0.3,4.3,0.12\nJIS V950,944,6,10,0.3\n", encoding="utf-8")
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f3", "ctrl+l")
        await write(pilot, str(tmp_path / "list.csv"))
        await keys(pilot, "tab")
        await write(pilot, "Maker [b]list")
        await keys(pilot, "enter")
        await settle(pilot)
        assert "! Nothing was loaded yet. It corrects JIS V950: 944 ± 6 × 10 ± 0.3 mm," in shown(pilot)
        await keys(pilot, "y", "enter")
        await settle(pilot)
        assert "Loaded “Maker [b]list”: 2 sizes (1 correct ours, 1 new)." in " ".join(toasts(pilot).split())
        await write(pilot, "own")
        lines = [line.split() for line in shown(pilot).splitlines() if "own" in line]
        assert ["▸", "Maker", "[b]list", "X7", "33.30", "4.30", "1.311", "0.169", "own"] in [one[:9] for one in lines]
        await keys(pilot, "f8")
        await write(pilot, "v950")
        assert len([line for line in shown(pilot).splitlines() if "JIS V950" in line and "944.00" in line]) >= 1
        assert "940.50" not in shown(pilot)
        await keys(pilot, "f2", *"33.3", "tab", "tab", *"4.3")
        await settle(pilot)
        assert "Maker [b]list X7" in shown(pilot)
        await keys(pilot, "f9", "f3", "f8")
        await write(pilot, "v950")
        assert "940.50" in shown(pilot)


async def test_ports_of_the_shops_own_are_loaded_shown_and_judged_by_keys(tmp_path: Path) -> None:
    """The key that loads sizes among the rings loads ports among the ports; Judge names the ring that the shop says."""
    head = "thread,seal,ring_id_mm,ring_id_tol_mm,ring_section_mm,ring_section_tol_mm,chamfer_deg\n"
    (tmp_path / "ports.csv").write_text(f"{head}M12x1.5,chamfer,9.4,0.2,2.2,0.08,15\n", encoding="utf-8")
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f3", *["f12"] * 5)
        await settle(pilot)
        commands = [one.title for one in app.get_system_commands(app.screen)]
        assert ("Load own ports" in commands, "Load own sizes" in commands) == (True, False)
        await keys(pilot, "ctrl+l")
        await write(pilot, str(tmp_path / "ports.csv"))
        await keys(pilot, "tab")
        await write(pilot, "ISO 6149-1")
        await keys(pilot, "enter")
        await settle(pilot)
        assert "! Nothing was loaded yet. It corrects ISO 6149-1 M12x1.5: ring 9.4" in " ".join(shown(pilot).split())
        await keys(pilot, "y", "enter")
        await settle(pilot)
        assert "Loaded “ISO 6149-1”: 1 port (1 correct ours)." in " ".join(toasts(pilot).split())
        await write(pilot, "6149-1 m12x")
        rows = [line for line in shown(pilot).splitlines() if "M12x1.5" in line and " own" in line]
        assert len(rows) == 1
        assert "9.40 × 2.20" in rows[0]
        assert f"1 of {len(ports())} joints" in shown(pilot)
        await keys(pilot, "f11")
        await settle(pilot)
        await keys(pilot, "alt+y")
        await settle(pilot)
        await fill(pilot, seal="chamfer", diameter="11.9", pitch="1.5")
        assert "9.40 × 2.20 mm" in " ".join(shown(pilot).split())
        await keys(pilot, "f3", "escape", "d")
        await settle(pilot)
        assert "ISO 6149-1" in shown(pilot), "the form names the highlighted row's table"
        await keys(pilot, "enter")
        await settle(pilot)
        assert "Dropped “ISO 6149-1” with its 1 port." in " ".join(toasts(pilot).split())
        await keys(pilot, "f11")
        await settle(pilot)
        assert "9.30 × 2.20 mm" in " ".join(shown(pilot).split())
        # Grooves have no list here: their keys do the same among all tables.
        groove = "use,section_mm,depth_min_mm,depth_max_mm,width_min_mm,width_max_mm\nradial,3.53,3.2,3.3,4.8,4.9\n"
        (tmp_path / "grooves.csv").write_text(groove, encoding="utf-8")
        await keys(pilot, "f3")
        await app.screen.run_action("operate('load', 'groove')")
        await settle(pilot)
        await write(pilot, str(tmp_path / "grooves.csv"))
        await keys(pilot, "tab")
        await write(pilot, "Press list")
        await keys(pilot, "enter")
        await settle(pilot)
        assert "Loaded “Press list”: 1 groove (1 new)." in " ".join(toasts(pilot).split())
        await app.screen.run_action("operate('drop', 'groove')")
        await settle(pilot)
        await settle(pilot)
        await write(pilot, "Press list")
        await keys(pilot, "enter")
        await settle(pilot)
        assert "Dropped “Press list” with its 1 groove." in " ".join(toasts(pilot).split())


async def test_own_rows_that_cannot_be_read_are_said_to_be_missing(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await keys(pilot, "f3")
        assert "could not be read" not in shown(pilot)
    # Another revision than this program's: the glance reads none of it.
    with sqlite3.connect(tmp_path / "workshop.sqlite3") as database:
        database.execute("UPDATE alembic_version SET version_num = 'of-another-day'")
    database.close()
    app = Shown(data=str(tmp_path / "workshop.sqlite3"), unit="mm")
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await keys(pilot, "f3")
        assert "The shop's own sizes could not be read" in shown(pilot)
