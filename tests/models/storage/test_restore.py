"""A backup put back into an empty place is the workshop it was; so is a copy from one database to the other."""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Callable
from multiprocessing.process import BaseProcess
from pathlib import Path

import pytest

from models import kits
from models.database import Workshop, open_workshop
from models.errors import WorkshopUnavailableError
from models.search.searching import search
from models.storage import restore, shares
from models.words import Kind
from tests.faults.booking import DOES, Shelf, book_on
from tests.faults.lives import FORKS
from tests.models.full import Rows, engine, everything, full_copy, plain
from tests.models.replay import by_key, received_of_orders, replayed
from tests.models.shop import act, job, ring, ring_spec
from tests.postgres import is_address


def _rows(where: str) -> Rows:
    """Every row, read below the models' own opening, without the column that each database writes in its own form."""
    made = engine(where)
    with made.begin() as connection:
        rows = plain(everything(connection))
    made.dispose()
    return rows


def _write_on(told: str, where: str, life: int, at: Shelf) -> None:
    while True:
        life += 1
        book_on(told, where, life, at)


def test_a_backup_taken_while_another_writes_goes_back_row_for_row(workshop: Workshop, tmp_path: Path) -> None:
    """One moment of the workshop: everything done before is in it, sums hold; restored to either database, compared."""
    file = full_copy(tmp_path / "busy.sqlite3")
    opened = open_workshop(file)
    with opened.write() as session:
        row = ring(session, 1)
        at = Shelf(row.item_id, row.bin_id, row.stock_id, job(session))
    told, backup = tmp_path / "told", tmp_path / "backup.sqlite3"
    told.touch()
    writer = FORKS.Process(target=_write_on, args=(str(told), str(file), 0, at))
    writer.start()
    _until(lambda: told.read_text().count("done ") >= 3, writer)
    before = {line.removeprefix("done ") for line in told.read_text().splitlines() if line.startswith("done ")}
    opened.back_up(backup)
    so_far = told.read_text().count("done ")
    _until(lambda: told.read_text().count("done ") > so_far + 2, writer)
    writer.kill()
    writer.join()
    opened.close()

    held = _rows(str(backup))
    booked = {key for key in by_key(str(backup)) if key.split()[0] in DOES}
    assert before <= booked < {key for key in by_key(str(file)) if key.split()[0] in DOES}
    replayed(str(backup))
    received_of_orders(str(backup))
    workshop.close()
    where = workshop.name
    if not is_address(where):
        where = str(tmp_path / "again.sqlite3")
    put_back = restore.restore(backup, where)
    assert put_back.findings == ()
    assert put_back.rows == {name: len(rows) for name, rows in held.items()}
    assert _rows(where) == held
    again = open_workshop(where)
    with again.read() as session:
        assert "R116" in {hit.number for hit in search(session, "oring as568-116", items=False).rows}
        assert search(session, "taken off", items=False).rows == ()
    with again.write() as session:  # new rows get numbers of their own
        assert ring(session, 3, bin_code="New bin", lot="L9").on_hand == 3
        kits.accept_match(session, act(), job(session), ring_spec("as568:214", ["NBR"]))
    again.close()
    with pytest.raises(WorkshopUnavailableError, match="not empty" if is_address(where) else "there already"):
        restore.restore(backup, where)


def _until(reached: Callable[[], bool], writer: BaseProcess) -> None:
    until = time.monotonic() + 60
    while not reached():
        assert writer.is_alive()
        assert time.monotonic() < until, "the writer never got that far"
        time.sleep(0.005)


def test_a_workshop_comes_back_from_a_server_into_a_file(workshop: Workshop, tmp_path: Path) -> None:
    source = open_workshop(full_copy(tmp_path / "full.sqlite3"))
    assert restore.copy_into(source, workshop).findings == ()
    back = open_workshop(tmp_path / "back.sqlite3")
    assert restore.copy_into(workshop, back).findings == ()
    with pytest.raises(WorkshopUnavailableError, match="not empty"):
        restore.copy_into(source, back)
    for one in (source, back):
        one.close()
    assert _rows(str(tmp_path / "back.sqlite3")) == _rows(str(tmp_path / "full.sqlite3"))


def test_a_file_of_the_persons_own_beside_it_is_left_alone(workshop: Workshop, tmp_path: Path) -> None:
    own = [tmp_path / f"{name}.part" for name in ("backup.sqlite3", "back.sqlite3")]
    for one in own:
        one.write_text("notes")
    restore.back_up(workshop, tmp_path / "backup.sqlite3")
    restore.restore(tmp_path / "backup.sqlite3", tmp_path / "back.sqlite3")
    assert [one.read_text() for one in own] == ["notes", "notes"]
    assert not list(tmp_path.glob(".kitwright-*"))


def test_no_backup_is_said(tmp_path: Path) -> None:
    with pytest.raises(WorkshopUnavailableError, match="no backup"):
        restore.restore(tmp_path / "none.sqlite3", tmp_path / "other.sqlite3")


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
    monkeypatch.setattr("models.storage.sqlite.on_network_share", lambda _file: True)
    monkeypatch.setattr("models.database.on_network_share", lambda _file: True)
    opened = open_workshop(tmp_path / "w.sqlite3")
    with opened.write() as session:
        assert session.connection().exec_driver_sql("PRAGMA journal_mode").scalar() == "delete"
        ring(session, 1)
    assert "network share" in opened.note
    opened.close()
    with sqlite3.connect(tmp_path / "w.sqlite3") as file:
        assert file.execute("SELECT count(*) FROM items WHERE kind = ?", (Kind.RING,)).fetchone() == (1,)
