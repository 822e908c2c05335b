"""A backup a day, made by nobody's hand: whole, beside the data, fourteen kept, never on a disk that is nearly full."""

from __future__ import annotations

import shutil
from collections import namedtuple
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from models.database import open_workshop
from models.inventory import bins
from models.storage import daily
from models.storage.check import check
from tests.models.shop import act
from tests.tui.command_line import CommandLine

DAY = datetime(2026, 3, 2, 8, tzinfo=UTC)
Usage = namedtuple("Usage", "total used free")


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    file = tmp_path / "shop.sqlite3"
    open_workshop(file).close()
    return file


def names(file: Path) -> list[str]:
    return sorted(one.name for one in daily.folder_of(file).iterdir())


def test_one_a_day_and_fourteen_kept(shop: Path) -> None:
    for day in range(20):
        assert daily.keep(shop, DAY + timedelta(days=day)) == ""
        assert daily.keep(shop, DAY + timedelta(days=day, hours=3)) == ""
    assert len(names(shop)) == daily.KEPT == 14
    assert names(shop)[0] == "shop.2026-03-08.sqlite3"
    assert names(shop)[-1] == "shop.2026-03-21.sqlite3"


def test_nothing_else_in_the_folder_is_touched(shop: Path) -> None:
    daily.keep(shop, DAY)
    others = ["shop.2020-01-01.sqlite3.mine", "other.2020-01-01.sqlite3", "shop.sqlite3", "shop.2020-01-01x.sqlite3"]
    for name in others:
        (daily.folder_of(shop) / name).touch()
    for day in range(1, 20):
        daily.keep(shop, DAY + timedelta(days=day))
    assert {*others} <= {*names(shop)}


def test_it_is_the_shop_as_it_was(shop: Path) -> None:
    workshop = open_workshop(shop)
    with workshop.write() as session:
        bins.add(session, act(), code="A1")
    with workshop.write() as session:
        bins.add(session, act(), code="not yet")
        assert daily.keep(shop, DAY) == "", "others may be at work"
    workshop.close()
    kept = daily.newest(shop)
    assert kept is not None
    copy = open_workshop(shutil.copy(kept.file, shop.with_name("copy.sqlite3")))
    with copy.read() as session:
        assert [row.code for row in bins.page(session)] == ["A1"]
        assert check(session).ok
    copy.close()


def test_a_disk_nearly_full_gets_none_and_one_sentence(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda _: Usage(10**9, 10**9, daily.ROOM))
    assert daily.keep(shop, DAY) == "The disk is nearly full: today's backup was not made. Make room."
    assert daily.newest(shop) is None
    monkeypatch.undo()
    daily.folder_of(shop).touch()
    assert daily.keep(shop, DAY).startswith("Today's backup was not made (")


def test_a_command_makes_it_and_check_tells_its_age(
    shop: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    kitwright = CommandLine(capsys, monkeypatch)
    first = kitwright("check", "--data", str(shop))
    assert "No backup is on record" in first.out
    assert len(names(shop)) == 1
    assert "Last backup: " in kitwright("check", "--data", str(shop)).out
    assert kitwright("check", "--data", str(shop), "--json").json["backup"]["file"] == str(
        daily.folder_of(shop) / names(shop)[0]
    )
    assert "made again if lost" in kitwright("check", "--demo").out
    monkeypatch.setattr(shutil, "disk_usage", lambda _: Usage(10**9, 10**9, 0))
    (daily.folder_of(shop) / names(shop)[0]).unlink()
    ended = kitwright("shelf", "list", "--data", str(shop))
    assert ended.err.count("nearly full") == 1


def test_a_servers_is_noted_in_its_log(
    postgres_workshop: str, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from tests import postgres

    postgres.empty(postgres_workshop)
    kitwright = CommandLine(capsys, monkeypatch)
    assert kitwright("check", "--data", postgres_workshop, "--json").json["backup"] is None
    assert kitwright("backup", str(tmp_path / "b.sqlite3"), "--data", postgres_workshop).code == 0
    told = kitwright("check", "--data", postgres_workshop, "--json").json
    assert told["backup"]["file"] is None
    assert told["ok"]
    assert "just now" in kitwright("check", "--data", postgres_workshop).out
    assert "nothing of yours" in kitwright("undo", "--data", postgres_workshop).out
