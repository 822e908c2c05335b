"""Kitwright's own folder is its owner's alone, whatever the umask; elsewhere only the file is; what was given stays."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from pathlib import Path

import pytest

from models.database import open_workshop
from models.demo.orchard import open_demo
from models.inventory import bins
from models.storage import daily, locations, permissions, restore
from tests.models.shop import act
from tests.tui.command_line import CommandLine


@pytest.fixture(autouse=True, params=[0o000, 0o022, 0o002, 0o277])
def umask(request: pytest.FixtureRequest) -> Iterator[None]:
    before = os.umask(request.param & 0o077)
    yield
    os.umask(before)


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def everything(folder: Path) -> list[Path]:
    return [folder, *folder.rglob("*")]


def closed(folder: Path) -> bool:
    return all(mode(one) == (0o700 if one.is_dir() else 0o600) for one in everything(folder))


def test_the_demo_first_then_the_shop_and_all_is_closed(own_folders: Path) -> None:
    demo = open_demo()
    with demo.write() as session:
        bins.add(session, act(), code="new")
        assert closed(own_folders), [(one, oct(mode(one))) for one in everything(own_folders)]
    demo.close()
    file = locations.workshop_file()
    locations.make_folder(file.parent)
    shop = open_workshop(file)
    with shop.write() as session:
        bins.add(session, act(), code="A1")
        assert daily.keep(file, shop.clock()) == ""
        assert closed(own_folders)
    assert (own_folders / "backups").is_dir()
    shop.close()


def test_what_an_earlier_version_left_open_is_mended(own_folders: Path) -> None:
    locations.make_folder(own_folders / "demo")
    file = locations.workshop_file()
    open_workshop(file).close()
    for one in everything(own_folders):
        one.chmod(0o755 if one.is_dir() else 0o644)
    open_workshop(file).close()
    assert mode(own_folders) == 0o700
    assert mode(file) == 0o600
    open_demo().close()
    assert closed(own_folders)


def test_a_folder_that_holds_other_things_stays_as_it_is(own_folders: Path) -> None:
    own_folders.mkdir()
    own_folders.chmod(0o755)
    (own_folders / "letter.txt").touch()
    (own_folders / "letter.txt").chmod(0o644)
    file = locations.workshop_file()
    open_workshop(file).close()
    assert (mode(own_folders), mode(own_folders / "letter.txt"), mode(file)) == (0o755, 0o644, 0o600)


def test_elsewhere_the_file_is_closed_and_the_folder_untouched(tmp_path: Path, own_folders: Path) -> None:
    tmp_path.chmod(0o755)
    file = tmp_path / "shop.sqlite3"
    shop = open_workshop(file)
    with shop.write() as session:
        bins.add(session, act(), code="A1")
        assert {mode(one) for one in tmp_path.iterdir()} == {0o600}
    shop.back_up(tmp_path / "backup.sqlite3")
    shop.close()
    restore.restore(tmp_path / "backup.sqlite3", tmp_path / "again.sqlite3")
    assert {mode(one) for one in tmp_path.iterdir() if one.is_file()} == {0o600}
    assert mode(tmp_path) == 0o755
    file.chmod(0o660)
    open_workshop(file).close()
    assert mode(file) == 0o660, "a person gave it"
    assert permissions.told(file) == f"its group may write {file}"


def test_check_tells_who_else_may_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    kitwright = CommandLine(capsys, monkeypatch)
    file = tmp_path / "shop.sqlite3"
    assert kitwright("check", "--data", str(file), "--json").json["others_may"] is None
    file.chmod(0o644)
    assert "anybody on this computer may read" in kitwright("check", "--data", str(file)).out


def test_an_exported_file_follows_the_umask(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    kitwright = CommandLine(capsys, monkeypatch)
    (tmp_path / "plain").touch()
    supplier = kitwright("list", "suppliers", "--demo", "--json").json["suppliers"][0]["supplier"]
    assert kitwright("list", "export", supplier, "--to", str(tmp_path / "list.csv"), "--demo").code == 0
    assert kitwright("fits", "--export", str(tmp_path / "fits.csv"), "--demo").code == 0
    assert mode(tmp_path / "list.csv") == mode(tmp_path / "fits.csv") == mode(tmp_path / "plain")
