"""A backup put back into an empty place is the workshop it was; so is a copy from one database to the other."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from models import demo, kits, restore, shares, shelf
from models.database import Workshop, open_workshop
from models.errors import WorkshopUnavailableError
from models.words import Kind
from tests.models.shop import act, job, ring


def _everything(workshop: Workshop) -> tuple[object, ...]:
    with workshop.read() as session:
        return shelf.stock_rows(session, limit=1000).rows, kits.view(session, 2)


def test_a_backup_goes_back_into_an_empty_file(tmp_path: Path) -> None:
    opened = demo.open_demo(tmp_path / "demo.sqlite3")
    before = _everything(opened)
    opened.back_up(tmp_path / "backup.sqlite3")
    opened.close()
    put_back = restore.restore(tmp_path / "backup.sqlite3", tmp_path / "again.sqlite3")
    assert put_back.findings == ()
    # The count is SQLite's own, not the models'.
    file = sqlite3.connect(tmp_path / "backup.sqlite3")
    assert put_back.rows["movements"] == file.execute("SELECT count(*) FROM movements").fetchone()[0] > 0
    file.close()
    again = open_workshop(tmp_path / "again.sqlite3")
    assert _everything(again) == before
    again.close()
    with pytest.raises(WorkshopUnavailableError, match="there already"):
        restore.restore(tmp_path / "backup.sqlite3", tmp_path / "again.sqlite3")
    with pytest.raises(WorkshopUnavailableError, match="no backup"):
        restore.restore(tmp_path / "none.sqlite3", tmp_path / "other.sqlite3")


def test_a_workshop_moves_between_the_databases_and_work_goes_on(workshop: Workshop, tmp_path: Path) -> None:
    source = demo.open_demo(tmp_path / "demo.sqlite3")
    copied = restore.copy_into(source, workshop)
    assert copied.findings == ()
    assert _everything(workshop) == _everything(source)
    with workshop.write() as session:  # new rows get numbers of their own
        row = ring(session, 3, bin_code="New bin", lot="L9")
        kits.accept_match(session, act(), job(session), "as568:214", 0.9, None, ["NBR"])
    assert row.on_hand == 3
    with pytest.raises(WorkshopUnavailableError, match="not empty"):
        restore.copy_into(source, workshop)
    back = open_workshop(tmp_path / "back.sqlite3")
    restore.copy_into(workshop, back)
    assert _everything(back) == _everything(workshop)
    back.close()
    source.close()


def test_a_share_is_known_by_the_table_of_mounts(tmp_path: Path) -> None:
    # The form of the table: fstab(5), proc(5).
    mounts = tmp_path / "mounts"
    mounts.write_text(
        "/dev/sda1 / ext4 rw 0 0\n"
        "server:/shop /mnt/shop\\040data nfs4 rw 0 0\n"
        "/dev/sdb1 /mnt/shop\\040data/local ext4 rw 0 0\n"
    )
    assert shares.on_network_share(Path("/mnt/shop data/w.sqlite3"), mounts)
    assert not shares.on_network_share(Path("/mnt/shop data/local/w.sqlite3"), mounts)
    assert not shares.on_network_share(Path("/home/w.sqlite3"), mounts)
    assert shares.on_network_share(Path("//server/share/w.sqlite3"), mounts)
    assert not shares.on_network_share(Path("/mnt/x"), tmp_path / "none")


def test_on_a_share_the_older_journal_is_used(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("models.sqlite.on_network_share", lambda _file: True)
    monkeypatch.setattr("models.database.on_network_share", lambda _file: True)
    opened = open_workshop(tmp_path / "w.sqlite3")
    with opened.write() as session:
        assert session.connection().exec_driver_sql("PRAGMA journal_mode").scalar() == "delete"
        ring(session, 1)
    assert "network share" in opened.note
    opened.close()
    with sqlite3.connect(tmp_path / "w.sqlite3") as file:
        assert file.execute("SELECT count(*) FROM items WHERE kind = ?", (Kind.RING,)).fetchone() == (1,)
