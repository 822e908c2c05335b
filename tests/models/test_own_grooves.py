"""A shop's own tables of grooves: loaded, listed, dropped, undone, shared; a glance sees the same."""

from __future__ import annotations

import pytest

from catalog.orings.groove import Motion
from catalog.orings.groove_book import built_in
from catalog.orings.joints import PortSeal
from catalog.orings.own_groove import OwnGrooves
from catalog.orings.own_groove_csv import read_own_grooves
from catalog.orings.own_port import OwnPorts, PortRow
from catalog.orings.size_book import built_in as sizes_built_in
from catalog.orings.span import between
from catalog.orings.standard_grooves import GrooveRow
from catalog.standing import Standing
from models import own_grooves as own
from models import own_ports, own_rows, own_sizes
from models.database import Workshop, open_workshop
from models.errors import AlreadyThereError, CannotUndoError, InvalidInputError
from models.glance import own_sizes as seen_sizes
from models.glance.own_grooves import groove_book, own_groove_tables
from models.storage import address
from models.storage.check import check
from models.undoing.undo import undo
from tests.models.shop import act

PLAIN = GrooveRow(
    "Press list", "radial", (Motion.STATIC,), "", "", 3.53, None, between(2.9, 2.95), between(4.8, 4.9), None, None,
    None, None, None, "", Standing.SHOP, "",
)  # fmt: skip
FULL = PLAIN._replace(
    motions=(Motion.STATIC, Motion.PNEUMATIC), medium="air", series="-201..-284", section_tol_mm=0.1,
    width_one_backup_mm=6.5, width_two_backups_mm=8.0, clearance_max_mm=0.12, printed_squeeze_mm=(0.48, 0.73),
    note="invented",
)  # fmt: skip
FACE = PLAIN._replace(use="face", section_mm=2.62, depth=between(2.0, 2.05), width=between(3.6, 3.8))
LIST = OwnGrooves("Press list", "list 7", (PLAIN, FULL, FACE))
OTHER = OwnGrooves("Pump", "", (PLAIN._replace(table="Pump", section_mm=4.1, depth=between(3.4, 3.5)),))


def test_tables_are_loaded_listed_dropped_and_undone(where: str) -> None:
    workshop = open_workshop(where)
    place = address.named(where)
    assert groove_book(place) is built_in()
    assert seen_sizes.size_book(place) is sizes_built_in()
    first, gone = act("tess"), act()
    with workshop.write() as session:
        loaded = own.load(session, first, [LIST, OTHER])
        assert own.load(session, first, [LIST, OTHER]) == loaded, "the same key does it once only"
    assert [(one.table, one.who, one.confirms, one.corrects, one.new) for one in loaded.tables] == [
        (LIST, "tess", 0, 0, 3),
        (OTHER, "tess", 0, 0, 1),
    ]
    with workshop.read() as session:
        assert own.tables(session) == (LIST, OTHER) == own_groove_tables(place)
        assert own.groove_book(session) is own.groove_book(session), "worked out once for as long as the tables stay"
        assert own.groove_book(session).own == groove_book(place).own
        seen, asked = seen_sizes.size_book(place), own_sizes.size_book(session)
        assert seen.grooves is not None
        assert asked.grooves is not None
        assert seen.grooves.rows == asked.grooves.rows
        assert seen_sizes.size_book(place) is seen, "and the sizes with them"
    with pytest.raises(AlreadyThereError, match="another table “PUMP” already"), workshop.write() as session:
        own.load(session, act(), [OTHER._replace(title="PUMP", source="x")])
    with workshop.write() as session:
        assert own.drop(session, gone, "press LIST") == LIST
        assert own.tables(session) == (OTHER,)
    with pytest.raises(CannotUndoError, match="dropped since"), workshop.write() as session:
        undo(session, act(), first.key)
    with workshop.write() as session:
        undo(session, act(), gone.key)
        assert own.tables(session) == (OTHER, LIST) or own.tables(session) == (LIST, OTHER)
        undo(session, act(), first.key)
        assert own.tables(session) == ()
    with workshop.read() as session:
        assert check(session).findings == ()
    workshop.close()


def test_the_ring_s_book_knows_which_rings_the_shop_s_ports_take(where: str) -> None:
    workshop = open_workshop(where)
    port = PortRow("M14x1.5", PortSeal.CHAMFER, ring_key="as568:112")
    with workshop.write() as session:
        own_ports.load(session, act(), [OwnPorts("Valve list", "", (port,))])
    with workshop.read() as session:
        for book in (own_sizes.size_book(session), seen_sizes.size_book(address.named(where))):
            assert book.grooves is not None
            assert book.grooves.port_keys == {"as568:112"}
            assert book.grooves.own == ()
    workshop.close()


def test_what_goes_out_comes_in_unchanged_and_no_cell_runs_as_a_formula() -> None:
    odd = OwnGrooves("=1+1", "@source", (FULL._replace(table="=1+1", note="-7 to +7"),))
    text = own.to_csv([LIST, odd])
    assert not any(cell.startswith(("=", "-", "@")) for line in text.splitlines() for cell in line.split(","))
    assert read_own_grooves(own_rows.as_typed(text)) == (LIST, odd)


def test_words_are_those_a_column_can_hold(workshop: Workshop) -> None:
    for wrong in (PLAIN._replace(note="x" * 301), PLAIN._replace(medium="two\nlines")):
        with workshop.write() as session, pytest.raises(InvalidInputError):
            own.load(session, act(), [OwnGrooves("Wrong", "", (wrong,))])
