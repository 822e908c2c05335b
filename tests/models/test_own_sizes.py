"""A shop's own tables of ring sizes: loaded, listed, dropped, undone, shared; a glance reads the same."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalog.orings.own_table import OwnRow, OwnTable, own_sizes
from catalog.orings.own_table_csv import read_own_tables
from catalog.orings.size_book import built_in
from catalog.orings.sizes import Series, load
from models import own_sizes as own
from models.database import open_workshop
from models.errors import AlreadyThereError, CannotUndoError, InvalidInputError, NotFoundError
from models.glance.own_sizes import own_tables, size_book
from models.glance.shelf_rings import rings_on_shelf
from models.storage import address
from models.storage.check import check
from models.undoing.undo import undo
from tests.models.shop import act, ring

LIST = OwnTable(
    "Maker list",
    "list 7",
    (OwnRow("X7", 33.3, 0.3, 4.3, 0.12), OwnRow("X8", 34.3, 0.3, 4.3, 0.12), OwnRow("25x3.55", 25.0, 0.3, 3.55, 0.1)),
)
BOUGHT = OwnTable("jis", "bought", (OwnRow("V950", 944.0, 6.0, 10.0, 0.3),))
INCH = OwnTable("Inch list", "", (OwnRow("1", 0.984 * 25.4, 0.254, 0.139 * 25.4, 0.1016),))


def test_tables_are_loaded_listed_dropped_and_undone(where: str) -> None:
    workshop = open_workshop(where)
    first, gone = act("tess"), act()
    with workshop.write() as session:
        loaded = own.load(session, first, [LIST, BOUGHT])
        # The same key does it once only.
        assert own.load(session, first, [LIST, BOUGHT]) == loaded
    assert [(one.table, one.who, one.confirms, one.corrects, one.new) for one in loaded.tables] == [
        (LIST, "tess", 1, 0, 2),
        (BOUGHT, "tess", 0, 1, 0),
    ]
    with workshop.read() as session:
        assert own.tables(session) == (LIST, BOUGHT)
        assert own.listed(session) == loaded.tables
    with workshop.write() as session:
        assert own.load(session, act(), [LIST]) == own.Loaded((), ("Maker list",))
    with pytest.raises(AlreadyThereError, match="another table “Maker List” already"), workshop.write() as session:
        own.load(session, act(), [LIST._replace(title="Maker List", source="list 8")])
    with workshop.write() as session:
        assert own.drop(session, gone, "maker LIST") == LIST
        assert own.drop(session, gone, "maker LIST") == LIST
        assert own.tables(session) == (BOUGHT,)
    with pytest.raises(NotFoundError, match="It has “jis”"), workshop.write() as session:
        own.drop(session, act(), "Maker list")
    with pytest.raises(CannotUndoError, match="dropped since"), workshop.write() as session:
        undo(session, act(), first.key)
    with workshop.write() as session:
        undo(session, act(), gone.key)
        assert own.tables(session) == (LIST, BOUGHT)
    with workshop.write() as session:
        undo(session, act(), first.key)
        assert own.tables(session) == ()
        own.load(session, act(key="again"), [LIST])
        own.drop(session, act(key="dropped"), LIST.title)
        own.load(session, act(), [LIST._replace(rows=LIST.rows[:1])])
    with pytest.raises(CannotUndoError, match="another table “Maker list” now"), workshop.write() as session:
        undo(session, act(), "dropped")
    with workshop.read() as session:
        assert check(session).findings == ()
    workshop.close()


def test_a_glance_tells_the_same_as_the_ordinary_way(where: str) -> None:
    workshop = open_workshop(where)
    place = address.named(where)
    assert own_tables(place) == ()
    assert size_book(place) is built_in()
    with workshop.write() as session:
        own.load(session, act(), [LIST, BOUGHT, INCH])
        own.load(session, act(key="gone"), [LIST._replace(title="Gone")])
        own.drop(session, act(), "Gone")
        ring(session, 5, size_key="own:Maker list X7", bin_code="Box 1")
        ring(session, 5, size_key="own:Gone X7", bin_code="Box 2")
    with workshop.read() as session:
        assert own_tables(place) == own.tables(session) == (LIST, BOUGHT, read_own_tables(own.to_csv([INCH]))[0])
        assert size_book(place).own == own.size_book(session).own
    # The shelf knows the dimensions of an own ring from its table; a dropped one has none.
    found = rings_on_shelf(place) or ()
    assert [(one.bin, one.inner_mm, one.section_mm) for one in found] == [("Box 1", 33.3, 4.3), ("Box 2", None, None)]
    workshop.close()


def test_no_two_sizes_go_by_one_name(tmp_path: Path) -> None:
    workshop = open_workshop(tmp_path / "own.sqlite3")
    row = LIST.rows[0]
    with workshop.write() as session:
        own.load(session, act(), [OwnTable("Press", "", (row._replace(designation="list 7"),))])
        with pytest.raises(InvalidInputError, match="a size of “Press” and of “Press list”"):
            own.load(session, act(), [OwnTable("Press list", "", (row._replace(designation="7"),))])
    workshop.close()


def test_what_goes_out_comes_in_unchanged_and_no_cell_runs_as_a_formula() -> None:
    odd = OwnTable("=1+1", "@source, with a comma", (LIST.rows[0]._replace(designation="-7"), LIST.rows[1]))
    text = own.to_csv([LIST, odd])
    assert not any(cell.startswith(("=", "-", "@")) for line in text.splitlines() for cell in line.split(","))
    assert read_own_tables(own.as_typed(text)) == (LIST, odd)


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(st.sampled_from(load(Series.AS568)), st.floats(0.5, 900.0), st.floats(0.4, 29.0))
def test_lengths_are_kept_to_a_tenth_of_a_micrometre(ours: object, id_mm: float, width_mm: float) -> None:
    row = OwnRow("1", round(id_mm, 4), 0.1, round(width_mm, 4), 0.1)
    kept = own._table([own._row(1, OwnTable("T", "", (row,)), row)])
    assert kept.rows == (row,)
    exact = OwnRow("2", *ours[2:6])  # type: ignore[index]
    assert own._table([own._row(1, OwnTable("T", "", (exact,)), exact)]).rows == (exact,)


def test_every_row_of_ours_could_be_corrected_at_once() -> None:
    tables = [
        OwnTable(series.value, "", tuple(OwnRow(one.designation, one.id_mm + 0.01, *one[3:6]) for one in load(series)))
        for series in (Series.AS568, Series.JIS)
    ]
    assert {one.key for one in own_sizes(tables)} == {
        one.key for series in (Series.AS568, Series.JIS) for one in load(series)
    }
