"""Run the command line inside the test's own process, as a shell would see it."""

from __future__ import annotations

import io
import json
from typing import Any, NamedTuple

import pytest

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


class CommandLine:
    """`kitwright` with the streams caught."""

    def __init__(self, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
        self._capsys = capsys
        self._monkeypatch = monkeypatch

    def __call__(self, *words: str, stdin: bytes = b"") -> Ended:
        self._monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(stdin), encoding="utf-8"))
        self._capsys.readouterr()
        try:
            code = run(words)
        except SystemExit as end:
            code = int(end.code or 0)
        out, err = self._capsys.readouterr()
        return Ended(code, out, err)
