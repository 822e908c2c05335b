"""Promise free stock to a need, release it, pick it: a kit line and its movement, always together."""

from __future__ import annotations

from sqlalchemy import func
from sqlmodel import Session, col, select

from models.errors import InvalidInputError, WorkshopError
from models.stores.ledger import Change, Entries
from models.tables import Item, KitLine, LinePin, Movement, Stock
from models.volume import in_words
from models.words import LineState, Moved


class LineMovedError(WorkshopError):
    """The line is no longer in the state the action needs."""

    title = "That line has moved on"


def promise(
    session: Session, entries: Entries, *, action_id: int, need_id: int, stock_id: int, quantity: int, reason: str
) -> KitLine:
    """Promise free stock to a need. Raises `NotEnoughError` when another kit was quicker."""
    line = KitLine(
        action_id=action_id,
        need_id=need_id,
        stock_id=stock_id,
        quantity=quantity,
        state=LineState.HAVE,
        reason=reason,
    )
    session.add(line)
    session.flush()
    entries.write(stock_id, Moved.PROMISED, Change(promised=quantity), line_id=line.id, reason=reason)
    return line


def release_line(session: Session, entries: Entries, line: KitLine, reason: str) -> None:
    """Give a promise back to free stock. Raises `LineMovedError` unless the line holds one."""
    _turn(session, line, LineState.HAVE, LineState.RELEASED)
    entries.write(line.stock_id, Moved.RELEASED, Change(promised=-line.quantity), line_id=line.id, reason=reason)


def pick_line(session: Session, entries: Entries, line: KitLine) -> None:
    """Take what was promised off the shelf. Raises `LineMovedError` unless the line holds a promise."""
    _turn(session, line, LineState.HAVE, LineState.PICKED)
    entries.write(line.stock_id, Moved.USED, Change(on_hand=-line.quantity, promised=-line.quantity), line_id=line.id)


def pick_some(session: Session, entries: Entries, action_id: int, line: KitLine, taken: int) -> KitLine:
    """Take another quantity than was promised: what is left stays promised, what is more comes from free stock.

    Gives the line that was picked. Raises `LineMovedError`, or `NotEnoughError` when that much is not free.
    """
    if taken == line.quantity:
        pick_line(session, entries, line)
        return line
    if taken < 1:
        raise InvalidInputError(f"{taken} can't be taken.", "Type a quantity above 0, or release the line.")
    rest = line.quantity - taken
    release_line(session, entries, line, "taken in another quantity")
    picked = promise_again(session, entries, action_id, line, taken)
    pick_line(session, entries, picked)
    if rest > 0:
        promise_again(session, entries, action_id, line, rest)
    return picked


def scrap_some(session: Session, entries: Entries, action_id: int, line: KitLine, quantity: int, reason: str) -> None:
    """Throw away part of a promise, or all of it; what is left stays promised. Raises `LineMovedError`."""
    release_line(session, entries, line, reason)
    entries.write(line.stock_id, Moved.SCRAPPED, Change(on_hand=-quantity), reason=reason)
    if line.quantity > quantity:
        promise_again(session, entries, action_id, line, line.quantity - quantity)


def promise_again(session: Session, entries: Entries, action_id: int, line: KitLine, quantity: int) -> KitLine:
    """A promise like the line just released, for another quantity; pinned where that was."""
    made = promise(
        session,
        entries,
        action_id=action_id,
        need_id=line.need_id,
        stock_id=line.stock_id,
        quantity=quantity,
        reason=line.reason,
    )
    if session.get(LinePin, line.id) is not None:
        pin_line(session, action_id, made)
    return made


def pin_line(session: Session, action_id: int, line: KitLine) -> None:
    """Mark a line as chosen by hand."""
    assert line.id is not None
    session.add(LinePin(kit_line_id=line.id, action_id=action_id))
    session.flush()


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
    _turn(session, line, LineState.PICKED, LineState.RELEASED)


def _must_be(line: KitLine, state: LineState) -> None:
    if line.state is not state:
        raise LineMovedError(f"Line {line.id} is “{line.state}”, not “{state}”.", "Refresh the kit.")


def _turn(session: Session, line: KitLine, before: LineState, after: LineState) -> None:
    _must_be(line, before)
    line.state = after
    session.add(line)
    session.flush()
