"""A glance gives what the ordinary way gives: on the demo, on an invented shop, and on shelves made up at random."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlmodel import col, select

from catalog.orings.groove import piston
from catalog.orings.on_record import RecordedFit
from catalog.orings.on_shelf import ShelfRing
from catalog.orings.ran import Outcome
from catalog.orings.sizes import by_key
from catalog.orings.span import span
from models import jobs, machines, shelf
from models.database import Session, Workshop, open_workshop
from models.demo import orchard
from models.fits import fit_records, how_it_went
from models.fits.fit_csv import from_csv, to_csv
from models.fits.fit_import import import_fits
from models.glance.first_rows import first_rows
from models.glance.fits import fits_on_record
from models.glance.found import first_found
from models.glance.jobs import open_jobs
from models.glance.shelf_rings import FEW, rings_on_shelf
from models.glance.shorts import first_shorts
from models.inventory import bins, items, reorder_rules
from models.kitting.progress import progress_of
from models.orders import booking, receiving
from models.orders.progress import on_order
from models.orders.short_rows import Short, for_need
from models.orders.shorts import short_lines
from models.search import searching
from models.stock_rows import StockPage
from models.storage import address
from models.tables import Item, Need
from models.undoing.undo import undo
from models.words import Kind
from tests.bench.workshop import SIZES, build
from tests.models.orders.buying import FIRST, oil, ordered, rings, short_job, supplier
from tests.models.orders.buying import ON as BUYING
from tests.models.shop import act, ring
from tui.workshop import MOST_ROWS

SMALL = SIZES[0]
"""A tenth of the invented shop: 3,000 rows of stock, more than one page has."""


def _ordinary(session: Session, limit: int = MOST_ROWS) -> StockPage:
    return shelf.stock_rows(session, limit=limit)


def _dims(key: str) -> tuple[float | None, float | None]:
    size = by_key(key)
    return (size.id_mm, size.cross_section_mm) if size else (None, None)


def _ring_rows(session: Session) -> tuple[ShelfRing, ...]:
    """What the rings on the shelf are by the ordinary way: every row of the shelf, one by one."""
    page = _ordinary(session, 10**9)
    hard = dict(session.exec(select(Item.id, Item.hardness_shore_a).where(col(Item.kind) == Kind.RING)).all())
    found = []
    for row in page.rows:
        if row.kind is Kind.RING and row.on_hand > 0:
            assert row.size_key is not None
            inner, section = _dims(row.size_key)
            parts = row.size_key.split(":", 1)
            found.append(
                ShelfRing(parts[0], parts[1], inner, section, row.rubber, hard[row.item_id], row.bin_code, row.free,
                          row.item_id, row.expires_on)
            )  # fmt: skip
    return tuple(found)


def _fit_rows(session: Session) -> tuple[RecordedFit, ...]:
    """The fits that stand by the ordinary way: every position's history, machine by machine."""
    found = []
    for machine in sorted(machines.listed(session), key=lambda one: one.name):
        for position in sorted(machines.positions(session, machine.machine_id), key=lambda one: one.name):
            for at, fit in enumerate(fit_records.history(session, position.position_id)):
                inner, section = _dims(fit.size_key)
                parts = fit.size_key.split(":", 1)
                found.append(
                    RecordedFit(fit.machine_name, fit.position_name, parts[0], parts[1], inner, section, fit.rubber,
                                fit.hardness_shore_a, fit.at.date(), at == 0,
                                fit.went.outcome if fit.went else None, fit.went.at.date() if fit.went else None,
                                fit.groove)
                )  # fmt: skip
    return tuple(found)


def _written_short(session: Session, on: date, *, by_date: bool) -> tuple[Short, ...]:
    """What is short by the ordinary way before it looks at the shelf: only of needs that were looked for."""
    coming, listed = on_order(session), []
    for job in jobs.listed(session, limit=10**9):
        needs = session.exec(
            select(Need).where(Need.job_id == job.job_id, col(Need.withdrawn_at).is_(None)).order_by(col(Need.id))
        ).all()
        standing = progress_of(session, needs)
        for need in needs:
            key = need.id or 0
            waits = coming.for_needs.get(key, 0)
            if need.looked_for_at is not None and (lacks := standing[key].lacks(waits)):
                place = job.job_id, job.title, job.due_on
                listed.append(for_need(key, place, need.title, need.kind, lacks, waits, on, by_date=by_date))
    low = (one.short for one in short_lines(session, [], on))
    return (*listed, *(one._replace(note="") for one in low))


def _all_the_same(workshop: Workshop, where: str) -> None:
    place = address.named(where)
    with workshop.read() as session:
        for limit in (1, 7, MOST_ROWS):
            assert first_rows(place, limit) == _ordinary(session, limit)
            assert open_jobs(place, limit) == jobs.listed(session, limit=limit)
            assert first_found(place, limit) == searching.search(session, "", limit=limit)
        rings = _ring_rows(session)
        assert rings_on_shelf(place) == rings
        sizes = sorted({one.key for one in rings})
        for some in (sizes[::3], sizes[:1], [], ["as568:nothing", "own:'); --"], [*sizes, *map(str, range(FEW))]):
            assert rings_on_shelf(place, some) == tuple(one for one in rings if one.key in some)
        assert fits_on_record(place) == _fit_rows(session)
        for by_date in (True, False):
            for on in (date(2026, 3, 2), date(2027, 1, 1)):
                assert first_shorts(place, on, by_date=by_date) == _written_short(session, on, by_date=by_date)


def test_of_the_demo(workshop: Workshop, where: str) -> None:
    with workshop.write() as session:
        orchard.fill(session)
    _all_the_same(workshop, where)
    rings, fits = rings_on_shelf(address.named(where)), fits_on_record(address.named(where))
    assert rings
    assert fits
    assert any(one.has_expired(date(2026, 3, 2)) for one in rings)
    assert any(one.free < 1 for one in rings)
    assert {one.holds for one in fits} == {True, False}


@pytest.fixture
def invented(workshop: Workshop, tmp_path: Path) -> Workshop:
    build(workshop, SMALL, tmp_path)
    return workshop


def test_of_an_invented_shop(invented: Workshop, where: str) -> None:
    _all_the_same(invented, where)
    page = first_rows(address.named(where), MOST_ROWS)
    assert page is not None
    assert len(page.rows) == MOST_ROWS < page.total


def test_of_the_shop_s_own_rings_and_taken_back_fits(workshop: Workshop, where: str) -> None:
    place = address.named(where)
    with workshop.write() as session:
        ring(session, 4, size_key="own:A-1", rubber="", hardness=None, bin_code="Ä 1")
        gone = ring(session, 2, size_key="jis:P22", bin_code="ä 0", lot="L1", expires_on=date(2030, 2, 28))
        shelf.use(session, act(), stock_id=gone.stock_id, quantity=2)
        machine = machines.add(session, act(), name="Press").machine_id
        ram, gland = (
            machines.add_position(session, act(), machine_id=machine, name=name, takes=Kind.RING).position_id
            for name in ("ram", "gland")
        )
        fit_records.record(session, act(), ram, "as568:214", rubber="NBR")
        fit_records.record(session, act(key="wrong"), ram, "own:A-1")
        fit_records.record(
            session,
            act(),
            gland,
            "as568:214",
            rubber="FKM",
            hardness_shore_a=75,
            groove=piston(span(25.0, 0.05), span(4.8), bore=span(31.0, 0.05)),
        )
        how_it_went.say(session, act(), gland, Outcome.LEAKED)
        how_it_went.say(session, act(), ram, Outcome.DRY)
        undo(session, act(), "wrong")
    _all_the_same(workshop, where)
    (own,) = rings_on_shelf(place) or ()
    assert (own.key, own.inner_mm, own.section_mm, own.free) == ("own:A-1", None, None, 4)
    assert [(one.position, one.holds) for one in fits_on_record(place) or ()] == [("gland", True), ("ram", True)]
    assert [one.elastomer for one in fits_on_record(place, size_key="as568:214") or ()] == ["FKM", "NBR"]
    assert [one.elastomer for one in fits_on_record(place, machine="Press", position="ram") or ()] == ["NBR"]
    assert fits_on_record(place, machine="Pres") == ()


def test_an_imported_fit_has_the_day_of_the_shop_it_came_from(workshop: Workshop, where: str, tmp_path: Path) -> None:
    there = open_workshop(tmp_path / "there.sqlite3")
    with there.write() as session:
        orchard.fill(session)
        text = to_csv(fit_records.all_holding(session))
        known = _fit_rows(session)
    there.close()
    with workshop.write() as session:
        import_fits(session, act(), from_csv(text).fits)
    _all_the_same(workshop, where)
    days = {(one.machine, one.position): one.day for one in known if one.holds}
    assert {(one.machine, one.position): one.day for one in fits_on_record(address.named(where)) or ()} == days


WORDS = st.text("aAbBäÄ ß-1%_", min_size=1, max_size=6).filter(str.strip)
ROWS = st.lists(
    st.tuples(
        st.sampled_from(["ring", "fluid", "rags"]), WORDS, WORDS, st.integers(1, 9), st.booleans(), st.dates()
    ),
    max_size=8,
)  # fmt: skip


@pytest.fixture
def shelves(where: str) -> Iterator[tuple[Workshop, str]]:
    opened = open_workshop(where)
    yield opened, where
    opened.close()


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(ROWS)
def test_of_any_shelf(shelves: tuple[Workshop, str], rows: list[tuple[str, str, str, int, bool, date]]) -> None:
    """Each example lays more on the same shelf."""
    workshop, where = shelves
    with workshop.write() as session:
        for what, name, code, quantity, in_lot, day in rows:
            place = bins.named(session, code) or bins.add(session, act(), code=code)
            said = f"{what} {name}".strip()
            known = next((one for one in items.page(session, limit=10**6).rows if one.name == said), None)
            item = known or (
                items.add(session, act(), kind=Kind.RING, name=said, size_key="as568:214", rubber="NBR")
                if what == "ring"
                else items.add(session, act(), kind=Kind.FLUID, name=said, spec_class="UTTO")
                if what == "fluid"
                else items.add(session, act(), kind=Kind.CONSUMABLE, name=said)
            )
            # A lot has one day, so the day is its code.
            lot = {"lot_code": str(day), "expires_on": day} if in_lot else {}
            shelf.receive(session, act(), item_id=item.item_id, bin_id=place.bin_id, quantity=quantity, **lot)  # type: ignore[arg-type]
    _all_the_same(workshop, where)


def test_of_what_is_on_order_came_and_was_taken_back(workshop: Workshop, where: str, tmp_path: Path) -> None:
    place = address.named(where)
    supplier(workshop, tmp_path, FIRST)
    with workshop.write() as session:
        short_job(session, rings(), oil(), due_on=BUYING.replace(day=20))
        low = ring(session, 2, size_key="as568:116").item_id
        reorder_rules.set_rule(session, act(), low, order_at=3, up_to=10)
        short_job(session, rings(3), look=False, title="Not looked for")
        old = ring(session, 1, size_key="as568:210")
        reorder_rules.set_rule(session, act(), old.item_id, order_at=3, up_to=4)
        past = {"lot_code": "old", "expires_on": BUYING.replace(day=1)}
        shelf.receive(session, act(), item_id=old.item_id, bin_id=old.bin_id, quantity=5, **past)  # type: ignore[arg-type]
    _all_the_same(workshop, where)
    before = first_shorts(place, BUYING)
    assert [one.quantity for one in before or ()] == [2, 10_000_000, 8, 3]
    with workshop.read() as session:
        job_ids = [one.job_id for one in jobs.listed(session, limit=10) if one.title != "Not looked for"]
    order = ordered(workshop, job_ids=job_ids)
    _all_the_same(workshop, where)
    # Nobody sells the ring whose lot is past its day.
    assert [one.item_id for one in first_shorts(place, BUYING) or ()] == [old.item_id]
    with workshop.write() as session:
        came = [receiving.Came(line.line_id, 1, "New bin") for line in order.lines if line.packs > 1][:1]
        receiving.receive(session, act(key="came"), order.order_id, came)
    _all_the_same(workshop, where)
    with workshop.write() as session:
        undo(session, act(), "came")
    _all_the_same(workshop, where)
    with workshop.write() as session:
        booking.call_off(session, act(), order.order_id)
    _all_the_same(workshop, where)
    assert first_shorts(place, BUYING) == before
