"""Closing a job: what it took is used, back in its bin or scrapped, in one action that undo takes back whole."""

from __future__ import annotations

from fractions import Fraction
from itertools import count

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlmodel import Session, col, select

from models import jobs, kits
from models.acts import Act
from models.database import Workshop
from models.errors import CannotUndoError, InvalidInputError, WorkshopError
from models.kitting import closing, fluid_tally
from models.kitting.closing import Became
from models.kitting.fluid_tally import Filled
from models.storage.check import check
from models.tables import Action, Movement
from models.undoing.undo import undo
from models.words import LineState, Moved
from tests.models.kitting.test_poured import LITRE, TODAY, pails, poured, shelf_of, sump
from tests.models.shop import act, job, ring, ring_spec
from tests.statements import counted

_CODES = count(1)


def picked_rings(session: Session, pieces: int = 2, spares: int = 1) -> tuple[int, int, int]:
    """A job whose rings and spares are picked from ten: its number, the line, the stock."""
    row = ring(session, 10)
    number = job(session)
    need = kits.accept_match(session, act(), number, ring_spec("as568:214", pieces=pieces, spares=spares))
    line_id = need.lines[0].line_id or 0
    kits.pick(session, act(), [line_id])
    return number, line_id, row.stock_id


def rings_of(session: Session, stock_id: int) -> int:
    """How many are on hand."""
    return round(shelf_of(session, [stock_id])[0][0] * LITRE)


def test_a_spare_that_was_not_used_goes_back_and_undo_takes_all_of_it_back(workshop: Workshop) -> None:
    closed = act()
    with workshop.write() as session:
        number, _, stock = picked_rings(session)
        (line,) = closing.look(session, number).lines
        assert (line.out, line.planned) == (3, Became(2, 1))
        jobs.close(session, closed, number)
        assert rings_of(session, stock) == 8
        assert jobs.get(session, number).closed_at is not None
        undo(session, act(), closed.key)
        assert rings_of(session, stock) == 7
        assert jobs.get(session, number).closed_at is None
        assert closing.look(session, number).lines == (line,)
        assert check(session).ok


def test_what_became_of_each_is_told_and_has_to_add_up(workshop: Workshop) -> None:
    with workshop.write() as session:
        number, line, stock = picked_rings(session)
    for became, said in (({line: Became(2, 2)}, "do not add up"), ({line: Became(4, -1)}, "do not add up"),
                         ({9_999: Became(1)}, "is not out")):  # fmt: skip
        with pytest.raises(InvalidInputError, match=said), workshop.write() as session:
            jobs.close(session, act(), number, became)
    closed = act()
    with workshop.write() as session:
        jobs.close(session, closed, number, {line: Became(1, 1, 1)})
        assert rings_of(session, stock) == 8
        kinds = session.exec(
            select(Movement.kind, Movement.on_hand_change)
            .join(Action, col(Action.id) == col(Movement.action_id))
            .where(Action.key == closed.key)
            .order_by(col(Movement.id))
        ).all()
        assert kinds == [(Moved.RECEIVED, 2), (Moved.SCRAPPED, -1)]
        undo(session, act(), closed.key)
        assert rings_of(session, stock) == 7
        assert check(session).ok


def test_a_machine_left_over_its_full_mark_is_no_plain_closing(workshop: Workshop) -> None:
    with workshop.write() as session:
        pails(session, 20)
        number, need = sump(session)
        poured(session, need, 24)
        over = closing.look(session, number)
        assert over.books[0].over_ul > 0
        assert not over.plain
        fluid_tally.note(session, act(), need, Filled.LET_OUT, Fraction(over.books[0].over_ul))
        level = closing.look(session, number).books[0]
        assert (level.over_ul, level.let_out_ul) == (0, over.books[0].over_ul)
        assert (level.low_ul, level.full_ul) == (over.books[0].low_ul, over.books[0].full_ul), "its marks are its own"


def test_of_a_tallied_fluid_what_was_not_poured_goes_back(workshop: Workshop) -> None:
    with workshop.write() as session:
        stock = pails(session, 20)
        number, need = sump(session)
        kit = kits.allocate(session, act(), number)
        line = kit.needs[0].lines[0].line_id or 0
        kits.pick(session, act(), [line], taken={line: 11 * LITRE})
        poured(session, need, 2)
        found = closing.look(session, number)
        assert [one[4:6] for one in found.books] == [(11 * LITRE, 2 * LITRE)]
        assert not found.books[0].agree
        assert found.lines[0].planned == Became(2 * LITRE, 9 * LITRE)
        jobs.close(session, act(), number)
        assert shelf_of(session, stock) == [(18, 0)]


def test_a_fluid_that_nobody_tallied_was_used_as_it_was_picked(workshop: Workshop) -> None:
    with workshop.write() as session:
        stock = pails(session, 20)
        number, _ = sump(session)
        kit = kits.allocate(session, act(), number)
        kits.pick(session, act(), [kit.needs[0].lines[0].line_id or 0])
        assert closing.look(session, number).plain
        jobs.close(session, act(), number)
        assert shelf_of(session, stock) == [(0, 0)]


def test_what_came_back_and_is_gone_since_stops_the_undo(workshop: Workshop) -> None:
    closed = act()
    with workshop.write() as session:
        number, _, stock = picked_rings(session, 2, 8)
        jobs.close(session, closed, number)
        other = job(session)
        need = kits.accept_match(session, act(), other, ring_spec("as568:214", pieces=8))
        kits.pick(session, act(), [need.lines[0].line_id or 0])
        assert rings_of(session, stock) == 0
    with pytest.raises(CannotUndoError, match="stock that has moved on"), workshop.write() as session:
        undo(session, act(), closed.key)
    with workshop.read() as session:
        assert jobs.get(session, number).closed_at is not None


def test_closing_sends_as_many_statements_for_thirty_lines_as_for_three(workshop: Workshop) -> None:
    sent = []
    for many in (3, 30):
        with workshop.write() as session:
            number = job(session)
            row = ring(session, 90)
            for _ in range(many):
                kits.add_need(session, act(), number, ring_spec("as568:214", pieces=1, spares=1))
            kit = kits.allocate(session, act(), number)
            kits.pick(session, act(), [one.line_id or 0 for need in kit.needs for one in need.lines])
        with workshop.write() as session, counted(session) as statements:
            jobs.close(session, act(), number)
        sent.append(len(statements))
        assert row.stock_id
    assert sent[0] == sent[1] <= 25


STEPS = st.lists(
    st.one_of(
        st.tuples(st.just("pour"), st.integers(1, 9)),
        st.tuples(st.just("pick"), st.integers(1, 9)),
        st.tuples(st.just("held"), st.integers(0, 9)),
        st.tuples(st.sampled_from(["look", "afresh", "back", "close", "undo", "release"]), st.just(0)),
    ),
    min_size=1,
    max_size=12,
)


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=STEPS)
def test_the_movements_are_right_whatever_the_order(workshop: Workshop, steps: list[tuple[str, int]]) -> None:
    """Poured is gone from the shelf, nothing else is once the job is closed, and undoing it all leaves it as it was."""
    with workshop.write() as session:
        oil = f"oil {next(_CODES)}"  # of each example its own: none takes from another's pails
        stock = pails(session, 20, 5, code=f"{oil}-", oil=oil)
        number, need = sump(session, oil=oil)
    done: list[str] = []
    for what, much in steps:
        one = act()
        try:
            with workshop.write() as session:
                _step(session, one, number, need, done, what, much)
        except WorkshopError:
            continue  # refused: nothing of it may have happened, which the sums say
        with workshop.read() as session:
            _agree(session, number, need, stock)
    while done:
        with workshop.write() as session:
            undo(session, act(), done.pop())
    with workshop.read() as session:
        assert shelf_of(session, stock) == [(20, 0), (5, 0)]
        assert check(session).ok


def _step(session: Session, one: Act, number: int, need: int, done: list[str], what: str, much: int) -> None:
    if what == "undo":
        if done:
            undo(session, one, done[-1])
            done.pop()
        return
    match what:
        case "pour":
            fluid_tally.note(session, one, need, Filled.POURED, Fraction(much * LITRE))
        case "held":
            fluid_tally.note(session, one, need, Filled.HELD, Fraction(much * LITRE))
        case "back":
            fluid_tally.take_back(session, one, need)
        case "look":
            kits.allocate(session, one, number)
        case "afresh":
            kits.look_again(session, one, number)
        case "close":
            jobs.close(session, one, number)
        case _:
            lines = kits.view(session, number, on=TODAY).needs[0].lines
            have = next((line for line in lines if line.state is LineState.HAVE), None)
            if have is None or have.line_id is None:
                return
            if what == "release":
                kits.release(session, one, have.line_id)
            else:
                kits.pick(session, one, [have.line_id], taken={have.line_id: min(much * LITRE, have.quantity)})
    done.append(one.key)


def _agree(session: Session, number: int, need: int, stock: list[int]) -> None:
    gone = round((25 - sum(on_hand for on_hand, _ in shelf_of(session, stock))) * LITRE)
    tally = fluid_tally.of_need(session, need)
    assert gone == tally.picked_ul
    closed = jobs.get(session, number).closed_at is not None
    if closed and (tally.poured_ul or any(one.volume for one in tally.entries)):
        assert gone == min(tally.poured_ul, gone)  # what was picked and not poured is back
    elif not closed:
        assert gone >= min(tally.poured_ul, 25 * LITRE)
