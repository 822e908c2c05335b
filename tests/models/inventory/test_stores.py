"""How the stores are kept: boxes, count rounds, reorder points, where machines were built."""

from __future__ import annotations

from datetime import timedelta
from statistics import NormalDist, mean, stdev

import pytest

from catalog.orings.prior import Built
from models import kits, machines, shelf
from models.database import Workshop
from models.errors import InvalidInputError, NotEnoughError, NotFoundError
from models.inventory import assortments, bins, count_round, items, reorder_rules
from models.storage.check import check
from models.undoing import undo
from models.words import Kind
from tests.models.shop import NOON, act, job, ring, ring_spec


def test_what_is_missing_from_a_box(workshop: Workshop) -> None:
    with workshop.write() as session:
        here = ring(session, 7, size_key="as568:213", bin_code="Box 1")
        extra = ring(session, 2, size_key="as568:216", bin_code="Box 1")
        elsewhere = ring(session, 5, size_key="as568:222", bin_code="Box 2")
        full = {here.item_id: 10, elsewhere.item_id: 4}
        box = assortments.set_model(session, act(), here.bin_id, full)
        kits.accept_match(session, act(), job(session), ring_spec("as568:213", ["NBR"], pieces=3))
        box = assortments.get(session, here.bin_id)
    assert {row.size_key: (row.full, row.on_hand, row.free, row.missing) for row in box.rows} == {
        "as568:213": (10, 7, 4, 3),
        "as568:216": (0, 2, 2, 0),
        "as568:222": (4, 0, 0, 4),
    }
    assert [row.size_key for row in box.missing] == ["as568:213", "as568:222"]
    with workshop.write() as session:
        assert [row.code for row in assortments.listed(session)] == ["Box 1"]
        assortments.set_model(session, act(), here.bin_id, {extra.item_id: 2})
        assert assortments.get(session, here.bin_id).missing == ()
        assortments.set_model(session, act(), here.bin_id, {})
        assert assortments.listed(session) == ()
    for bad in ({here.item_id: 0}, {here.item_id: -1}):
        with pytest.raises(InvalidInputError), workshop.write() as session:
            assortments.set_model(session, act(), here.bin_id, bad)
    with pytest.raises(NotFoundError), workshop.write() as session:
        assortments.set_model(session, act(), here.bin_id, {999: 1})
    with workshop.write() as session:
        oil = items.add(session, act(), kind=Kind.FLUID, name="oil", spec_class="HM")
    with pytest.raises(InvalidInputError, match="not counted in pieces"), workshop.write() as session:
        assortments.set_model(session, act(), here.bin_id, {oil.item_id: 5})


def test_a_round_walks_the_bins_and_a_box_is_counted_at_once(workshop: Workshop) -> None:
    counted = act("Stores")
    with workshop.write() as session:
        last = ring(session, 4, bin_code="b 2")
        first = ring(session, 7, size_key="as568:213", bin_code="A1")
        second = ring(session, 2, size_key="as568:216", bin_code="A1")
        round_ = count_round.stops(session)
        assert [(stop.code, [row.stock_id for row in stop.rows]) for stop in round_] == [
            ("A1", [first.stock_id, second.stock_id]),
            ("b 2", [last.stock_id]),
        ]
        assert [stop.code for stop in count_round.stops(session, {last.bin_id})] == ["b 2"]
        counts = {first.stock_id: 6, second.stock_id: 2}
        assert [(gap.row.stock_id, gap.by) for gap in count_round.gaps(round_[0].rows, counts)] == [
            (first.stock_id, -1)
        ]
        rows = count_round.enter(session, counted, counts)
        assert [row.on_hand for row in rows] == [6, 2]
        assert [shelf.movements(session, row.stock_id)[0].reason for row in rows] == ["count round"] * 2
        assert check(session).findings == ()
        undo.undo(session, act(), counted.key)
        assert shelf.stock_row(session, first.stock_id).on_hand == 7
        kits.accept_match(session, act(), job(session), ring_spec("as568:216", ["NBR"], pieces=2))
    with pytest.raises(NotEnoughError, match="promised"), workshop.write() as session:
        count_round.enter(session, act(), {first.stock_id: 1, second.stock_id: 1})
    with workshop.read() as session:  # all or none
        assert shelf.stock_row(session, first.stock_id).on_hand == 7
    for bad in ({}, {first.stock_id: -1}):
        with pytest.raises(InvalidInputError), workshop.write() as session:
            count_round.enter(session, act(), bad)


def test_usage_is_what_jobs_and_people_took_less_what_came_back(workshop: Workshop) -> None:
    today = NOON.date()
    with workshop.write() as session:
        row = ring(session, 500)
        for days, quantity in ((1, 4), (10, 6), (20, 2)):
            at = NOON - timedelta(days=days)
            shelf.use(session, act(at=at), stock_id=row.stock_id, quantity=quantity)
        shelf.use(session, act(at=NOON - timedelta(days=40)), stock_id=row.stock_id, quantity=100)  # before the window
        shelf.scrap(session, act(), stock_id=row.stock_id, quantity=9, reason="torn")  # no use
        undone = act()
        shelf.use(session, undone, stock_id=row.stock_id, quantity=50)
        undo.undo(session, act(), undone.key)
        need = kits.accept_match(session, act(), job(session), ring_spec("as568:214", ["NBR"], pieces=5))
        line_id = need.lines[0].line_id or 0
        kits.pick(session, act(), [line_id])
        kits.give_back(session, act(), line_id, 2)
        used = reorder_rules.usage(session, today, days=30)[row.item_id]
        point = reorder_rules.proposed(session, row.item_id, today, 14, service_level=0.95, days=30)
    # The standard library's statistics over the same thirty days.
    daily = [3, 4, 6, 2, *([0] * 26)]
    assert (used.total, used.days) == (15, 30)
    assert used.per_day == pytest.approx(mean(daily))
    assert used.spread == pytest.approx(stdev(daily))
    assert used.per_month == pytest.approx(15)
    # Stevenson, Operations Management: d·L + z·σ_d·√L for a fixed lead time.
    expected = mean(daily) * 14 + NormalDist().inv_cdf(0.95) * stdev(daily) * 14**0.5
    assert point.quantity == -(-expected // 1)


def test_what_is_past_its_day_is_not_free_to_a_rule(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 5)
        shelf.receive(
            *(session, act()),
            item_id=row.item_id,
            bin_id=row.bin_id,
            quantity=4,
            lot_code="old",
            expires_on=NOON.date() - timedelta(days=1),
        )
        rule = reorder_rules.set_rule(session, act(), row.item_id, order_at=5, up_to=20)
        assert (rule.free, rule.due, rule.to_order) == (5, True, 15)
        assert rule.reason.startswith(
            "5 free, at or below the reorder point of 5; 5 of them of unknown age; 4 more are past their day;"
        )
        # On its last day it is still good.
        (yesterday,) = reorder_rules.rules(session, NOON.date() - timedelta(days=1))
        assert (yesterday.free, yesterday.due) == (9, False)


def test_a_rule_says_when_to_order_and_why(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 12)
        kits.accept_match(session, act(), job(session), ring_spec("as568:214", ["NBR"], pieces=4))
        shelf.use(session, act(), stock_id=row.stock_id, quantity=2)
        above = reorder_rules.set_rule(session, act(), row.item_id, order_at=5, up_to=20, lead_days=10)
        assert (above.free, above.due, above.to_order) == (6, False, 0)
        due = reorder_rules.set_rule(session, act(), row.item_id, order_at=6, up_to=20)
        assert (due.due, due.to_order) == (True, 14)
        assert due.reason == (
            "6 free, at or below the reorder point of 6; 6 of them of unknown age; less than one used a month."
        )
        assert reorder_rules.rules(session, NOON.date(), due_only=True) == (due,)
        reorder_rules.drop_rule(session, act(), row.item_id)
        assert reorder_rules.rules(session, NOON.date()) == ()
    for at, up_to, lead in ((-1, 5, None), (5, 5, None), (1, 5, -1)):
        with pytest.raises(InvalidInputError), workshop.write() as session:
            reorder_rules.set_rule(session, act(), row.item_id, order_at=at, up_to=up_to, lead_days=lead)


def test_a_machine_says_where_it_was_built(workshop: Workshop) -> None:
    with workshop.write() as session:
        sprayer = machines.add(session, act(), name="Row sprayer")
        tractor = machines.add(session, act(), name="Orchard tractor 3", built=Built.JAPAN)
        assert (sprayer.built, tractor.built) == (Built.ANYWHERE, Built.JAPAN)
        pressed = act(key="built")
        for _ in range(2):
            assert machines.set_built(session, pressed, sprayer.machine_id, Built.EUROPE).built is Built.EUROPE
        assert [row.built for row in machines.listed(session)] == [Built.JAPAN, Built.EUROPE]
        assert machines.get(session, tractor.machine_id) == tractor
        assert bins.page(session) == ()
