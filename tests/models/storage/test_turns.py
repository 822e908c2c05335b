"""Who writes into a SQLite file: first come, first served, over many programs; who was killed holds nobody up."""

from __future__ import annotations

import os
import signal
import time
from pathlib import Path

import pytest

from models.storage import turns
from models.storage.turns import Queue, _queue_of, turn
from tests.faults.lives import FORKS

PATIENCE = 60
"""Seconds: more than any machine needs."""


def queue_at(file: Path) -> Queue:
    queue = _queue_of(file)
    assert queue is not None
    return queue


def stand(file: str, name: str) -> None:
    """Wait for a turn, and write down that it came."""
    with turn(Path(file), PATIENCE), Path(f"{file}.log").open("a", encoding="utf-8") as log:
        log.write(f"{name}\n")


def hold(file: str) -> None:
    """Take a turn and keep it."""
    with turn(Path(file), PATIENCE):
        signal.pause()


def until_drawn(queue: Queue, number: int) -> None:
    """Wait until somebody has drawn that number."""
    ends = time.monotonic() + PATIENCE
    while queue.drawn() < number:
        assert time.monotonic() < ends
        time.sleep(0.001)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    made = tmp_path / "w.sqlite3"
    made.touch()
    return made


def test_programs_have_their_turn_in_the_order_they_came(file: Path) -> None:
    queue = queue_at(file)
    names = [f"program {at}" for at in range(8)]
    with turn(file, PATIENCE):
        programs = [FORKS.Process(target=stand, args=(str(file), name)) for name in names]
        for place, program in enumerate(programs, queue.drawn() + 1):
            program.start()
            until_drawn(queue, place)  # the next comes once this one stands in the queue
        assert not Path(f"{file}.log").exists()
    for program in programs:
        program.join(PATIENCE)
    assert [program.exitcode for program in programs] == [0] * len(programs)
    assert Path(f"{file}.log").read_text(encoding="utf-8").split("\n")[:-1] == names


def test_a_program_that_is_killed_holds_nobody_up(file: Path) -> None:
    queue = queue_at(file)
    first, second, third = (
        FORKS.Process(target=target, args=args)
        for target, args in ((hold, (str(file),)), (hold, (str(file),)), (stand, (str(file), "third")))
    )
    for place, program in enumerate((first, second, third), 1):
        program.start()
        until_drawn(queue, place)
    for program in (second, first):  # one that waits, and the one whose turn it is
        assert program.pid is not None
        assert not Path(f"{file}.log").exists()
        os.kill(program.pid, signal.SIGKILL)
        program.join(PATIENCE)
    third.join(PATIENCE)
    assert Path(f"{file}.log").read_text(encoding="utf-8") == "third\n"


def test_nobody_waits_for_ever_for_a_turn_that_never_ends(file: Path) -> None:
    queue = queue_at(file)
    holder = FORKS.Process(target=hold, args=(str(file),))
    holder.start()
    until_drawn(queue, 1)
    with turn(file, 0.05):  # SQLite's own lock says then that it is busy
        assert holder.is_alive()
    holder.kill()
    holder.join(PATIENCE)


def test_without_a_folder_for_it_the_block_runs_out_of_turn(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(file.parent / "nowhere"))
    with turn(file, PATIENCE):
        assert turns._queue_of(file) is None
    with turn(file.parent / "no file", PATIENCE):
        pass
