"""A fluid need's tally as it goes in: what was held, drained and poured, kept entry by entry with the job."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from fractions import Fraction
from typing import Final, NamedTuple

from sqlmodel import Session, col, select

from catalog.fluids.fill import MOST_POURS, Level, Pour, marks, tally
from models.actions import claim
from models.acts import Act
from models.errors import CannotUndoError, InvalidInputError
from models.kitting.locks import hold_need
from models.rows import find
from models.tables import Action, Filled, FillEntry, Job, Need
from models.text import clean

__all__ = ["Filled", "FluidTally", "Noted", "note", "of_need", "stands", "take_back", "undo"]

NANOLITRES: Final = 1000
"""In a microlitre."""
MOST_ENTRIES: Final = MOST_POURS
MOST_NL: Final = 10**15
"""A million litres."""
SLACK: Final = Fraction(1)
"""A mark is kept in whole microlitres: this near to it the level stands at it."""


class Noted(NamedTuple):
    """One entry that stands: its volume in µL and as it was typed, who noted it and when."""

    entry_id: int
    what: Filled
    volume: Fraction
    typed: str
    who: str
    at: datetime


class FluidTally(NamedTuple):
    """A need's marks in µL and the entries that stand, oldest first."""

    need_id: int
    job_id: int
    title: str
    low_ul: int
    full_ul: int
    entries: tuple[Noted, ...]

    @property
    def level(self) -> Level:
        """Where the level stands. Raises ValueError where the entries contradict each other."""
        return level(self.low_ul, self.full_ul, [(one.what, one.volume) for one in self.entries])


def level(low_ul: int, full_ul: int, entries: Sequence[tuple[Filled, Fraction]]) -> Level:
    """Add entries (what, µL) up against the marks; drains add up, the last word on what was held before counts.

    Raises ValueError where more was drained than was held, or poured back than was drained.
    """
    pours = [Pour(volume, what is Filled.REUSED) for what, volume in entries if what in {Filled.POURED, Filled.REUSED}]
    drained = sum((volume for what, volume in entries if what is Filled.DRAINED), Fraction(0))
    held = next((volume for what, volume in reversed(entries) if what is Filled.HELD), None)
    at = marks(low_ul, full_ul)
    stands = tally(at, pours, drained=drained, held_before=held).held
    for name, mark in (("low", at.low), ("full", at.full)):
        if 0 < abs(stands - mark) <= SLACK:
            at = at._replace(**{name: stands})
    if at.low > at.full:
        at = at._replace(low=at.full)
    return tally(at, pours, drained=drained, held_before=held)


def of_need(session: Session, need_id: int) -> FluidTally:
    """The tally of a fluid need. Raises `NotFoundError`, or `InvalidInputError` where the need has no marks."""
    need = _with_marks(find(session, Need, need_id, "need"))
    rows = session.exec(
        select(FillEntry, Action)
        .join(Action, col(Action.id) == col(FillEntry.action_id))
        .where(FillEntry.need_id == need_id)
        .order_by(col(FillEntry.id))
    ).all()
    standing = _standing([entry for entry, _ in rows])
    return FluidTally(
        need_id,
        need.job_id,
        need.title,
        need.low_ul or 0,
        need.full_ul or 0,
        tuple(
            Noted(entry.id or 0, entry.what, Fraction(entry.volume_nl, NANOLITRES), entry.typed, action.who, action.at)
            for entry, action in rows
            if entry.takes_back_id is None and entry.id in standing
        ),
    )


def note(session: Session, act: Act, need_id: int, what: Filled, volume: Fraction, typed: str = "") -> FluidTally:
    """Note what was held before, drained or poured; `volume` in µL, `typed` as the person said it.

    Raises `NotFoundError`, or `InvalidInputError` where it can't be: no marks, a closed job, more poured back than
    was drained.
    """
    said = clean(typed, "volume", empty=True)
    made = claim(session, act, "tally.note", f"{what}", subject_id=need_id)
    if made.first:
        _open(session, need_id)
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
    return of_need(session, need_id)


def take_back(session: Session, act: Act, need_id: int, entry_id: int | None = None) -> FluidTally:
    """Take an entry back, the last one unless another is named. Raises `NotFoundError`, `InvalidInputError`."""
    made = claim(session, act, "tally.take_back", subject_id=need_id)
    if made.first:
        _open(session, need_id)
        standing = [one.entry_id for one in of_need(session, need_id).entries]
        if entry_id is None and standing:
            entry_id = standing[-1]
        if entry_id not in standing:
            raise InvalidInputError("There is nothing to take back.", "Note what goes in first.")
        _write_back(session, made.action_id, need_id, find(session, FillEntry, entry_id or 0, "entry"))
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
    """The ids of what stands: what nothing takes back, or only what was itself taken back."""
    gone: set[int] = set()
    for row in sorted(rows, key=lambda one: one.id or 0, reverse=True):
        if row.takes_back_id is not None and row.id not in gone:
            gone.add(row.takes_back_id)
    return {row.id or 0 for row in rows} - gone


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
        raise InvalidInputError(f"“{need.title}” has no low and full mark.", "Tally a fluid that has them.")
    return need


def _open(session: Session, need_id: int) -> None:
    need = _with_marks(hold_need(session, need_id))
    job = find(session, Job, need.job_id, "job")
    if job.closed_at is not None:
        raise InvalidInputError(f"The job “{job.title}” is closed.", "Open a new job.")
    if need.withdrawn_at is not None:
        raise InvalidInputError(f"“{need.title}” is struck.", "Add it again.")
