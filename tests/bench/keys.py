"""How long from a key press to the repainted screen, while filtering, in a real pty.

Run: python -m tests.bench.keys
Floors, in the same run and at the same frame rate: a field that only echoes, and a bare line-API list of 400 rows.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from tests.bench.harness import Figure, show
from tests.bench.lists import names, narrowed
from tests.end_to_end.terminal import Terminal, clean_environment
from tui.commands.app import LOCAL_FRAMES_PER_SECOND
from tui.screens.catalog.entries import entries, narrow, words

ROOT = Path(__file__).parents[2]
KITWRIGHT = str(Path(sys.executable).with_name("kitwright"))
TYPED = ("3", "31", "319", "31", "3", "")
"""What stands in the field after each key: three letters, then as many backspaces."""
ROUNDS = 8


def typing(terminal: Terminal, expected: Callable[[str], str]) -> list[float]:
    """Type, and give the time (s) from each key to the last output that was needed to show what is expected."""
    taken = []
    before = ""
    for _ in range(ROUNDS):
        for text in TYPED:
            key = text[-1] if len(text) > len(before) else "backspace"
            start = time.perf_counter()
            terminal.press(key)
            terminal.wait_for(expected(text))
            taken.append(terminal.last_output - start)
            before = text
            rest(terminal)
    return taken[len(TYPED) :]


def rest(terminal: Terminal) -> None:
    """Let a frame pass and take what is still coming, so that the next key meets an idle app."""
    end = time.perf_counter() + 0.06
    while time.perf_counter() < end:
        terminal.read(0.01)


def measured(command: Sequence[str], home: Path, first: str, key: str, expected: Callable[[str], str]) -> float:
    """The median over one app; `first` stands on its first screen, `key` opens the place to type in."""
    env = clean_environment(home, TEXTUAL_FPS=LOCAL_FRAMES_PER_SECOND)
    with Terminal(command, env=env, columns=120, rows=40, cwd=ROOT) as terminal:
        terminal.wait_for(first)
        if key:
            terminal.press(key)
        terminal.wait_for(expected(""))
        rest(terminal)
        return statistics.median(typing(terminal, expected))


def bench_list(kind: str, count: int, home: Path) -> float:
    """One of the small apps."""
    rows = names(count)
    left = {text: f"{len(narrowed(rows, text))} left" for text in {*TYPED, ""}}
    command = [sys.executable, "-m", "tests.bench.lists", kind, str(count)]
    return measured(command, home, left[""], "", left.__getitem__)


def catalog(home: Path) -> float:
    """The real Catalog screen."""
    every = entries()
    left = {text: f"{len(narrow(every, words(text), '')):,} of {len(every):,} sizes" for text in {*TYPED, ""}}
    return measured([KITWRIGHT, "--demo"], home, "Catalog", "f3", left.__getitem__)


def echo(home: Path) -> float:
    """The field that only echoes."""
    shown = {text: f"▊  {text}".ljust(8) for text in {*TYPED, ""}}
    return measured([sys.executable, "-m", "tests.bench.lists", "echo"], home, "▊", "", shown.__getitem__)


def main() -> int:
    """Print the table; 1 when a goal was missed."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        apps: list[Callable[[], float]] = [
            lambda: bench_list("floor", 400, home),
            lambda: echo(home),
            lambda: bench_list("rows", 400, home),
            lambda: bench_list("rows", 100_000, home),
            lambda: bench_list("floor", 100_000, home),
            lambda: catalog(home),
        ]
        # Twice in turns, and the better of the two: a busy moment must not make the floor look high.
        floor, echoed, ours, ours_long, floor_long, screen = map(
            min, zip(*([app() for app in apps] for _ in range(2)), strict=True)
        )
    figures = [
        Figure("a field that echoes", echoed, floor),
        Figure("our list, 400 rows", ours, floor, most_times_floor=1.1),
        Figure("our list, 100,000 rows", ours_long, floor, most_times_floor=1.1),
        Figure("bare line-API list, 100,000 rows", floor_long, floor),
        Figure("the Catalog screen", screen, floor, most_times_floor=1.1),
    ]
    return 0 if show("Key press to repaint / bare line-API list of 400 rows (median)", figures) else 1


if __name__ == "__main__":
    sys.exit(main())
