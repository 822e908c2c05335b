"""A shop's own tables of ports: loaded, listed, dropped, undone, shared; a glance reads the same."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlalchemy import event

from catalog.orings.joints import PortSeal
from catalog.orings.own_port import OwnPorts, PortRow
from catalog.orings.own_port_csv import read_own_ports
from catalog.orings.port_book import built_in
from models import own_ports as own
from models import own_rows
from models.database import Workshop, open_workshop
from models.errors import AlreadyThereError, CannotUndoError, InvalidInputError, NotFoundError
from models.glance.own_ports import own_port_tables, port_book
from models.storage import address
from models.storage.check import check
from models.undoing.undo import undo
from tests.models.shop import act

BOUGHT = OwnPorts(
    "ISO 6149-1",
    "2017",
    (
        PortRow("M12x1.5", PortSeal.CHAMFER, ring_mm=(9.4, 0.2, 2.2, 0.08), chamfer_deg=15.0),
        PortRow("M14x1.5", PortSeal.CHAMFER, ring_mm=(11.3, 0.2, 2.2, 0.08)),
    ),
)
LIST = OwnPorts(
    "Valve list",
    "",
    (
        PortRow("7/16-20", PortSeal.CHAMFER, ring_key="as568:904", plug="cap of the spool", note="invented"),
        PortRow("M18x1.5", PortSeal.CONE_24, "DIN 2353", "12 mm L"),
        PortRow("G 1/4", PortSeal.CONE_24_RING, tube="3/8", ring_key="jis:P9", ring_sits="on the nose"),
    ),
)


def test_tables_are_loaded_listed_dropped_and_undone(where: str) -> None:
    workshop = open_workshop(where)
    place = address.named(where)
    assert port_book(place) is built_in()
    first, gone = act("tess"), act()
    with workshop.write() as session:
        loaded = own.load(session, first, [BOUGHT, LIST])
        assert own.load(session, first, [BOUGHT, LIST]) == loaded, "the same key does it once only"
    assert [(one.table, one.who, one.confirms, one.corrects, one.new) for one in loaded.tables] == [
        (BOUGHT, "tess", 1, 1, 0),
        (LIST, "tess", 1, 0, 2),
    ]
    with workshop.read() as session:
        assert own.tables(session) == (BOUGHT, LIST) == own_port_tables(place)
        assert own.port_book(session) is own.port_book(session), "worked out once for as long as the tables stay"
        assert own.port_book(session).own == port_book(place).own
        assert own.listed(session) == loaded.tables
        assert own.corrections(session, [BOUGHT]) == (), "what is loaded word for word corrects nothing anew"
    with workshop.write() as session:
        assert own.load(session, act(), [LIST]) == own.Loaded((), ("Valve list",))
    with pytest.raises(AlreadyThereError, match="another table “valve LIST” already"), workshop.write() as session:
        own.load(session, act(), [LIST._replace(title="valve LIST", source="list 8")])
    with workshop.write() as session:
        assert own.drop(session, gone, "valve list") == LIST
        assert own.drop(session, gone, "valve list") == LIST
        assert own.tables(session) == (BOUGHT,)
    with pytest.raises(NotFoundError, match="It has “ISO 6149-1”"), workshop.write() as session:
        own.drop(session, act(), "Valve list")
    with pytest.raises(CannotUndoError, match="dropped since"), workshop.write() as session:
        undo(session, act(), first.key)
    with workshop.write() as session:
        undo(session, act(), gone.key)
        assert own.tables(session) == (BOUGHT, LIST)
        undo(session, act(), first.key)
        assert own.tables(session) == ()
    with workshop.read() as session:
        assert check(session).findings == ()
    workshop.close()


def test_what_goes_out_comes_in_unchanged_and_no_cell_runs_as_a_formula() -> None:
    odd = OwnPorts("=1+1", "@source, with a comma", (LIST.rows[0]._replace(note="-7 to +7"), *LIST.rows[1:]))
    text = own.to_csv([BOUGHT, odd])
    assert not any(cell.startswith(("=", "-", "@")) for line in text.splitlines() for cell in line.split(","))
    assert read_own_ports(own_rows.as_typed(text)) == (BOUGHT, odd)


def test_a_shop_has_only_so_many_rows_and_its_words_are_those_a_column_can_hold(workshop: Workshop) -> None:
    row = BOUGHT.rows[0]
    with workshop.write() as session, pytest.raises(InvalidInputError, match="more than 20,000 rows"):
        own.load(session, act(), [OwnPorts("Huge", "", (row,) * (own_rows.MOST + 1))])
    for wrong in (row._replace(note="x" * 301), row._replace(plug="two\nlines"), row._replace(thread="")):
        with workshop.write() as session, pytest.raises(InvalidInputError):
            own.load(session, act(), [OwnPorts("Wrong", "", (wrong,))])


def test_a_large_table_is_read_by_as_few_statements_as_a_small_one(tmp_path: Path) -> None:
    counted = []
    for many in (5, 50):
        workshop = open_workshop(tmp_path / f"{many}.sqlite3")
        rows = tuple(PortRow("M14x1.5", PortSeal.CONE_60, plug=f"nose {number}") for number in range(many))
        with workshop.write() as session:
            own.load(session, act(), [OwnPorts("Noses", "", rows)])
        with workshop.read() as session:
            said: list[str] = []
            event.listen(session.get_bind(), "before_cursor_execute", lambda *given, said=said: said.append(given[2]))
            assert len(own.listed(session)[0].table.rows) == many
            assert len(own.port_book(session).own) == many
        counted.append(len(said))
        workshop.close()
    assert counted[0] == counted[1]
