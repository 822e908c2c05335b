"""The installed command on a real terminal, with folders of its own."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest

from tests.end_to_end.terminal import Terminal, clean_environment

KITWRIGHT = Path(sys.executable).with_name("kitwright")
"""The console script of the environment that runs the tests."""

Opener = Callable[..., Terminal]


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A home folder that no other test shares."""
    return tmp_path


@pytest.fixture
def open_app(home: Path) -> Iterator[Opener]:
    """Open the app on a pty: `open_app("--demo", columns=80, rows=24, NO_COLOR="1")`; closed when the test ends."""
    with ExitStack() as opened:

        def open_one(*words: str, columns: int = 80, rows: int = 24, **environment: str) -> Terminal:
            terminal = Terminal(
                [str(KITWRIGHT), *words],
                env=clean_environment(home, TEXTUAL_ANIMATIONS="none", **environment),
                columns=columns,
                rows=rows,
                cwd=home,
            )
            return opened.enter_context(terminal)

        yield open_one
