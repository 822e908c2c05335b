"""A plan accepted, sent, received in parts, called off, undone: on both databases, once under each key."""

from __future__ import annotations

import threading
from datetime import date, timedelta
from pathlib import Path

import pytest
from sqlmodel import Session, select

from models import jobs, kits, shelf
from models.actions import newest_id
from models.database import Workshop, open_workshop
from models.errors import CannotUndoError, InvalidInputError
from models.inventory import reorder_rules
from models.kitting.finish import earliest_finish
from models.orders.booking import NotLookedAtError, OrderMovedError, PlanStaleError, accept, call_off, place
from models.orders.listing import OrderView, arrivals, get, listed
from models.orders.progress import deeds_left, on_order
from models.orders.receiving import Came, receive
from models.orders.words import OrderState
from models.storage import check
from models.supplier_lists.listing import say_of_reading
from models.tables import Item, OrderReceipt
from models.undoing.undo import last_undoable, undo
from models.words import KitState
from tests.models.orders.buying import (
    FIRST,
    ON,
    SECOND,
    accepted,
    new_list,
    oil,
    ordered,
    planned,
    rings,
    short_job,
    supplier,
)
from tests.models.shop import NOON, act, ring


@pytest.fixture
def short(workshop: Workshop, tmp_path: Path) -> int:
    """A job short of three rings, and a supplier who has them."""
    supplier(workshop, tmp_path, FIRST)
    with workshop.write() as session:
        return short_job(session, rings(3))


def come(session: Session, order: OrderView, packs: int, bin_code: str = "Box 9", key: str | None = None) -> OrderView:
    """So many packs of the order's first line came."""
    return receive(session, act(key=key), order.order_id, [Came(order.lines[0].line_id, packs, bin_code)]).order


def sound(workshop: Workshop) -> None:
    with workshop.read() as session:
        assert check.check(session).findings == ()


def test_from_plan_to_ready(workshop: Workshop, short: int) -> None:
    (order,) = accepted(workshop, planned(workshop))
    assert (order.state, order.total_minor, order.expected_on) == (OrderState.PLANNED, 150, None)
    with workshop.write() as session:
        (order,) = place(session, act(), [order.order_id])
    assert (order.state, order.expected_on) == (OrderState.ORDERED, ON + timedelta(days=2))
    with workshop.write() as session:
        order = come(session, order, 1)
        assert (order.state, order.lines[0].waits) == (OrderState.PART_RECEIVED, 2)
        assert jobs.get(session, short).state is KitState.SHORT
    with workshop.write() as session:
        done = receive(session, act(), order.order_id, [Came(order.lines[0].line_id, 2, "box 9")])
    assert (done.order.state, done.kits[0].state) == (OrderState.RECEIVED, KitState.READY)
    with workshop.read() as session:
        (row,) = shelf.stock_rows(session).rows
        assert (row.item_name, row.bin_code, row.on_hand, row.promised) == ("O-ring AS568 214 HNBR 70", "Box 9", 3, 3)
        assert listed(session) == ()
        assert [one.state for one in listed(session, open_only=False)] == [OrderState.RECEIVED]
    sound(workshop)


def test_what_is_left_to_do_with_orders_counts_those_planned_since(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, FIRST[:1])
    supplier(workshop, tmp_path, FIRST[2:3], "Second supplier (invented)")
    with workshop.write() as session:
        short_job(session, rings(3), rings(2, "as568:116", ("NBR",)))
        before = newest_id(session)
    first, second = accepted(workshop, planned(workshop))
    left = []
    for order in (first, second):
        with workshop.write() as session:
            left.append(deeds_left(session, before))
            place(session, act(), [order.order_id])
    for order in (first, second):
        with workshop.write() as session:
            left.append(deeds_left(session, before))
            come(session, order, order.lines[0].packs)
    both, parcels = {"orders.order", "orders.receive"}, {"orders.receive"}
    assert left == [both, both, parcels, parcels]
    with workshop.read() as session:
        assert deeds_left(session, before) == set()
        # An order from before is nobody's step.
        assert deeds_left(session, newest_id(session)) == set()


def test_nobody_buys_the_same_thing_twice(workshop: Workshop, short: int) -> None:
    proposal = planned(workshop)
    accepted(workshop, proposal)
    again = planned(workshop)
    assert (again.orders, again.gathered.shorts) == ((), ())
    with pytest.raises(PlanStaleError, match="short by another amount"):
        accepted(workshop, proposal)


def test_an_order_received_in_part_and_called_off_leaves_the_rest_short(workshop: Workshop, short: int) -> None:
    order = ordered(workshop)
    with workshop.write() as session:
        come(session, order, 1)
        assert on_order(session).for_needs
        assert call_off(session, act(), order.order_id, "out of stock").state is OrderState.CALLED_OFF
        assert on_order(session).for_needs == {}
    assert [one.quantity for one in planned(workshop).gathered.shorts] == [2]


def test_each_step_is_done_once_under_its_key(workshop: Workshop, short: int) -> None:
    proposal, key = planned(workshop), act()
    first = accepted(workshop, proposal, key)
    assert accepted(workshop, proposal, key) == first
    for _ in range(2):
        with workshop.write() as session:
            (order,) = place(session, act(key="sent"), [first[0].order_id])
    for _ in range(2):
        with workshop.write() as session:
            assert come(session, order, 2, key="came").lines[0].received_packs == 2
    with workshop.read() as session:
        assert len(session.exec(select(OrderReceipt)).all()) == 1
        assert shelf.stock_rows(session).rows[0].on_hand == 2
    for _ in range(2):
        with workshop.write() as session:
            assert call_off(session, act(key="off"), order.order_id).state is OrderState.CALLED_OFF


def test_undoing_a_delivery_takes_it_off_the_shelf_and_out_of_the_kit(workshop: Workshop, short: int) -> None:
    order = ordered(workshop)
    with workshop.write() as session:
        come(session, order, 3, key="came")
        assert jobs.get(session, short).state is KitState.READY
    with workshop.write() as session:
        assert last_undoable(session, "Bench 1") == "came"
        undo(session, act(), "came")
        assert jobs.get(session, short).state is KitState.SHORT
        assert (get(session, order.order_id).state, get(session, order.order_id).lines[0].waits) == (
            OrderState.ORDERED, 3,
        )  # fmt: skip
        # The bin and the item came with the parcel, and go with it.
        assert shelf.stock_rows(session).rows == ()
    sound(workshop)
    with workshop.write() as session:
        assert come(session, order, 3).state is OrderState.RECEIVED
    sound(workshop)


def test_a_delivery_that_was_picked_stays(workshop: Workshop, short: int) -> None:
    order = ordered(workshop)
    with workshop.write() as session:
        come(session, order, 3, key="came")
        (need,) = kits.view(session, short).needs
        kits.pick(session, act(), [line.line_id for line in need.lines if line.line_id is not None])
    with pytest.raises(CannotUndoError), workshop.write() as session:
        undo(session, act(), "came")


def test_plan_and_order_are_undone_backwards_only(workshop: Workshop, short: int) -> None:
    (order,) = accepted(workshop, planned(workshop), act(key="plan"))
    with workshop.write() as session:
        place(session, act(key="sent"), [order.order_id])
    with pytest.raises(CannotUndoError, match="was sent since"), workshop.write() as session:
        undo(session, act(), "plan")
    with workshop.write() as session:
        come(session, order, 1, key="came")
    with pytest.raises(CannotUndoError, match="has come since"), workshop.write() as session:
        undo(session, act(), "sent")
    for key, state in (
        ("came", OrderState.ORDERED), ("sent", OrderState.PLANNED), ("plan", OrderState.CALLED_OFF),
    ):  # fmt: skip
        with workshop.write() as session:
            undo(session, act(), key)
            assert get(session, order.order_id).state is state
    assert [one.quantity for one in planned(workshop).gathered.shorts] == [3]


def test_undoing_a_plan_asks_again_what_its_rows_are(workshop: Workshop, short: int) -> None:
    first, second = act(), act()
    accepted(workshop, planned(workshop), first)
    with workshop.write() as session:
        other = short_job(session, rings(2), title="Second pump")
    accepted(workshop, planned(workshop, job_ids=[other]), second)
    for plan, doubts in ((first, 0), (second, 1)):  # asked again once no plan that stands says it
        with workshop.write() as session:
            undo(session, act(), plan.key)
        assert len(planned(workshop).doubts) == doubts
    again = planned(workshop)
    with workshop.write() as session:
        say_of_reading(session, act(), again.doubts[0].offer.row.row_id, right=True)
    third = act()
    accepted(workshop, planned(workshop), third)
    with workshop.write() as session:
        undo(session, act(), third.key)
    assert planned(workshop).doubts == ()  # a person had said it by itself
    sound(workshop)


def test_free_stock_that_another_job_counts_on_makes_no_plan_stale(workshop: Workshop, short: int) -> None:
    with workshop.write() as session:
        later = short_job(session, rings(3), title="Second pump")
        ring(session, 3, size_key="as568:214", rubber="HNBR")  # found for the first job, promised to none yet
    plan = planned(workshop)
    assert [one.job_id for one in plan.gathered.shorts] == [later]
    assert len(accepted(workshop, plan)) == 1


def test_calling_off_is_undone(workshop: Workshop, short: int) -> None:
    order = ordered(workshop)
    with workshop.write() as session:
        call_off(session, act(key="off"), order.order_id)
        undo(session, act(), "off")
        assert get(session, order.order_id).state is OrderState.ORDERED


def test_only_what_was_looked_at_is_ordered(workshop: Workshop, short: int) -> None:
    with pytest.raises(NotLookedAtError, match=r"R214 .read as AS568-214 HNBR 70"), workshop.write() as session:
        accept(session, act(), planned(workshop))
    order = ordered(workshop)
    with workshop.write() as session:
        call_off(session, act(), order.order_id)
    # Once a person has said what the row is, nobody is asked again, and nothing is made twice.
    again = planned(workshop)
    assert again.doubts == ()
    with workshop.write() as session:
        accept(session, act(), again)
        assert len(session.exec(select(Item)).all()) == 1


def test_a_ring_of_the_shops_own_is_that_ring(workshop: Workshop, short: int) -> None:
    with workshop.write() as session:
        own = ring(session, 1, rubber="HNBR")
        kits.allocate(session, act(), short)
    order = ordered(workshop)
    assert (order.lines[0].item_id, order.lines[0].bins) == (own.item_id, ("A1",))


def test_a_pail_is_a_new_item_that_knows_what_it_holds(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, FIRST)
    with workshop.write() as session:
        job_id = short_job(session, oil(10))
    order = ordered(workshop)
    with workshop.write() as session:
        done = receive(session, act(), order.order_id, [Came(order.lines[0].line_id, 1, "Shelf O")])
        assert done.kits[0].state is KitState.READY
        (row,) = shelf.stock_rows(session).rows
        assert (row.item_name, row.container, row.on_hand, row.promised) == (
            "Tractor fluid UTTO 10W-30", 18_927_059, 18_927_059, 10_000_000,
        )  # fmt: skip
        assert kits.view(session, job_id).needs[0].missing == 0


def test_a_price_that_changed_since_is_said(workshop: Workshop, tmp_path: Path) -> None:
    supplier_id = supplier(workshop, tmp_path, FIRST)
    with workshop.write() as session:
        short_job(session, rings(3))
    proposal = planned(workshop)
    new_list(workshop, tmp_path, supplier_id, [FIRST[0].replace("0.50", "0.55"), *FIRST[1:]])
    with pytest.raises(PlanStaleError, match="lists R214 otherwise"):
        accepted(workshop, proposal)


@pytest.mark.parametrize("packs", [0, -1, 4])
def test_no_more_comes_than_was_ordered(workshop: Workshop, short: int, packs: int) -> None:
    order = ordered(workshop)
    with pytest.raises(InvalidInputError, match="3 are still to come"), workshop.write() as session:
        come(session, order, packs)
    with workshop.read() as session:
        assert shelf.stock_rows(session).rows == ()


def test_what_was_not_sent_can_not_come(workshop: Workshop, short: int) -> None:
    (order,) = accepted(workshop, planned(workshop))
    with pytest.raises(OrderMovedError, match="is planned and can't be received"), workshop.write() as session:
        come(session, order, 1)
    with workshop.write() as session:
        place(session, act(), [order.order_id])
    with pytest.raises(OrderMovedError, match="is ordered and can't be ordered"), workshop.write() as session:
        place(session, act(), [order.order_id])


def test_the_supplier_s_own_day_counts(workshop: Workshop, short: int) -> None:
    (order,) = accepted(workshop, planned(workshop))
    with workshop.write() as session:
        (order,) = place(session, act(), [order.order_id], expected_on=date(2026, 3, 12))
        view = kits.view(session, short)
        waits = arrivals(session, [need.need_id for need in view.needs], NOON)
    assert order.expected_on == date(2026, 3, 12)
    assert earliest_finish(view, NOON, waits).facts == ("Ring as568:214 arrives on 2026-03-12.",)


def test_a_part_that_came_serves_the_first_share_first(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, ["P,O-RING AS568-214 HNBR 70,1.00,2"])
    with workshop.write() as session:
        first = short_job(session, rings(2))
        second = short_job(session, rings(3), title="Second")
    order = ordered(workshop)
    with workshop.write() as session:
        come(session, order, 1)
        left = on_order(session)
        needs = [kits.view(session, job_id).needs[0].need_id for job_id in (first, second)]
    assert left.for_needs == {needs[1]: 3}
    assert left.for_items == {order.lines[0].item_id: 1}


def test_what_is_spare_on_an_order_counts_for_the_reorder_point(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, ["P,O-RING AS568-214 HNBR 70,1.00,50"])
    with workshop.write() as session:
        own = ring(session, 1, rubber="HNBR")
        reorder_rules.set_rule(session, act(), own.item_id, order_at=5, up_to=20)
    ordered(workshop)
    assert planned(workshop).gathered.shorts == ()


def test_two_people_never_receive_the_same_pack(where: str, workshop: Workshop, short: int) -> None:
    order = ordered(workshop)
    wrong: list[Exception] = []

    def take(number: int) -> None:
        other = open_workshop(where)
        try:
            with other.write() as session:
                receive(session, act(key=f"t{number}"), order.order_id, [Came(order.lines[0].line_id, 2, "Box 9")])
        except Exception as refused:
            wrong.append(refused)
        finally:
            other.close()

    with workshop.write() as session:
        ring(session, 1, bin_code="Box 9", rubber="NBR")
    threads = [threading.Thread(target=take, args=(number,)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [type(one) for one in wrong] == [InvalidInputError] * 3
    with workshop.read() as session:
        assert get(session, order.order_id).lines[0].received_packs == 2
    sound(workshop)


def test_two_plans_for_one_job_are_not_both_kept(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, FIRST)
    supplier(workshop, tmp_path, SECOND, "Second supplier (invented)")
    with workshop.write() as session:
        short_job(session, rings(3), oil(200))
    proposals = [planned(workshop), planned(workshop, max_suppliers=1)]
    accepted(workshop, proposals[0])
    with pytest.raises(PlanStaleError):
        accepted(workshop, proposals[1])
