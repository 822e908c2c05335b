"""No command repeats a password, wherever an address was typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.models.storage.test_address import BADLY_WRITTEN, SECRET, WELL_WRITTEN
from tests.tui.command_line import CommandLine

COMMANDS = (
    ("shelf", "list", "--data", "{}"),
    ("check", "--data={}", "--json"),
    ("--data", "{}", "kit", "1"),
    ("backup", "x.sqlite3", "--data", "{}"),
    ("undo", "--data", "{}"),
)
ELSEWHERE = (
    ("restore", "{}", "--to", "x.sqlite3"),
    ("backup", "{}"),
    ("list", "load", "{}", "--supplier", "x"),
    ("list", "export", "x", "--to", "{}"),
    ("fits", "--import", "{}"),
    ("sheet", "1", "--pdf", "{}"),
    ("check", "{}"),
    ("{}",),
    ("check", "--date", "{}"),
    ("check", "--demo", "--data", "{}"),
    ("ring", "--id", "{}"),
    ("ring", "--batch", "{}"),
    ("kit", "{}"),
    ("find", "{}", "{}"),
)


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> CommandLine:
    monkeypatch.chdir(tmp_path)
    return CommandLine(capsys, monkeypatch)


@pytest.mark.parametrize("words", [*COMMANDS, *ELSEWHERE], ids=" ".join)
def test_a_password_is_never_repeated(kitwright: CommandLine, words: tuple[str, ...], tmp_path: Path) -> None:
    for where in (*WELL_WRITTEN, *BADLY_WRITTEN):
        if where.startswith(("file:", "sqlite:")) and words in ELSEWHERE:
            continue  # a file's name, where files are named: it holds no password
        ended = kitwright(*(word.format(where) for word in words))
        assert ended.code == 2, (where, ended)
        assert ended.out == ""
        assert SECRET not in ended.err, where
        assert ended.err.count("\n") <= 2, ended.err
        assert not [one for one in tmp_path.iterdir() if SECRET in one.name]


def test_the_folders_variable_repeats_none_either(kitwright: CommandLine, monkeypatch: pytest.MonkeyPatch) -> None:
    for where in WELL_WRITTEN:
        monkeypatch.setenv("KITWRIGHT_DATA", where)
        ended = kitwright("shelf", "list")
        assert (ended.code, SECRET in ended.err) == (2, False)


def test_an_address_may_stand_in_a_file(kitwright: CommandLine, tmp_path: Path) -> None:
    said = tmp_path / "where"
    said.write_text(f"{tmp_path / 'shop.sqlite3'}\nmore\n")
    kitwright("shelf", "receive", "O-ring AS568 214 NBR 70", "--bin", "A1", "--quantity", "3", "--data-from", str(said))
    assert "A1" in kitwright("--data-from", str(said), "shelf", "list").out
    said.write_text(next(iter(WELL_WRITTEN)))
    ended = kitwright("shelf", "list", "--data-from", str(said))
    assert (ended.code, SECRET in ended.err) == (2, False)
    assert "anna@127.0.0.1" in ended.err
    assert "leave one out" in kitwright("check", "--data", "x", "--data-from", str(said)).err
    assert "can't be read" in kitwright("check", "--data-from", str(tmp_path / "none")).err
    assert "is a folder" in kitwright("check", "--data-from", str(tmp_path)).err
    assert "is a device" in kitwright("check", "--data-from", "/dev/zero").err
