"""The workshop's database itself: how a check found it, what a backup wrote, what was put back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, ClassVar

from tui.answers.answer import Answer, said

if TYPE_CHECKING:
    from models.storage.restore import Restored


def on_one_line(text: str) -> str:
    """A name from outside as one line."""
    return " ".join(text.split())


@dataclass(frozen=True)
class Finding:
    """Something that is not as it must be, and where."""

    where: str
    what: str


@dataclass(frozen=True)
class LastBackup:
    """The last backup that is known of: beside the data, or written from the server; `file` is None for a server."""

    at: datetime
    file: str | None


@dataclass(frozen=True)
class Checked(Answer):
    """Whether the database is as it must be, and what was looked at.

    `leftovers`: part files of ours beside the database, being written or left by a program that was killed.
    `others_may`: who besides the owner may read or write the file, in words; None where nobody may. `advice`: what
    disk, clock, terminal and libraries lack here, and what to do about each. `age_hours`: how
    old the backup is; `demo`: whether it is the demo, which nobody backs up.
    """

    SCHEMA: ClassVar[str] = "kitwright.check/2"

    ok: bool
    movements: int
    stock_rows: int
    orders: int
    findings: tuple[Finding, ...]
    leftovers: tuple[str, ...]
    backup: LastBackup | None
    others_may: str | None
    advice: tuple[str, ...]
    demo: bool = said(False)
    age_hours: int = said(0)

    def words(self) -> list[str]:
        """Whether all is well, what is not, when the last backup was made."""
        orders = f", {self.orders} order{'s' * (self.orders != 1)}" if self.orders else ""
        moved = f"{self.movements} movement{'s' * (self.movements != 1)}"
        looked = f"{moved}, {self.stock_rows} stock row{'s' * (self.stock_rows != 1)}{orders}"
        told = f"All is well: {looked} agree." if self.ok else f"Not all is well; {looked} were checked."
        lines = [told, *(f"  {one.where}: {one.what}" for one in self.findings), self._backed_up()]
        if self.others_may:
            lines.append(f"Note: {self.others_may}. If that is not intended, end it with: chmod go= FILE")
        lines += [f"Note: {one}" for one in self.advice]
        why = "a backup or import is writing it, or was killed; a day later it is cleared away"
        return lines + [f"  {on_one_line(path)}: {why}" for path in self.leftovers]

    def _backed_up(self) -> str:
        """When the last backup was made, and how long ago that is."""
        if self.demo:
            return "The demo is not backed up: it is made again if lost."
        if self.backup is None:
            return "No backup is on record. Make one with: kitwright backup FILE"
        at, kept = self.backup.at, self.backup.file
        hours = self.age_hours
        ago = f"{hours // 24} days ago" if hours >= 48 else f"{hours} hours ago" if hours >= 2 else "just now"
        return f"Last backup: {at.astimezone():%Y-%m-%d %H:%M}, {ago}{f', {kept}' if kept else ''}"

    @property
    def found(self) -> bool:
        """Whether all is well."""
        return self.ok


@dataclass(frozen=True)
class Written(Answer):
    """A workshop that was written elsewhere: where, its rows by table, and in words what in it is not as it must be."""

    where: str
    ok: bool
    rows: dict[str, int]
    findings: tuple[str, ...]

    DONE: ClassVar[str]

    def words(self) -> list[str]:
        """Where it stands now, and whether all is well in it."""
        well = "all is well in it" if self.ok else "not all is well in it"
        rows, moved = sum(self.rows.values()), self.rows.get("movements", 0)
        return [
            f"{self.DONE} {on_one_line(self.where)}: {rows} row{'s' * (rows != 1)}, {moved} of them movements; {well}.",
            *(f"  {finding}" for finding in self.findings),
        ]

    @property
    def found(self) -> bool:
        """Whether all is well in it."""
        return self.ok


@dataclass(frozen=True)
class BackedUp(Written):
    """A backup that was written."""

    SCHEMA: ClassVar[str] = "kitwright.backup/2"
    DONE: ClassVar[str] = "Backed up to"


@dataclass(frozen=True)
class PutBack(Written):
    """A backup that was put back."""

    SCHEMA: ClassVar[str] = "kitwright.restore/2"
    DONE: ClassVar[str] = "Put back into"

    def aside(self) -> list[str]:
        """How to work in it."""
        return ["Work in it with --data, as in: kitwright shelf list --data FILE"]


def backed_up(done: Restored) -> BackedUp:
    """What a backup wrote, as an answer."""
    return BackedUp(done.where, not done.findings, done.rows, done.findings)


def put_back(done: Restored) -> PutBack:
    """What was put back, as an answer."""
    return PutBack(done.where, not done.findings, done.rows, done.findings)
