"""The stock beneath a fluid's tally: a pour takes from its container what was not picked before, and gives it back."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from datetime import date
from typing import NamedTuple

from sqlmodel import Session, col, select

from models.acts import Act
from models.errors import InvalidInputError
from models.inventory.ledger import Entries
from models.kitting.candidates import candidates, wanted
from models.kitting.progress import progress_of
from models.kitting.progress import wanted as most_of
from models.kitting.promises import (
    Promise,
    given_back,
    pick_all,
    pick_some,
    promise_again,
    promise_all,
    put_back,
    release_all,
)
from models.rows import hold_all
from models.tables import Bin, Item, KitLine, Movement, Need, Stock
from models.words import LineState, Moved


class Container(NamedTuple):
    """What a pour may come from: how much of it, in microlitres, is promised to the need and how much is free.

    `opened`: a pack of it is begun.
    """

    stock_id: int
    item_name: str
    bin_code: str
    promised: int
    free: int
    opened: bool
    because: str = ""


class Taken(NamedTuple):
    """What a pour took off the shelf: from where, and what was on no record. In microlitres."""

    from_: tuple[tuple[Container, int], ...] = ()
    unrecorded: int = 0


def containers(session: Session, need: Need, on: date) -> tuple[Container, ...]:
    """What the fluid may come from: what is promised, the one poured from last and opened ones first; then what lies
    free and may serve, in the order in which it would be promised."""
    promised = _promised(session, need)
    near = [one for one in candidates(session, wanted(session, need), on) if not one.refused and one.free]
    there = {one.stock_id for one in promised}
    return (*promised, *(
        Container(one.stock_id, one.item_name, one.bin_code, 0, one.free, one.opened, one.because)
        for one in near if one.stock_id not in there
    ))  # fmt: skip


def _promised(session: Session, need: Need) -> list[Container]:
    rows = session.exec(
        select(KitLine, Stock, Item, Bin)
        .join(Stock, col(Stock.id) == col(KitLine.stock_id))
        .join(Item, col(Item.id) == col(Stock.item_id))
        .join(Bin, col(Bin.id) == col(Stock.bin_id))
        .where(KitLine.need_id == need.id, KitLine.state == LineState.HAVE)
        .order_by(col(KitLine.id))
    ).all()
    last = session.exec(
        select(KitLine.stock_id)
        .join(Movement, col(Movement.kit_line_id) == col(KitLine.id))
        .where(KitLine.need_id == need.id, KitLine.state == LineState.PICKED, Movement.kind == Moved.USED)
        .order_by(col(Movement.id).desc())
    ).first()
    found: dict[int, Container] = {}
    for line, stock, item, place in rows:
        before = found.get(line.stock_id)
        opened = bool(item.container and stock.on_hand % item.container)
        promised = line.quantity + (before.promised if before else 0)
        free = stock.on_hand - stock.promised
        found[line.stock_id] = Container(line.stock_id, item.name, place.code, promised, free, opened)
    return sorted(found.values(), key=lambda one: (one.stock_id != last, not one.opened))


def pour(
    session: Session, act: Act, entries: Entries, need: Need, volume: int, before: int, stock_id: int | None = None
) -> Taken:
    """Take what was poured off the shelf, in microlitres, less what was picked for the need and not poured yet.

    `before`: what was poured before this. From the container named and no other; else from what is promised, then
    from what lies free. Raises `InvalidInputError` where the container named can't serve.
    """
    assert need.id is not None
    lines = _lines(session, need.id)
    picked = [line for line in lines if line.state is LineState.PICKED]
    back = given_back(session, [line.id or 0 for line in picked]) if picked else {}
    out = sum(line.quantity - back.get(line.id or 0, 0) for line in picked)
    volume -= max(0, out - before)
    if volume <= 0:
        return Taken()
    have = [line for line in lines if line.state is LineState.HAVE]
    found: Sequence[Container] = _promised(session, need)
    if stock_id is not None:
        found = [one for one in containers(session, need, act.at.date()) if one.stock_id == stock_id]
        if not found:
            raise InvalidInputError(f"Stock {stock_id} holds nothing that may go in here.", "Name a container of it.")
    elif sum(one.promised + one.free for one in found) < volume:
        found = containers(session, need, act.at.date())
    # One order for all programs: what this may touch is held before anything moves.
    held = entries.hold({one.stock_id for one in found} | {line.stock_id for line in have})
    free = {key: sums.on_hand - sums.promised for key, sums in held.items()}
    found = [one._replace(free=max(0, free[one.stock_id])) for one in found]
    much = _shares(found, volume)
    _take(session, entries, need, have, found, much)
    _trim(session, entries, need)
    return Taken(tuple((one, much[one.stock_id]) for one in found if much[one.stock_id]), volume - sum(much.values()))


def _shares(found: Sequence[Container], volume: int) -> dict[int, int]:
    """How much comes from each container: all that is promised before anything that is free."""
    much = dict.fromkeys((one.stock_id for one in found), 0)
    for part in ("promised", "free"):
        for one in found:
            share = min(volume, getattr(one, part))
            much[one.stock_id] += share
            volume -= share
    return much


def _take(
    session: Session,
    entries: Entries,
    need: Need,
    have: Sequence[KitLine],
    found: Sequence[Container],
    much: dict[int, int],
) -> None:
    """Pick so much of each: of what is promised there, and more of what is free there."""
    assert need.id is not None
    taken: dict[int, int] = {}
    chosen: list[KitLine] = []
    for one in found:
        left = much[one.stock_id]
        mine = [line for line in have if line.stock_id == one.stock_id]
        for at, line in enumerate(mine):
            share = left if at == len(mine) - 1 else min(left, line.quantity)
            if share:
                taken[line.id or 0] = share
                chosen.append(line)
                left -= share
    in_order = sorted(chosen, key=lambda line: (line.stock_id, line.id or 0))
    if in_order:
        pick_some(session, entries, entries.action_id, in_order, taken)
    there = {line.stock_id for line in have}
    free = [
        Promise(need.id, one.stock_id, much[one.stock_id], one.because)
        for one in found
        if much[one.stock_id] and one.stock_id not in there
    ]
    pick_all(session, entries, promise_all(session, entries, entries.action_id, free))


def _trim(session: Session, entries: Entries, need: Need) -> None:
    """Let go of what is promised beyond the full mark, since other stock was poured."""
    assert need.id is not None
    lines = _lines(session, need.id)
    over = sum(line.quantity for line in lines) - most_of(need)
    for line in reversed([line for line in lines if line.state is LineState.HAVE]):
        if over <= 0:
            return
        rest = line.quantity - over
        release_all(session, entries, [line], "another container was poured from")
        if rest > 0:
            promise_again(session, entries, entries.action_id, [(line, rest)])
        over -= line.quantity


def unpour(session: Session, entries: Entries, need: Need, action_ids: Collection[int]) -> None:
    """Put back what these actions took for a pour, each into the container it came from, promised to the need again as
    far as it still takes it. What was put back or given back since stays where it is."""
    ids = session.exec(
        select(KitLine.id)
        .join(Movement, col(Movement.kit_line_id) == col(KitLine.id))
        .where(
            col(Movement.action_id).in_(action_ids),
            Movement.kind == Moved.USED,
            KitLine.state == LineState.PICKED,
        )
        .distinct()
    ).all()
    lines = sorted(hold_all(session, KitLine, [one or 0 for one in ids], "kit line").values(), key=_place)
    back = given_back(session, [line.id or 0 for line in lines]) if lines else {}
    out = [(line, line.quantity - back.get(line.id or 0, 0)) for line in lines]
    out = [(line, much) for line, much in out if much > 0]
    have = [line for line in _lines(session, need.id or 0) if line.state is LineState.HAVE]
    entries.hold({line.stock_id for line, _ in out} | {line.stock_id for line in have})
    for line, much in out:
        put_back(session, entries, line, "the pour was taken back")
        room = progress_of(session, [need])[need.id or 0].room
        much = min(much, room)
        if much > 0:
            _promise_beside(session, entries, line, much)


def _promise_beside(session: Session, entries: Entries, line: KitLine, much: int) -> None:
    """Promise so much of the line's stock to its need again, on one line with what is promised of it already."""
    beside = [
        one
        for one in _lines(session, line.need_id)
        if one.state is LineState.HAVE
        and one.stock_id == line.stock_id
        and (one.pinned_by_id is None) == (line.pinned_by_id is None)
    ]
    release_all(session, entries, beside, "the pour was taken back")
    promise_again(session, entries, entries.action_id, [(line, much + sum(one.quantity for one in beside))])


def _lines(session: Session, need_id: int) -> list[KitLine]:
    """What is promised to the need and picked for it, held; its job is held before."""
    states = col(KitLine.state).in_([LineState.HAVE, LineState.PICKED])
    ids = session.exec(select(KitLine.id).where(KitLine.need_id == need_id, states)).all()
    return _sorted(hold_all(session, KitLine, [one or 0 for one in ids], "kit line").values())


def _sorted(lines: Iterable[KitLine]) -> list[KitLine]:
    return sorted(lines, key=lambda line: line.id or 0)


def _place(line: KitLine) -> tuple[int, int]:
    return line.stock_id, line.id or 0
