"""The demo workshop: there at once, the same every time, and not the user's."""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import event
from sqlmodel import select

from catalog.orings.sizes import by_key
from models import jobs, kits, machines, orders, shelf, templates
from models.acts import Act
from models.database import Workshop, open_workshop
from models.demo import orchard, service
from models.demo.stock import GALLON, PAIL, RINGS, THINGS
from models.errors import WorkshopOlderError
from models.fits import fit_records
from models.inventory import assortments, items, reorder_rules
from models.kitting.finish import earliest_finish
from models.orders.words import OrderState
from models.storage import locations
from models.storage.check import check
from models.tables import Action, AssortmentModel
from models.words import KitState, LineState
from tests.models.full import full_copy


def _dump(file: Path) -> list[str]:
    connection = sqlite3.connect(file)
    lines = list(connection.iterdump())
    connection.close()
    return lines


def test_it_is_the_same_every_time(tmp_path: Path) -> None:
    for name in ("one", "two"):
        orchard.open_demo(tmp_path / f"{name}.sqlite3", clock=lambda: service.TOLD).close()
    assert _dump(tmp_path / "one.sqlite3") == _dump(tmp_path / "two.sqlite3")


def test_it_lies_apart_from_the_workshop(own_folders: Path) -> None:
    opened = orchard.open_demo()
    assert opened.file == own_folders / "demo" / "demo.sqlite3"
    assert opened.file.parent.stat().st_mode & 0o777 == 0o700
    assert not locations.workshop_file().exists()
    opened.close()


@pytest.fixture(scope="module")
def filled(lasting: str) -> Iterator[Workshop]:
    """The demo on each database, filled once for all that only look at it; filling it again changes nothing."""
    opened = open_workshop(lasting)
    for _ in range(2):
        with opened.write() as session:
            orchard.fill(session)
    yield opened
    opened.close()


def test_it_shows_kits_in_every_state(filled: Workshop) -> None:
    with filled.read() as session:
        states = {row.state for row in (*jobs.listed(session), *jobs.listed(session, closed=True))}
        lines = [
            line for row in jobs.listed(session) for need in kits.view(session, row.job_id).needs for line in need.lines
        ]
        report = check(session)
        assert len(machines.listed(session)) == len(orchard.MACHINES)
        assert shelf.stock_rows(session).total == len(RINGS) + len(THINGS) + 1  # and the expired bag
    assert states == set(KitState)
    assert {line.state for line in lines} == {LineState.HAVE, LineState.FREE, LineState.PICKED, LineState.SHORT}
    assert all(line.reason for line in lines if line.state is LineState.SHORT)
    assert report.findings == ()


@pytest.mark.parametrize(
    "now", [datetime(2026, 11, 30, 0, 5, tzinfo=UTC), datetime(2028, 2, 29, 23, 59, 30, tzinfo=UTC)]
)
def test_it_is_a_working_week_on_whatever_day_it_is_made(now: datetime, tmp_path: Path) -> None:
    workshop = orchard.open_demo(tmp_path / "demo.sqlite3", clock=lambda: now)
    with workshop.read() as session:
        due = {row.title: (row.due_on - now.date()).days for row in jobs.listed(session) if row.due_on}
        ready = earliest_finish(kits.view(session, jobs.listed(session)[0].job_id), now)
        (order,) = orders.listing.listed(session)
        expired = [row for row in shelf.stock_rows(session).rows if row.expires_on and row.expires_on < now.date()]
        booked = max(one.at.replace(tzinfo=UTC) for one in session.exec(select(Action)).all())
        report = check(session)
    workshop.close()
    assert booked <= now
    # One is overdue, since its sealant was noted this morning and cures; the others are due within two weeks.
    assert [title for title, days in due.items() if days < 0] == ["Ram drips"]
    assert {title for title, days in due.items() if 0 < days <= 7} == {
        "Pump inlet leaks", "Pump rebuild", "Cylinder weeps",
    }  # fmt: skip
    assert max(due.values()) <= 14
    assert ready.at is not None
    assert timedelta(hours=20) < ready.at - now < timedelta(hours=24)
    # Its one order came in part and is not late.
    assert (order.state, order.lines[0].received_packs, order.lines[0].packs) == (OrderState.PART_RECEIVED, 40, 80)
    assert order.expected_on is not None
    assert order.expected_on > now.date()
    assert {row.lot_code for row in expired} == {"S-41", "P22 bag"}
    assert report.findings == ()


def test_its_inlet_ring_remembers_what_failed_first(filled: Workshop) -> None:
    with filled.read() as session:
        tractor = next(row for row in machines.listed(session) if row.name == "Orchard tractor 3")
        inlet = next(row for row in machines.positions(session, tractor.machine_id) if "inlet" in row.name)
        history = fit_records.history(session, inlet.position_id)
    assert [row.size_key for row in history] == ["as568:214", "as568:213"]


def test_it_shows_what_the_judgements_say(filled: Workshop) -> None:
    with filled.read() as session:
        kits_ = {row.title: kits.view(session, row.job_id) for row in jobs.listed(session)}
        pail = shelf.stock_rows(session, PAIL).rows[0]
        boxes = {box.code: len(box.missing) for box in assortments.listed(session)}
        due = [row.item_name for row in reorder_rules.rules(session, orchard.OPENED.date(), due_only=True)]
        made = [(row.name, row.number) for row in templates.listed(session)]

    def said(title: str, need_title: str) -> list[tuple[str, str]]:
        need = next(one for one in kits_[title].needs if one.title == need_title)
        return [(line.state.value, line.reason) for line in need.lines]

    # A substitute with its reason, an expired lot, an element judged in its housing, a ring the groove lets through.
    ((state, why),) = said("Gearbox oil", "gearbox oil")
    assert (state, why[:47]) == ("have", "With care: STOU may be used where UTTO is asked")
    assert "lot P22 bag expired on 2024-11-15" in said("Pump rebuild", "plunger rings")[-1][1]
    assert said("Pump inlet leaks", "return line element") == [("have", "")]
    # Between its marks, so nothing is short.
    ((state, why),) = said("Tractor, 250 h", "engine oil")
    assert (state, why[:62]) == ("have", "Yes: API CK-4 may be used where API CJ-4 is asked; fuel sulfur")
    assert said("Tractor, 250 h", "pump inlet flange ring, as fitted") == [("have", "")]
    assert kits_["Gearbox oil"].made_from == "Sprayer, 50 h, version 1"
    assert made == [("Sprayer, 50 h", 2), ("Tractor, 250 h", 1)]
    assert (pail.full, pail.opened, pail.container) == (0, 2 * GALLON, 5 * GALLON)
    assert boxes["Box 1"] > 5
    assert boxes["Box 4"] > 0
    assert due


def test_it_is_filled_with_few_questions_to_the_database(tmp_path: Path) -> None:
    # The count, not the clock: on a free machine these took 0.55 s warm, 1.0 s in a fresh process.
    asked = 0

    def count(*_: object) -> None:
        nonlocal asked
        asked += 1

    opened = open_workshop(tmp_path / "w.sqlite3")
    with opened.write() as session:
        event.listen(session.get_bind(), "before_cursor_execute", count)
        orchard.fill(session)
    opened.close()
    assert 100 < asked < 1000


def test_its_rings_are_sizes_the_catalog_knows() -> None:
    assert [ring.size_key for ring in RINGS if by_key(ring.size_key) is None] == []


def test_what_a_visitor_does_stays_until_a_fresh_start(tmp_path: Path) -> None:
    file = tmp_path / "demo.sqlite3"
    opened = orchard.open_demo(file)
    with opened.write() as session:
        row = shelf.stock_rows(session, "214").rows[0]
        shelf.use(session, Act("Visitor", "v1", orchard.OPENED), stock_id=row.stock_id, quantity=1)
    opened.close()
    again = orchard.open_demo(file)
    with again.read() as session:
        assert shelf.stock_row(session, row.stock_id).on_hand == row.on_hand - 1
    again.close()
    fresh = orchard.open_demo(file, fresh=True)
    with fresh.read() as session:
        assert shelf.stock_row(session, row.stock_id).on_hand == row.on_hand
    fresh.close()


def test_a_demo_from_before_the_first_release_is_made_anew_at_its_own_place_only(tmp_path: Path) -> None:
    elsewhere = tmp_path / "demo.sqlite3"
    own = locations.demo_file()
    for file in (None, elsewhere):
        orchard.open_demo(file).close()
    for file in (own, elsewhere):
        with closing(sqlite3.connect(file)) as old, old:
            old.execute("DELETE FROM assortment_models")
            old.execute("UPDATE alembic_version SET version_num = '0011'")
    again = orchard.open_demo()
    with again.read() as session:
        assert session.exec(select(AssortmentModel)).first() is not None
    again.close()
    before = elsewhere.read_bytes()
    with pytest.raises(WorkshopOlderError, match=str(elsewhere)):
        orchard.open_demo(elsewhere)
    assert elsewhere.read_bytes() == before


def test_an_open_demo_opens_in_a_blink(tmp_path: Path) -> None:
    # The ratio, not the clock: a demo that is there must not cost more than a few times an empty workshop.
    full_copy(tmp_path / "demo.sqlite3")
    open_workshop(tmp_path / "empty.sqlite3").close()

    def seconds(open_it: str) -> float:
        begun = time.perf_counter()
        for _ in range(5):
            if open_it == "demo":
                orchard.open_demo(tmp_path / "demo.sqlite3").close()
            else:
                empty = open_workshop(tmp_path / "empty.sqlite3")
                with empty.read() as session:
                    items.page(session)
                empty.close()
        return time.perf_counter() - begun

    assert seconds("demo") < 5 * seconds("empty")
