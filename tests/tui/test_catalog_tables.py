"""The Catalog's fluids, filters and threads: what the rows say against published figures, and the keys."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from catalog.orings.groove_book import with_own
from catalog.orings.own_groove import OwnGrooves, own_grooves
from catalog.orings.standard_grooves import groove_rows
from models import fluid_rules
from tests.tui.counter import HOSTILE, keys, make_app, settle, shown, write
from tui.screens.catalog import fluids, grooves, joints, media, threads
from tui.screens.catalog.detail import reference
from tui.screens.catalog.entries import narrow, words
from tui.screens.catalog.reference import Entry, both_temperatures, is_memory
from tui.screens.catalog.tables import TABLES
from tui.screens.choose_job import ChooseJob

ENTRIES = {
    "fluids": fluids.entries, "media": media.entries, "threads": threads.entries, "ports": joints.port_entries,
    "seals": joints.seal_entries, "grooves": grooves.entries,
}  # fmt: skip


AS568_2 = ("AS568 handbook", "liquid", "-201..-284")


def said(table: str, name: str) -> str:
    """Everything a row says, as one text."""
    (row,) = [one for one in ENTRIES[table]() if one.name == name]
    return " ".join((*row.metric, *row.inch, row.figures, *(fact.sentence for fact in row.facts)))


@pytest.mark.parametrize(
    ("table", "name", "figures"),
    [
        # ASTM E11: No. 60 is 250 µm, No. 200 is 75 µm; 0.0098 in and 0.0030 in as the standard's table has them.
        ("media", "60 mesh", "250 µm = 0.25 mm = 0.0098 in"),
        ("media", "200 mesh", "75 µm = 0.075 mm = 0.0030 in"),
        # ISO 16889: β = 200 holds back 99.5 %.
        ("media", "β 200", "99.5 % held back"),
        # ISO 4406:1999: number 18 is more than 1300, up to 2500 particles a millilitre.
        ("media", "ISO 4406 18", "over 1300 to 2500 per mL"),
        # ISO 898-1: stress area of M16 is 157 mm², of M8 36.6 mm². ISO 4014: M8 takes 13 mm, M16 takes 24 mm.
        ("threads", "M16", "156.67 mm²"),
        ("threads", "M8", "36.61 mm²"),
        ("threads", "M8", "13 mm (ISO 4014)"),
        ("threads", "M16", "24 mm (ISO 4014)"),
        # ASME B1.1: tensile stress area of 1/2-13 UNC is 0.1419 in².
        ("threads", "1/2-13 UNC", "0.1419 in²"),
        # FMVSS 116 S5.1.1, S5.1.2: DOT 4 boils at 230 °C (446 °F) dry and 155 °C (311 °F) wet, at the least.
        ("fluids", "DOT 4", "230 °C (446 °F) or above dry, 155 °C (311 °F) or above wet"),
        # ISO 3448: VG 46 is 41.4 to 50.6 mm²/s at 40 °C (104 °F).
        ("fluids", "ISO VG 46", "41.4 to 50.6 mm²/s at 40 °C (104 °F)"),
        # SAE J300: 15W cranks at 7000 mPa·s and -20 °C (-4 °F) at the most.
        ("fluids", "SAE 15W", "7000 mPa·s at -20 °C (-4 °F)"),
    ],
)
def test_a_row_says_the_published_figure_in_both_units(table: str, name: str, figures: str) -> None:
    assert figures in said(table, name)


def test_degrees_fahrenheit_stand_behind_celsius() -> None:
    # The fixed points of the Fahrenheit scale, and the one where both scales meet.
    assert both_temperatures("0 °C, 100 °C, -40 °C") == "0 °C (32 °F), 100 °C (212 °F), -40 °C (-40 °F)"


def test_every_row_names_source_and_standing_and_every_group_has_rows() -> None:
    for table in TABLES[1:]:
        rows: tuple[Entry, ...] = tuple(table.load())
        if table.name == "filters":
            assert rows == (), "no standard lists elements: see test_catalog_elements.py"
            continue
        assert {one.group for one in rows} == {group for _, group in table.groups} - {""}
        for one in rows:
            assert one.standing in ("published", "checked", "inferred", "unchecked"), one.name
            assert one.facts, one.name
            assert all(fact.own_source or fact.standing_words for fact in one.facts), one.name
            assert any(fact.own_source for fact in one.facts) or one.standing == "unchecked", one.name


def test_a_row_is_from_memory_exactly_where_its_table_says_so() -> None:
    from catalog.fasteners.sizes import all_threads
    from catalog.filters.media import sieves
    from catalog.fluids.classes import all_classes

    def of(entries: tuple[Entry, ...]) -> set[str]:
        return {one.name for one in entries if one.standing == "unchecked"}

    assert of(fluids.entries()) == {one.code for one in all_classes() if one.standing == "memory"}
    assert of(threads.entries()) == {one.designation for one in all_threads() if one.standing == "memory"}
    memory = {f"{one.mesh} mesh" for one in sieves() if one.standing == "memory"}
    assert {name for name in of(media.entries()) if name.endswith("mesh")} == memory


@pytest.mark.parametrize(
    ("table", "typed", "name"),
    [
        ("fluids", "15w-40", "STOU"),
        ("fluids", "wet clutch", "JASO MA"),
        ("fluids", "VG 46", "ISO VG 46"),
        ("media", "60 mesh", "60 mesh"),
        ("media", "250", "60 mesh"),
        ("media", "0.0098", "60 mesh"),
        ("media", "beta 200", "β 200"),
        ("media", "3/4-16", "3/4-16 UNF"),
        ("threads", "m12 1.5", "M12x1.5"),
        ("threads", "M12x1.5", "M12x1.5"),
        ("threads", "13 mm", "M8"),
        ("threads", "20 tpi unc", "1/4-20 UNC"),
        ("threads", "3/8 bsw", "BSW 3/8"),
        ("threads", "16 tpi bsw", "BSW 3/8"),
        ("ports", "3/8 chamfer", "9/16-18, 3/8"),
        ("ports", "904", "7/16-20, 1/4"),
        ("seals", "m14", "14 × 18 × 1.5"),
        ("seals", "35 × 52", "35 × 52 × 7"),
    ],
)
def test_a_filter_finds_a_row(table: str, typed: str, name: str) -> None:
    found = [one.name for one in narrow(ENTRIES[table](), words(typed))]
    assert name in found
    assert len(found) < 25


async def test_the_tables_by_keys(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f3", *"214", "f12")
        assert "186 of 186 classes" in shown(pilot)
        assert "Put on a kit" in shown(pilot)
        await write(pilot, "unchecked")
        partly = [one for one in fluids.entries() if any(is_memory(f"{of.sentence} {of.standing}") for of in one.facts)]
        assert app.screen.rows.count == len(partly)  # type: ignore[attr-defined]
        # The first one's unchecked row is below the fold; in full it is there.
        await keys(pilot, "question_mark", "end")
        assert "unchecked" in shown(pilot)
        await keys(pilot, "escape", "f8", "escape", "a")
        assert "of 186 classes" in shown(pilot)
        assert "186 of 186" not in shown(pilot)
        await keys(pilot, "question_mark")
        assert app.screen.name == "picture"
        assert "The row in full" in shown(pilot)
        await keys(pilot, "escape", "escape", "f12", "f12", *"60 mesh")
        assert "In full" in shown(pilot)
        await keys(pilot, "enter")
        assert app.screen.name == "reasons"
        await keys(pilot, "escape")
        assert "250 µm" in shown(pilot)
        assert "0.0098 in" in shown(pilot)
        await keys(pilot, "f12", *"m16")
        line = next(line for line in shown(pilot).splitlines() if line.startswith("▸ M16 "))
        assert line.split()[1:6] == ["M16", "16.00", "2", "156.67", "0.630"]
        await keys(pilot, "f6")
        line = next(line for line in shown(pilot).splitlines() if line.startswith("▸ M16 "))
        assert line.split()[1:6] == ["M16", "0.630", "12.7", "0.2428", "16.00"]
        for text in HOSTILE:
            await write(pilot, text)
            assert app.screen.rows.count == 0 or text == "a\nb"  # type: ignore[attr-defined]
        # What was typed over another table is there again when it comes back, and Enter is the kit's again.
        await keys(pilot, "f12", "f12", "f12", *".139 face liquid")
        assert "0.101 to 0.107" in shown(pilot)
        assert "In full" in shown(pilot)
        await keys(pilot, "f12")
        assert app.screen.query_one("#filter").value == "214"  # type: ignore[attr-defined]
        assert app.screen.chosen.size.label == "AS568-214"  # type: ignore[attr-defined]
        await keys(pilot, "enter")
        assert isinstance(app.screen, ChooseJob)
        await keys(pilot, "escape", "escape", "t", "t", "t")
        assert "mesh" in shown(pilot)


def test_a_groove_says_its_row_in_both_units_and_the_shops_own_stands_for_ours() -> None:
    # The AS568 static chart in inches: under a cover a ring .139 wide sits .101 to .107 deep, .177 to .187 wide.
    ours = next(one for one in groove_rows() if (one.table, one.medium, one.series) == AS568_2)
    (row,) = [one for one in grooves.entries() if one.family == "; ".join((AS568_2[0], "static", *AS568_2[1:]))]
    assert (row.inch, row.metric) == (("0.101 to 0.107", "0.177 to 0.187"), ("2.57 to 2.72", "4.50 to 4.75"))
    told = own_grooves([OwnGrooves("AS568 handbook", "our copy", (ours._replace(depth=ours.depth.scaled(1.01)),))])
    shop = SimpleNamespace(own_sizes=lambda: SimpleNamespace(grooves=with_own(told)))
    (own,) = grooves.own_entries(shop) or ()  # type: ignore[arg-type]  # no more of a workshop is asked
    assert (own.standing, grooves.own_table(own)) == ("own", "AS568 handbook")
    assert grooves.same_groove(own) == grooves.same_groove(row)
    assert grooves.own_table(row) == ""
    assert grooves.own_entries(SimpleNamespace(own_sizes=lambda: None)) is None  # type: ignore[arg-type]


async def test_the_shops_own_classes_stand_first_and_say_so(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        workshop = app.workshop
        workshop.change(lambda session, act: fluid_rules.add_class(session, act, "ORCHARD-1", "the co-op's [b]mix"))
        await keys(pilot, "f3", "f12")
        assert "187 of 187 classes" in shown(pilot)
        line = next(line for line in shown(pilot).splitlines() if line.startswith("▸"))
        assert line.split() == ["▸", "ORCHARD-1", "the", "co-op's", "[b]mix", "own"]
        # A rule said meanwhile is there as soon as the screen comes back; in full it says whose it is.
        workshop.change(
            lambda session, act: fluid_rules.add(
                session, act, required="UTTO", offered="ORCHARD-1", kind="caution", condition="sprayers only"
            )
        )
        await keys(pilot, "f4", "f3", *"orchard", "question_mark")
        text = " ".join(shown(pilot).split())
        assert "ORCHARD-1 where UTTO is asked" in text
        assert "caution, if sprayers only." in text
        assert "this shop's own class" in text
        await keys(pilot, "escape", "f8")
        workshop.undo()
        workshop.undo()
        await keys(pilot, "f4", "f3")
        assert "186 of 186 classes" in shown(pilot)


def _still(pilot: Pilot[Any]) -> None:
    """Keep the cursor from blinking."""
    pilot.app.screen.query_one(Input).cursor_blink = False


async def _fluids(pilot: Pilot[Any]) -> None:
    await settle(pilot)
    await keys(pilot, "f3", "f12")
    await write(pilot, "dot 4")
    _still(pilot)


async def _threads(pilot: Pilot[Any]) -> None:
    await settle(pilot)
    await keys(pilot, "f3", "f12", "f12", "f12", "f12")
    await write(pilot, "m12")
    _still(pilot)


async def _in_full(pilot: Pilot[Any]) -> None:
    await _fluids(pilot)
    await keys(pilot, "question_mark")


@pytest.mark.parametrize(
    ("act", "size"), [(_fluids, (80, 24)), (_threads, (120, 40)), (_in_full, (80, 24))],
    ids=["fluids", "threads", "in-full"],
)  # fmt: skip
def test_how_the_tables_look(
    snap_compare: Any, tmp_path: Path, act: Callable[[Pilot[Any]], Awaitable[None]], size: tuple[int, int]
) -> None:
    assert snap_compare(make_app(tmp_path), terminal_size=size, run_before=act)


def test_a_groove_tells_its_figures_once() -> None:
    for one in grooves.entries():
        assert one.figures in one.facts[0].sentence
        told = reference(one, "mm").plain
        assert told.count(one.figures) == 1
