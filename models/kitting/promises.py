"""Promise free stock to a need, release it, pick it: a kit line and its movement, always together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from sqlalchemy import func, insert, update
from sqlalchemy.orm.attributes import set_committed_value
from sqlmodel import Session, col, select

from models.errors import InvalidInputError, WorkshopError
from models.inventory.ledger import Change, Entries, Move
from models.rows import ROWS_AT_ONCE
from models.tables import Item, KitLine, Movement, Stock
from models.volume import in_words
from models.words import LineState, Moved


class LineMovedError(WorkshopError):
    """The line is no longer in the state the action needs."""

    title = "That line has moved on"


class Promise(NamedTuple):
    """A promise to be made: how much of which row, for which need, and what a person should know of it.

    `pinned_by_id`: the action by which a person chose it by hand.
    """

    need_id: int
    stock_id: int
    quantity: int
    reason: str
    pinned_by_id: int | None = None


def promise_all(session: Session, entries: Entries, action_id: int, promises: Sequence[Promise]) -> tuple[KitLine, ...]:
    """Promise free stock to many needs, all or none, in the order given. Raises `NotEnoughError`."""
    if not promises:
        return ()
    lines = _inserted(session, action_id, promises)
    entries.write_many(
        [Move(line.stock_id, Moved.PROMISED, Change(promised=line.quantity), line.reason, line.id) for line in lines]
    )
    return lines


def _inserted(session: Session, action_id: int, promises: Sequence[Promise]) -> tuple[KitLine, ...]:
    """The lines of promises, in their order: written at once, then read back by the ids that they got, in that order.

    SQLite can't be asked for many ids in the order of the rows, and would be sent one statement a line for them.
    """
    session.flush()
    session.connection().execute(
        insert(KitLine),
        [{"action_id": action_id, "state": LineState.HAVE, **one._asdict()} for one in promises],
    )
    latest = select(KitLine).where(KitLine.action_id == action_id).order_by(col(KitLine.id).desc())
    lines = session.exec(latest.limit(len(promises))).all()[::-1]
    if [Promise(*(getattr(one, name) for name in Promise._fields)) for one in lines] != list(promises):
        raise LineMovedError("The lines of the kit were not written as they were asked for.", "Try again.")
    return tuple(lines)


def release_line(session: Session, entries: Entries, line: KitLine, reason: str) -> None:
    """Give a promise back to free stock. Raises `LineMovedError` unless the line holds one."""
    release_all(session, entries, [line], reason)


def release_all(session: Session, entries: Entries, lines: Sequence[KitLine], reason: str) -> None:
    """Give promises back to free stock, all or none. Raises `LineMovedError` for the first line that holds none."""
    turn_all(session, lines, LineState.HAVE, LineState.RELEASED)
    entries.write_many(
        [Move(line.stock_id, Moved.RELEASED, Change(promised=-line.quantity), reason, line.id) for line in lines]
    )


def pick_all(session: Session, entries: Entries, lines: Sequence[KitLine]) -> None:
    """Take what was promised off the shelf, all or none. Raises `LineMovedError` for the first that holds nothing."""
    turn_all(session, lines, LineState.HAVE, LineState.PICKED)
    entries.write_many(
        [Move(line.stock_id, Moved.USED, Change(-line.quantity, -line.quantity), line_id=line.id) for line in lines]
    )


def pick_some(
    session: Session, entries: Entries, action_id: int, lines: Sequence[KitLine], taken: Mapping[int, int]
) -> None:
    """Take off the shelf what was really taken, by line id, where that is not what was promised.

    What is left stays promised, what is more comes from free stock: such a promise is given back and made anew. All or
    none. Raises `LineMovedError`, `InvalidInputError`, or `NotEnoughError` when that much is not free.
    """
    other = [line for line in lines if taken.get(line.id or 0, line.quantity) != line.quantity]
    for line in other:
        if taken[line.id or 0] < 1:
            raise InvalidInputError(
                f"{taken[line.id or 0]} can't be taken.", "Type a quantity above 0, or release the line."
            )
    release_all(session, entries, other, "taken in another quantity")
    anew = promise_again(session, entries, action_id, [(line, taken[line.id or 0]) for line in other])
    same = [line for line in lines if line not in other]
    pick_all(session, entries, sorted([*same, *anew], key=lambda line: (line.stock_id, line.id or 0)))
    rests = [(line, line.quantity - taken[line.id or 0]) for line in other]
    promise_again(session, entries, action_id, [(line, rest) for line, rest in rests if rest > 0])


def scrap_some(session: Session, entries: Entries, action_id: int, line: KitLine, quantity: int, reason: str) -> None:
    """Throw away part of a promise, or all of it; what is left stays promised. Raises `LineMovedError`."""
    release_line(session, entries, line, reason)
    entries.write(line.stock_id, Moved.SCRAPPED, Change(on_hand=-quantity), reason=reason)
    if line.quantity > quantity:
        promise_again(session, entries, action_id, [(line, line.quantity - quantity)])


def promise_again(
    session: Session, entries: Entries, action_id: int, wanted: Sequence[tuple[KitLine, int]]
) -> tuple[KitLine, ...]:
    """Promises like the lines just released, each for another quantity; pinned where those were."""
    if not wanted:
        return ()
    return promise_all(
        session,
        entries,
        action_id,
        [
            Promise(line.need_id, line.stock_id, quantity, line.reason, line.pinned_by_id and action_id)
            for line, quantity in wanted
        ],
    )


def given_back(session: Session, line_ids: list[int]) -> dict[int, int]:
    """How much of each picked line came back to the shelf, by line; those that gave nothing back are left out."""
    rows = session.exec(
        select(Movement.kit_line_id, func.sum(col(Movement.on_hand_change)))
        .where(col(Movement.kit_line_id).in_(line_ids), col(Movement.kind) == Moved.RECEIVED)
        .group_by(col(Movement.kit_line_id))
    ).all()
    return {line_id: int(quantity) for line_id, quantity in rows if line_id is not None and quantity}


def give_back(session: Session, entries: Entries, line: KitLine, quantity: int, reason: str) -> None:
    """Put what a job did not use back into the bin it came from; the line stays picked.

    Raises `LineMovedError`, or `InvalidInputError` when more would come back than was taken.
    """
    _must_be(line, LineState.PICKED)
    assert line.id is not None
    out = line.quantity - given_back(session, [line.id]).get(line.id, 0)
    if not 1 <= quantity <= out:
        unit = session.exec(
            select(col(Item.counted_in))
            .join(Stock, col(Stock.item_id) == col(Item.id))
            .where(Stock.id == line.stock_id)
        ).one()
        raise InvalidInputError(
            f"{in_words(quantity, unit)} can't come back from a line of which {in_words(out, unit)} is out.",
            f"Type a quantity above 0, up to {in_words(out, unit)}.",
        )
    entries.write(line.stock_id, Moved.RECEIVED, Change(on_hand=quantity), line_id=line.id, reason=reason)


def put_back(session: Session, entries: Entries, line: KitLine, reason: str) -> None:
    """Put what is out of a picked line back: its need is open again. Raises `LineMovedError`, `InvalidInputError`."""
    _must_be(line, LineState.PICKED)
    assert line.id is not None
    out = line.quantity - given_back(session, [line.id]).get(line.id, 0)
    if out < 1:
        raise InvalidInputError(
            "All of that line came back to the shelf already.", "Undo the giving back, then put the line back."
        )
    give_back(session, entries, line, out, reason)
    turn_all(session, [line], LineState.PICKED, LineState.RELEASED)


def _must_be(line: KitLine, state: LineState) -> None:
    if line.state is not state:
        raise LineMovedError(f"Line {line.id} is “{line.state}”, not “{state}”.", "Refresh the kit.")


def turn_all(session: Session, lines: Sequence[KitLine], before: LineState, after: LineState) -> None:
    """Change the state of lines that the unit holds, all or none. Raises `LineMovedError` for the first in another."""
    for line in lines:
        _must_be(line, before)
    session.flush()
    ids = sorted(line.id or 0 for line in lines)
    turned: set[int | None] = set()
    for at in range(0, len(ids), ROWS_AT_ONCE):
        turned |= set(
            session.exec(
                update(KitLine)
                .where(col(KitLine.id).in_(ids[at : at + ROWS_AT_ONCE]), col(KitLine.state) == before)
                .values(state=after)
                .returning(col(KitLine.id))
                .execution_options(synchronize_session=False)
            ).scalars()
        )
    for line in lines:
        if line.id not in turned:
            raise LineMovedError(f"Line {line.id} is no longer “{before}”.", "Refresh the kit.")
        set_committed_value(line, "state", after)
