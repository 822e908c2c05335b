"""A shop's own tables of ring sizes: loaded, listed, dropped, undone, shared; a glance reads the same."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalog.orings.groove import piston
from catalog.orings.own_table import OwnRow, OwnTable, own_sizes
from catalog.orings.own_table_csv import read_own_tables
from catalog.orings.size_book import built_in
from catalog.orings.sizes import Series, by_key, load
from catalog.orings.span import span
from models import jobs, kits, machines
from models import own_sizes as own
from models.database import Workshop, open_workshop
from models.errors import AlreadyThereError, CannotUndoError, InvalidInputError, NotFoundError
from models.fits import fit_records
from models.fits.fit_question import compare
from models.glance.own_sizes import own_tables, size_book
from models.glance.shelf_rings import rings_on_shelf
from models.kitting.needs import NeedSpec
from models.storage import address
from models.storage.check import check
from models.undoing.undo import undo
from models.words import Kind
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


def test_a_kit_takes_a_ring_by_any_of_its_names_the_shop_s_own_too(workshop: Workshop) -> None:
    ours = by_key("as568:214")
    assert ours is not None
    twin = OwnRow("A-1", ours.id_mm + 0.02, ours.id_tol_mm, ours.cross_section_mm, ours.cross_section_tol_mm)
    key = "own:Press list A-1"
    with workshop.write() as session:
        own.load(session, act(), [OwnTable("Press list", "", (twin, LIST.rows[0]._replace(designation="B-1")))])
        book = own.size_book(session)
        assert own.size_book(session) is book, "worked out once for as long as the tables stay"
        assert key in book.same_rings(ours.key)
        assert ours.key in book.same_rings(key)
        ring(session, 5, size_key=key, bin_code="Box 1")
        job = jobs.open_job(session, act(), title="Reseal").job_id
        need = kits.accept_need(session, act(), job, NeedSpec(Kind.RING, 2, size_key=ours.key, rubbers=["NBR"]))
        (line,) = need.lines
        assert (line.bin_code, line.quantity, need.missing) == ("Box 1", 2, 0)
        assert "the same ring by another name" in line.reason
    # In a measured groove an own size is judged as ours are: 33.3 x 4.3 mm, squeezed by 17 %, and not squeezed at all.
    for bore, short in ((41.2, 0), (44.2, 1)):
        with workshop.write() as session:
            ring(session, 1, size_key="own:Press list B-1", bin_code="Box 2")
            groove = piston(span(34.0), span(5.9), bore=span(bore))
            spec = NeedSpec(Kind.RING, 1, size_key="own:Press list B-1", rubbers=["NBR"], groove=groove)
            assert kits.accept_need(session, act(), job, spec).missing == short
    with workshop.write() as session:
        machine = machines.add(session, act(), name="Press").machine_id
        place = machines.add_position(session, act(), machine_id=machine, name="ram").position_id
        held = fit_records.record(session, act(), place, key)
        # The same ring by its standard name is what is on record; another is asked about.
        assert compare(held, size_key=ours.key, own=book) is None
        assert compare(held, size_key="as568:215", own=book) is not None
