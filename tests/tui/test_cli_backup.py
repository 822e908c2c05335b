"""`kitwright backup` and `restore`, and what KITWRIGHT_DATA means."""

from __future__ import annotations

import shutil
import sqlite3
from pathlib import Path
from typing import Any

import pytest

from models.database import open_workshop
from models.storage import restore as restoring
from tests.models.shop import ring
from tests.tui.command_line import CommandLine, Ended
from tests.tui.conforming import conforms


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch, makes_demo=True)


@pytest.fixture
def shop(sqlite_workshop: Path, tmp_path: Path) -> Path:
    """A workshop with 14 rings in bin A1."""
    file = Path(shutil.copy(sqlite_workshop, tmp_path / "workshop.sqlite3"))
    workshop = open_workshop(file)
    with workshop.write() as session:
        ring(session, 14)
    workshop.close()
    return file


def stock(kitwright: CommandLine, file: Path) -> Any:
    return kitwright("shelf", "list", "--data", str(file), "--json").json["stock"]


def test_a_backup_written_while_in_use_is_put_back_into_an_empty_place(
    kitwright: CommandLine, shop: Path, tmp_path: Path
) -> None:
    backup, again = tmp_path / "backup.sqlite3", tmp_path / "again.sqlite3"
    in_use = open_workshop(shop)
    with in_use.write() as session:
        ring(session, 1, bin_code="B2")  # not committed yet: no part of the backup
        written = kitwright("backup", str(backup), "--data", str(shop), "--json")
        assert written.code == 0, written.err
    in_use.close()
    conforms("backup", written.json)
    assert (written.json["ok"], written.json["rows"]["movements"]) == (True, 1)
    # The file's own word, not the models': one row, in a journal that needs nothing beside it.
    with sqlite3.connect(f"{backup.as_uri()}?mode=ro&immutable=1", uri=True) as file:
        assert file.execute("SELECT count(*) FROM movements").fetchone() == (1,)
        assert file.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    file.close()
    done = kitwright("restore", str(backup), "--to", str(again), "--json")
    assert done.code == 0, done.err
    conforms("restore", done.json)
    assert done.json["rows"] == written.json["rows"]
    assert [row["on_hand"] for row in stock(kitwright, again)] == [14]
    assert sorted(one.name for one in tmp_path.iterdir()) == [
        *("again.sqlite3", "backup.sqlite3", "backups", "workshop.sqlite3")
    ]
    assert kitwright("check", "--data", str(again)).code == 0


def refused(ended: Ended, said: str) -> None:
    assert (ended.code, ended.out, "Traceback" in ended.err) == (2, "", False)
    assert said in ended.err


def test_what_is_there_is_never_overwritten(
    kitwright: CommandLine, shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    backup = tmp_path / "backup.sqlite3"
    kitwright("backup", str(backup), "--data", str(shop))
    before = backup.read_bytes()
    refused(kitwright("backup", str(backup), "--data", str(shop)), "is already there")
    refused(kitwright("backup", str(shop), "--data", str(shop)), "is already there")
    refused(kitwright("restore", str(backup), "--to", str(shop)), "is there already")
    assert backup.read_bytes() == before
    assert [row["on_hand"] for row in stock(kitwright, shop)] == [14]
    refused(kitwright("--data", str(shop), "restore", str(backup), "--to", str(tmp_path / "x")), "leave out --data")
    refused(kitwright("restore", str(backup)), "--to")
    refused(kitwright("restore", str(tmp_path / "none"), "--to", str(tmp_path / "x")), "There is no backup")
    refused(kitwright("restore", str(backup), "--to", str(tmp_path / "none" / "x")), "is not there")
    for name, content in (("text", b"words\n" * 300), ("empty", b"")):
        (tmp_path / name).write_bytes(content)
        refused(kitwright("restore", str(tmp_path / name), "--to", str(tmp_path / "x")), f"{tmp_path / name} is")
    refused(kitwright("backup", str(tmp_path / "none" / "x"), "--data", str(shop)), str(tmp_path / "none" / "x"))
    refused(kitwright("backup", str(tmp_path / "x"), "--data", str(tmp_path / "nothing")), "nothing to back up")
    refused(kitwright("backup", str(tmp_path / "x")), "nothing to back up")
    refused(kitwright("backup", " "), "not a file name")
    refused(kitwright("restore", "w" * 5000, "--to", "x"), "can't be used")
    steered = kitwright("restore", str(tmp_path / "\x1b[31m"), "--to", "x")
    refused(steered, "There is no backup")
    assert "\x1b" not in steered.err

    def fails(*_: object) -> str:
        raise restoring.RestoreFailedError("The table movements differs from the backup.", "Nothing was kept.")

    monkeypatch.setattr(restoring, "_digest", fails)
    refused(kitwright("restore", str(backup), "--to", str(tmp_path / "x")), "Nothing was kept")
    assert not list(tmp_path.glob("x*")), "nor is anything left of it"


def test_a_server_is_backed_up_into_a_file_and_put_back_from_it(
    kitwright: CommandLine, empty_postgres: str, shop: Path, tmp_path: Path
) -> None:
    backup, file = tmp_path / "backup.sqlite3", tmp_path / "file.sqlite3"
    put_in = kitwright("backup", str(backup), "--data", str(shop))
    assert put_in.code == 0, put_in.err
    onto = kitwright("restore", str(backup), "--to", empty_postgres, "--json")
    assert onto.code == 0, onto.err
    refused(kitwright("restore", str(backup), "--to", empty_postgres), "is not empty")
    back = kitwright("backup", str(file), "--data", empty_postgres, "--json")
    assert (back.code, back.json["rows"]) == (0, onto.json["rows"])
    assert stock(kitwright, file) == stock(kitwright, shop)


def test_the_variable_names_a_folder_and_nothing_else(
    kitwright: CommandLine, shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for named, said in (
        ("postgresql://bench@shop.invalid/kitwright", "give the address with --data"),
        (str(shop), "is a file"),
    ):
        monkeypatch.setenv("KITWRIGHT_DATA", named)
        for words in (("jobs",), ("jobs", "--demo"), ("backup", str(tmp_path / "x"))):
            ended = kitwright(*words)
            refused(ended, said)
            assert "KITWRIGHT_DATA names a folder" in ended.err
        # What --data names is used whatever the variable says.
        assert len(stock(kitwright, shop)) == 1
    folder = tmp_path / "own folder"
    monkeypatch.setenv("KITWRIGHT_DATA", str(folder))
    folder.mkdir()
    shutil.copy(shop, folder / "workshop.sqlite3")
    assert kitwright("shelf", "list").code == 0
    assert kitwright("shelf", "list", "--demo", "UTTO").code == 0
    assert (folder / "demo" / "demo.sqlite3").exists()
    assert "KITWRIGHT_DATA names the folder" in kitwright("--help").out
    assert "KITWRIGHT_DATA" in kitwright("shelf", "list", "--help").out
