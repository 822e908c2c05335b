"""A fluid's tally kept with its need, and the bar codes of items: what is noted, refused, taken back and undone."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from sqlalchemy import func
from sqlmodel import Session, select

from catalog.fluids.fill import State
from models import jobs, kits
from models.database import Workshop
from models.errors import AlreadyThereError, CannotUndoError, InvalidInputError
from models.inventory import bar_codes
from models.kitting import fluid_tally
from models.kitting.fluid_tally import Filled
from models.kitting.needs import NeedSpec
from models.storage.check import check
from models.tables import Action, ListRow, RowItem
from models.undoing.undo import undo
from models.words import Kind
from tests.models.orders.buying import supplier
from tests.models.shop import act, job, ring, ring_spec

QUART = Fraction(231, 4) * Fraction(254, 10) ** 3
"""One US liquid quart in µL: 57.75 in³ with 1 in = 25.4 mm (NIST SP 811)."""
GTIN = "6291041500213"
"""The example of the GS1 General Specifications' check digit table: 629104150021, check digit 3."""


def _sump(session: Session) -> tuple[int, int]:
    number = job(session)
    spec = NeedSpec(Kind.FLUID, spec_class="UTTO", low_ul=round(11 * QUART), full_ul=round(12 * QUART), title="oil")
    return number, kits.add_need(session, act(), number, spec).need_id


def test_twelve_quarts_fill_to_a_mark_of_twelve_quarts_and_reused_fluid_counts_as_poured(workshop: Workshop) -> None:
    with workshop.write() as session:
        _, need = _sump(session)
        for what, quarts in (
            (Filled.HELD, 12),
            (Filled.DRAINED, 9),
            (Filled.DRAINED, 3),
            (Filled.REUSED, 5),
            (Filled.POURED, 6),
        ):
            fluid_tally.note(session, act(), need, what, quarts * QUART, f"{quarts} qt")
        assert fluid_tally.of_need(session, need).level.state is State.AT_LOW
        last = act()
        fluid_tally.note(session, last, need, Filled.POURED, QUART, "1 qt")
        again = fluid_tally.note(session, last, need, Filled.POURED, QUART, "1 qt")
    assert len(again.entries) == 6  # the same key twice is one entry
    found = again.level
    # 5 + 6 + 1 = 12 US quarts; marks are kept in whole microlitres, which twelve quarts (11,356,235.352) are not.
    assert (found.state, found.over, found.to_full) == (State.AT_FULL, Fraction(0), Fraction(0))
    assert found.held == found.poured == 12 * QUART
    assert (found.reused, found.fresh, found.lost) == (5 * QUART, 7 * QUART, 7 * QUART)
    with workshop.read() as session:
        kept = fluid_tally.of_need(session, need)
        assert [(one.what.value, one.typed, one.volume) for one in kept.entries[-2:]] == [
            ("poured", "6 qt", 6 * QUART),
            ("poured", "1 qt", QUART),
        ]
        assert check(session).ok


def test_what_was_poured_too_much_is_let_out_again_and_the_shelf_keeps_what_it_lost(workshop: Workshop) -> None:
    with workshop.write() as session:
        number, need = _sump(session)
        fluid_tally.note(session, act(), need, Filled.POURED, 14 * QUART, "14 qt")
        assert fluid_tally.of_need(session, need).level.state is State.OVER
        with pytest.raises(InvalidInputError, match="More was let out than was in"):
            fluid_tally.note(session, act(), need, Filled.LET_OUT, 15 * QUART)
    with workshop.write() as session:
        now = fluid_tally.note(session, act(), need, Filled.LET_OUT, 2 * QUART, "2 qt")
        assert (now.level.state, now.level.held, now.level.lost) == (State.AT_FULL, 12 * QUART, 2 * QUART)
        assert now.poured_ul == round(14 * QUART)
        assert not kits.view(session, number).needs[0].missing
        # Let out below the low mark, the need wants more again, though more was poured than it takes.
        fluid_tally.note(session, act(), need, Filled.LET_OUT, 3 * QUART, "3 qt")
        assert kits.view(session, number).needs[0].missing
        assert check(session).ok


def test_what_contradicts_itself_is_refused_and_changes_nothing(workshop: Workshop) -> None:
    with workshop.write() as session:
        number, need = _sump(session)
        fluid_tally.note(session, act(), need, Filled.HELD, 5 * QUART)
        fluid_tally.note(session, act(), need, Filled.DRAINED, 4 * QUART)
        fluid_tally.note(session, act(), need, Filled.REUSED, 3 * QUART)
    for what, volume, said in (
        (Filled.DRAINED, 2 * QUART, "More was drained than the system held"),
        (Filled.REUSED, 2 * QUART, "More was poured back than was drained"),
        (Filled.POURED, Fraction(0), "can't be noted"),
        (Filled.POURED, Fraction(10**13), "can't be noted"),
    ):
        with pytest.raises(InvalidInputError, match=said), workshop.write() as session:
            fluid_tally.note(session, act(), need, what, volume)
    with workshop.write() as session:
        drained = fluid_tally.of_need(session, need).entries[1].entry_id
        with pytest.raises(InvalidInputError, match="poured back than was drained"):
            fluid_tally.take_back(session, act(), need, drained)
        fluid_tally.take_back(session, act(), need)
        left = fluid_tally.take_back(session, act(), need, drained)
        assert [one.what for one in left.entries] == [Filled.HELD]
        fluid_tally.take_back(session, act(), need)
        with pytest.raises(InvalidInputError, match="nothing to take back"):
            fluid_tally.take_back(session, act(), need)
        dry = kits.add_need(session, act(), number, ring_spec("as568:214")).need_id
        with pytest.raises(InvalidInputError, match="no low and full mark"):
            fluid_tally.of_need(session, dry)
        jobs.close(session, act(), number)
        with pytest.raises(InvalidInputError, match="is closed"):
            fluid_tally.note(session, act(), need, Filled.POURED, QUART)


def test_an_entry_and_its_taking_back_are_undone(workshop: Workshop) -> None:
    noted, back = act(), act()
    with workshop.write() as session:
        _, need = _sump(session)
        fluid_tally.note(session, noted, need, Filled.POURED, QUART, "1 qt")
        fluid_tally.take_back(session, back, need)
        assert fluid_tally.of_need(session, need).entries == ()
        assert undo(session, act(), back.key).what == "taking it back"
        assert [one.typed for one in fluid_tally.of_need(session, need).entries] == ["1 qt"]
        undo(session, act(), noted.key)
        assert fluid_tally.of_need(session, need).entries == ()
        gone = act()
        fluid_tally.note(session, gone, need, Filled.POURED, QUART, "1 qt")
        fluid_tally.take_back(session, act("Bench 2"), need)
    with pytest.raises(CannotUndoError, match="nothing to take back"), workshop.write() as session:
        undo(session, act(), gone.key)
    drained, reused = act(), act()
    with workshop.write() as session:
        fluid_tally.note(session, drained, need, Filled.DRAINED, QUART)
        fluid_tally.note(session, reused, need, Filled.REUSED, QUART)
    with pytest.raises(CannotUndoError, match="More was poured back than was drained"), workshop.write() as session:
        undo(session, act(), drained.key)
    with workshop.write() as session:
        undo(session, act(), reused.key)
        undo(session, act(), drained.key)
        assert fluid_tally.of_need(session, need).entries == ()


def test_what_was_taken_back_by_mistake_stands_in_its_old_place(workshop: Workshop) -> None:
    with workshop.write() as session:
        _, need = _sump(session)
        for quarts in (5, 8):
            fluid_tally.note(session, act(), need, Filled.HELD, quarts * QUART, f"{quarts} qt")
        first = fluid_tally.of_need(session, need).entries[0].entry_id
        for _ in range(2):  # what stands again can be taken back again
            back = act()
            fluid_tally.take_back(session, back, need, first)
            undo(session, act(), back.key)
            found = fluid_tally.of_need(session, need)
            assert [one.typed for one in found.entries] == ["5 qt", "8 qt"]
            assert found.level.held == 8 * QUART  # the last word on what was held counts
        assert check(session).ok


def test_a_bar_code_is_one_item_until_that_is_undone(workshop: Workshop) -> None:
    tied = act()
    with workshop.write() as session:
        first, second = ring(session, 5), ring(session, 5, size_key="as568:215")
        assert bar_codes.look(session, GTIN)[1:] == (None, "", ())
        found = bar_codes.tie(session, tied, f"]E0{GTIN}\r", first.item_id)
        assert (found.gtin, found.item_id, found.item_name) == (f"0{GTIN}", first.item_id, first.item_name)
        assert bar_codes.codes_of(session, first.item_id) == (f"0{GTIN}",)
        with pytest.raises(AlreadyThereError, match="is on “O-ring as568:214"):
            bar_codes.tie(session, act(), GTIN, second.item_id)
        again = act()
        bar_codes.tie(session, again, GTIN, first.item_id)
        with pytest.raises(CannotUndoError, match="changed nothing"):
            undo(session, act(), again.key)
        undo(session, act(), tied.key)
        assert bar_codes.look(session, GTIN).item_id is None
        with pytest.raises(InvalidInputError, match="the last digit would be 3"):
            bar_codes.look(session, GTIN[:-1] + "4")


def test_a_code_on_a_suppliers_list_is_the_item_that_row_was_said_to_be(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, [f"R214,O-RING AS568-214 NBR 70,0.5,1,{GTIN}"], header="Part no,Text,Price,Pack,GTIN")
    with workshop.write() as session:
        item_id = ring(session, 5).item_id
        found = bar_codes.look(session, GTIN)
        assert (found.item_id, found.listed) == (None, ("O-RING AS568-214 NBR 70, from First supplier (invented)",))
        row_id = session.exec(select(ListRow.id)).one() or 0
        last = session.exec(select(func.max(Action.id))).one() or 0
        session.add(RowItem(row_id=row_id, item_id=item_id, action_id=last))
        assert bar_codes.look(session, f"0{GTIN}").item_id == item_id
