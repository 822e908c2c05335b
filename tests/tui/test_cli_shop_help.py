"""Every example in the help of the commands on the workshop's database runs on the demo workshop, in the order told."""

from __future__ import annotations

import shlex
import shutil
from pathlib import Path

import pytest

from models.demo.orchard import open_demo
from tests.test_docs import PARSERS, examples
from tests.tui.command_line import CommandLine
from tests.tui.example_files import write_files

COMMANDS = ("kit", "shelf", "undo", "job", "jobs", "check", "machine", "item", "bin", "backup", "restore")
NOTHING_MAY_FAIL = (0, 1)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("demo") / "demo.sqlite3"
    open_demo(file).close()
    return file


@pytest.mark.parametrize("name", COMMANDS)
def test_every_example_runs(
    name: str,
    demo: Path,
    own_folders: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    write_files(tmp_path)
    monkeypatch.setenv("LOGNAME", "Stores")  # the demo's own changes can be undone by who made them
    kitwright = CommandLine(capsys, monkeypatch)
    ran = 0
    for prog, parser in PARSERS.items():
        if prog.split()[1:2] != [name]:
            continue
        # A help page stands for itself: its examples start from the demo as it is made.
        (own_folders / "demo").mkdir(parents=True, exist_ok=True)
        for left in (own_folders / "demo").iterdir():
            left.unlink()
        shutil.copy(demo, own_folders / "demo" / "demo.sqlite3")
        for example in examples(parser):
            ended = kitwright(*shlex.split(example)[1:])
            assert ended.code in NOTHING_MAY_FAIL, f"{example}\n{ended.err}"
            assert ended.out or ended.err.startswith("Wrote "), example
            ran += 1
    assert ran
