"""Deliveries by names: what is there is found however it is typed, what is not is made, and said before."""

from __future__ import annotations

import pytest

from models import jobs, kits, shelf
from models.acts import Act
from models.database import Session, Workshop
from models.errors import InvalidInputError
from models.inventory import arrivals, bins, box_load, box_rows, items
from models.inventory.item_names import Told
from models.storage.check import check
from models.undoing import undo
from models.words import Kind, Unit
from tests.models.shop import act, ring


def test_what_a_typed_name_is_or_would_make(workshop: Workshop) -> None:
    with workshop.write() as session:
        ring(session, 5, bin_code="A1")
        items.add(session, act(), kind=Kind.FLUID, name="UTTO, pail")
        oil = arrivals.item_called(session, " utto,  PAIL ")
        assert (oil.name, oil.counted_in, oil.known, oil.news) == ("UTTO, pail", Unit.MICROLITRE, True, "")
        near = arrivals.item_called(session, "UTTO, pial")
        assert (near.known, "Did you mean UTTO, pail?" in near.news) == (False, True)
        assert "a ring AS568-116" in arrivals.item_called(session, "AS568-116").news
        assert arrivals.bin_called(session, "a1") == arrivals.Called("A1")
        assert arrivals.bin_called(session, "Z9").news == "Makes a new bin: Z9."


def test_a_delivery_makes_what_is_new_once_however_often_it_is_tried(workshop: Workshop) -> None:
    once: Act = act()
    for _ in range(2):
        with workshop.write() as session:
            row = arrivals.receive(session, once, item_name="AS568-116", bin_code="Z9", quantity=4)
            assert (row.on_hand, row.kind, row.size_key, row.bin_code) == (4, Kind.RING, "as568:116", "Z9")
    with workshop.read() as session:
        assert items.page(session).total == 1
        assert [row.code for row in bins.page(session)] == ["Z9"]


def _there(session: Session) -> tuple[list[str], list[str], int]:
    names = [row.name for row in items.page(session).rows]
    return names, [row.code for row in bins.page(session)], shelf.stock_rows(session).total


def test_undo_takes_back_what_a_receipt_made_and_the_name_is_free_again(workshop: Workshop) -> None:
    came = act()
    with workshop.write() as session:
        ring(session, 5, bin_code="A1")
        before = _there(session)
        arrivals.receive(session, came, item_name="UTTO oil, pail 20 L", bin_code="Rack", quantity=20_000_000)
        assert _there(session) != before
        undo.undo(session, act(), came.key)
        assert _there(session) == before
        again = arrivals.receive(session, act(), item_name="UTTO oil, pail 20 L", bin_code="Rack", quantity=5_000_000)
        assert (again.on_hand, again.container) == (5_000_000, 20_000_000)
        assert check(session).ok


def test_what_was_made_with_a_receipt_stays_where_more_was_booked_of_it(workshop: Workshop) -> None:
    came = act()
    with workshop.write() as session:
        row = arrivals.receive(session, came, item_name="AS568-116 NBR 70", bin_code="Z9", quantity=4)
        arrivals.receive(session, act("Bench 2"), item_name="AS568-116 NBR 70", bin_code="Y1", quantity=3)
        undo.undo(session, act(), came.key)
        assert _there(session) == (["O-ring AS568-116 NBR 70"], ["Y1"], 1)
        assert shelf.rows_of(session, item_id=row.item_id)[0].on_hand == 3
        assert check(session).ok


def test_what_is_told_of_an_item_that_is_there_is_refused(workshop: Workshop) -> None:
    with workshop.write() as session:
        arrivals.receive(session, act(), item_name="P22", bin_code="A1", quantity=2, told=Told(rubber="FKM 75"))
        assert items.page(session).rows[0].rubber == "FKM"
        with pytest.raises(InvalidInputError, match="already"):
            arrivals.receive(session, act(), item_name="P22", bin_code="A1", quantity=2, told=Told(rubber="NBR"))
        with pytest.raises(InvalidInputError, match="names no ring size"):
            arrivals.receive(session, act(), item_name="O-ring", bin_code="A1", quantity=2)


def test_a_delivery_with_what_is_told_is_tried_again_without_harm(workshop: Workshop) -> None:
    once = act()
    for _ in range(2):
        with workshop.write() as session:
            row = arrivals.receive(
                session, once, item_name="P22", bin_code="A1", quantity=2, told=Told(rubber="FKM 75")
            )
            assert row.on_hand == 2


def test_a_new_filter_is_asked_for_the_class_that_a_kit_waits_for_and_then_fills_its_need(workshop: Workshop) -> None:
    with workshop.write() as session:
        job = jobs.open_job(session, act(), title="250 h").job_id
        kits.add_need(
            session,
            act(),
            job,
            kits.NeedSpec(Kind.FILTER, spec_class="spin-on 1-12 UNF, 10 µm", title="return element"),
        )
        found = arrivals.item_called(session, "Return filter, black")
        assert found.missing == ("class",)
        assert "A kit waits for “spin-on 1-12 UNF, 10 µm” (return element, 250 h): is it that class?" in found.news
        # A thing of another kind is not asked.
        assert arrivals.item_called(session, "M8 x 25 bolt 8.8").missing == ()
        (waits,) = found.waits
        told = Told(spec_class=waits.spec_class)
        arrivals.receive(session, act(), item_name=found.name, bin_code="F1", quantity=1, told=told)
        (need,) = kits.allocate(session, act(), job).needs
        assert [(line.item_name, line.state) for line in need.lines] == [("Return filter, black", "have")]
        assert arrivals.item_called(session, "Other filter").waits == ()


def test_what_one_container_holds_is_known_of_an_item_that_is_there_and_of_one_that_is_new(workshop: Workshop) -> None:
    with workshop.write() as session:
        assert arrivals.item_called(session, "UTTO oil, pail 20 L").container == 20_000_000
        arrivals.receive(session, act(), item_name="UTTO oil, pail 20 L", bin_code="Rack", quantity=20_000_000)
        assert arrivals.item_called(session, "UTTO oil, pail 20 L").container == 20_000_000


def test_a_ring_has_one_name_however_it_is_typed(workshop: Workshop) -> None:
    # Of 70 Shore A the bag says so or nothing (common practice, no source). What says more than the name is kept.
    with workshop.write() as session:
        box_load.load(session, act(), "Box 1", box_rows.read("AS568-214 NBR 70; 3"))
        for typed in ("as568-214 nbr 70", "O-ring AS568-214 NBR 70", "214 nbr 70"):
            assert arrivals.item_called(session, typed).known
            arrivals.receive(session, act(), item_name=typed, bin_code="A1", quantity=2)
        assert [row.name for row in items.page(session).rows] == ["O-ring AS568-214 NBR 70"]
        assert arrivals.item_called(session, "214 nbr 70, blue, pump").name == "214 nbr 70, blue, pump"
