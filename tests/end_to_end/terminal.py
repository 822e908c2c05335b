"""A real terminal for tests: a pty with a program on it, and the screen as a person would see it."""

from __future__ import annotations

import os
import re
import termios
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from types import TracebackType
from typing import Self

import pexpect
import pyte

KEYS = {
    "enter": "\r",
    "escape": "\x1b",
    "space": " ",
    "tab": "\t",
    "shift+tab": "\x1b[Z",
    "backspace": "\x7f",
    "up": "\x1b[A",
    "down": "\x1b[B",
    "right": "\x1b[C",
    "left": "\x1b[D",
    "pageup": "\x1b[5~",
    "pagedown": "\x1b[6~",
    "home": "\x1b[H",
    "end": "\x1b[F",
    "delete": "\x1b[3~",
    **{f"f{n}": code for n, code in zip((1, 2, 3, 4), ("\x1bOP", "\x1bOQ", "\x1bOR", "\x1bOS"), strict=True)},
    **{f"f{n}": f"\x1b[{code}~" for n, code in zip(range(5, 13), (15, 17, 18, 19, 20, 21, 23, 24), strict=True)},
    **{f"ctrl+{letter}": chr(ord(letter) - 96) for letter in "abcdefghijklmnopqrstuvwxyz"},
}
"""What a terminal sends for a key that is no letter."""

PATIENCE = float(os.environ.get("KITWRIGHT_TEST_PATIENCE", "20"))
"""Seconds after which a wait gives up. Generous, as a wait ends at once when what it waits for is there."""


def clean_environment(home: Path, **more: str) -> dict[str, str]:
    """An environment with folders of its own, no colour preferences of the host and a known terminal type."""
    kept = {
        name: value
        for name, value in os.environ.items()
        if name in ("PATH", "LANG", "LC_ALL", "VIRTUAL_ENV", "SYSTEMROOT", "PYTHONPATH", "COVERAGE_PROCESS_START")
    }
    return {
        **kept,
        "HOME": str(home),
        "XDG_DATA_HOME": str(home / "data"),
        "XDG_STATE_HOME": str(home / "state"),
        "XDG_CONFIG_HOME": str(home / "config"),
        "XDG_CACHE_HOME": str(home / "cache"),
        "TERM": "xterm-256color",
        "COLORTERM": "truecolor",
        "PYTHONUTF8": "1",
        **more,
    }


SEQUENCE = re.compile(rb"\x1b(?:\[[0-?]*[ -/]*[@-~]|[\]PX^_].*?(?:\x07|\x1b\\)|[ -/]*[0-OQ-WYZ\\`-~])", re.DOTALL)
"""One whole escape sequence (ECMA-48: control sequence, control string, or a short one)."""

UNSHOWN = re.compile(rb"\x1b\[[>=<][0-9;:]*[a-zA-Z]|\x1b\[\?[0-9;]*[$]?[a-gi-km-z]|\x1bP.*?\x1b\\\\", re.DOTALL)
"""Sequences that ask or set up the terminal (keyboard protocol, mode reports). pyte would print some as text."""


READING_S = 0.4
"""What a person takes at least to see that another question stands there: more than `tui.bounce.REST`."""
CLOSING = ("enter", "escape", *(f"f{number}" for number in range(1, 13)))


class Terminal:
    """A program on a pty of a given size. Waits look at the painted screen; none sleeps for a fixed time."""

    def __init__(
        self,
        command: Sequence[str],
        *,
        env: Mapping[str, str],
        columns: int = 80,
        rows: int = 24,
        cwd: Path | None = None,
    ) -> None:
        self.raw = b""
        self.last_output = 0.0
        self._cut = b""
        self._screen = pyte.Screen(columns, rows)
        self._feed = pyte.ByteStream(self._screen)
        self.started = time.perf_counter()
        self._child = pexpect.spawn(
            command[0],
            list(command[1:]),
            dimensions=(rows, columns),
            env=dict(env),
            cwd=None if cwd is None else str(cwd),
            timeout=PATIENCE,
        )
        self._child.delaybeforesend = None
        self._pressed = ""

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._child.close(force=True)

    @property
    def lines(self) -> list[str]:
        """The screen's rows as text."""
        return list(self._screen.display)

    @property
    def text(self) -> str:
        """The whole screen as text."""
        return "\n".join(self.lines)

    @property
    def line_discipline(self) -> list[object]:
        """How the pty treats keys (echo, line by line, signals): what a program must give back."""
        return list(termios.tcgetattr(self._child.child_fd))

    def type(self, text: str) -> None:
        """Send letters as they are."""
        self._child.send(text)

    def press(self, *keys: str) -> None:
        """Send keys by name (`tab`, `ctrl+q`, `f1`), or single letters.

        A key that may close something is not pressed twice quicker than a person who reads does.
        """
        for key in keys:
            if key in CLOSING and key == self._pressed:
                time.sleep(READING_S)
            self._child.send(KEYS.get(key, key))
            self._pressed = key

    def resize(self, columns: int, rows: int) -> None:
        """Change the terminal's size, as dragging a window's corner does."""
        self._screen.resize(rows, columns)
        self._child.setwinsize(rows, columns)

    def read(self, timeout: float = 0.05) -> bool:
        """Take what the program wrote, if anything within the time (s); False when it wrote nothing more or ended."""
        try:
            data: bytes = self._child.read_nonblocking(65536, timeout)
        except (pexpect.TIMEOUT, pexpect.EOF):
            return False
        self.last_output = time.perf_counter()
        self.raw += data
        whole, self._cut = _split(self._cut + data)
        self._feed.feed(UNSHOWN.sub(b"", whole))
        return True

    def wait(self, done: Callable[[Terminal], bool], what: str, patience: float = PATIENCE) -> None:
        """Read until `done`; fail with the screen as it stands when that does not come."""
        end = time.perf_counter() + patience
        while not done(self):
            if time.perf_counter() > end:
                raise AssertionError(f"waited {patience} s for {what}; the screen shows:\n{self.text}")
            if not self.read() and not self._child.isalive():
                while self.read(0):
                    pass
                if done(self):
                    return
                raise AssertionError(f"the program ended before {what}; the screen shows:\n{self.text}")

    def wait_for(self, *texts: str, patience: float = PATIENCE) -> None:
        """Wait until every text stands on the screen."""
        self.wait(lambda terminal: all(text in terminal.text for text in texts), f"{texts}", patience)

    def wait_gone(self, text: str) -> None:
        """Wait until a text has left the screen."""
        self.wait(lambda terminal: text not in terminal.text, f"{text!r} to go")

    def wait_end_of_output(self) -> None:
        """Wait until the program has written its last, with the pty still open to look at."""
        end = time.perf_counter() + PATIENCE
        while self._child.isalive() or self.read(0):
            self.read()
            if time.perf_counter() > end:
                raise AssertionError(f"the program did not end; the screen shows:\n{self.text}")

    def wait_end(self, patience: float = PATIENCE) -> int:
        """Wait until the program has ended; its exit code."""
        end = time.perf_counter() + patience
        while self._child.isalive() and time.perf_counter() < end:
            self.read()
        while self.read(0.05):
            pass
        if self._child.isalive():
            raise AssertionError(f"the program did not end in {patience} s; the screen shows:\n{self.text}")
        self._child.close()
        return int(self._child.exitstatus if self._child.exitstatus is not None else -(self._child.signalstatus or 0))


def _split(data: bytes) -> tuple[bytes, bytes]:
    """Part off an escape sequence that a read has cut in two, so that it is taken up again with the next read."""
    start = data.rfind(b"\x1b", -64)
    if start < 0 or SEQUENCE.match(data, start):
        return data, b""
    return data[:start], data[start:]
