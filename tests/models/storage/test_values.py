"""Every value is judged by its column: what a column can't hold is named with row and column, and never put back."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import suppress
from pathlib import Path

import pytest
from sqlalchemy import Enum, Integer
from sqlalchemy.exc import IntegrityError

from models.database import open_workshop
from models.storage import restore, sqlite, values
from models.storage.check import check
from models.tables import Table
from tests.models.full import full_copy
from tests.models.unguarded import unguarded


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = full_copy(tmp_path_factory.mktemp("sound") / "w.sqlite3")
    opened = open_workshop(file)
    with opened.read() as session:
        assert values.findings(session) == []
        assert check(session).ok
    opened.back_up(file.with_name("whole.sqlite3"))
    opened.close()
    return file.with_name("whole.sqlite3")


def damaged(sound: Path, folder: Path, *statements: str) -> Path:
    """A copy, changed by hand with every guard off; the append-only triggers stand again afterwards."""
    file = Path(shutil.copy(sound, folder / "w.sqlite3"))
    with unguarded(file) as by_hand:
        for statement in statements:
            by_hand.execute(statement)
    return file


def found(file: Path) -> list[str]:
    opened = open_workshop(file)
    with opened.read() as session:
        report = check(session)
    opened.close()
    assert report.ok is (not report.findings)
    return [f"{one.where}: {one.what}" for one in report.findings]


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        ("UPDATE jobs SET due_on = 'soon' WHERE id = 1", "jobs row 1, due_on: holds “soon” where a day belongs"),
        ("UPDATE jobs SET due_on = '2026-02-31' WHERE id = 1", "due_on: holds “2026-02-31” where a day belongs"),
        ("UPDATE jobs SET due_on = 20260302 WHERE id = 1", "due_on: holds an integer where a day belongs"),
        ("UPDATE jobs SET opened_at = 'then' WHERE id = 1", "opened_at: holds “then” where a moment belongs"),
        ("UPDATE jobs SET opened_at = '2026-03-02 25:00:00.000000' WHERE id = 1", "where a moment belongs"),
        ("UPDATE jobs SET title = x'00ff' WHERE id = 1", "jobs row 1, title: holds a blob where text belongs"),
        ("UPDATE jobs SET title = CAST(x'41ff' AS TEXT) WHERE id = 1", "title: holds text that is no UTF-8"),
        ("UPDATE jobs SET title = 'a' || char(0) || 'b' WHERE id = 1", "title: holds the character NUL"),
        ("UPDATE jobs SET title = printf('%300s', 'x') WHERE id = 1", "title: holds 300 characters where 200 fit"),
        ("UPDATE jobs SET title = '' WHERE id = 1", "jobs row 1, rule title_not_blank: breaks it"),
        ("UPDATE items SET kind = 'spanner' WHERE id = 1", "kind: holds “spanner” where one of ring, filter"),
        ("UPDATE items SET size_key = 'as568:9999' WHERE id = 1", "size_key: holds “as568:9999”, which can't be read"),
        ("UPDATE stock SET on_hand = 'many' WHERE id = 1", "stock row 1, on_hand: holds many where a whole number"),
        ("UPDATE positions SET critical = 2 WHERE id = 1", "positions row 1, critical: holds 2 where 0 or 1 belongs"),
        ("UPDATE positions SET critical = 'no' WHERE id = 1", "critical: holds no where 0 or 1 belongs"),
        ("UPDATE stock SET on_hand = 1.5 WHERE id = 1", "on_hand: holds 1.5 where a whole number belongs"),
        ("UPDATE suppliers SET layout = '{\"headers\": true}'", "layout: holds “{"),
        ("UPDATE suppliers SET layout = '[]'", "layout: holds “[]”, which can't be read"),
        ("UPDATE list_rows SET breaks = 'ten:1' WHERE id = 1", "breaks: holds “ten:1”, which can't be read"),
        (
            "UPDATE item_gtins SET gtin = 'abcdefghijklmn' WHERE rowid = (SELECT min(rowid) FROM item_gtins)",
            "gtin: holds “abcdefghijklmn”, which can't be read",
        ),
        ("UPDATE pictures SET jpeg = 'x' WHERE id = 1", "pictures row 1, jpeg: holds a text where a picture belongs"),
        (
            "UPDATE pictures SET jpeg = x'ffd8ff00ffd9' WHERE id = 2",
            "pictures row 2, jpeg: holds no picture that can be read: no whole picture",
        ),
        ("UPDATE pictures SET jpeg = zeroblob(200001) WHERE id = 1", "pictures row 1, rule jpeg_small: breaks it"),
        (
            "UPDATE pictures SET width = 7 WHERE id = 1",
            "jpeg: holds a picture of 40 × 30 pixels, and the row says 7 × 30",
        ),
        ("UPDATE movements SET kind = 'stolen' WHERE id = 1", "kind: holds “stolen” where one of"),
        ("CREATE VIEW peek AS SELECT 1", "the view peek: is not one of Kitwright's"),
        (
            "CREATE TRIGGER sly AFTER INSERT ON bins BEGIN DELETE FROM bins; END",
            "the trigger sly: is not one of Kitwright's",
        ),
        ("DROP TABLE need_asks", "need_asks: is not there"),
        ("ALTER TABLE jobs DROP COLUMN due_on", "jobs: has no due_on"),
    ],
)
def test_what_a_column_can_t_hold_is_named_and_not_put_back(
    sound: Path, tmp_path: Path, statement: str, said: str
) -> None:
    file = damaged(sound, tmp_path, statement)
    assert [one for one in found(file) if said in one], found(file)
    with pytest.raises(restore.RestoreFailedError, match="Nothing was put back") as refused:
        restore.restore(file, tmp_path / "again.sqlite3")
    where, _, what = said.partition(": ")
    assert (what or where) in str(refused.value)
    assert not (tmp_path / "again.sqlite3").exists()


def test_a_trigger_of_ours_that_was_changed_or_lost_is_named(sound: Path, tmp_path: Path) -> None:
    file = Path(shutil.copy(sound, tmp_path / "w.sqlite3"))
    by_hand = sqlite3.connect(file)
    by_hand.executescript(
        "DROP TRIGGER movements_no_delete; DROP TRIGGER orders_no_update;"
        "CREATE TRIGGER orders_no_update BEFORE UPDATE ON orders BEGIN SELECT 1; END"
    )
    by_hand.close()
    said = found(file)
    assert "movements_no_delete: is missing: this trigger keeps the ledger as it was written" in said
    assert "the trigger orders_no_update: is not one of Kitwright's" in said


@pytest.mark.parametrize("value", ["x'ff00'", "'\u00fc\u202e'", "1.5", "'x'", "NULL", "-9223372036854775808"])
def test_no_value_in_any_column_is_called_well_and_then_fails(sound: Path, tmp_path: Path, value: str) -> None:
    """Each column of each table in turn: what is passed as well, every reader of the table reads."""
    file = Path(shutil.copy(sound, tmp_path / "w.sqlite3"))
    by_hand = sqlite3.connect(file)
    for (name,) in by_hand.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
        by_hand.execute(f"DROP TRIGGER {name}")
    by_hand.close()
    made, well, wrong = sqlite.engine(file), 0, 0
    for table in Table.metadata.sorted_tables:
        for column in table.columns:
            if column.primary_key or column.foreign_keys:
                continue
            with made.connect() as connection:
                connection.exec_driver_sql("PRAGMA ignore_check_constraints = ON")
                with suppress(IntegrityError):
                    changed = connection.exec_driver_sql(f'UPDATE {table.name} SET "{column.name}" = {value}')
                    assert changed.rowcount, "a row in every table"
                    if values.of_table(connection, table):
                        wrong += 1
                    else:
                        well += 1
                        connection.execute(table.select()).all()
                        # What a picture holds is read by itself, beyond its type.
                        assert value != "x'ff00'" or column.name == "jpeg"
                        assert value != "'x'" or not isinstance(column.type, (Integer, Enum))
                connection.rollback()
    made.dispose()
    assert wrong > (value != "NULL") * 20
    assert well or value == "x'ff00'"
