"""What a killed program left is cleared after a day, and nothing else is."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import pytest

from models.database import open_workshop
from models.storage import leftovers, sqlite

OLD, YOUNG = leftovers.DAY + 60, leftovers.DAY - 60
HEX = "0123456789abcdef" * 2


@pytest.fixture
def temporary(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder for temporary files, for this test alone."""
    folder = tmp_path / "tmp"
    folder.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(folder))
    return folder


def written(path: Path, seconds_ago: float) -> Path:
    path.write_text("x")
    return aged(path, seconds_ago)


def aged(path: Path, seconds_ago: float) -> Path:
    then = time.time() - seconds_ago
    os.utime(path, (then, then))
    return path


def scratch(folder: Path, name: str, seconds_ago: float, *inside: str) -> Path:
    made = folder / name
    made.mkdir()
    for one in inside:
        written(made / one, seconds_ago)
    return aged(made, seconds_ago)


def test_opening_clears_old_parts_beside_the_database_and_nothing_else(tmp_path: Path, temporary: Path) -> None:
    place = tmp_path / "shop"
    place.mkdir()
    part = written(place / f".kitwright-{HEX}.part", OLD)
    gone = [part, written(place / f"{part.name}-wal", OLD), written(place / ".kitwright-ab12_x9z.part", OLD)]
    kept = [
        written(place / f".kitwright-{HEX[::-1]}.part", YOUNG),
        # Its log was written to within the day, so somebody still restores into it.
        written(place / f".kitwright-{'f' * 32}.part", OLD),
        written(place / f".kitwright-{'f' * 32}.part-wal", YOUNG),
        # None of these is a name of ours.
        *(written(place / name, OLD) for name in (f"kitwright-{HEX}.part", f".kitwright-{HEX}.part2",
          f".kitwright-{HEX}.part.sqlite3", ".kitwright-notes.part", f".other-{HEX}.part", "backup.sqlite3.part")),
    ]  # fmt: skip
    linked = place / f".kitwright-{'a' * 32}.part"
    linked.symlink_to(written(tmp_path / "elsewhere", OLD))
    named = scratch(place, f".kitwright-{'b' * 32}.part", OLD)
    open_workshop(place / "w.sqlite3").close()
    assert [path.exists() for path in gone] == [False] * len(gone)
    assert [path.exists() for path in (*kept, linked, named, tmp_path / "elsewhere")] == [True] * (len(kept) + 3)
    assert leftovers.beside(place) == tuple(sorted(kept[:3]))
    assert leftovers.beside(place / "nowhere") == ()


def _ended() -> int:
    """The number of a program that has ended."""
    with subprocess.Popen([sys.executable, "-c", ""]) as program:
        pass
    return program.pid


def test_opening_clears_old_folders_on_the_side_and_nothing_else(tmp_path: Path, temporary: Path) -> None:
    gone = [
        scratch(temporary, "kitwright-list-ab12_x9z", OLD, "rows"),
        scratch(temporary, "kitwright-look-ab12_x9z", OLD, "backup.sqlite3", "backup.sqlite3-wal",
                "backup.before-upgrade-from-first_0123abcd.20261125T120000000000.sqlite3"),
        scratch(temporary, "kitwright-list-empty___", OLD),
        scratch(temporary, f"kitwright-list-{_ended()}-ab12_x9z", OLD, "rows"),
    ]  # fmt: skip
    busy = scratch(temporary, "kitwright-list-busy____", OLD, "rows")
    aged(busy / "rows", YOUNG)
    kept = [
        busy,
        scratch(temporary, "kitwright-list-young___", YOUNG, "rows"),
        # Its changes have stood on screen over the weekend: that program runs.
        scratch(temporary, f"kitwright-list-{os.getpid()}-ab12_x9z", OLD, "rows"),
        scratch(temporary, "kitwright-list-ab12_x9z.old", OLD, "rows"),
        scratch(temporary, "kitwright-bench-x9z_ab1", OLD, "rows"),
        # Somebody put a thing of their own into it.
        scratch(temporary, "kitwright-list-notes___", OLD, "rows", "notes.txt"),
    ]
    other = scratch(tmp_path, "others", OLD, "rows")
    linked = temporary / "kitwright-list-linked__"
    linked.symlink_to(other)
    open_workshop(tmp_path / "w.sqlite3").close()
    assert [path.exists() for path in gone] == [False] * len(gone)
    assert [path.exists() for path in (*kept, linked, other / "rows")] == [True] * (len(kept) + 2)


def test_a_backup_clears_where_it_is_written(tmp_path: Path, temporary: Path) -> None:
    source, place = tmp_path / "w.sqlite3", tmp_path / "stick"
    place.mkdir()
    sqlite3.connect(source).close()
    old, young = written(place / f".kitwright-{HEX}.part", OLD), written(place / f".kitwright-{'c' * 32}.part", YOUNG)
    sqlite.back_up(source, place / "friday.sqlite3")
    assert (old.exists(), young.exists(), (place / "friday.sqlite3").exists()) == (False, True, True)


def test_what_can_not_be_removed_or_is_anothers_stays_without_a_word(
    tmp_path: Path, temporary: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    part = written(tmp_path / f".kitwright-{HEX}.part", OLD)
    folder = scratch(temporary, "kitwright-list-ab12_x9z", OLD, "rows")
    with monkeypatch.context() as another:
        another.setattr(os, "geteuid", lambda: part.stat().st_uid + 1)
        leftovers.clear(tmp_path)
        assert (part.exists(), folder.exists()) == (True, True)

    def refuse(_path: object, **_more: object) -> None:
        raise PermissionError(13, "not allowed")

    with monkeypatch.context() as locked:
        locked.setattr(Path, "unlink", refuse)
        locked.setattr(os, "rmdir", refuse)
        leftovers.clear(tmp_path)
        assert (part.exists(), folder.exists()) == (True, True)
    leftovers.clear(tmp_path / "nowhere")
    leftovers.clear(tmp_path)
    assert not part.exists()
