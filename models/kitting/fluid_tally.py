"""A fluid need's tally as it goes in: what was held, drained and poured, kept entry by entry with the job.

What is poured is taken off the shelf as it is noted; `models.kitting.poured` moves the stock.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from fractions import Fraction
from typing import Final, NamedTuple

from sqlalchemy import func
from sqlmodel import Session, col, select

from catalog.fluids.fill import MOST_POURS, Level, Pour, marks, tally
from models.actions import claim
from models.acts import Act
from models.errors import CannotUndoError, InvalidInputError
from models.inventory.ledger import Entries
from models.kitting import poured
from models.kitting.fill_entries import NANOLITRES, standing
from models.kitting.locks import hold_need
from models.kitting.poured import Container
from models.rows import find
from models.tables import Action, Bin, Filled, FillEntry, Item, Job, KitLine, Movement, Need, Stock
from models.text import clean
from models.words import LineState, Moved

__all__ = ["Container", "Filled", "FluidTally", "From", "Noted", "containers", "note", "of_need", "stands", "take_back",
           "undo"]  # fmt: skip

MOST_ENTRIES: Final = MOST_POURS
MOST_NL: Final = 10**15
"""A million litres."""
SLACK: Final = Fraction(1)
"""A mark is kept in whole microlitres: this near to it the level stands at it."""


class From(NamedTuple):
    """How much was taken of what, out of which bin, in µL."""

    stock_id: int
    item_name: str
    bin_code: str
    volume_ul: int


class Noted(NamedTuple):
    """One entry that stands: its volume in µL and as it was typed, who noted it and when, what was taken for it."""

    entry_id: int
    what: Filled
    volume: Fraction
    typed: str
    who: str
    at: datetime
    taken: tuple[From, ...] = ()


class FluidTally(NamedTuple):
    """A need's marks in µL and the entries that stand, oldest first; `picked_ul`: what is off the shelf for it."""

    need_id: int
    job_id: int
    title: str
    low_ul: int
    full_ul: int
    entries: tuple[Noted, ...]
    picked_ul: int = 0

    @property
    def poured_ul(self) -> int:
        """What was poured from packs."""
        return round(sum((one.volume for one in self.entries if one.what is Filled.POURED), Fraction(0)))

    @property
    def unrecorded_ul(self) -> int:
        """What was poured and came from no container on record."""
        return max(0, self.poured_ul - self.picked_ul)

    @property
    def level(self) -> Level:
        """Where the level stands. Raises ValueError where the entries contradict each other."""
        return level(self.low_ul, self.full_ul, [(one.what, one.volume) for one in self.entries])


def level(low_ul: int, full_ul: int, entries: Sequence[tuple[Filled, Fraction]]) -> Level:
    """Add entries (what, µL) up against the marks; drains add up, the last word on what was held before counts.

    Raises ValueError where more was drained than was held, poured back than was drained, or let out than was in.
    """
    pours = [Pour(volume, what is Filled.REUSED) for what, volume in entries if what in {Filled.POURED, Filled.REUSED}]
    drained = sum((volume for what, volume in entries if what is Filled.DRAINED), Fraction(0))
    held = next((volume for what, volume in reversed(entries) if what is Filled.HELD), None)
    out = sum((volume for what, volume in entries if what is Filled.LET_OUT), Fraction(0))
    at = marks(low_ul, full_ul)
    stands = tally(at, pours, drained=drained, held_before=held, let_out=out).held
    for name, mark in (("low", at.low), ("full", at.full)):
        if 0 < abs(stands - mark) <= SLACK:
            at = at._replace(**{name: stands})
    if at.low > at.full:
        at = at._replace(low=at.full)
    return tally(at, pours, drained=drained, held_before=held, let_out=out)


def of_need(session: Session, need_id: int) -> FluidTally:
    """The tally of a fluid need. Raises `NotFoundError`, or `InvalidInputError` where the need has no marks."""
    need = _with_marks(find(session, Need, need_id, "need"))
    rows = session.exec(
        select(FillEntry, Action)
        .join(Action, col(Action.id) == col(FillEntry.action_id))
        .where(FillEntry.need_id == need_id)
        .order_by(col(FillEntry.id))
    ).all()
    there = _standing([entry for entry, _ in rows])
    taken = _taken(session, need_id)
    return FluidTally(
        need_id,
        need.job_id,
        need.title,
        need.low_ul or 0,
        need.full_ul or 0,
        tuple(
            Noted(
                entry.id or 0,
                entry.what,
                _volume(entry),
                entry.typed,
                action.who,
                action.at,
                tuple(from_ for action_id, from_ in taken if action_id == action.id),
            )
            for entry, action in rows
            if entry.takes_back_id is None and entry.id in there
        ),
        _picked(session, need_id),
    )


def _taken(session: Session, need_id: int) -> list[tuple[int, From]]:
    """What was taken off the shelf for the need and put back by nobody, by the action that took it."""
    rows = session.exec(
        select(Movement, Item.name, Bin.code)
        .join(KitLine, col(KitLine.id) == col(Movement.kit_line_id))
        .join(Stock, col(Stock.id) == col(Movement.stock_id))
        .join(Item, col(Item.id) == col(Stock.item_id))
        .join(Bin, col(Bin.id) == col(Stock.bin_id))
        .where(KitLine.need_id == need_id, KitLine.state == LineState.PICKED, Movement.kind == Moved.USED)
        .order_by(col(Movement.id))
    ).all()
    return [(moved.action_id, From(moved.stock_id, item, code, -moved.on_hand_change)) for moved, item, code in rows]


def _picked(session: Session, need_id: int) -> int:
    """What is picked for the need, less what came back of it, in µL."""
    moved = session.exec(
        select(func.coalesce(func.sum(col(Movement.on_hand_change)), 0))
        .join(KitLine, col(KitLine.id) == col(Movement.kit_line_id))
        .where(
            KitLine.need_id == need_id,
            KitLine.state == LineState.PICKED,
            col(Movement.kind).in_([Moved.USED, Moved.RECEIVED]),
        )
    ).one()
    return -int(moved)


def containers(session: Session, need_id: int, on: date) -> tuple[Container, ...]:
    """What the next pour may come from, the usual one first. Raises as `of_need` does."""
    return poured.containers(session, _with_marks(find(session, Need, need_id, "need")), on)


def note(
    session: Session,
    act: Act,
    need_id: int,
    what: Filled,
    volume: Fraction,
    typed: str = "",
    *,
    stock_id: int | None = None,
) -> FluidTally:
    """Note what was held before, drained or poured; `volume` in µL, `typed` as the person said it.

    What is poured is taken off the shelf, less what was picked and not poured yet: from the container `stock_id`, or
    else from what is promised, the one poured from last and opened ones first, then from what lies free. Raises
    `NotFoundError`, or `InvalidInputError` where it can't be: no marks, a closed job, more poured back than was
    drained.
    """
    said = clean(typed, "volume", empty=True)
    made = claim(session, act, "tally.note", f"{what}", subject_id=need_id)
    if made.first:
        need = _open(session, need_id)
        before = of_need(session, need_id)
        least = 0 if what is Filled.HELD else 1
        nanolitres = round(volume * NANOLITRES)
        if not least <= nanolitres <= MOST_NL:
            raise InvalidInputError("That volume can't be noted.", "Type what went in, as 2 qt or 1.5 L.")
        if len(before.entries) >= MOST_ENTRIES:
            raise InvalidInputError(f"{MOST_ENTRIES} entries are noted.", "Take one back and add small ones up.")
        entries = [(one.what, one.volume) for one in before.entries]
        _refuse(before, [*entries, (what, Fraction(nanolitres, NANOLITRES))])
        session.add(FillEntry(action_id=made.action_id, need_id=need_id, what=what, volume_nl=nanolitres, typed=said))
        session.flush()
        if what is Filled.POURED:
            there = before.poured_ul
            after = round(sum((size for kind, size in entries if kind is what), Fraction(nanolitres, NANOLITRES)))
            poured.pour(session, act, Entries(session, made.action_id), need, after - there, there, stock_id)
    return of_need(session, need_id)


def take_back(session: Session, act: Act, need_id: int, entry_id: int | None = None) -> FluidTally:
    """Take an entry back, the last one unless another is named. Raises `NotFoundError`, `InvalidInputError`."""
    made = claim(session, act, "tally.take_back", subject_id=need_id)
    if made.first:
        need = _open(session, need_id)
        there = [one.entry_id for one in of_need(session, need_id).entries]
        if entry_id is None and there:
            entry_id = there[-1]
        if entry_id not in there:
            raise InvalidInputError("There is nothing to take back.", "Note what goes in first.")
        entry = find(session, FillEntry, entry_id or 0, "entry")
        _write_back(session, made.action_id, need_id, entry)
        if entry.what is Filled.POURED:
            poured.unpour(session, Entries(session, made.action_id), need, [entry.action_id])
    return of_need(session, need_id)


def stands(session: Session, done: Action) -> bool:
    """Whether what an action noted or took back still stands."""
    entry = session.exec(select(FillEntry).where(FillEntry.action_id == done.id)).first()
    return entry is not None and entry.id in _standing(_rows(session, entry.need_id))


def undo(session: Session, action_id: int, done: Action, what: str) -> None:
    """Take back what an action noted, or let stand again, in its old place, what it took back.

    Raises `CannotUndoError`.
    """
    entry = session.exec(select(FillEntry).where(FillEntry.action_id == done.id)).one()
    try:
        _open(session, entry.need_id)
        if not stands(session, done):
            raise InvalidInputError("There is nothing to take back.", "It was taken back already.")
        _write_back(session, action_id, entry.need_id, entry)
    except InvalidInputError as refused:
        raise CannotUndoError(f"{refused.happened} So {what} can't be undone.", refused.to_do) from refused


def _rows(session: Session, need_id: int) -> list[FillEntry]:
    return list(session.exec(select(FillEntry).where(FillEntry.need_id == need_id).order_by(col(FillEntry.id))).all())


def _standing(rows: Sequence[FillEntry]) -> set[int]:
    return standing((row.id or 0, row.takes_back_id) for row in rows)


def _write_back(session: Session, action_id: int, need_id: int, entry: FillEntry) -> None:
    """Take back an entry that stands. Raises `InvalidInputError` where the rest would contradict each other."""
    rows = _rows(session, need_id)
    # An entry is taken back by one row at most. Where one stands again, the row that made it so is taken back.
    by_taken = {row.takes_back_id: row for row in rows}
    last = entry
    while last.id in by_taken:
        last = by_taken[last.id]
    back = FillEntry(
        action_id=action_id,
        need_id=need_id,
        what=entry.what,
        volume_nl=entry.volume_nl,
        typed=entry.typed,
        takes_back_id=last.id,
    )
    then = _standing([*rows, FillEntry(**{**back.model_dump(), "id": (rows[-1].id or 0) + 1})])
    left = [row for row in rows if row.takes_back_id is None and row.id in then]
    _refuse(of_need(session, need_id), [(row.what, _volume(row)) for row in left])
    session.add(back)
    session.flush()


def _volume(entry: FillEntry) -> Fraction:
    return Fraction(entry.volume_nl, NANOLITRES)


def _refuse(now: FluidTally, entries: Sequence[tuple[Filled, Fraction]]) -> None:
    try:
        level(now.low_ul, now.full_ul, entries)
    except ValueError as problem:
        raise InvalidInputError(str(problem)) from problem


def _with_marks(need: Need) -> Need:
    if not need.low_ul or not need.full_ul:
        raise InvalidInputError(f"“{need.title}” has no low and full mark.", "Log pours of a fluid that has them.")
    return need


def _open(session: Session, need_id: int) -> Need:
    need = _with_marks(hold_need(session, need_id))
    job = find(session, Job, need.job_id, "job")
    if job.closed_at is not None:
        raise InvalidInputError(f"The job “{job.title}” is closed.", "Open a new job.")
    if need.withdrawn_at is not None:
        raise InvalidInputError(f"“{need.title}” was removed.", "Add it again.")
    return need
