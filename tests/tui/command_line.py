"""Run the command line inside the test's own process, as a shell would see it."""

from __future__ import annotations

import io
import json
import os
import shutil
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from models.demo.orchard import open_demo
from models.storage import locations
from tui.cli import run


class Ended(NamedTuple):
    """How a command ended and what it printed."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """Standard output as one JSON value."""
        return json.loads(self.out)

    @property
    def json_lines(self) -> list[Any]:
        """Standard output as one JSON value a line."""
        return [json.loads(line) for line in self.out.splitlines()]


@cache
def _pattern(folder: Path) -> Path:
    """The demo workshop as it is first made, closed, to copy from: making it takes half a second."""
    file = folder / f"demo-pattern-{os.getpid()}.sqlite3"
    open_demo(file).close()
    return file


class CommandLine:
    """`kitwright` with the streams caught. `makes_demo`: a demo that is not there is left to the program to make."""

    def __init__(
        self, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, *, makes_demo: bool = False
    ) -> None:
        self._capsys = capsys
        self._monkeypatch = monkeypatch
        self._makes_demo = makes_demo

    def __call__(self, *words: str, stdin: bytes = b"") -> Ended:
        if "--demo" in words and not self._makes_demo and not locations.data_folder().exists():
            locations.make_folder(locations.demo_file().parent)
            shutil.copyfile(_pattern(locations.data_folder().parent), locations.demo_file())
        self._monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(stdin), encoding="utf-8"))
        self._capsys.readouterr()
        try:
            code = run(words)
        except SystemExit as end:
            code = int(end.code or 0)
        out, err = self._capsys.readouterr()
        return Ended(code, out, err)
