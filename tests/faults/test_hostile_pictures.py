"""However a picture was made, it is refused in a sentence, within two seconds of processor and 300 MB."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Final, NamedTuple

import pytest

from catalog import photo
from catalog.photo.reading import Bar
from tests.catalog.photo.hostile import MADE, jpeg
from tests.catalog.photo.rendered import Scene, encoded, render
from tests.tui.command_line import CommandLine
from tui import by_picture

SECONDS: Final = 2.0
MEGABYTES: Final = 300


class Spent(NamedTuple):
    """What measuring took of processor and memory, and how it ended: the refusal, or ""."""

    seconds: float
    megabytes: float
    why: str


MEASURE: Final = """
import resource, sys
from pathlib import Path
from catalog import photo
from catalog.photo.reading import Bar
from tui import by_picture
why = ""
try:
    by_picture.measured(Path(sys.argv[1]), Bar(99.6), lambda _: None)
except photo.refusal.PhotoError as refused:
    why = str(refused)
took = resource.getrusage(resource.RUSAGE_CHILDREN)
print(took.ru_utime + took.ru_stime, took.ru_maxrss / 1024, why, end="")
"""


def spent(file: Path) -> Spent:
    """Measured from a small process of its own: a child's most memory begins with that of who begins it."""
    done = subprocess.run([sys.executable, "-c", MEASURE, str(file)], capture_output=True, text=True, check=True)
    seconds, megabytes, why = done.stdout.split(" ", 2)
    return Spent(float(seconds), float(megabytes), why)


@pytest.mark.parametrize("name", MADE)
def test_a_hostile_picture_is_refused_in_time_and_memory(tmp_path: Path, name: str) -> None:
    make, says = MADE[name]
    file = tmp_path / name
    file.write_bytes(make())
    found = spent(file)
    assert re.search(says, found.why), found.why
    assert "\n" not in found.why
    assert found.seconds < SECONDS
    assert found.megabytes < MEGABYTES


def test_an_ordinary_picture_of_twelve_megapixels_takes_as_little(tmp_path: Path) -> None:
    file = tmp_path / "ring.jpg"
    file.write_bytes(encoded(render(Scene(inside=24.9, width=3.5, wide=4000, high=3000, blur=1.2))))
    found = spent(file)
    assert found.why == ""
    assert found.megabytes < MEGABYTES
    assert found.seconds < 3 * SECONDS


def test_what_the_decoders_print_reaches_no_screen(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "cut.jpg"
    whole = jpeg(1200, 1000)
    file.write_bytes(whole[: len(whole) // 2])
    with pytest.raises(photo.refusal.PhotoError):
        by_picture.measured(file, Bar(99.6), lambda _: None)
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize(
    ("code", "says"),
    [
        ("import os; os.abort()", r"picture can't be measured: .* \(code -6\)"),
        ("raise SystemExit('odd \x1b[31m thing')", r"can't be measured: .* \(odd  \[31m thing\)"),
        ("import os, signal; os.kill(os.getpid(), signal.SIGXCPU)", "takes too long: make it smaller"),
    ],
)
def test_a_picture_that_breaks_the_program_breaks_nothing_here(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: str, says: str
) -> None:
    monkeypatch.setattr(by_picture, "PROGRAM", (sys.executable, "-c", code))
    file = tmp_path / "ring.jpg"
    file.write_bytes(b"x")
    with pytest.raises(photo.refusal.PhotoError, match=says):
        by_picture.measured(file, Bar(99.6), lambda _: None)


def test_whoever_stops_it_ends_the_program(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    mark = tmp_path / "still-here"
    code = f"import time, pathlib; time.sleep(1.5); pathlib.Path({str(mark)!r}).touch()"
    monkeypatch.setattr(by_picture, "PROGRAM", (sys.executable, "-c", code))
    file = tmp_path / "ring.jpg"
    file.write_bytes(b"x")

    def stop(step: str) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        by_picture.measured(file, Bar(99.6), stop)
    with pytest.raises(ChildProcessError):
        os.waitpid(-1, os.WNOHANG)  # none is left to wait for
    assert not mark.exists()


def test_a_pipe_is_measured_as_a_file_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("models.outside.SILENT_SECONDS", 0.2)
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    kept = os.open(pipe, os.O_RDWR)
    try:
        ended = CommandLine(capsys, monkeypatch)("ring", "--photo", str(pipe), "--bar", "99.6")
    finally:
        os.close(kept)
    assert ended.code == 2
    assert "Nothing came through the pipe" in ended.err


KEPT: Final[dict[str, str]] = {
    "nothing.jpg": "not a picture that can be read",
    "text.jpg": "not a picture that can be read",
    "wrong.gif": "not a picture that can be read",
    "30000.png": "more than 24 million pixels",
    "24.png": "taken",
    "cut.png": "is broken",
    "text-bomb.png": "is broken",
    "scans.jpg": "too many layers",
    "hidden.jpg": "more than 40 million pixels",
    "cut.jpg": "is broken",
    "exif.jpg": "taken",
}
"""Of the same files: what is said where one is to be kept with an item."""
KEEP: Final = """
import re, sys
from pathlib import Path
from models.errors import InvalidInputError
from models.pictures import taking_in
from models.stored_picture import MOST_BYTES
for file in sys.argv[1:]:
    try:
        assert len(taking_in.from_file(file).jpeg) <= MOST_BYTES
        print("taken")
    except InvalidInputError as refused:
        print(refused)
print(re.search(r"VmHWM:\\s+(\\d+)", Path("/proc/self/status").read_text())[1])
"""


def test_one_that_is_to_be_kept_is_refused_or_made_small_within_the_same_memory(tmp_path: Path) -> None:
    """One process for all: its most memory is that of the worst."""
    for name in KEPT:
        (tmp_path / name).write_bytes(MADE[name][0]())
    command = [sys.executable, "-c", KEEP, *(str(tmp_path / name) for name in KEPT)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    *said, kilobytes = done.stdout.splitlines()
    assert [name for name, one in zip(KEPT, said, strict=True) if KEPT[name] not in one] == []
    assert all(one == "taken" or one.endswith(".") for one in said)
    assert int(kilobytes) / 1000 < MEGABYTES
    assert done.stderr == ""  # a screen stands where it would be written
