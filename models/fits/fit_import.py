"""Take in another shop's fit records: new ones are added, conflicts are shown and settled by a person, none is lost."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from enum import Enum, StrEnum
from types import MappingProxyType
from typing import Final, NamedTuple

from sqlmodel import Session, col, select

from models import machines
from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError
from models.fits import fit_records
from models.fits.fit_csv import FileFit
from models.fits.fit_records import FitRow, NewFit, Origin, Saying
from models.fits.readings import ReadingRow, from_store, to_store
from models.fits.written import as_written
from models.rows import hold
from models.tables import FitReading, Machine, Position
from models.words import Kind


class Choice(StrEnum):
    """How a person settles a conflict. Either way both records are kept and readable; one of them holds."""

    THEIRS = "theirs"
    OURS = "ours"


class Conflict(NamedTuple):
    """A record of the file, and the different one that holds here."""

    theirs: FileFit
    ours: FitRow
    what: str


class ImportPlan(NamedTuple):
    """What importing would do: `new` ones are added, `known` ones change nothing, `conflicts` wait for a choice.

    `told`: known ones of which the file says how they went, and nobody here did.
    """

    new: tuple[FileFit, ...]
    known: tuple[FileFit, ...]
    conflicts: tuple[Conflict, ...]
    refused: tuple[tuple[int, str], ...]
    told: tuple[FileFit, ...] = ()


class Imported(NamedTuple):
    """What an import did; `open` conflicts were left as they are, here and in the file.

    `told`: how many known ones the file said the outcome of, which is noted now.
    """

    added: int
    settled: int
    known: int
    open: tuple[Conflict, ...]
    refused: tuple[tuple[int, str], ...]
    told: int = 0


NO_CHOICES: Final[Mapping[int, Choice]] = MappingProxyType({})


def plan(session: Session, fits: Iterable[FileFit]) -> ImportPlan:
    """Compare a file's records with this shop's; nothing is written."""
    found = [*_compared(session, fits)]
    return ImportPlan(
        tuple(one for one, same, _, _ in found if same is _Same.NEW),
        tuple(one for one, same, _, _ in found if same is _Same.KNOWN),
        tuple(Conflict(one, ours, what) for one, same, ours, what in found if ours and same is _Same.CONFLICT),
        tuple((one.line, why) for one, same, _, why in found if same is _Same.REFUSED),
        tuple(one for one, same, _, _ in found if same is _Same.TOLD),
    )


class _Same(Enum):
    NEW, KNOWN, TOLD, CONFLICT, REFUSED = range(5)


def _compared(session: Session, fits: Iterable[FileFit]) -> Iterator[tuple[FileFit, _Same, FitRow | None, str]]:
    """Each record with how it stands to ours: in a conflict, the one that holds and what differs; refused, why.

    Where only how it went is new, the record of ours that it is told of.
    """
    seen: dict[int, int] = {}
    for one in fits:
        place = hash((one.machine, one.position))
        position = _position(session, one)
        if place in seen:
            why = f"{one.position} of {one.machine} stands on line {seen[place]} already."
            yield one, _Same.REFUSED, None, why
            continue
        seen[place] = one.line
        if position is not None and position.takes is not Kind.RING:
            yield one, _Same.REFUSED, None, f"“{position.name}” takes a {position.takes} here, not a ring."
            continue
        history = fit_records.history(session, position.id or 0) if position is not None else ()
        if not history:
            yield one, _Same.NEW, None, ""
            continue
        same = [row for row in history if _same(one.fit, row)]
        if any(_says_no_more(one.fit, row) for row in same):
            yield one, _Same.KNOWN, None, ""
        elif same and same[0].went is None:
            yield one, _Same.TOLD, same[0], ""
        else:
            yield one, _Same.CONFLICT, history[0], _difference(one.fit, history[0])


def import_fits(
    session: Session, act: Act, fits: Iterable[FileFit], choices: Mapping[int, Choice] = NO_CHOICES
) -> Imported:
    """Add what is new, with machines and positions that are not here yet, and settle the conflicts chosen by line.

    `fits` is gone through twice, so that every position is held in one order before anything is written; a long file
    is never held whole. `THEIRS`: the file's record holds from now on, ours stays in the history. `OURS`: the file's
    record goes into the history and ours is written again on top. A conflict without a choice changes nothing.
    Raises `InvalidInputError` for a choice on a line that is in no conflict.
    """
    count = known = 0
    refused: list[tuple[int, str]] = []
    conflicts: list[Conflict] = []
    places: set[int] = set()
    for one, same, ours, why in _compared(session, fits):
        count += 1
        known += same is _Same.KNOWN
        if same is _Same.REFUSED:
            refused.append((one.line, why))
        elif ours is not None and same is _Same.TOLD:
            places.add(ours.position_id)
        elif ours is not None:
            conflicts.append(Conflict(one, ours, why))
            places.add(ours.position_id)
        elif same is _Same.NEW and (place := _position(session, one)) is not None:
            places.add(place.id or 0)
    made = claim(session, act, "fit_records.import", f"{count} records")
    if not made.first:
        return Imported(0, 0, known, tuple(conflicts), tuple(refused))
    strange = sorted(set(choices) - {one.theirs.line for one in conflicts})
    if strange:
        raise InvalidInputError(f"Line {strange[0]} is in no conflict.", "Leave it out, or look at the file again.")
    for position_id in sorted(places):
        hold(session, Position, position_id, "position")
    added = settled = told = 0
    for one, same, ours, _ in _compared(session, fits):
        if same is _Same.NEW:
            fit_records.insert(session, made.action_id, _place_for(session, act, one), one.fit)
            added += 1
        elif ours is not None and same is _Same.TOLD and one.fit.went is not None:
            fit_records.add_outcome(session, made.action_id, ours.fit_record_id, one.fit.went)
            told += 1
        elif ours is not None and (choice := choices.get(one.line)) is not None:
            fit_records.insert(session, made.action_id, ours.position_id, one.fit)
            if choice is Choice.OURS:
                _write_again(session, made.action_id, ours)
            settled += 1
        if (added + settled + told) % 500 == 499:
            session.flush()
            session.expunge_all()
    open_ = tuple(one for one in conflicts if one.theirs.line not in choices)
    return Imported(added, settled, known, open_, tuple(refused), told)


def _write_again(session: Session, action_id: int, ours: FitRow) -> None:
    again = NewFit(
        ours.size_key,
        None,
        ours.rubber,
        ours.hardness_shore_a,
        ours.note,
        ours.groove,
        Origin(ours.who, ours.at),
        None if ours.went is None else Saying(ours.went.outcome, Origin(ours.went.who, ours.went.at)),
    )
    record_id = fit_records.insert(session, action_id, ours.position_id, again)
    stored = session.exec(select(FitReading).where(FitReading.fit_record_id == ours.fit_record_id)).all()
    session.add_all([FitReading(**{**row.model_dump(), "fit_record_id": record_id}) for row in stored])
    session.flush()


def _position(session: Session, one: FileFit) -> Position | None:
    return session.exec(
        select(Position)
        .join(Machine)
        .where(Machine.name == one.machine, Position.name == one.position, col(Position.withdrawn_at).is_(None))
    ).first()


def _place_for(session: Session, act: Act, one: FileFit) -> int:
    position = _position(session, one)
    if position is not None:
        return position.id or 0
    standing = (Machine.name == one.machine, col(Machine.withdrawn_at).is_(None))
    machine_id = session.exec(select(Machine.id).where(*standing)).first()
    if machine_id is None:
        machine_id = machines.add(session, _part(act, one, "machine"), name=one.machine).machine_id
    made = machines.add_position(session, _part(act, one, "position"), machine_id=machine_id, name=one.position)
    return made.position_id


def _part(act: Act, one: FileFit, what: str) -> Act:
    return act._replace(key=f"{act.key}/{one.line}/{what}")


def _stored(fit: NewFit) -> tuple[ReadingRow, ...]:
    rows = [FitReading(fit_record_id=0, **reading._asdict()) for reading in to_store(fit.evidence)]
    return from_store(rows)


def _same(fit: NewFit, row: FitRow) -> bool:
    return (
        (fit.size_key, fit.rubber, fit.hardness_shore_a, fit.note)
        == (row.size_key, row.rubber, row.hardness_shore_a, row.note)
        and as_written(fit.groove) == as_written(row.groove)
        and _stored(fit) == row.readings
        and (fit.origin is None or (fit.origin.who, fit.origin.at) == (row.who, row.at))
    )


def _says_no_more(fit: NewFit, row: FitRow) -> bool:
    """Whether the file says nothing of how it went that is not said here."""
    return fit.went is None or (row.went is not None and row.went.outcome is fit.went.outcome)


def _difference(fit: NewFit, row: FitRow) -> str:
    """In words, what differs, the size first."""
    pairs = (
        ("size", fit.size_key, row.size_key),
        ("rubber", fit.rubber or "not noted", row.rubber or "not noted"),
        ("hardness", str(fit.hardness_shore_a or "not noted"), str(row.hardness_shore_a or "not noted")),
    )
    said = [f"{what}: theirs {theirs}, ours {ours}" for what, theirs, ours in pairs if theirs != ours]
    if _stored(fit) != row.readings:
        said.append("the readings")
    if as_written(fit.groove) != as_written(row.groove):
        said.append("the groove")
    if fit.note != row.note:
        said.append("the note")
    if not _says_no_more(fit, row) and fit.went is not None:
        ours = "not given" if row.went is None else row.went.outcome.value
        said.append(f"how it went: theirs {fit.went.outcome.value}, ours {ours}")
    return "; ".join(said) or "who confirmed it and when"
