"""The shelf: sums over movements, on both databases."""

from __future__ import annotations

from datetime import date

import pytest

from models import kits, shelf
from models.database import Workshop
from models.errors import AlreadyThereError, InvalidInputError, KeyReusedError, NotEnoughError, NotFoundError
from models.inventory import bins, items
from models.words import Kind, Moved, Unit
from tests.models.shop import act, job, ring, ring_spec


def test_received_counted_used_scrapped_add_up(workshop: Workshop) -> None:
    # The stock-ledger identity: closing = opening + receipts - issues +/- count differences
    # (perpetual inventory as in any bookkeeping textbook; common practice, no source).
    with workshop.write() as session:
        row = ring(session, 20)
        shelf.use(session, act(), stock_id=row.stock_id, quantity=3)
        shelf.scrap(session, act(), stock_id=row.stock_id, quantity=2, reason="nicked")
        after = shelf.count(session, act(), stock_id=row.stock_id, counted=14)
    assert (after.on_hand, after.promised, after.free) == (14, 0, 14)
    with workshop.read() as session:
        entries = shelf.movements(session, row.stock_id)
    assert [(one.kind, one.on_hand_change) for one in reversed(entries)] == [
        (Moved.RECEIVED, 20),
        (Moved.USED, -3),
        (Moved.SCRAPPED, -2),
        (Moved.COUNTED, -1),
    ]
    assert sum(one.on_hand_change for one in entries) == 14
    assert {one.who for one in entries} == {"Bench 1"}


def test_a_count_that_finds_what_was_thought_is_still_on_record(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 4)
        shelf.count(session, act("Stores"), stock_id=row.stock_id, counted=4, reason="round")
        newest = shelf.movements(session, row.stock_id)[0]
    assert (newest.kind, newest.on_hand_change, newest.who, newest.reason) == (Moved.COUNTED, 0, "Stores", "round")


def test_no_more_is_taken_than_is_free(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 5)
        kits.accept_match(session, act(), job(session), ring_spec("as568:214", ["NBR"], pieces=3))
    with (
        pytest.raises(NotEnoughError, match=r"2 free \(5 on hand, 3 promised\), 3 wanted"),
        workshop.write() as session,
    ):
        shelf.use(session, act(), stock_id=row.stock_id, quantity=3)
    with workshop.read() as session:
        after = shelf.stock_row(session, row.stock_id)
    assert (after.on_hand, after.promised, after.free) == (5, 3, 2)


def test_a_count_below_what_is_promised_is_refused_in_words(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 5)
        kits.accept_match(session, act(), job(session), ring_spec("as568:214", ["NBR"], pieces=3))
    with pytest.raises(NotEnoughError, match="2 counted, but 3 are promised"), workshop.write() as session:
        shelf.count(session, act(), stock_id=row.stock_id, counted=2)


def test_the_same_key_twice_books_once(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 1)
    again = act(key="pressed once")
    for _ in range(3):
        with workshop.write() as session:
            answer = shelf.receive(session, again, item_id=row.item_id, bin_id=row.bin_id, quantity=7)
        assert answer.on_hand == 8
    with pytest.raises(KeyReusedError), workshop.write() as session:
        shelf.use(session, again, stock_id=row.stock_id, quantity=1)


def test_lots_of_one_item_lie_apart_and_keep_their_day(workshop: Workshop) -> None:
    with workshop.write() as session:
        first = ring(session, 2, lot="L1", expires_on=date(2030, 1, 1))
        second = ring(session, 3, lot="L2", expires_on=date(2031, 1, 1))
        more = ring(session, 4, lot="L1", expires_on=date(2030, 1, 1))
        loose = ring(session, 5)
        undated = shelf.receive(
            session, act(), item_id=loose.item_id, bin_id=loose.bin_id, quantity=1, expires_on=date(2032, 5, 6)
        )
    assert first.stock_id == more.stock_id
    assert more.on_hand == 6
    assert len({first.stock_id, second.stock_id, loose.stock_id, undated.stock_id}) == 4
    assert undated.lot_code == "2032-05-06"
    with pytest.raises(InvalidInputError, match="expires on 2030-01-01"), workshop.write() as session:
        ring(session, 1, lot="L1", expires_on=date(2029, 1, 1))


def test_a_delivery_of_many_lines_is_one_action(workshop: Workshop) -> None:
    with workshop.write() as session:
        one = ring(session, 1)
        two = ring(session, 1, size_key="as568:116", bin_code="B2")
        rows = shelf.receive_many(
            session,
            act(),
            [
                shelf.Delivery(one.item_id, one.bin_id, 10),
                shelf.Delivery(two.item_id, two.bin_id, 20),
                shelf.Delivery(one.item_id, one.bin_id, 5),
            ],
        )
    assert [row.on_hand for row in rows] == [16, 21]
    with pytest.raises(NotFoundError, match="no bin 999"), workshop.write() as session:
        shelf.receive_many(
            session, act(), [shelf.Delivery(one.item_id, one.bin_id, 1), shelf.Delivery(one.item_id, 999, 1)]
        )
    with workshop.read() as session:
        assert shelf.stock_row(session, one.stock_id).on_hand == 16


@pytest.mark.parametrize("quantity", [0, -1, 10**13])
def test_a_quantity_that_can_not_be_is_refused(workshop: Workshop, quantity: int) -> None:
    with workshop.write() as session:
        row = ring(session, 1)
    with pytest.raises(InvalidInputError, match="can't be booked"), workshop.write() as session:
        shelf.receive(session, act(), item_id=row.item_id, bin_id=row.bin_id, quantity=quantity)


def test_rows_are_a_window_and_the_total_is_told(workshop: Workshop) -> None:
    with workshop.write() as session:
        for number in range(9):
            ring(session, number + 1, size_key=f"as568:21{number}", bin_code=f"B{number}")
        first = shelf.stock_rows(session, "as568", limit=4)
        last = shelf.stock_rows(session, "as568", limit=4, offset=8)
    assert (len(first.rows), first.total) == (4, 9)
    assert [row.bin_code for row in first.rows] == ["B0", "B1", "B2", "B3"]
    assert [row.bin_code for row in last.rows] == ["B8"]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("214", 1),
        ("nbr a1", 1),
        ("24.99", 1),
        ("AS568-214", 1),
        ("hnbr", 0),
        ("", 2),
        ("straße", 1),
        ("STRASSE ß", 1),
        ("100%", 1),
        ("100_", 0),
        ("%", 1),
        ("_", 0),
        ("[/foo]", 0),
        ("' OR 1=1 --", 0),
        ("\\", 0),
        ("q\x00z", 0),
        ("\ud800", 2),
        ("😀", 1),
        ("x" * 10_000, 0),
    ],
)
def test_the_filter_takes_any_text_as_plain_words(workshop: Workshop, text: str, found: int) -> None:
    with workshop.write() as session:
        ring(session, 1)
        place = bins.add(session, act(), code="Straße 😀 100%")
        item = items.add(session, act(), kind=Kind.CONSUMABLE, name="Rags", spec_class="rags")
        shelf.receive(session, act(), item_id=item.item_id, bin_id=place.bin_id, quantity=1)
        assert shelf.stock_rows(session, text).total == found


def test_names_are_kept_as_typed_and_bad_ones_refused(workshop: Workshop) -> None:
    kept = "Büchse '½\" [/foo] 😀; DROP TABLE items --"
    with workshop.write() as session:
        item = items.add(session, act(), kind=Kind.CONSUMABLE, name=kept, spec_class="box")
    with workshop.read() as session:
        assert items.get(session, item.item_id).name == kept
    for bad in ("", "   ", "nul\x00", "bell\x07", "half \ud800", "x" * 10_000):
        with pytest.raises(InvalidInputError), workshop.write() as session:
            items.add(session, act(), kind=Kind.CONSUMABLE, name=bad, spec_class="box")
    with pytest.raises(AlreadyThereError), workshop.write() as session:
        items.add(session, act(), kind=Kind.CONSUMABLE, name=kept, spec_class="box")


def test_an_item_says_what_it_is(workshop: Workshop) -> None:
    with workshop.write() as session:
        oil = items.add(session, act(), kind=Kind.FLUID, name="UTTO", spec_class="UTTO", spec_grade="10W-30")
    assert oil.counted_in is Unit.MICROLITRE
    wrong: list[dict[str, object]] = [
        {"kind": Kind.RING, "name": "no size"},
        {"kind": Kind.RING, "name": "no such size", "size_key": "as568:999"},
        {"kind": Kind.RING, "name": "no series", "size_key": "214"},
        {"kind": Kind.FLUID, "name": "sized", "size_key": "as568:214"},
        {"kind": Kind.FLUID, "name": "by piece", "counted_in": Unit.EACH},
        {"kind": Kind.RING, "name": "hard", "size_key": "as568:214", "hardness_shore_a": 300},
        {"kind": Kind.SEALANT, "name": "quick", "cure_minutes": -1},
    ]
    for one in wrong:
        with pytest.raises(InvalidInputError), workshop.write() as session:
            items.add(session, act(), **one)  # type: ignore[arg-type]


def test_rows_outlive_their_session(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 3)
    workshop.close()
    assert (row.item_name, row.bin_code, row.free) == ("O-ring as568:214 NBR 70", "A1", 3)


def test_one_delivery_cant_give_a_lot_two_days(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 1)
        lines = [shelf.Delivery(row.item_id, row.bin_id, 2, "L1", date(year, 1, 1)) for year in (2030, 2031)]
    with (
        pytest.raises(InvalidInputError, match="expires on 2030-01-01, not on 2031-01-01"),
        workshop.write() as session,
    ):
        shelf.receive_many(session, act(), lines)
