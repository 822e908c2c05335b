"""What other systems do that this one does not: an open file that can't be replaced, device names, a small alphabet."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.tui.command_line import CommandLine
from tui.fields.units import Units, keep, kept
from tui.saving import DEVICES, SaveError, save


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


def refuse(self: Path, target: Path) -> Path:
    """As Windows does where another program has the file open."""
    raise PermissionError(13, "Access is denied", str(target))


def test_a_file_that_another_program_has_open_stays_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "job-2.pdf"
    file.write_bytes(b"before")
    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(SaveError, match=r"can't be written \(access is denied\); name another file"):
        save(str(file), b"after")
    assert file.read_bytes() == b"before"
    assert [one.name for one in tmp_path.iterdir()] == ["job-2.pdf"], "nothing is left beside it"


def test_a_backup_that_cannot_take_its_name_says_so_and_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, kitwright: CommandLine
) -> None:
    data = tmp_path / "shop.db"
    assert kitwright("shelf", "list", "--data", str(data)).code == 1, "an empty shop is made"
    monkeypatch.setattr(Path, "replace", refuse)
    ended = kitwright("backup", str(tmp_path / "copy.db"), "--data", str(data))
    assert ended.code == 2
    assert "can't be written (Access is denied)" in ended.err
    assert "Traceback" not in ended.err
    assert not [one for one in tmp_path.iterdir() if "copy" in one.name]


def test_units_that_cannot_be_kept_leave_those_before(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    keep(Units(torque="lbf·ft"))
    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(OSError, match="denied"):
        keep(Units(torque="N·m"))
    assert kept().torque == "lbf·ft"


@pytest.mark.parametrize(
    "name", ["nul", "NUL.pdf", "con", "Aux.txt", "com1", "LPT9.csv", "nul .pdf", "COM¹", "conout$"]
)
def test_a_device_of_windows_is_no_file(name: str) -> None:
    assert DEVICES.fullmatch(name)


@pytest.mark.parametrize("name", ["null.pdf", "console.txt", "job-2.pdf", "com.pdf", "com10.csv", "annul", "auxiliary"])
def test_a_name_like_one_is_a_file(name: str) -> None:
    assert not DEVICES.fullmatch(name)


def test_there_a_device_is_refused_before_anything_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = str(tmp_path / "nul.pdf")
    assert save(target, b"here it is a file like any other").is_file()
    monkeypatch.setattr("tui.saving.os", type("Os", (), {"name": "nt", "fdopen": os.fdopen, "umask": os.umask}))
    with pytest.raises(SaveError, match="the name of a device on Windows; name another file"):
        save(target, b"lost")


@pytest.mark.parametrize("alphabet", ["cp1252", "cp437", "ascii"])
def test_a_console_with_a_small_alphabet_gets_every_line_and_json_loses_nothing(alphabet: str, tmp_path: Path) -> None:
    env = {**os.environ, "PYTHONIOENCODING": alphabet, "PYTHONUTF8": "0", "KITWRIGHT_DATA": str(tmp_path)}
    command = [sys.executable, "-m", "tui", "ring", "--id", "24.99", "--width", "3.53"]
    text = subprocess.run(command, env=env, capture_output=True, check=False)
    assert text.returncode == 0, text.stderr
    assert b"AS568-214" in text.stdout
    assert b"Traceback" not in text.stderr
    text.stdout.decode(alphabet)
    told = subprocess.run([*command, "--json"], env=env, capture_output=True, check=False)
    assert told.stdout.isascii()
    assert "AS568-214" in json.dumps(json.loads(told.stdout))
