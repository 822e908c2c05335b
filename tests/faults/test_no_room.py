"""A full disk and a read-only one: one clear message, exit code 2, nothing lost, and the app stays up."""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path

import pytest
from textual.widgets import Static

from models import shelf
from models.database import Workshop, open_workshop
from models.errors import WorkshopError, WorkshopUnavailableError
from models.storage.check import check
from models.storage.upgrade import CURRENT
from tests.faults.disks import Limited, Small, limited, may_mount, small
from tests.faults.lives import FORKS
from tests.models import full
from tests.models.ahead import one_step_ahead
from tests.models.replay import replayed, rows
from tests.models.shop import act, ring
from tests.models.supplier_lists.lists import listed, supplier, take_over, written
from tests.tui.counter import keys, make_app, settle, write
from tui.cli import run
from tui.exit_codes import ExitCode

Disk = Limited | Small
DISKS: dict[str, Callable[[Path], AbstractContextManager[Disk]]] = {"limit": limited}
if may_mount():
    DISKS["small disk"] = small
REFUSED = r"The disk that holds .* (is full|can't be written or read)\. Nothing was changed\. "


@pytest.fixture(params=DISKS)
def disk(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Disk]:
    """A disk that can be filled: a limit on this process, and where we may mount one, a real small disk."""
    with DISKS[request.param](tmp_path) as made:
        yield made


def kitwright(*words: str) -> tuple[int, str]:
    """Run a command; its exit code and what it said to stderr."""
    with redirect_stderr(StringIO()) as said, redirect_stdout(StringIO()):
        try:
            code = int(run(words))
        except SystemExit as end:
            code = int(end.code or 0)
    return code, said.getvalue()


def use_one(workshop: Workshop, stock_id: int) -> int:
    """Use one ring; how many are left."""
    with workshop.write() as session:
        return shelf.use(session, act(), stock_id=stock_id, quantity=1).on_hand


def test_a_full_disk_is_said_and_nothing_is_lost(disk: Disk) -> None:
    file = disk.folder / "w.sqlite3"
    workshop = open_workshop(file)
    with workshop.write() as session:
        row = ring(session, 9)
    receive = ("shelf", "receive", row.item_name, "--bin", "A1", "--quantity", "5", "--data", str(file))
    assert use_one(workshop, row.stock_id) == 8
    disk.fill()
    for _ in range(3):
        with pytest.raises(WorkshopUnavailableError, match=REFUSED):
            use_one(workshop, row.stock_id)
    with workshop.read() as session:
        assert shelf.stock_row(session, row.stock_id).on_hand == 8
    code, said = kitwright(*receive)
    disk.make_room()
    assert code == ExitCode.USAGE
    assert said.startswith("kitwright shelf receive: The disk that holds")
    assert len(said.splitlines()) == 1
    assert replayed(str(file))[row.stock_id].on_hand == 8
    code, said = kitwright("check", "--data", str(file))
    assert (code, said) in ((0, ""), (0, "Note: The disk is nearly full: today's backup was not made. Make room.\n"))
    assert kitwright(*receive)[0] == 0
    assert use_one(workshop, row.stock_id) == 12
    workshop.close()


def test_no_room_for_a_first_opening_or_an_upgrade(disk: Disk, tmp_path: Path) -> None:
    old = disk.folder / "old.sqlite3"
    before, ahead = full.make_earlier(str(old)), one_step_ahead(tmp_path / "steps")
    disk.fill()
    for file, schema in ((disk.folder / "new.sqlite3", CURRENT), (old, ahead)):
        with pytest.raises(WorkshopUnavailableError, match=REFUSED):
            open_workshop(file, schema=schema)
    disk.make_room()
    assert rows(str(old), "SELECT version_num FROM alembic_version") == [(CURRENT.head,)]
    assert list(disk.folder.glob("*before-upgrade*")) == []
    open_workshop(disk.folder / "new.sqlite3").close()
    workshop = open_workshop(old, schema=ahead)
    with workshop.read() as session:
        assert full.plain(full.everything(session.connection(), before)) == full.plain(before)
        assert check(session).findings == ()
    workshop.close()


def test_no_room_for_a_list_leaves_the_one_before(disk: Disk, tmp_path: Path) -> None:
    workshop = open_workshop(disk.folder / "w.sqlite3")
    who = supplier(workshop)
    take_over(workshop, who, written(tmp_path / "a.csv", ["N-1,First,1.00,1"]))
    file = written(tmp_path / "b.csv", [f"N-{at},Second ring {at},1.00,1" for at in range(3000)])
    disk.fill()
    with pytest.raises(WorkshopUnavailableError, match=REFUSED):
        take_over(workshop, who, file)
    disk.make_room()
    with workshop.read() as session:
        assert [row.name for row in listed(session, who)] == ["First"]
        assert check(session).findings == ()
    take_over(workshop, who, file)
    workshop.close()


def _try_everything(told: str, file: str, stock_id: int, usual: str) -> None:
    """As somebody without rights: use a ring, look at the shelf, book by command. What came of it goes to `told`."""
    receive = ("shelf", "receive", "O-ring as568:214 NBR 70", "--bin", "A1", "--quantity", "5", "--data")
    kitwright(*receive, usual)  # everything is imported before the rights are given up
    said: dict[str, object] = {}
    with Path(told).open("w") as out:
        if os.geteuid() == 0:
            os.seteuid(65534)
        try:
            workshop = open_workshop(file)
            said["used"] = use_one(workshop, stock_id)
        except WorkshopError as refused:
            said["refused"] = str(refused)
        said["command"] = kitwright(*receive, file)
        said["look"] = kitwright("shelf", "list", "--data", file)
        json.dump(said, out)


@pytest.mark.parametrize(("file_mode", "folder_mode"), [(0o444, 0o777), (0o666, 0o555), (0o444, 0o555)])
def test_a_read_only_file_or_folder_is_said(file_mode: int, folder_mode: int, tmp_path: Path) -> None:
    with tempfile.TemporaryDirectory() as name:  # not in pytest's own folder: others may not pass through that
        folder = Path(name)
        file, told = folder / "w.sqlite3", tmp_path / "told"
        for one in (file, tmp_path / "usual.sqlite3"):
            workshop = open_workshop(one)
            with workshop.write() as session:
                row = ring(session, 9)
            workshop.close()
        file.chmod(file_mode)
        folder.chmod(folder_mode)
        program = FORKS.Process(
            target=_try_everything, args=(str(told), str(file), row.stock_id, str(tmp_path / "usual.sqlite3"))
        )
        program.start()
        program.join()
        folder.chmod(0o755)
        file.chmod(0o644)
        said = json.loads(told.read_text())
        assert said["refused"].startswith(f"{file} is read-only. Nothing was changed.")
        code, words = said["command"]
        assert (code, words) == (ExitCode.USAGE, f"kitwright shelf receive: {said['refused']}\n")
        code, words = said["look"]  # where SQLite needs to write to read, it says so; else the shelf is shown
        assert (code, words) in ((0, ""), (ExitCode.USAGE, f"kitwright shelf list: {said['refused']}\n"))
        assert replayed(str(file))[row.stock_id].on_hand == 9


async def test_the_app_says_so_and_stays_up(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    with limited(tmp_path) as disk:
        async with app.run_test(size=(80, 24)) as pilot:
            await settle(pilot)
            await keys(pilot, "f5", "enter")
            await write(pilot, "12")
            disk.fill()
            await keys(pilot, "enter")
            disk.make_room()
            said = str(app.screen.query_one("#quantity-said", Static).content)
            assert "can't be written or read. Nothing was changed." in said
            assert app.workshop.stock_of_sizes(["as568:214"])[0].on_hand == 14
            # What was typed can be sent again once there is room.
            await keys(pilot, "enter")
            assert app.workshop.stock_of_sizes(["as568:214"])[0].on_hand == 12
        assert app.return_code in {0, None}
