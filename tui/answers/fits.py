"""Fit records: which ring fitted where, one that was noted, those of a job, what an export wrote and an import did."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, ClassVar, Literal

from catalog import orings
from tui.answers.answer import Answer, said
from tui.answers.jobs import Mixed, mixed_ways
from tui.answers.ring import Condition, Dimension
from tui.answers.written_csv import WrittenCsv
from tui.commands.output import table
from tui.ring_words import record_words, ring_words

if TYPE_CHECKING:
    from models.fits.fit_import import Conflict as Waiting
    from models.fits.fit_records import FitRow
    from models.fits.fitted import Fitted
    from tui.ring_words import Described


@dataclass(frozen=True)
class FitReading:
    """A reading that a fit stands on, mm."""

    what: Dimension
    value_mm: float
    plus_minus_mm: float | None
    tool: str
    condition: Condition


@dataclass(frozen=True)
class FitWent:
    """How a joint was after a run, who said so and when."""

    outcome: Literal["dry", "wept", "leaked"]
    who: str
    at: datetime


@dataclass(frozen=True)
class Fit:
    """A confirmed fit: which size fitted at a machine's position, in which rubber, by whom and when.

    `size`: series and name, as in as568:214. `imported_by`: who brought it here from another shop. `went`: how the
    joint was after a run, null where nobody said.
    """

    machine: str
    position: str
    size: str
    rubber: str | None
    hardness_shore_a: int | None
    readings: tuple[FitReading, ...]
    groove: Literal["piston", "rod", "face_inside", "face_outside", "port"] | None
    note: str | None
    who: str
    at: datetime
    imported_by: str | None
    went: FitWent | None

    @property
    def row(self) -> tuple[str, ...]:
        """It as a row of a table."""
        hardness = f"{self.hardness_shore_a} Shore A" if self.hardness_shore_a else ""
        return (
            self.machine,
            self.position,
            orings.sizes.label_of(self.size),
            f"{self.rubber or ''} {hardness}".strip(),
            f"{self.at:%Y-%m-%d}",
            self.who,
            "" if self.went is None else f"{self.went.outcome} {self.went.at:%Y-%m-%d}",
            (self.note or "").replace("\n", " "),
        )


def fit_of(row: FitRow) -> Fit:
    """A record as answers tell it."""
    return Fit(
        machine=row.machine_name,
        position=row.position_name,
        size=row.size_key,
        rubber=row.rubber or None,
        hardness_shore_a=row.hardness_shore_a,
        readings=tuple(
            FitReading(one.what.value, one.value_mm, one.plus_minus_mm, one.tool.value, one.condition.value)
            for one in row.readings
        ),
        groove=None if row.groove is None else row.groove.kind.value,
        note=row.note or None,
        who=row.who,
        at=row.at,
        imported_by=row.imported_by or None,
        went=None if row.went is None else FitWent(row.went.outcome.value, row.went.who, row.went.at),
    )


def _table(fits: Sequence[Fit]) -> list[str]:
    return table(("machine", "position", "size", "rubber", "when", "who", "it went", "note"), [one.row for one in fits])


@dataclass(frozen=True)
class Fits(Answer):
    """The fit records that hold, of one machine or of the whole shop."""

    SCHEMA: ClassVar[str] = "kitwright.fits/2"

    fits: tuple[Fit, ...]

    def words(self) -> list[str]:
        """A table."""
        return _table(self.fits) if self.fits else ["No fit is on record."]

    @property
    def found(self) -> bool:
        """Whether there is one."""
        return bool(self.fits)


@dataclass(frozen=True)
class FitNoted(Answer):
    """The fit that was noted, or the question that keeps it from being noted: it does not agree with the record."""

    SCHEMA: ClassVar[str] = "kitwright.fit-noted/2"

    noted: Fit | None
    question: str | None

    def words(self) -> list[str]:
        """What was noted, or what is asked."""
        if self.noted is None:
            return [self.question or "", "Nothing was changed. To note the new fit, say --replace."]

        one = self.noted
        lines = [f"Noted: {orings.sizes.label_of(one.size)} at {one.machine}, {one.position}.", *_table((one,))]
        if one.rubber and not orings.rubber_tables.is_family(one.rubber):
            lines.append(f"! {one.rubber} is not a rubber in our tables; it was taken as typed.")
        return lines

    @property
    def found(self) -> bool:
        """Whether it was noted."""
        return self.noted is not None

    def go_on(self) -> list[tuple[str, str]]:
        """How it is taken back."""
        return [("Take it back with", "undo")] if self.noted is not None else []


@dataclass(frozen=True)
class FitWentNoted(Answer):
    """The fit on record at a position, with how it went as it was said now."""

    SCHEMA: ClassVar[str] = "kitwright.fit-went/2"

    fit: Fit

    def words(self) -> list[str]:
        """What was noted."""
        one, went = self.fit, self.fit.went
        assert went is not None
        return [
            f"Noted: {orings.sizes.label_of(one.size)} at {one.machine}, {one.position}: {went.outcome}.",
            *_table((one,)),
        ]

    def go_on(self) -> list[tuple[str, str]]:
        """How it is taken back."""
        return [("Take it back with", "undo")]


@dataclass(frozen=True)
class OnRecord:
    """The ring that is on record at a position."""

    size: str
    rubber: str | None
    hardness_shore_a: int | None

    @property
    def size_key(self) -> str:
        """Its size, as the workshop calls it."""
        return self.size


@dataclass(frozen=True)
class FitWaiting:
    """A ring a job used at a position where it is not on record; `on_record`: what is there instead."""

    machine: str
    position: str
    size: str
    rubber: str | None
    hardness_shore_a: int | None
    on_record: OnRecord | None

    @property
    def size_key(self) -> str:
        """Its size, as the workshop calls it."""
        return self.size

    @property
    def line(self) -> str:
        """What would be noted, in a sentence."""
        before = f" in place of {record_words(self.on_record)}" if self.on_record is not None else ""
        return f"Would note {ring_words(self)} at {self.machine}, {self.position}{before}."


def waiting_of(one: Fitted) -> FitWaiting:
    """What waits to be noted, as answers tell it."""
    return FitWaiting(
        one.machine_name,
        one.position_name,
        *_ring(one.ring),
        on_record=None if one.record is None else OnRecord(*_ring(one.record)),
    )


def _ring(ring: Described) -> tuple[str, str | None, int | None]:
    return ring.size_key, ring.rubber or None, ring.hardness_shore_a


@dataclass(frozen=True)
class FitsOfJob(Answer):
    """What a job's rings left on record (`fits`), or what waits to be noted; `mixed`: where several sorts went in."""

    SCHEMA: ClassVar[str] = "kitwright.fits-of-job/2"

    job: int
    waiting: tuple[FitWaiting, ...]
    mixed: tuple[Mixed, ...]
    fits: tuple[Fit, ...]

    def words(self) -> list[str]:
        """What was noted, or would be."""
        lines = ["Noted.", *_table(self.fits)] if self.fits else []
        lines += [one.line for one in self.waiting]
        nothing = not lines and not self.mixed
        return [f"No ring of job {self.job} waits to be noted."] if nothing else lines

    @property
    def found(self) -> bool:
        """Whether something was noted, or waits to be."""
        return bool(self.fits or self.waiting)

    def go_on(self) -> list[tuple[str, str]]:
        """How it is taken back, and how one of several sorts is noted."""
        return [*([("Take it back with", "undo")] if self.fits else []), *mixed_ways(self.mixed)]


@dataclass(frozen=True)
class FitsExported(WrittenCsv):
    """The records that were written as CSV to a file; to "-", they are the answer themselves.

    `signature`: the file with its signature, where one was asked for.
    """

    SCHEMA: ClassVar[str] = "kitwright.fits-exported/2"

    exported: int
    file: str
    text: str = said()
    signature: str | None = None

    @property
    def written(self) -> tuple[str, str]:
        """The file, and the CSV itself."""
        return self.file, self.text

    def how_many(self) -> str:
        """What was written."""
        return f"{self.exported} records"

    def words(self) -> list[str]:
        """The CSV itself, or what was written where."""
        signed = [] if self.signature is None else [f"Signed: send {self.signature} with it."]
        return [*super().words(), *signed]

    @property
    def found(self) -> bool:
        """Whether there was one."""
        return self.exported > 0


@dataclass(frozen=True)
class Conflict:
    """A line of the file that differs from this shop's record; `what` says how. `theirs` is the file's size."""

    line: int
    machine: str
    position: str
    what: str
    theirs: str
    ours: Fit


def conflict_of(one: Waiting) -> Conflict:
    """A conflict as answers tell it."""
    theirs = one.theirs
    return Conflict(theirs.line, theirs.machine, theirs.position, one.what, theirs.fit.size_key, fit_of(one.ours))


@dataclass(frozen=True)
class BadLine:
    """A line of the file that could not be taken in, and why."""

    line: int
    why: str


@dataclass(frozen=True)
class FitsImported(Answer):
    """What an import did; `conflicts` wait for a choice, `bad_lines` could not be taken in.

    `told`: of how many known ones the file said how they went, which is noted now. `signed_by`: whose signature holds,
    null where none was asked for.
    """

    SCHEMA: ClassVar[str] = "kitwright.fits-imported/2"

    added: int
    settled: int
    known: int
    conflicts: tuple[Conflict, ...]
    bad_lines: tuple[BadLine, ...]
    told: int
    signed_by: str | None

    def words(self) -> list[str]:
        """The counts, then each conflict."""
        lines = [] if self.signed_by is None else [f"Signed with the key of {self.signed_by}, and not changed since."]
        lines += [f"{self.added} added, {self.settled} settled, {self.known} known already."]
        lines += [f"The outcome of {self.told} of ours was updated."] if self.told else []
        lines += [f"line {one.line}: {one.machine}, {one.position}: {one.what}" for one in self.conflicts]
        if self.conflicts:
            lines.append("Choose for each line: --theirs LINE or --ours LINE. Nothing was changed there.")
        return lines

    def aside(self) -> list[str]:
        """The lines that could not be taken in."""
        return [f"line {one.line}: {one.why}" for one in self.bad_lines]

    @property
    def found(self) -> bool:
        """Whether nothing waits."""
        return not self.conflicts and not self.bad_lines
