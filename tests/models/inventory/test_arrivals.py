"""Deliveries by names: what is there is found however it is typed, what is not is made, and said before."""

from __future__ import annotations

from models.acts import Act
from models.database import Workshop
from models.inventory import arrivals, bins, items
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
