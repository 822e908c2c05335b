"""What comes from outside, a file, standard input or a pipe, under the same limits, looked at before it is read.

A regular file stays where it is. What can be read only once is written to the side first. A device or a folder is
refused, as is a line of over a megabyte and a pipe that says nothing for ten seconds.
"""

from __future__ import annotations

import codecs
import os
import queue
import stat
import sys
import tempfile
import threading
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from models.errors import InvalidInputError

LONGEST_LINE: Final = 1_000_000
"""Bytes of one line of text, and characters of one record that goes over several lines."""
MOST_BYTES: Final = 4 << 30
SILENT_SECONDS: Final = 10.0
SMALL: Final = 64_000
"""Bytes of a file that holds one line, or of a text that is pasted into a field."""
STANDARD_INPUT: Final = "-"
CHUNK: Final = 1 << 18
FOLDER: Final = "kitwright-list-"
SAMPLE: Final = 4096
_PACKED: Final = b"PK\x03\x04"
_MARKS: Final = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_ZEROS: Final = (
    ({1, 2, 3}, "utf-32-le"),
    ({2, 3}, "utf-32-le"),
    ({0, 1, 2}, "utf-32-be"),
    ({0, 1}, "utf-32-be"),
    ({1, 3}, "utf-16-le"),
    ({0, 2}, "utf-16-be"),
)
"""Which of every four bytes are often zero in an alphabet without a mark: digits, commas and line ends see to it."""


def looked_at(file: Path) -> os.stat_result:
    """The size of a regular file or a pipe. Raises `InvalidInputError` for a folder, a device, or what isn't there."""
    try:
        found = file.stat()
    except (OSError, ValueError) as fault:
        raise InvalidInputError(f"{file} can't be read.", "See that it is there and that you may read it.") from fault
    if stat.S_ISDIR(found.st_mode):
        raise InvalidInputError(f"{file} is a folder.", "Name a file in it.")
    if not (stat.S_ISREG(found.st_mode) or stat.S_ISFIFO(found.st_mode)):
        raise InvalidInputError(f"{file} is a device, not a file.", "Name a file, or - for standard input.")
    if found.st_size > MOST_BYTES:
        raise InvalidInputError(f"{file.name} is larger than {MOST_BYTES >> 30} GB.", "Split it.")
    return found


@contextmanager
def at_hand(name: str, *, most: int = MOST_BYTES, text: bool = True) -> Iterator[Path]:
    """The file of that name, which can be read again and again while the block lasts; `-` is standard input.

    `most`: bytes that are taken from a pipe; `text`: whether what comes through one has lines. Raises
    `InvalidInputError` for what can't be read, is too large or says nothing.
    """
    if name != STANDARD_INPUT:
        file = Path(name)
        if not stat.S_ISFIFO(looked_at(file).st_mode):
            yield file
            return
    with tempfile.TemporaryDirectory(prefix=f"{FOLDER}{os.getpid()}-") as folder:
        aside = Path(folder) / ("standard-input" if name == STANDARD_INPUT else "pipe")
        _write_aside(name, aside, most, text=text)
        yield aside


def first_line(name: str) -> str:
    """The first line of a small text file, without its end. Raises `InvalidInputError`."""
    file = Path(name)
    looked_at(file)
    with at_hand(name) as kept:
        if kept.stat().st_size > SMALL:
            raise InvalidInputError("That file is too large.", "It holds one line: where the data is.")
        try:
            text = kept.read_bytes().decode("utf-8-sig")
        except OSError as fault:
            raise InvalidInputError("That file can't be read.", "See that you may read it.") from fault
        except UnicodeDecodeError as fault:
            raise InvalidInputError("That file is not UTF-8 text.", "It holds one line: where the data is.") from fault
    line = text.split("\n", 1)[0].removesuffix("\r")
    if not line:
        raise InvalidInputError("That file's first line is empty.", "It says where the data is.")
    return line


def small_text(name: str, most: int) -> str:
    """All of a text file, or of what a pipe says, of at most so many bytes; UTF-8 unless it shows to be UTF-16 or 32.

    Raises `InvalidInputError`.
    """
    with at_hand(name) as kept:
        if kept.stat().st_size > most:
            raise InvalidInputError(f"{kept.name} is larger than {max(1, most // 1_000_000)} MB.", "Split it.")
        try:
            with kept.open("rb") as stream:
                data = stream.read(most + 1)
        except OSError as fault:
            raise InvalidInputError(f"{kept} can't be read.", "See that you may read it.") from fault
    found = alphabet(data[:SAMPLE], kept.name) or "utf-8"
    try:
        return data.decode(found).removeprefix("\ufeff")
    except UnicodeDecodeError as fault:
        raise InvalidInputError(f"{kept.name} is not UTF-8 text.", "Save it as CSV in UTF-8.") from fault


def alphabet(start: bytes, name: str) -> str | None:
    """The alphabet that a text's start shows: by the mark it begins with, or by where its zero bytes stand.

    None where neither tells: then every byte is a letter or part of one. Raises `InvalidInputError` for zero bytes that
    no text has.
    """
    for mark, found in _MARKS:
        if start.startswith(mark):
            return found
    if b"\0" not in start:
        return None
    whole = start[: len(start) // 4 * 4] or start
    zeros = [whole[at::4].count(0) * 4 / len(whole) for at in range(4)]
    for places, found in _ZEROS:
        if all((share > 0.1) == (at in places) for at, share in enumerate(zeros)):
            return found
    if max(zeros) <= 0.1:  # one or two by mistake: the cell that holds them is told of
        return None
    raise InvalidInputError(f"{name} is no text.", "Save it as CSV in UTF-8.")


def _write_aside(name: str, aside: Path, most: int, *, text: bool) -> None:
    lines = Lines(aside.name, counts=text)
    written = 0
    try:
        with aside.open("wb") as out:
            for part in _parts(name):
                if not written and part.startswith(_PACKED):
                    lines = Lines(aside.name, counts=False)
                lines.pass_on(part)
                written += out.write(part)
                if written > most:
                    raise _too_much(most)
    except OSError as fault:
        raise InvalidInputError(
            f"What came through the pipe can't be kept ({(fault.strerror or str(fault)).lower()}).",
            "Make room among the temporary files, or save it as a file.",
        ) from fault


def _too_much(most: int) -> InvalidInputError:
    if most < MOST_BYTES:
        return InvalidInputError(f"More than {most // 1_000_000} MB came through the pipe.", "Send less.")
    return InvalidInputError(f"More than {most >> 30} GB came through the pipe.", "Split it.")


class Lines:
    """Watches bytes go by for a line that is too long to be one."""

    def __init__(self, name: str, *, counts: bool = True) -> None:
        self._name = name
        self._counts = counts
        self._since = 0

    def pass_on(self, part: bytes) -> None:
        """Raises `InvalidInputError` where no line ended for over a megabyte."""
        if not self._counts:
            return
        end = max(part.find(b"\n"), part.find(b"\r"))
        if end < 0:
            self._since += len(part)
        elif self._since + end <= LONGEST_LINE:
            self._since = len(part) - 1 - max(part.rfind(b"\n"), part.rfind(b"\r"))
        else:
            self._since += end
        if self._since > LONGEST_LINE:
            raise too_long(self._name)


def look_through(file: Path) -> None:
    """Refuse a file with a line that is too long to be one, before any of it is taken apart."""
    passing = Lines(file.name)
    with file.open("rb") as handle:
        while chunk := handle.read(CHUNK):
            passing.pass_on(chunk)


def too_long(name: str) -> InvalidInputError:
    """The refusal of a file with such a line."""
    return InvalidInputError(
        f"{name} has a line of over {LONGEST_LINE // 1_000_000} MB.", "It is not a list; look at it."
    )


class Record:
    """The lines of a file, until one record of them grows too long: a quotation mark may never end."""

    def __init__(self, handle: Iterable[str], name: str) -> None:
        self._handle = handle
        self._name = name
        self.letters = 0

    def __iter__(self) -> Iterator[str]:
        for line in self._handle:
            self.letters += len(line)
            if self.letters > LONGEST_LINE:
                raise too_long(self._name)
            yield line


def _parts(name: str) -> Iterator[bytes]:
    """What comes through the pipe, read by a thread: a system may have no other way to stop waiting for it."""
    came: queue.Queue[bytes | BaseException] = queue.Queue(maxsize=8)

    def read() -> None:
        try:
            with _reader(name) as read_some:
                while part := read_some():
                    came.put(part)
            came.put(b"")
        except BaseException as fault:  # told by whoever waits
            came.put(fault)

    threading.Thread(target=read, daemon=True).start()
    while True:
        try:
            part = came.get(timeout=SILENT_SECONDS)
        except queue.Empty:
            raise InvalidInputError(
                f"Nothing came through the pipe for {SILENT_SECONDS:g} seconds.", "See what should write to it."
            ) from None
        if isinstance(part, (OSError, ValueError)):
            raise InvalidInputError("The pipe can't be read.", "Save it as a file and name that.") from part
        if isinstance(part, BaseException):
            raise part
        if not part:
            return
        yield part


@contextmanager
def _reader(name: str) -> Iterator[Callable[[], bytes]]:
    """What reads the next bytes, none at the end. No stream of Python's own: its lock would outlive the program."""
    if name != STANDARD_INPUT:
        number = os.open(name, os.O_RDONLY | getattr(os, "O_BINARY", 0))
        try:
            yield lambda: os.read(number, CHUNK)
        finally:
            os.close(number)
    elif sys.stdin is None:
        raise OSError("it is closed")
    else:
        stream = sys.stdin.buffer
        try:
            number = stream.fileno()
        except OSError:  # no file at all, as under test
            yield lambda: stream.read(CHUNK)
        else:
            yield lambda: os.read(number, CHUNK)
