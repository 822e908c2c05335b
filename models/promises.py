"""Promise free stock to a need, release it, pick it: a kit line and its movement, always together."""

from __future__ import annotations

from sqlmodel import Session

from models.errors import WorkshopError
from models.ledger import Change, Entries
from models.tables import KitLine
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


def _turn(session: Session, line: KitLine, before: LineState, after: LineState) -> None:
    if line.state is not before:
        raise LineMovedError(f"Line {line.id} is “{line.state}”, not “{before}”.", "Refresh the kit.")
    line.state = after
    session.add(line)
    session.flush()
