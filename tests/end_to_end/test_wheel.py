"""The wheel: everything the program reads at run time is in it, and it works unpacked in an environment of its own."""

from __future__ import annotations

import json
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest

from tests.end_to_end.terminal import clean_environment

ROOT = Path(__file__).parents[2]
READ_AT_RUN_TIME = {".csv", ".tcss", ".md", ".json", ".mako", ".typed", ".ttf", ".css", ".js", ".svg"}
"""Kinds of file beside the code."""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel built from the checkout, without a network: hatchling stands in the test extra."""
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "pip", "wheel", "--quiet", "--disable-pip-version-check"]
    options = ["--no-deps", "--no-build-isolation", "--no-index", "--wheel-dir", str(folder), str(ROOT)]
    ended = subprocess.run([*command, *options], capture_output=True, text=True, timeout=120)
    assert ended.returncode == 0, ended.stderr
    (built,) = folder.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The console script of a new environment that holds the wheel and borrows its dependencies from this one."""
    folder = tmp_path_factory.mktemp("clean")
    venv.create(folder, symlinks=True, with_pip=False)
    place = Path(sysconfig.get_path("purelib", "venv", {"base": str(folder), "platbase": str(folder)}))
    command = [sys.executable, "-m", "pip", "--python", str(folder / "bin" / "python")]
    options = ["install", "--quiet", "--disable-pip-version-check", "--no-deps", "--no-index", str(wheel)]
    ended = subprocess.run([*command, *options], capture_output=True, text=True, timeout=120)
    assert ended.returncode == 0, ended.stderr
    # A .pth line puts this environment's packages behind the new one's, without its .pth files: the checkout that
    # they name stays out.
    (place / "borrowed.pth").write_text(f"{sysconfig.get_path('purelib')}\n", encoding="utf-8")
    return folder / "bin" / "kitwright"


def run(script: Path, home: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [str(script), *words], capture_output=True, text=True, env=clean_environment(home), cwd=home, timeout=60
    )


def test_every_file_beside_the_code_is_in_the_wheel(wheel: Path) -> None:
    inside = set(zipfile.ZipFile(wheel).namelist())
    beside = {
        path.relative_to(ROOT).as_posix()
        for package in ("catalog", "models", "tui")
        for path in (ROOT / package).rglob("*")
        if path.suffix in READ_AT_RUN_TIME
    }
    assert beside - inside == set()
    assert {"catalog/data/orings/as568.csv", "tui/styles/app.tcss", "tui/schemas/ring.schema.json"} <= beside


def test_every_migration_is_in_the_wheel(wheel: Path) -> None:
    inside = set(zipfile.ZipFile(wheel).namelist())
    versions = {path.relative_to(ROOT).as_posix() for path in (ROOT / "models" / "migrations").rglob("*.py")}
    assert versions
    assert versions <= inside


def test_the_wheel_holds_no_tests(wheel: Path) -> None:
    tops = {name.partition("/")[0] for name in zipfile.ZipFile(wheel).namelist()}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"catalog", "models", "tui"}


def test_the_installed_code_is_the_wheels(installed: Path, home: Path) -> None:
    python = installed.with_name("python")
    ended = subprocess.run(
        [str(python), "-c", "import tui, models, catalog; print(tui.__file__, models.__file__, catalog.__file__)"],
        capture_output=True,
        text=True,
        cwd=home,
        env=clean_environment(home),
        check=True,
    )
    assert all(path.startswith(str(installed.parents[1])) for path in ended.stdout.split())


def test_the_installed_command_tells_its_version(installed: Path, home: Path) -> None:
    from tui.version import __version__

    assert run(installed, home, "--version").stdout == f"kitwright {__version__}\n"


def test_the_installed_command_names_a_ring(installed: Path, home: Path) -> None:
    ended = run(installed, home, "ring", "--id", "24.99", "--width", "3.53", "--series", "as568", "--json")
    assert json.loads(ended.stdout)["matches"][0]["designation"] == "214"


def test_the_installed_command_makes_and_reads_a_workshop(installed: Path, home: Path) -> None:
    """The migrations run from the wheel: a new database is made where there was none."""
    ended = run(installed, home, "shelf", "list", "--demo", "--json")
    assert (ended.returncode, ended.stderr) == (0, "")
    assert json.loads(ended.stdout)["stock"]
