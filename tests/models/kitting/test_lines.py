"""Lines by hand: pin, take another quantity, give a rest back, put back, look again; and each of them undone."""

from __future__ import annotations

from datetime import date

import pytest
from sqlmodel import Session

from models import jobs, kits, shelf
from models.database import Workshop
from models.errors import CannotUndoError, InvalidInputError, NotEnoughError, NotFoundError
from models.inventory import bins, items
from models.inventory.item_figures import ItemFigures
from models.kits import NeedSpec
from models.kitting.kit_view import KitView, LineView
from models.kitting.promises import LineMovedError
from models.stock_rows import StockRow
from models.storage.check import check
from models.undoing import undo
from models.words import Kind, KitState, LineState
from tests.models.shop import NOON, act, job, ring, ring_spec

GALLON = 3_785_412
"""1 US gallon in whole microlitres: 231 in³ of 16.387064 ml each (NIST SP 811, appendix B.8), rounded."""


def _pail(session: Session, full: int) -> StockRow:
    place = bins.add(session, act(), code="Drum 1")
    oil = items.add(
        session, act(), kind=Kind.FLUID, name="UTTO, pail", spec_class="UTTO", spec_grade="10W-30",
        figures=ItemFigures(container=5 * GALLON),
    )  # fmt: skip
    return shelf.receive(session, act(), item_id=oil.item_id, bin_id=place.bin_id, quantity=full * 5 * GALLON)


def _lines(kit: KitView) -> list[LineView]:
    return [line for need in kit.needs for line in need.lines if line.line_id is not None]


def _oil_job(session: Session, gallons: int) -> tuple[int, int]:
    number = job(session)
    spec = NeedSpec(
        Kind.FLUID, spec_class="UTTO", spec_grade="10W-30", low_ul=GALLON, full_ul=gallons * GALLON, title="oil"
    )
    kits.add_need(session, act(), number, spec)
    (line,) = _lines(kits.allocate(session, act(), number))
    assert line.line_id is not None
    return number, line.line_id


def test_a_pail_with_a_rest_in_it_is_stock(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = _pail(session, 2)
        assert (row.container, row.full, row.opened) == (5 * GALLON, 2, 0)
        number, line_id = _oil_job(session, 4)
        kits.pick(session, act(), [line_id])
        after = kits.give_back(session, act(), line_id, GALLON)
        assert after.state is KitState.PICKED
        (line,) = _lines(after)
        assert (line.state, line.quantity, line.given_back) == (LineState.PICKED, 4 * GALLON, GALLON)
        left = shelf.stock_row(session, row.stock_id)
        # 10 gallons, 4 taken, 1 back: one full pail and 2 gallons in the opened one.
        assert (left.on_hand, left.full, left.opened) == (7 * GALLON, 1, 2 * GALLON)
        with pytest.raises(InvalidInputError, match=r"11\.36 L is out"):
            kits.give_back(session, act(), line_id, 4 * GALLON)
        assert kits.view(session, number).needs[0].missing == 0
        assert check(session).findings == ()


def test_less_than_promised_leaves_the_rest_promised_and_more_comes_from_free_stock(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = _pail(session, 1)
        number, line_id = _oil_job(session, 3)
        short = kits.pick(session, act(), [line_id], taken={line_id: 2 * GALLON})
        assert {(line.state, line.quantity) for line in _lines(short)} == {
            (LineState.PICKED, 2 * GALLON),
            (LineState.HAVE, GALLON),
        }
        rest = next(line.line_id for line in _lines(short) if line.state is LineState.HAVE)
        assert rest is not None
        done = kits.pick(session, act(), [rest], taken={rest: 2 * GALLON})
        assert done.state is KitState.PICKED
        stock = shelf.stock_row(session, row.stock_id)
        assert (stock.on_hand, stock.promised) == (GALLON, 0)
        assert check(session).findings == ()
        number, line_id = _oil_job(session, 1)
    with pytest.raises(NotEnoughError), workshop.write() as session:
        kits.pick(session, act(), [line_id], taken={line_id: 2 * GALLON})
    with pytest.raises(InvalidInputError, match="can't be taken"), workshop.write() as session:
        kits.pick(session, act(), [line_id], taken={line_id: 0})
    with workshop.read() as session:
        assert [line.line_id for line in _lines(kits.view(session, number))] == [line_id]


def test_taking_another_quantity_is_undone_whole(workshop: Workshop) -> None:
    done = act()
    with workshop.write() as session:
        row = _pail(session, 1)
        number, line_id = _oil_job(session, 3)
        before = kits.view(session, number)
        kits.pick(session, done, [line_id], taken={line_id: 2 * GALLON})
        undo.undo(session, act(), done.key)
        assert kits.view(session, number) == before
        assert shelf.stock_row(session, row.stock_id).promised == 3 * GALLON
        assert check(session).findings == ()


def test_giving_back_is_undone_and_holds_the_pick(workshop: Workshop) -> None:
    picked, back = act(), act()
    with workshop.write() as session:
        row = _pail(session, 1)
        _, line_id = _oil_job(session, 3)
        kits.pick(session, picked, [line_id])
        kits.give_back(session, back, line_id, GALLON)
    with pytest.raises(CannotUndoError, match="came back"), workshop.write() as session:
        undo.undo(session, act(), picked.key)
    with workshop.write() as session:
        undo.undo(session, act(), back.key)
        assert shelf.stock_row(session, row.stock_id).on_hand == 2 * GALLON
        undo.undo(session, act(), picked.key)
        assert shelf.stock_row(session, row.stock_id).on_hand == 5 * GALLON
        assert check(session).findings == ()
    with pytest.raises(LineMovedError), workshop.write() as session:
        kits.give_back(session, act(), line_id, GALLON)


def test_the_wrong_one_put_back_opens_its_need_again(workshop: Workshop) -> None:
    back = act()
    with workshop.write() as session:
        row = ring(session, 5)
        number = job(session)
        need = kits.accept_match(session, act(), number, ring_spec("as568:214", ["NBR"], pieces=2))
        line_id = need.lines[0].line_id
        assert line_id is not None
        kits.pick(session, act(), [line_id])
        after = kits.put_back(session, back, line_id, "wrong drawer")
        assert (after.state, after.needs[0].missing) == (KitState.SHORT, 2)
        assert shelf.stock_row(session, row.stock_id).free == 5
        undo.undo(session, act(), back.key)
        assert kits.view(session, number).state is KitState.PICKED
        assert shelf.stock_row(session, row.stock_id).on_hand == 3
        kits.give_back(session, act(), line_id, 1)
        assert check(session).findings == ()
        kits.give_back(session, act(), line_id, 1)
    with pytest.raises(InvalidInputError, match="came back to the shelf already"), workshop.write() as session:
        kits.put_back(session, act(), line_id)


def test_a_pinned_line_sticks_and_is_marked(workshop: Workshop) -> None:
    pinned = act("Bench 2")
    with workshop.write() as session:
        ring(session, 5, bin_code="A1")
        epdm = ring(session, 5, rubber="EPDM", bin_code="B1")
        number = job(session)
        need = kits.accept_match(session, act(), number, ring_spec("as568:214", ["NBR"], pieces=3))
        kit = kits.pin(session, pinned, need.need_id, epdm.stock_id, 2, "brake fluid here")
        by_hand = next(line for line in _lines(kit) if line.pinned)
        assert (by_hand.quantity, by_hand.bin_code) == (2, "B1")
        assert by_hand.reason == "pinned by Bench 2; brake fluid here; against: EPDM is not among NBR"
        assert kit.needs[0].missing == 0  # the other line made room for two and keeps its third
        again = kits.look_again(session, act(), number)
        assert by_hand in _lines(again)
        assert [(line.quantity, line.bin_code) for line in _lines(again) if not line.pinned] == [(1, "A1")]
        picked = kits.pick(session, act(), [by_hand.line_id or 0], taken={by_hand.line_id or 0: 1})
        assert [line.pinned for line in _lines(picked) if line.bin_code == "B1"] == [True, True]
        assert check(session).findings == ()


def test_pinning_is_undone_and_refused_where_it_can_not_be(workshop: Workshop) -> None:
    pinned = act()
    with workshop.write() as session:
        ring(session, 5, bin_code="A1")
        other = ring(session, 1, size_key="as568:222", bin_code="B1")
        number = job(session)
        need = kits.accept_match(session, act(), number, ring_spec("as568:214", ["NBR"], pieces=1))
        before = kits.view(session, number)
        kit = kits.pin(session, pinned, need.need_id, other.stock_id)
        assert "against: AS568-222, where AS568-214 was asked for: no groove was measured" in _lines(kit)[0].reason
        undo.undo(session, act(), pinned.key)
        assert kits.view(session, number) == before
        kits.pin(session, act(), need.need_id, other.stock_id)
    with pytest.raises(InvalidInputError, match="no room"), workshop.write() as session:
        kits.pin(session, act(), need.need_id, other.stock_id)
    with workshop.write() as session:
        oil = _pail(session, 1)
    with pytest.raises(NotFoundError, match="no ring in stock"), workshop.write() as session:
        kits.pin(session, act(), need.need_id, oil.stock_id)


def test_looking_again_leaves_expired_stock_for_better(workshop: Workshop) -> None:
    later = NOON.replace(month=9)
    with workshop.write() as session:
        ring(session, 2, lot="L1", expires_on=date(2026, 6, 1), bin_code="A1")
        number = job(session)
        kits.accept_match(session, act(), number, ring_spec("as568:214", ["NBR"], pieces=2))
        ring(session, 9, lot="L2", expires_on=date(2030, 1, 1), bin_code="B1")
        stays = kits.allocate(session, act(at=later), number)
        assert [line.lot.code for line in _lines(stays)] == ["L1"]
        afresh = kits.look_again(session, act(at=later), number)
        assert [line.lot.code for line in _lines(afresh)] == ["L2"]
        assert check(session).findings == ()


def test_an_opened_container_goes_before_a_full_one(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = _pail(session, 1)
        place = bins.add(session, act(), code="Drum 9")
        shelf.receive(session, act(), item_id=row.item_id, bin_id=place.bin_id, quantity=2 * GALLON)
        number = job(session)
        spec = NeedSpec(Kind.FLUID, spec_class="UTTO", spec_grade="10W-30", low_ul=GALLON, full_ul=3 * GALLON)
        kits.add_need(session, act(), number, spec)
        kit = kits.allocate(session, act(), number)
    by_line = sorted(_lines(kit), key=lambda line: line.line_id or 0)
    assert [(line.bin_code, line.quantity) for line in by_line] == [("Drum 9", 2 * GALLON), ("Drum 1", GALLON)]


def test_unpinning_and_scrapping_look_for_other_and_are_undone(workshop: Workshop) -> None:
    unpinned, scrapped = act(), act()
    with workshop.write() as session:
        first = ring(session, 3, bin_code="A1")
        epdm = ring(session, 5, rubber="EPDM", bin_code="B1")
        number = job(session)
        need = kits.accept_match(session, act(), number, ring_spec("as568:214", ["NBR"], pieces=3))
        (line,) = _lines(kits.pin(session, act(), need.need_id, epdm.stock_id))
        by_hand = kits.view(session, number)
        kits.unpin(session, unpinned, line.line_id or 0)
        loose = kits.unpin(session, unpinned, line.line_id or 0)  # a second try with the same key changes nothing
        assert [(one.quantity, one.bin_code, one.pinned) for one in _lines(loose)] == [(3, "A1", False)]
        undo.undo(session, act(), unpinned.key)
        assert kits.view(session, number) == by_hand
        kits.scrap(session, scrapped, line.line_id or 0, 1, "nicked")
        after = kits.view(session, number)
        assert [(one.quantity, one.bin_code, one.pinned) for one in _lines(after)] == [
            (1, "A1", False),
            (2, "B1", True),
        ]
        assert shelf.stock_row(session, epdm.stock_id).on_hand == 4
        undo.undo(session, act(), scrapped.key)
        assert kits.view(session, number) == by_hand
        assert shelf.stock_row(session, first.stock_id).free == 3
        assert check(session).findings == ()
    with pytest.raises(InvalidInputError, match="reason"), workshop.write() as session:
        kits.scrap(session, act(), line.line_id or 0, 1, " ")
    with pytest.raises(InvalidInputError, match="than the line holds"), workshop.write() as session:
        kits.scrap(session, act(), line.line_id or 0, 4, "nicked")
    with workshop.write() as session:
        kits.release(session, act(), line.line_id or 0)
    with pytest.raises(LineMovedError), workshop.write() as session:
        kits.unpin(session, act(), line.line_id or 0)


def test_after_a_part_came_back_the_rest_can_be_put_back_too_but_not_on_a_closed_job(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 2)
        job_id = job(session)
        need = kits.accept_match(session, act(), job_id, ring_spec("as568:214", ["NBR"], pieces=2))
        line_id = need.lines[0].line_id or 0
        kits.pick(session, act(), [line_id])
        kits.give_back(session, act(), line_id, 1)
        back = act()
        after = kits.put_back(session, back, line_id)
        assert (after.needs[0].missing, shelf.stock_row(session, row.stock_id).free) == (2, 2)
        undo.undo(session, act(), back.key)
        assert shelf.stock_row(session, row.stock_id).on_hand == 1
        jobs.close(session, act(), job_id)
    with pytest.raises(InvalidInputError, match="is closed"), workshop.write() as session:
        kits.put_back(session, act(), line_id)
    with workshop.write() as session:
        kits.give_back(session, act(), line_id, 1)
        assert check(session).ok
