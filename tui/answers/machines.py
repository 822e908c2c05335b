"""Machines: the list of them, and one with its positions."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar, Literal

import models
from tui.answers.answer import Answer, said
from tui.answers.items import KindWord
from tui.answers.jobs import hours_words
from tui.commands.output import table

Built = Literal["anywhere", "japan", "north-america", "europe"]


def built_words(built: Built) -> str:
    """Where a machine was built, "" where nobody said."""
    return "" if built == "anywhere" else built.replace("-", " ").title()


@dataclass(frozen=True)
class Machine:
    """A machine in a list. `position_count`: how many positions it has."""

    machine: str
    built: Built
    note: str | None
    position_count: int


@dataclass(frozen=True)
class MachineList(Answer):
    """The machines by name."""

    SCHEMA: ClassVar[str] = "kitwright.machines/2"

    machines: tuple[Machine, ...]

    def words(self) -> list[str]:
        """A table."""
        if not self.machines:
            return ["There is no machine yet; add one with: kitwright machine add NAME"]
        cells = [
            (one.machine, str(one.position_count), built_words(one.built), one.note or "") for one in self.machines
        ]
        return table(("machine", "positions", "built", "note"), cells, right=(1,))

    @property
    def found(self) -> bool:
        """Whether there is one."""
        return bool(self.machines)


@dataclass(frozen=True)
class Position:
    """A named place that takes an item. `fits` is the key of the ring size that holds there.

    `critical`: somebody may be hurt where it fails. `meets`: the code of the fluid that a ring there meets,
    `hottest_c`: the hottest it gets, °C; null where nobody said.
    """

    position: str
    takes: KindWord
    fits: str | None
    housing_measured: bool
    note: str | None
    critical: bool
    meets: str | None
    hottest_c: int | None

    @property
    def takes_words(self) -> str:
        """What it takes, whether it is critical, and what a ring there meets."""
        heat = "" if self.hottest_c is None else f" to {self.hottest_c} °C"
        return ", ".join(
            [self.takes, *(["critical"] if self.critical else []), *([f"{self.meets}{heat}"] if self.meets else [])]
        )


@dataclass(frozen=True)
class MachineKnown(Answer):
    """One machine with its positions. `done`: said first, where something was done."""

    SCHEMA: ClassVar[str] = "kitwright.machine/2"

    machine: str
    built: Built
    note: str | None
    positions: tuple[Position, ...]
    done: str = said()

    def words(self) -> list[str]:
        """What was done; where it was built; a table of its positions."""
        built = built_words(self.built)
        where = f", built in {built}" if built else ""
        lines = [self.done] if self.done else []
        lines.append(f"{self.machine}{where}{f': {self.note}' if self.note else ''}")
        cells = [
            (
                f"  {one.position}",
                one.takes_words,
                one.fits or ("housing measured" if one.housing_measured else ""),
                one.note or "",
            )
            for one in self.positions
        ]
        return [
            *lines,
            *(table(("  position", "takes", "on record", "note"), cells) if cells else ["  no position yet"]),
        ]


@dataclass(frozen=True)
class UsedHere:
    """How much of an item a job used, less what it gave back. `counted_in`: pieces (`each`) or microlitres."""

    item: str
    quantity: int
    counted_in: Literal["each", "ul"]


@dataclass(frozen=True)
class JobHere:
    """A job and what it used; an open one was closed at no time, and what it used is what it took so far.

    `meter_h`: what the machine's hour meter showed last with it, in hours; null where nobody noted it.
    """

    job: int
    title: str
    opened_at: datetime
    closed_at: datetime | None
    meter_h: float | None
    used: tuple[UsedHere, ...]

    def lines(self) -> list[str]:
        """The day, the hours, the job; beneath it what it used."""
        at = "" if self.meter_h is None else f"  at {hours_words(self.meter_h)}"
        if self.closed_at is None:
            day, state = self.opened_at, "  open since then"
        else:
            day, state = self.closed_at, ""
        return [
            f"  {day.astimezone():%Y-%m-%d}{at}  job {self.job}: {self.title}{state}",
            *(
                f"      {models.volume.in_words(each.quantity, models.words.Unit(each.counted_in))} {each.item}"
                for each in self.used
            ),
        ]


@dataclass(frozen=True)
class MachineHistory(Answer):
    """What is done and was done on a machine: its open jobs, then its closed ones, each the latest first."""

    SCHEMA: ClassVar[str] = "kitwright.machine-history/2"

    machine: str
    jobs: tuple[JobHere, ...]

    def words(self) -> list[str]:
        """Each job with what it used."""
        if not self.jobs:
            return [f"No job was opened on {self.machine} yet."]
        return [f"{self.machine}:", *(line for one in self.jobs for line in one.lines())]

    @property
    def found(self) -> bool:
        """Whether there is one."""
        return bool(self.jobs)
