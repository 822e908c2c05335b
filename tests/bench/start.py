"""How long until something is there: the app's first frame, and one ring answered on the command line.

Run: python -m tests.bench.start
Floors, in the same run: a hello-world Textual app on the same pty, and a bare Python that does nothing.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from tests.bench.harness import Figure, medians, once, show
from tests.end_to_end.terminal import Terminal, clean_environment

ROUNDS = 7
KITWRIGHT = str(Path(sys.executable).with_name("kitwright"))
HELLO = """
from textual.app import App, ComposeResult
from textual.widgets import Static


class Hello(App[None]):
    def compose(self) -> ComposeResult:
        yield Static("Hello, world")


Hello().run()
"""


def painted(command: Sequence[str], home: Path, *texts: str) -> Callable[[], float]:
    """A measure of the time (s) from the process's start until the texts stand on a 120 × 40 screen."""

    def measure() -> float:
        with Terminal(command, env=clean_environment(home), columns=120, rows=40) as terminal:
            terminal.wait_for(*texts)
            return terminal.last_output - terminal.started

    return measure


def process(home: Path, *command: str) -> Callable[[], float]:
    """A measure of a whole process (s), its modules compiled once before, as an installer does."""
    compiled = {**os.environ, "PYTHONPYCACHEPREFIX": str(home / "compiled"), "PYTHONDONTWRITEBYTECODE": ""}
    return lambda: once(lambda: subprocess.run(command, stdout=subprocess.DEVNULL, check=True, env=compiled))


def area(home: Path, key: str, text: str) -> Callable[[], float]:
    """A measure of the time (s) until a text stands in an area, whose key is pressed at the first frame."""

    def measure() -> float:
        with Terminal([KITWRIGHT, "--demo"], env=clean_environment(home), columns=120, rows=40) as terminal:
            terminal.wait_for("Measure", "Shelf")
            terminal.press(key)
            terminal.wait(lambda seen: text in seen.text, "the area's rows")
            return time.perf_counter() - terminal.started

    return measure


def main() -> int:
    """Print the table; 1 when a goal was missed."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        hello = home / "hello.py"
        hello.write_text(HELLO, encoding="utf-8")
        ring = (KITWRIGHT, "ring", "--id", "24.9mm", "--width", "3.5mm", "--json")
        floor, app, first, full, kits, find, buy = medians(
            painted([sys.executable, str(hello)], home, "Hello, world"),
            painted([KITWRIGHT, "--demo"], home, "Measure", "Shelf"),
            area(home, "f5", "Box 1"),
            area(home, "f5", " on hand, "),
            area(home, "f4", "Ram drips"),
            area(home, "ctrl+f", "Brake and parts"),
            area(home, "ctrl+y", "Pump rebuild"),
            rounds=ROUNDS,
        )
        bare, version, answer = medians(
            process(home, sys.executable, "-c", "pass"),
            process(home, KITWRIGHT, "--version"),
            process(home, *ring),
            rounds=3 * ROUNDS,
        )
    figures = [
        Figure("first frame of the app / hello-world app", app, floor, most_times_floor=1.2),
        Figure("first rows of Shelf, F5 at once / hello-world app", first, floor, most_times_floor=3.2),
        Figure("first rows of Kits, F4 at once / hello-world app", kits, floor, most_times_floor=4),
        Figure("first rows of Find, Ctrl+F at once / hello-world app", find, floor, most_times_floor=4),
        Figure("first rows of Buy, Ctrl+Y at once / hello-world app", buy, floor, most_times_floor=4),
        Figure("a row's ledger, SQLAlchemy and database ready", full, floor),
        Figure("kitwright ring --json, whole process / bare Python", answer, bare, most_seconds=0.15),
        Figure("kitwright --version / bare Python", version, bare),
    ]
    return 0 if show("Start (median)", figures) else 1


if __name__ == "__main__":
    sys.exit(main())
