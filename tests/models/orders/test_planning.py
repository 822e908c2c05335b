"""What becomes short lines, what qualifies, and what the plan says."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path

import pytest

from models.database import Workshop
from models.inventory import reorder_rules
from models.kitting.needs import NeedSpec
from models.orders.planning import gather
from models.orders.what_it_is import words_in
from models.purchasing.demand import Why
from models.words import Kind
from tests.models.orders.buying import FIRST, ON, SECOND, oil, planned, rings, short_job, supplier
from tests.models.shop import act, ring


def test_a_short_ring_is_bought_where_it_costs_least(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, FIRST)
    supplier(workshop, tmp_path, SECOND, "Second supplier (invented)")
    with workshop.write() as session:
        short_job(session, rings(3))
    found = planned(workshop)
    (order,) = found.orders
    (line,) = order.lines
    # By hand: 3 × 0.45 = 1.35 against 3 × 0.50 = 1.50 and 30.00 for a hundred.
    assert (order.supplier, line.offer.row.number, line.packs, order.total_minor) == (
        "Second supplier (invented)", "S-214", 3, 135,
    )  # fmt: skip
    assert [found.total, found.line_by_line, found.single_supplier] == [Fraction(135)] * 3
    assert found.proven


def test_another_rubber_is_no_ring_for_it_and_the_line_says_why(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, FIRST)
    with workshop.write() as session:
        short_job(session, rings(3, rubbers=("FKM",)))
    found = planned(workshop)
    (cannot,) = found.cannot
    assert (found.orders, cannot.why) == ((), Why.NO_OFFER)
    assert "HNBR is not among FKM" in cannot.tried


def test_a_rubber_allowed_but_not_first_carries_its_caution(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, FIRST)
    with workshop.write() as session:
        short_job(session, rings(1, rubbers=("FKM", "HNBR")))
    (line,) = planned(workshop).orders[0].lines
    assert "HNBR instead of FKM" in line.shares[0].caution


def test_what_was_only_read_is_said_with_its_doubt(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, FIRST)
    with workshop.write() as session:
        short_job(session, rings(1))
    (line,) = planned(workshop).doubts
    assert line.doubt.startswith("read as AS568-214 HNBR 70, ")
    assert line.doubt in line.shares[0].caution


def test_a_fluid_comes_by_class_and_grade_in_the_packs_there_are(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, FIRST)
    with workshop.write() as session:
        short_job(session, oil(20))
    (line,) = planned(workshop).orders[0].lines
    # 5 US gallons of 231 in³ (NIST Handbook 44, appendix C) are 18.927 L: 20 L take two pails.
    assert (line.packs, line.offer.pack_quantity) == (2, 18_927_059)
    assert line.spare == 2 * 18_927_059 - 20_000_000


@pytest.mark.parametrize("text", ["Tractor fluid UTTO 10W-30,60.00,1", "Hydraulic HM ISO VG 46,60.00,20 L"])
def test_a_fluid_of_unknown_volume_or_another_class_is_not_bought(
    workshop: Workshop, tmp_path: Path, text: str
) -> None:
    supplier(workshop, tmp_path, [f"X,{text}", "Y,Engine oil API CK-4 15W-40,30.00,5 L"])
    with workshop.write() as session:
        short_job(session, oil(5))
    assert planned(workshop).orders == ()


def test_a_bolt_comes_by_the_words_of_its_class(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, FIRST)
    with workshop.write() as session:
        bolts = NeedSpec(Kind.FASTENER, 4, spec_class="M10 × 1.5 × 30", spec_grade="8.8", title="bolts")
        short_job(session, bolts)
        short_job(session, bolts._replace(spec_grade="10.9"), title="other grade")
    found = planned(workshop)
    assert [(line.offer.row.number, line.packs) for order in found.orders for line in order.lines] == [("M10", 4)]
    assert [cannot.short.job_title for cannot in found.cannot] == ["other grade"]


def test_dimensions_are_the_same_words_however_they_are_joined() -> None:
    assert words_in("M10 × 1,5 × 30") == words_in("m10x1.5x30") == {"m10", "1.5", "30"}


def test_what_is_on_the_shelf_is_not_bought(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, FIRST)
    with workshop.write() as session:
        ring(session, 2, rubber="HNBR")
        short_job(session, rings(3))
    assert [short.quantity for short in planned(workshop).gathered.shorts] == [1]


def test_two_jobs_with_the_same_need_share_a_pack(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, ["P,O-RING AS568-214 HNBR 70,3.00,10"])
    with workshop.write() as session:
        short_job(session, rings(4))
        short_job(session, rings(5), title="Second")
    (line,) = planned(workshop).orders[0].lines
    assert (line.packs, line.spare, [share.quantity for share in line.shares]) == (1, 1, [4, 5])


def test_only_the_jobs_chosen_are_bought_for(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, FIRST)
    with workshop.write() as session:
        short_job(session, rings(4))
        second = short_job(session, rings(5), title="Second")
    assert [short.job_id for short in planned(workshop, job_ids=[second]).gathered.shorts] == [second]


def test_a_job_due_before_it_can_come_is_not_bought_unless_its_day_does_not_matter(
    workshop: Workshop, tmp_path: Path
) -> None:
    supplier(workshop, tmp_path, FIRST, lead=5)
    with workshop.write() as session:
        short_job(session, rings(1), due_on=ON + timedelta(days=3))
    (cannot,) = planned(workshop).cannot
    assert cannot.why is Why.ARRIVES_TOO_LATE
    assert str(ON + timedelta(days=5)) in cannot.reason
    assert len(planned(workshop, by_date=False).orders) == 1


def test_a_day_that_has_passed_means_as_soon_as_can_be(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, FIRST)
    with workshop.write() as session:
        short_job(session, rings(1), due_on=ON - timedelta(days=1))
    found = planned(workshop)
    assert len(found.orders) == 1
    assert found.gathered.shorts[0].note == f"was due on {ON - timedelta(days=1)}: as soon as can be"


def test_what_can_be_bought_is_planned_beside_what_can_not(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, FIRST)
    with workshop.write() as session:
        short_job(session, rings(1), rings(1, "as568:222"))
    found = planned(workshop)
    assert (len(found.orders), [one.short.title for one in found.cannot]) == (1, ["ring as568:222"])


def test_a_reorder_point_reached_is_bought_up_to_its_fill(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, FIRST)
    with workshop.write() as session:
        row = ring(session, 3, size_key="as568:116")
        reorder_rules.set_rule(session, act(), row.item_id, order_at=4, up_to=20)
    (line,) = planned(workshop).orders[0].lines
    assert (line.offer.row.number, line.packs, line.shares[0].short.item_id) == ("R116", 17, row.item_id)
    assert planned(workshop, reorder=False).orders == ()


def test_a_price_for_a_hundred_is_exact(workshop: Workshop, tmp_path: Path) -> None:
    supplier(
        workshop, tmp_path, ["H,O-RING AS568-214 HNBR 70,3.45,100,1"], header="Part no,Description,Price,Price per,Pack"
    )
    with workshop.write() as session:
        short_job(session, rings(7))
    found = planned(workshop)
    # 7 × 3.45 / 100 = 0.2415: exact in the total, 0.24 on the order.
    assert (found.gathered.scale % 20, found.total) == (0, Fraction(2415, 100))
    assert found.orders[0].lines[0].cost_minor == 24


def test_freight_and_a_limit_of_suppliers_count(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, FIRST, freight=500)
    supplier(workshop, tmp_path, ["B,O-RING AS568-116 NBR 70,0.01,1"], "Second supplier (invented)", freight=300)
    with workshop.write() as session:
        short_job(session, rings(10), rings(100, "as568:116", ("NBR",)))
    found = planned(workshop)
    # Both: 10 × 0.50 + 5.00 + 100 × 0.01 + 3.00 = 14.00; the first alone: 5.00 + 20.00 + 5.00 = 30.00.
    assert [found.total, found.single_supplier] == [Fraction(1400), Fraction(3000)]
    assert found.single_name == "First supplier (invented)"
    assert planned(workshop, max_suppliers=1).total == 3000


def test_a_minimum_out_of_reach_names_it(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, ["R,O-RING AS568-222 HNBR 70,0.50,1"], minimum=10_000)
    with workshop.write() as session:
        short_job(session, rings(1, "as568:222"))
    found = planned(workshop)
    # More of the same is bought to reach it, and said as spare: 200 × 0.50 = 100.00.
    assert (found.orders[0].goods_minor, found.orders[0].lines[0].spare) == (10_000, 199)
    assert found.would_expire[0].usage_known is False


def test_a_withdrawn_row_and_one_without_a_price_are_not_offered(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, ["R,O-RING AS568-214 HNBR 70,,1"])
    with workshop.write() as session:
        short_job(session, rings(1))
    (cannot,) = planned(workshop).cannot
    assert "the list gives no price" in cannot.tried


def test_nothing_short_is_no_plan(workshop: Workshop) -> None:
    found = planned(workshop)
    assert (found.orders, found.cannot, found.gathered.lines) == ((), (), ())


def test_gathering_looks_at_another_day(workshop: Workshop, tmp_path: Path) -> None:
    with workshop.write() as session:
        short_job(session, rings(1), due_on=date(2026, 3, 9))
    with workshop.read() as session:
        assert gather(session, date(2026, 3, 9)).shorts[0].needed_by == date(2026, 3, 9)
        assert gather(session, date(2026, 3, 10)).shorts[0].needed_by is None


def test_what_lies_free_on_the_shelf_is_not_bought_though_nobody_looked_yet(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, FIRST)
    with workshop.write() as session:
        ring(session, 3, rubber="HNBR")
        short_job(session, rings(2), look=False)
        short_job(session, rings(2), title="Second", look=False)
    (short,) = planned(workshop).gathered.shorts
    assert (short.job_title, short.quantity) == ("Second", 1)
    assert short.note == "1 more lie free on the shelf: look there for this kit"


def test_a_crowd_of_rows_that_name_the_class_hides_no_row_that_names_the_grade_too(
    workshop: Workshop, tmp_path: Path
) -> None:
    crowd = [f"G{number:03},Gasket for UTTO pump {number},1.00,1" for number in range(320)]
    supplier(workshop, tmp_path, [*crowd, "U5,Tractor fluid UTTO 10W-30,60.00,5 gal"])
    with workshop.write() as session:
        short_job(session, oil(10), oil(10, "HM", "ISO VG 46"))
    found = planned(workshop)
    assert [line.offer.row.number for order in found.orders for line in order.lines] == ["U5"]
    with workshop.read() as session:
        tried = gather(session, ON).tried
    assert any("more than 300 rows name “UTTO”" in text for text in tried.values())
