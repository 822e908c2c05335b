"""What a job's parts cost: by what came, by lists, or not known; no sum hides an unknown."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from catalog.orings.sizes import all_sizes
from models import jobs, kits, shelf
from models.database import Workshop
from models.inventory import bins, items
from models.kits import NeedSpec
from models.orders.costs import CostLine, JobCost, of_job
from models.orders.receiving import Came, receive
from models.undoing.undo import undo
from models.words import Kind, Unit
from tests.models.kitting.test_poured import LITRE, pails, poured, sump
from tests.models.orders.buying import FIRST, ON, ordered, rings, short_job, supplier
from tests.models.shop import act, ring
from tests.statements import counted

FEW, MANY, MOST = 5, 50, 30


def told(cost: JobCost) -> list[tuple[str, int, int | None, str]]:
    return [(one.item_name, one.quantity, one.cost_minor, one.source) for one in cost.lines]


def test_a_part_costs_what_it_came_for_then_what_a_list_says_then_nobody_knows(
    workshop: Workshop, tmp_path: Path
) -> None:
    supplier(workshop, tmp_path, FIRST)
    with workshop.write() as session:
        job_id = short_job(session, rings(3))
        place = bins.add(session, act(), code="C1").bin_id
        rags = items.add(session, act(), kind=Kind.CONSUMABLE, name="Rags", spec_class="rags")
        shelf.receive(session, act(), item_id=rags.item_id, bin_id=place, quantity=9)
        ring(session, 5, size_key="as568:116")  # on the list at 0.20, never ordered
        more = [rings(2, "as568:116", ("NBR",)), NeedSpec(Kind.CONSUMABLE, 4, title="rags", spec_class="rags")]
        kits.add_needs(session, act(), job_id, more)
        kits.allocate(session, act(), job_id)
        before = of_job(session, job_id, ON)
    assert before.lacking == ("ring as568:214",)
    order = ordered(workshop)
    with workshop.write() as session:
        receive(session, act(key="came"), order.order_id, [Came(order.lines[0].line_id, 3, "Box 9")])
        cost = of_job(session, job_id, ON)
    first = "First supplier (invented)"
    assert told(cost) == [
        ("O-ring AS568 214 HNBR 70", 3, 150, f"order 1 from {first}, came {ON}"),
        ("O-ring as568:116 NBR 70", 2, 40, f"list of {first}, R116"),
        ("Rags", 4, None, ""),
    ]
    assert [(one.minor, one.currency) for one in cost.totals] == [(190, "EUR")]
    assert (cost.unknown, cost.lacking) == (("Rags",), ())
    assert [bool(one.doubt) for one in cost.lines] == [False, True, False], "the list's row was only read from its text"
    # What goes back costs nothing; what was undone never came.
    with workshop.write() as session:
        lines = [line.line_id or 0 for need in kits.view(session, job_id).needs for line in need.lines]
        kits.pick(session, act(), lines)
        kits.give_back(session, act(), lines[-1], 1)
        assert {one.item_name: one.quantity for one in of_job(session, job_id, ON).lines}["Rags"] == 3
        jobs.close(session, act(), job_id)
        assert of_job(session, job_id, ON).lacking == ()


def test_an_undone_delivery_prices_nothing(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, FIRST)
    with workshop.write() as session:
        job_id = short_job(session, rings(3))
    order = ordered(workshop)
    with workshop.write() as session:
        receive(session, act(key="came"), order.order_id, [Came(order.lines[0].line_id, 3, "Box 9")])
        undo(session, act(), "came")
        cost = of_job(session, job_id, ON)
    assert (cost.lines, cost.totals, cost.lacking) == ((), (), ("ring as568:214",))


def test_oil_from_no_container_on_record_is_no_price_left_out(workshop: Workshop) -> None:
    with workshop.write() as session:
        pails(session, 20)
        job_id, need = sump(session, 28, 32)
        kits.allocate(session, act(), job_id)
        poured(session, need, 30)
        for _ in range(2):
            cost = of_job(session, job_id, ON)
            assert told(cost) == [
                ("UTTO oil P", 20 * LITRE, None, ""),
                ("oil", 10 * LITRE, None, "poured from no container on record"),
            ]
            assert (cost.unknown, cost.lacking) == (("UTTO oil P", "oil"), ())
            jobs.close(session, act(key="close"), job_id)


@given(st.lists(st.tuples(st.one_of(st.none(), st.integers(0, 10**9)), st.sampled_from(["EUR", "USD", "JPY"]))))
def test_the_sums_are_those_of_the_priced_lines_and_every_other_line_is_named(
    drawn: list[tuple[int | None, str]],
) -> None:
    lines = tuple(
        CostLine(at, f"part {at}", 1, Unit.EACH, minor, "" if minor is None else currency, "", "")
        for at, (minor, currency) in enumerate(drawn)
    )
    cost = JobCost(1, "job", lines)
    for total in cost.totals:
        assert total.minor == sum(
            minor for minor, currency in drawn if minor is not None and currency == total.currency
        )
    assert len(cost.unknown) + sum(minor is not None for minor, _ in drawn) == len(drawn)


def test_costs_send_as_much_for_fifty_lines_as_for_five(workshop: Workshop, tmp_path: Path) -> None:
    sizes = [one for one in all_sizes() if one.key.startswith("as568:")]
    supplier(workshop, tmp_path, [f"R{at},O-RING {one.label} NBR 70,0.50,1" for at, one in enumerate(sizes)])
    found = []
    for number in (FEW, MANY):
        with workshop.write() as session:
            for one in sizes[number : 2 * number]:
                ring(session, 9, size_key=one.key)
            job_id = short_job(session, *(rings(2, one.key, ("NBR",)) for one in sizes[number : 2 * number]))
        with workshop.read() as session, counted(session) as sent:
            cost = of_job(session, job_id, ON)
        assert (len(cost.lines), cost.unknown) == (number, ())
        found.append(len(sent))
    assert found[0] == found[1] <= MOST
