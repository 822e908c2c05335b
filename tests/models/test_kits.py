"""Kits: needs at spec level become lines that say have or short; nothing is promised twice."""

from __future__ import annotations

from datetime import date

import pytest

from models import jobs, kits, machines, shelf
from models.database import Workshop
from models.errors import InvalidInputError, NotFoundError
from models.inventory import bins, items
from models.kits import NeedSpec
from models.kitting.promises import LineMovedError
from models.storage.check import check
from models.words import Kind, KitState, LineState
from tests.models.shop import INLET, act, job, ring, ring_spec


def test_an_accepted_match_says_have_it_with_bin_and_count(workshop: Workshop) -> None:
    with workshop.write() as session:
        ring(session, 5, bin_code="Box 2")
        need = kits.accept_match(
            session,
            act(),
            job(session),
            ring_spec("as568:214", ["nbr"], probability=0.9312345, evidence=INLET, pieces=2, spares=1, why="both fit"),
        )
    (line,) = need.lines
    assert (line.state, line.quantity, line.bin_code) == (LineState.HAVE, 3, "Box 2")
    assert need.missing == 0
    assert need.probability == pytest.approx(0.931234, abs=1e-6)
    assert need.why == "both fit"
    assert [(one.what, one.value_mm, one.plus_minus_mm, one.tool, one.condition) for one in need.readings] == [
        (one.dimension, one.value_mm, one.plus_minus_mm, one.tool, INLET.condition) for one in INLET.readings
    ]


def test_what_is_not_there_is_short_with_what_was_tried(workshop: Workshop) -> None:
    with workshop.write() as session:
        ring(session, 1)
        ring(session, 9, rubber="EPDM", bin_code="B7", lot="older", expires_on=date(2024, 1, 1))
        ring(session, 4, rubber="HNBR", bin_code="C3", lot="old", expires_on=date(2025, 1, 1))
        need = kits.accept_match(session, act(), job(session), ring_spec("as568:214", ["HNBR", "NBR"], pieces=4))
    have, short = need.lines
    assert (have.state, have.quantity, have.reason) == (LineState.HAVE, 1, "NBR instead of HNBR")
    assert (short.state, short.quantity, short.line_id) == (LineState.SHORT, 3, None)
    assert "lot older expired on 2024-01-01; EPDM is not among HNBR, NBR" in short.reason, "one hides not the other"
    assert "lot old expired on 2025-01-01" in short.reason
    assert "all 1 promised" in short.reason


def test_nothing_on_the_shelf_is_said(workshop: Workshop) -> None:
    with workshop.write() as session:
        need = kits.accept_match(session, act(), job(session), ring_spec("as568:214", equivalents=["metric:25x3.55"]))
    assert need.lines[0].reason == "No AS568-214 or 25 × 3.55 on the shelf."


def test_a_twin_serves_and_the_oldest_good_lot_goes_first(workshop: Workshop) -> None:
    with workshop.write() as session:
        ring(session, 2, lot="new", expires_on=date(2040, 1, 1), bin_code="A1")
        ring(session, 2, lot="old", expires_on=date(2027, 1, 1), bin_code="Z9")
        ring(session, 2, size_key="metric:25x3.55", bin_code="A0")
        need = kits.accept_match(
            session,
            act(),
            job(session),
            ring_spec("as568:214", ["NBR"], equivalents=["metric:25x3.55"], pieces=5),
        )
    taken = {(line.bin_code, line.lot.code): (line.quantity, line.reason) for line in need.lines}
    assert taken == {
        ("Z9", "old"): (2, ""),
        ("A1", "new"): (2, ""),
        ("A0", ""): (1, "metric:25x3.55 is the same ring by another name"),
    }


def test_two_kits_are_never_promised_the_same_ring(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 3)
        first = kits.accept_match(session, act(), job(session, "one"), ring_spec("as568:214", ["NBR"], pieces=2))
        second = kits.accept_match(session, act(), job(session, "two"), ring_spec("as568:214", ["NBR"], pieces=2))
        stock = shelf.stock_row(session, row.stock_id)
    assert [first.missing, second.missing] == [0, 1]
    assert (stock.on_hand, stock.promised, stock.free) == (3, 3, 0)


def test_a_kit_goes_from_draft_to_done(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 1)
        number = job(session)
        assert jobs.get(session, number).state is KitState.DRAFT
        kits.add_need(session, act(), number, ring_spec("as568:214", ["NBR"], pieces=2))
        assert kits.view(session, number).state is KitState.DRAFT
        assert kits.allocate(session, act(), number).state is KitState.SHORT
        shelf.receive(session, act(), item_id=row.item_id, bin_id=row.bin_id, quantity=4)
        ready = kits.allocate(session, act(), number)
        assert ready.state is KitState.READY
        lines = [line.line_id for need in ready.needs for line in need.lines if line.line_id]
        assert kits.pick(session, act(), lines).state is KitState.PICKED
        assert jobs.close(session, act(), number).state is KitState.DONE
        stock = shelf.stock_row(session, row.stock_id)
    assert (stock.on_hand, stock.promised) == (3, 0)
    with pytest.raises(InvalidInputError, match="closed"), workshop.write() as session:
        kits.add_need(session, act(), number, ring_spec("as568:214"))
    with pytest.raises(InvalidInputError, match="closed already"), workshop.write() as session:
        jobs.close(session, act(), number)


def test_closing_a_job_gives_promises_back(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 5)
        number = job(session)
        kits.accept_match(session, act(), number, ring_spec("as568:214", ["NBR"], pieces=4))
        jobs.close(session, act(), number)
        assert shelf.stock_row(session, row.stock_id).free == 5
        assert check(session).ok


def test_released_lines_turn_the_kit_short_and_can_not_be_released_twice(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 5)
        number = job(session)
        need = kits.accept_match(session, act(), number, ring_spec("as568:214", ["NBR"], pieces=4))
        line_id = need.lines[0].line_id
        assert line_id is not None
        after = kits.release(session, act(), line_id, "needed elsewhere")
        assert after.state is KitState.SHORT
        (lies,) = after.needs[0].lines
        assert (lies.state, lies.quantity, lies.bin_code, after.needs[0].short) == (LineState.FREE, 4, "A1", 0)
        assert shelf.stock_row(session, row.stock_id).free == 5
    with pytest.raises(LineMovedError), workshop.write() as session:
        kits.release(session, act(), line_id)
    with pytest.raises(LineMovedError), workshop.write() as session:
        kits.pick(session, act(), [line_id])


def test_a_struck_need_lets_go_of_its_stock(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 5)
        number = job(session)
        need = kits.accept_match(session, act(), number, ring_spec("as568:214", ["NBR"], pieces=4))
        after = kits.withdraw_need(session, act(), need.need_id, "not leaking after all")
        assert after.needs == ()
        assert shelf.stock_row(session, row.stock_id).free == 5


def test_fluids_are_wanted_to_the_full_mark_in_microlitres(workshop: Workshop) -> None:
    # 1 US quart = 0.9463529 L (NIST SP 811, appendix B.8), so 44 and 48 quarts are 41,639,530 and 45,424,941 µl.
    low, full = round(44 * 946_352.946), round(48 * 946_352.946)
    with workshop.write() as session:
        drum = bins.add(session, act(), code="Drum 1")
        oil = items.add(session, act(), kind=Kind.FLUID, name="UTTO drum", spec_class="UTTO", spec_grade="10W-30")
        row = shelf.receive(session, act(), item_id=oil.item_id, bin_id=drum.bin_id, quantity=40_000_000)
        number = job(session)
        kits.add_need(
            session,
            act(),
            number,
            NeedSpec(Kind.FLUID, spec_class="utto", spec_grade="10w-30", low_ul=low, full_ul=full),
        )
        (need,) = kits.allocate(session, act(), number).needs
        assert (low, full) == (41_639_530, 45_424_941)
        assert [(line.state, line.quantity) for line in need.lines] == [
            (LineState.HAVE, 40_000_000),
            (LineState.SHORT, 5_424_941),
        ]
        assert shelf.stock_row(session, row.stock_id).free == 0


def test_a_sealant_must_cure_in_time_and_a_grade_must_agree(workshop: Workshop) -> None:
    with workshop.write() as session:
        place = bins.add(session, act(), code="S")
        for name, minutes in (("slow", 48 * 60), ("day", 24 * 60), ("unknown", None)):
            item = items.add(
                session, act(), kind=Kind.SEALANT, name=name, spec_class="flange sealant", cure_minutes=minutes
            )
            shelf.receive(session, act(), item_id=item.item_id, bin_id=place.bin_id, quantity=1)
        bolt = items.add(session, act(), kind=Kind.FASTENER, name="bolt 8.8", spec_class="M10", spec_grade="8.8")
        shelf.receive(session, act(), item_id=bolt.item_id, bin_id=place.bin_id, quantity=9)
        number = job(session)
        kits.add_needs(
            session,
            act(),
            number,
            [
                NeedSpec(Kind.SEALANT, 2, spec_class="Flange Sealant", cure_minutes_at_most=24 * 60),
                NeedSpec(Kind.FASTENER, 4, spec_class="M10", spec_grade="10.9"),
            ],
        )
        sealant, bolts = kits.allocate(session, act(), number).needs
    assert [(line.state, line.item_name) for line in sealant.lines] == [(LineState.HAVE, "day"), (LineState.SHORT, "")]
    assert "cure 48 h, at most 24 h asked for" in sealant.lines[1].reason
    assert "cure not stated" in sealant.lines[1].reason
    assert bolts.lines[0].reason == "bolt 8.8 in S: grade 8.8, 10.9 asked for."


@pytest.mark.parametrize(
    "spec",
    [
        NeedSpec(Kind.RING),
        NeedSpec(Kind.RING, 0, size_key="as568:214"),
        NeedSpec(Kind.RING, 1, -1, size_key="as568:214"),
        NeedSpec(Kind.RING, size_key="as568:214", probability=1.5),
        NeedSpec(Kind.RING, size_key="as568:214", hardness_shore_a=0),
        NeedSpec(Kind.RING, size_key="as568:214", rubbers=["x" * 21]),
        NeedSpec(Kind.FLUID, spec_class="UTTO"),
        NeedSpec(Kind.FLUID, spec_class="UTTO", low_ul=5, full_ul=4),
        NeedSpec(Kind.FLUID, low_ul=5, full_ul=6),
        NeedSpec(Kind.FILTER),
        NeedSpec(Kind.FILTER, spec_class="spin-on", size_key="as568:214"),
        NeedSpec(Kind.SEALANT, spec_class="sealant", cure_minutes_at_most=-1),
    ],
)
def test_a_need_that_says_too_little_or_too_much_is_refused(workshop: Workshop, spec: NeedSpec) -> None:
    with workshop.write() as session:
        number = job(session)
    with pytest.raises(InvalidInputError), workshop.write() as session:
        kits.add_need(session, act(), number, spec)
    with workshop.read() as session:
        assert kits.view(session, number).needs == ()


def test_a_need_may_name_the_position_it_is_for(workshop: Workshop) -> None:
    with workshop.write() as session:
        sprayer = machines.add(session, act(), name="Row sprayer")
        sump = machines.add_position(session, act(), machine_id=sprayer.machine_id, name="sump", takes=Kind.FLUID)
        plug = machines.add_position(session, act(), machine_id=sprayer.machine_id, name="plug ring")
        number = jobs.open_job(session, act(), title="Leak", machine_id=sprayer.machine_id).job_id
        need = kits.add_need(session, act(), number, ring_spec("as568:214", position_id=plug.position_id))
        assert need.position_name == "plug ring"
    with pytest.raises(InvalidInputError, match="does not take a ring"), workshop.write() as session:
        kits.add_need(session, act(), number, ring_spec("as568:214", position_id=sump.position_id))


def test_the_same_key_accepts_once(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 5)
        number = job(session)
    pressed = act(key="enter")
    answers = []
    for _ in range(2):
        with workshop.write() as session:
            answers.append(kits.accept_match(session, pressed, number, ring_spec("as568:214", ["NBR"], pieces=2)))
    assert answers[0] == answers[1]
    with workshop.read() as session:
        assert len(kits.view(session, number).needs) == 1
        assert shelf.stock_row(session, row.stock_id).promised == 2


def test_jobs_are_listed_by_urgency_with_their_state(workshop: Workshop) -> None:
    with workshop.write() as session:
        for title, due in (("none", None), ("late", date(2026, 5, 1)), ("soon", date(2026, 4, 1))):
            jobs.open_job(session, act(), title=title, due_on=due)
        assert [row.title for row in jobs.listed(session)] == ["soon", "late", "none"]
        assert {row.state for row in jobs.listed(session)} == {KitState.DRAFT}
        jobs.close(session, act(), jobs.listed(session)[0].job_id)
        assert [row.title for row in jobs.listed(session, closed=True)] == ["soon"]
    with pytest.raises(NotFoundError, match="no job 99"), workshop.read() as session:
        kits.view(session, 99)
