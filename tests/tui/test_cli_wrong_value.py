"""A value that isn't what its column holds ends a command in a sentence with table, row and column, in no traceback."""

from __future__ import annotations

import shutil
import sqlite3
from pathlib import Path

import pytest

from models.database import Workshop, open_workshop
from models.errors import InvalidInputError, WorkshopUnavailableError
from models.shelf import stock_rows
from tests.models.full import full_copy
from tests.models.unguarded import unguarded
from tests.tui.command_line import CommandLine
from tui.exit_codes import ExitCode
from tui.fields.field import FieldError

WRONG = (
    # A day or a moment that is none.
    ("jobs", "closed_at", "'2026-13-01 99:00:00.000000'", ("jobs", "--closed")),
    ("lots", "expires_on", "'thirty'", ("shelf", "list")),
    ("lots", "expires_on", "'2026-02-31'", ("kit", "2")),
    ("suppliers", "withdrawn_at", "'thirty'", ("buy", "list")),
    ("order_steps", "expected_on", "20260302", ("buy", "plan")),
    # A number that is text, bytes, none.
    ("suppliers", "lead_days", "'soon'", ("buy", "plan")),
    ("list_rows", "min_packs", "'ten'", ("buy", "plan")),
    ("list_rows", "breaks", "'ten'", ("buy", "plan")),
    ("own_sizes", "id_tenth_um", "x'00fffe'", ("kit", "3")),
    ("own_ports", "ring_id_tenth_um", "'thirty'", ("kit", "2")),
    ("own_ports", "thread", "'thirty'", ("kit", "2")),
    ("own_grooves", "clearance_max_tenth_um", "'thirty'", ("kit", "9")),
    # Text that is none.
    ("bins", "code", "CAST(x'41ff' AS TEXT)", ("shelf", "list")),
    # A word that is none of its column's.
    ("items", "kind", "'spanner'", ("shelf", "list")),
)


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return full_copy(tmp_path_factory.mktemp("sound") / "w.sqlite3")


def damaged(sound: Path, folder: Path, table: str, column: str, value: str) -> Path:
    """A copy in which every row holds that, or the last where no two may hold the same; its guards stand again."""
    file = Path(shutil.copy(sound, folder / "w.sqlite3"))
    with unguarded(file) as by_hand:
        try:
            by_hand.execute(f"UPDATE {table} SET {column} = {value}")
        except sqlite3.IntegrityError:
            by_hand.execute(f"UPDATE {table} SET {column} = {value} WHERE id = (SELECT max(id) FROM {table})")
    return file


@pytest.mark.parametrize(("table", "column", "value", "words"), WRONG)
def test_a_command_that_meets_it_says_where_it_stands(
    kitwright: CommandLine, sound: Path, tmp_path: Path, table: str, column: str, value: str, words: tuple[str, ...]
) -> None:
    file = damaged(sound, tmp_path, table, column, value)
    ended = kitwright(*words, "--data", str(file))
    assert ended.code == ExitCode.USAGE
    assert ended.out == ""
    assert f"holds what Kitwright never writes: {table} row " in ended.err
    assert f", {column} holds " in ended.err
    assert "kitwright check" in ended.err
    told = kitwright("check", "--data", str(file))
    assert f", {column}" in told.out
    assert told.code != ExitCode.FOUND


def test_a_fault_of_another_cause_stays_what_it_is(sound: Path, tmp_path: Path) -> None:
    workshop = open_workshop(Path(shutil.copy(sound, tmp_path / "w.sqlite3")))
    assert workshop.wrong_value() is None
    with pytest.raises(KeyError, match="of ours"), workshop.read():
        raise KeyError("of ours")
    with pytest.raises(InvalidInputError), workshop.read():
        raise InvalidInputError("Not so.")
    workshop.close()


def test_for_what_was_typed_nobody_goes_through_all_that_is_kept(
    sound: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    workshop = open_workshop(Path(shutil.copy(sound, tmp_path / "w.sqlite3")))
    looked: list[Workshop] = []
    monkeypatch.setattr(Workshop, "wrong_value", lambda workshop: looked.append(workshop))
    with pytest.raises(FieldError), workshop.write():
        raise FieldError("there is no item 'x'")
    assert looked == []
    with pytest.raises(KeyError), workshop.write():
        raise KeyError("of ours")
    assert looked == [workshop]
    workshop.close()


def test_a_write_that_meets_it_changes_nothing(sound: Path, tmp_path: Path) -> None:
    workshop = open_workshop(damaged(sound, tmp_path, "lots", "expires_on", "'thirty'"))

    def note() -> None:
        with workshop.write() as session:
            session.connection().exec_driver_sql("UPDATE bins SET note = 'changed'")
            stock_rows(session)

    with pytest.raises(WorkshopUnavailableError, match=r"lots row 1, expires_on holds “thirty” where a day belongs"):
        note()
    with workshop.read() as session:
        assert session.connection().exec_driver_sql("SELECT count(*) FROM bins WHERE note = 'changed'").scalar() == 0
    workshop.close()
