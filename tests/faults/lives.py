"""A program is started, tells what it tries and what it has done, and is killed at a random instant."""

from __future__ import annotations

import multiprocessing
import os
import random
import signal
import time
from abc import ABC, abstractmethod
from collections.abc import Callable
from functools import cache
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Any, NamedTuple

from models.database import Workshop
from models.storage.check import check
from tests.faults.places import Places

FORKS = multiprocessing.get_context("forkserver")
"""One server imports the models once; every program is a fork of it and starts in milliseconds."""
FORKS.set_forkserver_preload(
    ["tests.faults.works", "tests.models.at_once", "alembic.command", "alembic.config", "models.storage.check"]
)


@cache
def warm() -> None:
    """Start the server of forks once, before anything is timed."""
    first = FORKS.Process(target=time.sleep, args=(0,))
    first.start()
    first.join()


class Says:
    """How the killed program tells: a line at a time, past every buffer, so that what it said before it died counts."""

    def __init__(self, file: str) -> None:
        self._file = os.open(file, os.O_WRONLY | os.O_APPEND | os.O_CREAT)

    def tries(self, key: str) -> None:
        """It is about to do this."""
        os.write(self._file, f"try {key}\n".encode())

    def done(self, key: str) -> None:
        """It has done this, and a person would have read so."""
        os.write(self._file, f"done {key}\n".encode())


class Told(NamedTuple):
    """What a program had told when it died."""

    tried: list[str]
    done: list[str]

    @property
    def unsure(self) -> str | None:
        """What it was in the middle of: tried, and not told done."""
        return self.tried[-1] if len(self.tried) > len(self.done) else None


def sound(workshop: Workshop) -> None:
    """Hold the workshop against its own check."""
    with workshop.read() as session:
        findings = check(session).findings
    assert not findings, findings


class Work(ABC):
    """One kind of work to be killed in. `prepare` once; then for each life `next_life`, a kill, `judge`."""

    name: str

    def __init__(self, places: Places, folder: Path) -> None:
        self.places = places
        self.folder = folder
        self.prepare()

    @abstractmethod
    def prepare(self) -> None:
        """Make what every life needs."""

    @abstractmethod
    def next_life(self, life: int) -> tuple[Callable[..., None], tuple[Any, ...], str]:
        """What the program of the next life does, with what, and where; it is called with a file to tell to first."""

    @abstractmethod
    def judge(self, told: Told) -> None:
        """Open what the killed program left and look for anything lost. Raises AssertionError where something is."""


class Outcome(NamedTuple):
    """What so many kills showed."""

    work: str
    place: str
    kills: int
    in_the_middle: int
    acknowledged: int
    seconds: float


def _wait(program: BaseProcess, file: Path, *, done: int) -> None:
    """Wait until the program has told that so many things are done, or has ended."""
    while program.is_alive() and file.read_bytes().count(b"done ") < done:
        program.join(0.001)


def run(work: Work, kills: int, chance: random.Random) -> Outcome:
    """Kill so many programs at random instants and judge what each left.

    The first is left alone: how much it does and how long it takes is what the kills are drawn from. A kill comes some
    time after so many things were done, from none on, so that a machine that is busy now and then changes nothing.
    """
    warm()
    start = time.monotonic()
    died = middle = acknowledged = 0
    does_in_all, each_takes = 0, 0.0
    for life in range(20 * kills):
        if died == kills:
            break
        does, given, where = work.next_life(life)
        file = work.folder / f"told-{life}"
        file.touch()
        program = FORKS.Process(target=does, args=(str(file), *given))
        began = time.monotonic()
        program.start()
        if does_in_all:
            _wait(program, file, done=chance.randrange(does_in_all))
            program.join(chance.uniform(0.0, each_takes))
            program.kill()
        program.join()
        lasted = time.monotonic() - began
        work.places.settle(where)
        lines = [line.partition(" ") for line in file.read_text().splitlines()]
        told = Told([key for word, _, key in lines if word == "try"], [key for word, _, key in lines if word == "done"])
        assert program.exitcode in {0, -signal.SIGKILL}, f"{work.name}: the program itself failed"
        work.judge(told)
        if program.exitcode == 0:
            assert told.unsure is None
            does_in_all, each_takes = len(told.done), lasted / len(told.done)
        else:
            died += 1
            middle += told.unsure is not None
            acknowledged += len(told.done)
    assert died == kills, f"{work.name}: only {died} of {kills} programs were killed in time"
    return Outcome(work.name, work.places.name, died, middle, acknowledged, time.monotonic() - start)
