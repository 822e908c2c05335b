"""Tally and shelf are one: what is poured leaves its container, whatever the order of picking, pouring and undoing."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest
from sqlmodel import Session, col, select

from models import jobs, kits, shelf
from models.database import Workshop
from models.errors import InvalidInputError
from models.inventory import bins, item_figures, items
from models.kitting import fluid_tally
from models.kitting.fluid_tally import Filled
from models.kitting.needs import NeedSpec
from models.orders.shorts import short_lines
from models.storage.check import check
from models.tables import Stock
from models.undoing.undo import undo
from models.words import Kind, KitState, LineState
from tests.models.shop import NOON, act, job

LITRE = 1_000_000
TODAY = NOON.date()


def pails(session: Session, *litres: int, code: str = "P", oil: str = "UTTO") -> list[int]:
    """Pails of 20 L of one oil, each in a bin of its own with so many litres in it; by their stock."""
    item = items.add(
        session, act(), kind=Kind.FLUID, name=f"UTTO oil {code}", spec_class=oil, spec_grade="10W-30",
        figures=item_figures.ItemFigures(container=20 * LITRE),
    )  # fmt: skip
    found = []
    for number, much in enumerate(litres, start=1):
        place = bins.add(session, act(), code=f"{code}{number}")
        row = shelf.receive(session, act(), item_id=item.item_id, bin_id=place.bin_id, quantity=much * LITRE)
        found.append(row.stock_id)
    return found


def sump(session: Session, low: int = 18, full: int = 22, oil: str = "UTTO") -> tuple[int, int]:
    """A job that takes oil between its marks, in litres, not looked for yet: its number and the need's."""
    number = job(session)
    spec = NeedSpec(Kind.FLUID, spec_class=oil, low_ul=low * LITRE, full_ul=full * LITRE, title="oil")
    return number, kits.add_need(session, act(), number, spec).need_id


def poured(session: Session, need: int, litres: float, stock_id: int | None = None) -> fluid_tally.FluidTally:
    """The tally once so much was poured."""
    return fluid_tally.note(
        session, act(), need, Filled.POURED, Fraction(litres) * LITRE, f"{litres} L", stock_id=stock_id
    )


def shelf_of(session: Session, stock_ids: list[int]) -> list[tuple[float, float]]:
    """Litres on hand and promised, by stock."""
    rows = session.exec(select(Stock).where(col(Stock.id).in_(stock_ids)).order_by(col(Stock.id))).all()
    return [(row.on_hand / LITRE, row.promised / LITRE) for row in rows]


def test_twenty_litres_poured_and_never_picked_leave_the_pail(workshop: Workshop) -> None:
    with workshop.write() as session:
        stock = pails(session, 20)
        number, need = sump(session)
        kits.allocate(session, act(), number)
        tally = poured(session, need, 20)
        assert shelf_of(session, stock) == [(0, 0)]
        assert [(one.bin_code, one.volume_ul) for one in tally.entries[0].taken] == [("P1", 20 * LITRE)]
        assert (tally.picked_ul, tally.poured_ul, tally.unrecorded_ul) == (20 * LITRE, 20 * LITRE, 0)
    with workshop.read() as session:
        kit = kits.view(session, number, on=TODAY)
        # 20 L of an 18 to 22 L fill stands between the marks: nothing is short, and nothing is bought for it.
        assert (kit.state, kit.needs[0].missing) == (KitState.PICKED, 0)
        assert short_lines(session, None, TODAY) == ()
        assert check(session).ok


def test_what_was_picked_before_is_poured_first(workshop: Workshop) -> None:
    with workshop.write() as session:
        stock = pails(session, 20)
        number, need = sump(session)
        kit = kits.allocate(session, act(), number)
        line = kit.needs[0].lines[0].line_id or 0
        kits.pick(session, act(), [line], taken={line: 11 * LITRE})
        poured(session, need, 2)
        assert shelf_of(session, stock) == [(9, 9)]
        poured(session, need, 10)  # 9 L of it were picked before
        assert shelf_of(session, stock) == [(8, 8)]
        assert check(session).ok


def test_the_opened_container_comes_first_then_the_same_one_until_it_is_empty(workshop: Workshop) -> None:
    with workshop.write() as session:
        stock = pails(session, 20, 5)
        number, need = sump(session)
        kits.allocate(session, act(), number)
        assert shelf_of(session, stock) == [(20, 17), (5, 5)]
        assert [(one.bin_code, one.opened) for one in fluid_tally.containers(session, need, TODAY)] == [
            ("P2", True), ("P1", False)
        ]  # fmt: skip
        poured(session, need, 2)
        assert shelf_of(session, stock) == [(20, 17), (3, 3)]
        poured(session, need, 1, stock[0])
        assert shelf_of(session, stock) == [(19, 16), (3, 3)]
        poured(session, need, 1)  # from the one chosen before
        assert shelf_of(session, stock) == [(18, 15), (3, 3)]
        assert check(session).ok


def test_another_container_than_the_promised_one_frees_what_is_promised_too_much(workshop: Workshop) -> None:
    with workshop.write() as session:
        first = pails(session, 22)
        second = pails(session, 20, code="Q")
        number, need = sump(session)
        kits.allocate(session, act(), number)
        back = act()
        fluid_tally.note(session, back, need, Filled.POURED, Fraction(5 * LITRE), "5 L", stock_id=second[0])
        assert shelf_of(session, first + second) == [(22, 17), (15, 0)]
        undo(session, act(), back.key)
        assert shelf_of(session, first + second) == [(22, 22), (20, 0)]
        with pytest.raises(InvalidInputError, match="nothing that may go in here"):
            poured(session, need, 5, 9_999)
    with workshop.read() as session:
        assert check(session).ok


def test_what_no_container_on_record_held_is_noted_and_told(workshop: Workshop) -> None:
    with workshop.write() as session:
        stock = pails(session, 3)
        _, need = sump(session)
        tally = poured(session, need, 5)  # nobody has looked on the shelf: what lies free is taken
        assert shelf_of(session, stock) == [(0, 0)]
        assert tally.unrecorded_ul == 2 * LITRE
        assert poured(session, need, 1).unrecorded_ul == 3 * LITRE
        assert fluid_tally.take_back(session, act(), need).unrecorded_ul == 2 * LITRE
        assert fluid_tally.take_back(session, act(), need).unrecorded_ul == 0
        assert shelf_of(session, stock) == [(3, 3)]
        assert check(session).ok


def test_what_is_still_in_the_sump_cuts_the_need(workshop: Workshop) -> None:
    with workshop.write() as session:
        number, need = sump(session)
        note: Callable[[Filled, int], object] = lambda what, litres: fluid_tally.note(  # noqa: E731
            session, act(), need, what, Fraction(litres * LITRE)
        )
        note(Filled.HELD, 20)
        note(Filled.DRAINED, 15)
        view = kits.view(session, number, on=TODAY).needs[0]
        assert (view.wanted, view.missing, view.still_in) == (17 * LITRE, 17 * LITRE, 5 * LITRE)
        note(Filled.REUSED, 10)
        (line,) = (one.short for one in short_lines(session, None, TODAY))
        assert line.quantity == 7 * LITRE
        pails(session, 4)
        kits.allocate(session, act(), number)
        assert short_lines(session, None, TODAY) == ()  # 5 held, 10 back in and 4 promised: 19 of 18 to 22 L
        assert kits.view(session, number, on=TODAY).state is KitState.READY


def test_taking_back_a_pour_puts_it_into_its_container_and_undo_pours_it_again(workshop: Workshop) -> None:
    looked, first, back = act(), act(), act()
    with workshop.write() as session:
        stock = pails(session, 20)
        number, need = sump(session)
        kits.allocate(session, looked, number)
        fluid_tally.note(session, first, need, Filled.POURED, Fraction(2 * LITRE))
        poured(session, need, 3)
        entry = fluid_tally.of_need(session, need).entries[0].entry_id
        fluid_tally.take_back(session, back, need, entry)
        assert shelf_of(session, stock) == [(17, 17)]
        lines = kits.view(session, number, on=TODAY).needs[0].lines
        assert [(one.state, one.quantity // LITRE) for one in lines if one.line_id] == [
            (LineState.PICKED, 3), (LineState.HAVE, 17)
        ]  # fmt: skip
        undo(session, act(), back.key)
        assert shelf_of(session, stock) == [(15, 15)]
        assert fluid_tally.of_need(session, need).poured_ul == 5 * LITRE
        assert check(session).ok


def test_one_key_pours_once(workshop: Workshop) -> None:
    once = act()
    with workshop.write() as session:
        stock = pails(session, 20)
        number, need = sump(session)
        kits.allocate(session, act(), number)
        for _ in range(2):
            fluid_tally.note(session, once, need, Filled.POURED, Fraction(2 * LITRE))
        assert shelf_of(session, stock) == [(18, 18)]
        jobs.close(session, act(), number)
        assert shelf_of(session, stock) == [(18, 0)]
