"""A workshop with rows in every table, and the same workshop as an earlier version of the program left it."""

from __future__ import annotations

import shutil
import tempfile
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, inspect, select, text
from sqlalchemy import Table as Listing

from catalog.fluids.fill import US_QUART
from catalog.orings.groove import Motion
from catalog.orings.joints import PortSeal
from catalog.orings.own_groove import OwnGrooves
from catalog.orings.own_port import OwnPorts, PortRow
from catalog.orings.own_table import OwnRow, OwnTable
from catalog.orings.ran import Outcome
from catalog.orings.span import between
from catalog.orings.standard_grooves import GrooveRow
from catalog.orings.would_do import WouldDo
from catalog.standing import Standing
from models import fluid_rules, jobs, kits, machines, notes, own_grooves, own_ports, own_sizes, shelf
from models.database import Session, Workshop
from models.demo import orchard
from models.fits import fit_records, how_it_went
from models.fits.fit_csv import from_csv, to_csv
from models.fits.fit_import import import_fits
from models.inventory import bar_codes, bins, items
from models.kits import NeedSpec
from models.kitting import fluid_tally, sealing
from models.orders.booking import accept, call_off, place
from models.orders.planning import gather, work_out
from models.orders.receiving import Came, receive
from models.pictures import keeping
from models.search import index
from models.search.terms import indexed, with_grams
from models.storage import postgresql, sqlite, upgrade
from models.storage.upgrade import CURRENT
from models.supplier_lists import suppliers
from models.supplier_lists.proposal import propose
from models.supplier_lists.source import open_source
from models.tables import Filled, Table
from models.undoing.undo import undo
from models.upkeep.named import What
from models.upkeep.retire import retire
from models.words import Kind
from tests.models.a_picture import a_picture
from tests.models.orders.buying import ON, rings, short_job
from tests.models.shop import act, ring
from tests.models.supplier_lists.lists import take_over, written
from tests.models.test_qualify import GROOVE, HEAD

Rows = dict[str, list[dict[str, Any]]]
"""Rows by table, each by its columns, in the order of their keys."""

LISTED = ("R214,O-RING AS568-214 HNBR 70,0.50,1", "R116,O-RING AS568-116 NBR 70,0.20,1", "OLD,Taken off,1.00,1")
WORDS = ("list_rows", "words")
"""The one column each database writes in its own form."""
OWN_GROOVE = GrooveRow(
    "Orchard grooves", "radial", (Motion.STATIC,), "oil", "all", 4.3, 0.1, between(3.5, 3.6), between(5.8, 6.0),
    7.5, 9.0, 0.2, (0.6, 0.9), None, "", Standing.SHOP, "invented",
)  # fmt: skip
OWN_PORT = PortRow("M14x1.5", PortSeal.CHAMFER, ring_mm=(11.5, 0.2, 2.2, 0.08), chamfer_deg=15.0, note="invented")


def every_table(folder: Path) -> Workshop:
    """The demo, and what else it takes to have rows in every table there is. The caller closes it."""
    workshop = orchard.open_demo(folder / "full.sqlite3")
    with workshop.write() as session:
        tractor = machines.listed(session)[0].machine_id
        number = jobs.open_job(
            session, act(), title="Everything", machine_id=tractor, meter_hundredths_h=123_450
        ).job_id
        spec = NeedSpec(
            Kind.RING, 2, size_key="as568:222", equivalents=["jis:P39"], rubbers=["NBR"], groove=GROOVE, seals=0.97,
            would_do=[WouldDo("jis:P38", 0.93, "goes where AS568-222 was")],
        )  # fmt: skip
        need = kits.add_need(session, act(), number, spec)
        kits.pin(session, act(), need.need_id, ring(session, 5, size_key="as568:222", bin_code="Pinned").stock_id)
        kits.add_need(session, act(), number, NeedSpec(Kind.FILTER, spec_class="return", housing=HEAD))
        oil = NeedSpec(Kind.FLUID, spec_class="UTTO", spec_grade="10W-30", low_ul=9_000_000, full_ul=10_000_000)
        oil_id = kits.add_need(session, act(), number, oil).need_id
        fluid_tally.note(session, act(), oil_id, Filled.POURED, Fraction(6 * US_QUART), "6 qt")
        _seal(session, number)
        drum = items.page(session, "UTTO", kind=Kind.FLUID).rows[0]
        bar_codes.tie(session, act(), "2012345678903", drum.item_id)
        fluid_rules.add(session, act(), required="UTTO", offered="ORCHARD-1", kind="caution", condition="sprayers only")
        fluid_rules.add_class(session, act(), "ORCHARD-1", "what the co-op mixes itself")
        fitted = fit_records.all_holding(session)[0].position_id
        how_it_went.say(session, act(), fitted, Outcome.WEPT)
        machines.set_meets(session, act(), fitted, fluid="UTTO", hottest_c=110)
        own_sizes.load(session, act(), [OwnTable("Orchard list", "invented", (OwnRow("7", 33.3, 0.3, 4.3, 0.12),))])
        own_ports.load(session, act(), [OwnPorts("Orchard ports", "invented", (OWN_PORT,))])
        own_grooves.load(session, act(), [OwnGrooves("Orchard grooves", "invented", (OWN_GROOVE,))])
        _pictured(session, {"item": drum.item_id, "bin": 1, "machine": tractor, "position": fitted})
        _gone(session)
        theirs = to_csv(fit_records.all_holding(session)).replace("Orchard tractor 3", "Tractor of another shop")
        import_fits(session, act(), from_csv(theirs).fits)
        supplier_id = suppliers.add(session, act(), name="Third (invented)", currency="EUR", lead_days=2).supplier_id
    file = written(folder / "first.csv", LISTED)
    with workshop.write() as session:
        suppliers.remember_layout(session, act(), supplier_id, propose(open_source(file)).layout)
    with workshop.write() as session:
        suppliers.set_terms(session, act(), supplier_id, freight_minor=490, language="de")
    take_over(workshop, supplier_id, file)
    take_over(workshop, supplier_id, written(folder / "second.csv", [LISTED[0].replace("0.50", "0.55"), LISTED[1]]))
    _order(workshop)
    return workshop


def _pictured(session: Session, of: dict[str, int]) -> None:
    """A picture of one of each; the bin's was replaced since."""
    for what, number in of.items():
        keeping.add(session, act(), notes.What(what), number, a_picture())
    keeping.add(session, act(), notes.What.BIN, of["bin"], a_picture("navy"))


def _gone(session: Session) -> None:
    """An item and a bin whose adding was taken back; one of each kind that is retired."""
    added, placed = act(), act()
    items.add(session, added, kind=Kind.CONSUMABLE, name="Added by mistake")
    bins.add(session, placed, code="Added by mistake")
    undo(session, act(), added.key)
    undo(session, act(), placed.key)
    for what, number in (
        (What.ITEM, items.add(session, act(), kind=Kind.CONSUMABLE, name="Used no more").item_id),
        (What.BIN, bins.add(session, act(), code="Used no more").bin_id),
        (What.MACHINE, machines.add(session, act(), name="Sold").machine_id),
        (What.SUPPLIER, suppliers.add(session, act(), name="Closed (invented)", currency="EUR").supplier_id),
    ):
        retire(session, act(), what, number)


def _seal(session: Session, number: int) -> None:
    """A joint sealed once and sealed again."""
    tube = items.add(session, act(), kind=Kind.SEALANT, name="Gasket maker", spec_class="gasket maker", cure_minutes=90)
    place = bins.add(session, act(), code="Sealed").bin_id
    stock = shelf.receive(session, act(), item_id=tube.item_id, bin_id=place, quantity=1)
    need = kits.add_need(session, act(), number, NeedSpec(Kind.SEALANT, spec_class="gasket maker", title="cover"))
    line = kits.pin(session, act(), need.need_id, stock.stock_id).needs[-1].lines[0]
    kits.pick(session, act(), [line.line_id or 0])
    for _ in range(2):
        sealing.note(session, act(), need.need_id)


def _order(workshop: Workshop) -> None:
    """An order that came in part, one delivery undone, the rest called off."""
    with workshop.write() as session:
        job_id = short_job(session, rings(900))
    with workshop.read() as session:
        planned = work_out(gather(session, ON, job_ids=[job_id], reorder=False))
    with workshop.write() as session:
        orders = accept(session, act(), planned, looked_at=True)
        order = place(session, act(), [one.order_id for one in orders])[0]
        receive(session, act(), order.order_id, [Came(order.lines[0].line_id, 1, "Came")])
        receive(session, act(key="undone"), order.order_id, [Came(order.lines[0].line_id, 1, "Came")])
        undo(session, act(), "undone")
        call_off(session, act(), order.order_id)


@cache
def _kept() -> tempfile.TemporaryDirectory[str]:
    folder = tempfile.TemporaryDirectory(prefix="kitwright-full-")
    every_table(Path(folder.name)).close()
    return folder


def full_copy(file: Path) -> Path:
    """Such a workshop as a file, closed: made once a run, and copied."""
    return Path(shutil.copy(Path(_kept().name) / "full.sqlite3", file))


@cache
def full_rows() -> Rows:
    """The rows of such a workshop."""
    made = engine(str(Path(_kept().name) / "full.sqlite3"))
    with made.begin() as connection:
        rows = everything(connection)
    made.dispose()
    return rows


def engine(where: str) -> Engine:
    """An engine on a file or an address, below the models' own opening."""
    return postgresql.engine(where) if postgresql.is_address(where) else sqlite.engine(Path(where))


def make_earlier(where: str, revision: str = CURRENT.head) -> Rows:
    """Bring an empty database up to a revision by its steps and fill every table it has; answers with what it holds.

    A column that came later is left out, as that version of the program would have.
    """
    full, made = full_rows(), engine(where)
    with made.begin() as connection:
        upgrade.to_head(connection, CURRENT._replace(head=revision))
        there = inspect(connection)
        names = set(there.get_table_names())
        held: Rows = {}
        for table in (one for one in Table.metadata.sorted_tables if one.name in names):
            columns = {column["name"] for column in there.get_columns(table.name)}
            held[table.name] = [
                {name: value for name, value in row.items() if name in columns} for row in full[table.name]
            ]
            if held[table.name]:
                _insert(connection, table, held[table.name])
        if connection.dialect.name == "postgresql":
            _count_on(connection, held)
        else:
            for statement in index.fill_again():
                connection.exec_driver_sql(statement)
    made.dispose()
    return held


def _insert(connection: Connection, table: Listing, rows: list[dict[str, Any]]) -> None:
    if table.name == WORDS[0]:
        rows = [{**row, "words": _words(connection, row)} for row in rows]
    connection.execute(table.insert(), rows)


def _words(connection: Connection, row: dict[str, Any]) -> str | None:
    words = indexed(row["number"], row["name"])
    if connection.dialect.name != "postgresql":
        return words
    return with_grams(words, row["compact"]) if row["withdrawn_list_id"] is None else None


def _count_on(connection: Connection, held: Rows) -> None:
    """The next rows are numbered from where these end."""
    for name, rows in held.items():
        if rows and "id" in rows[0]:
            last = max(row["id"] for row in rows)
            connection.execute(text(f"SELECT setval(pg_get_serial_sequence('{name}', 'id'), {last})"))


def everything(connection: Connection, like: Rows | None = None) -> Rows:
    """Every row of every table; `like`: only the tables and columns there are in it."""
    found: Rows = {}
    for table in Table.metadata.sorted_tables:
        if index.is_made_here(table.name) or (like is not None and table.name not in like):
            continue
        rows = connection.execute(select(table).order_by(*table.primary_key.columns)).mappings()
        columns = set(like[table.name][0]) if like is not None and like[table.name] else set(table.columns.keys())
        found[table.name] = [{name: row[name] for name in row if name in columns} for row in rows]
    return found


def plain(rows: Rows) -> Rows:
    """The rows without the one column that each database writes in its own form."""
    return {
        name: [{key: value for key, value in row.items() if (name, key) != WORDS} for row in each]
        for name, each in rows.items()
    }
