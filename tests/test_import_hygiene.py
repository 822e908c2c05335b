"""What a fresh process imports, one promise a test. `sys.modules` is the witness, not the source."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

from models import machines
from models.acts import by
from models.database import open_workshop
from tests.doors import files, graph, packages
from tui.cli import COMMANDS

COSTLY = {"textual", "rich", "sqlmodel", "sqlalchemy", "alembic", "pydantic", "pint", "numpy", "psycopg", "aiohttp"}
COSTLY |= {"cv2", "PIL"}
"""What takes more than 30 ms to import; top-level names."""


def imported_by(code: str) -> set[str]:
    """The modules that a new Python holds after this code."""
    ended = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport json, sys\nsys.stderr.write(json.dumps(sorted(sys.modules)))"],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    return set(json.loads(ended.stderr))


def costly(modules: set[str]) -> set[str]:
    return {module.partition(".")[0] for module in modules} & COSTLY


def command(*words: str) -> str:
    """Code that runs a command line and stays alive after it."""
    return f"""
from tui.cli import run
try:
    run({list(words)!r})
except SystemExit as end:
    assert not end.code, end.code
"""


def test_no_files_import_each_other_in_a_circle() -> None:
    """What is reached through doors counts too: a circle they hide is one all the same."""
    made = graph()
    assert made.modules == {name for name, _ in files()}
    imports = {name: made.find_modules_directly_imported_by(name) for name in made.modules}
    TopologicalSorter(imports).prepare()  # CycleError names the files


def test_the_witness_sees_what_is_imported() -> None:
    assert costly(imported_by("import textual, sqlalchemy")) >= {"textual", "sqlalchemy"}


@pytest.mark.parametrize("word", ["--version", "--help"])
def test_version_and_help_import_nothing_heavy(word: str) -> None:
    modules = imported_by(command(word))
    assert costly(modules) == set()
    loaded = {module for module in modules if module.startswith(("catalog", "models"))}
    assert loaded <= {*packages(), "catalog.door"}


@pytest.mark.parametrize("name", COMMANDS)
def test_help_of_a_command_imports_nothing_heavy(name: str) -> None:
    assert costly(imported_by(command(name, "--help"))) == set()


def test_a_ring_in_millimetres_imports_no_screen_no_database_no_pint() -> None:
    assert costly(imported_by(command("ring", "--id", "24.9mm", "--width", "3.5mm", "--json"))) == set()


def test_a_ring_in_inches_imports_no_screen_no_database_no_pint() -> None:
    assert costly(imported_by(command("ring", "--id", "1-1/8in", "--width", '⅛"', "--json"))) == set()


def test_a_ring_only_glances_at_the_shelf() -> None:
    modules = imported_by(command("ring", "--id", "24.9", "--width", "3.5"))
    assert costly(modules) == set()
    light = ("models.glance", "models.storage", "models.errors", "models.stored_text")
    loaded = {one for one in modules if one.startswith("models.") and not one.startswith(light)}
    assert loaded <= {*packages()}  # doors alone


@pytest.mark.parametrize(("rings", "loaded"), [(3, set()), (40, {"numpy"})])
def test_only_a_long_list_of_rings_imports_numpy(tmp_path: Path, rings: int, loaded: set[str]) -> None:
    box = tmp_path / "box.csv"
    box.write_text("id,width,condition\n" + rings * "24.9,3.5,new\n", encoding="utf-8")
    assert costly(imported_by(command("ring", "--batch", str(box)))) == loaded


def test_only_a_picture_imports_opencv() -> None:
    """A ring by its readings, the sheet itself and a picture whose bar can't be ours go without."""
    assert costly(imported_by(command("sheet", "photo"))) == set()
    code = "import tui.operations.ring_photo, catalog.photo, catalog.photo.sheet, catalog.photo.refusal"
    assert costly(imported_by(code)) == set()


def test_only_what_unpacks_a_picture_imports_pillow() -> None:
    """Two files name it, within a function or for mypy alone; the page, the rules and the sheet load without."""
    found = {
        name: re.findall(rb"^( *)(?:from|import) PIL\b", file.read_bytes(), re.MULTILINE) for name, file in files()
    }
    assert {name for name, at in found.items() if at} == {"models.pictures.taking_in", "models.pictures.pixels"}
    assert all(indent for at in found.values() for indent in at)


def test_a_ring_of_a_machine_only_glances_at_its_records(sqlite_workshop: Path, tmp_path: Path) -> None:
    file = tmp_path / "w.sqlite3"
    shutil.copy(sqlite_workshop, file)
    workshop = open_workshop(file)
    with workshop.write() as session:
        machines.add(session, by("Bench 1"), name="Press")
    workshop.close()
    words = ("ring", "--id", "24.9", "--width", "3.5", "--machine", "press", "--data", str(file), "--json")
    modules = imported_by(command(*words))
    assert costly(modules) == set()
    assert "models.glance.machines" in modules
    assert "models.tables" not in modules


MADE = """
import dataclasses, sys
made = []
process = dataclasses._process_class
dataclasses._process_class = lambda *given: made.append(given[0]) or process(*given)
{command}
sys.modules.update((f"made.{{number}}", sys) for number in range(len(made)))
"""


def test_a_ring_loads_and_makes_little() -> None:
    """Each module of ours takes about 0.3 ms, each dataclass 0.5 ms of 150."""
    words = ("ring", "--id", "24.9", "--width", "3.5", "--json")
    modules = imported_by(MADE.format(command=command(*words)))
    made = {one for one in modules if one.startswith("made.")}
    assert 0 < len(made) <= 45
    assert len([one for one in modules if one.startswith(("catalog.", "models.", "tui."))]) <= 91
    assert not modules & {"tui.fields.kits", "tui.fields.rows", "tui.fields.grooves", "tui.operations.ring_list"}
    assert not modules & {"tui.operations.ring_batch", "tui.answers.ring_batch"}


def test_a_ring_imports_no_other_command() -> None:
    modules = imported_by(command("ring", "--id", "24.9", "--width", "3.5", "--json"))
    asked = {f"tui.operations.{name.replace('-', '_')}" for name in COMMANDS} & modules
    assert asked == {"tui.operations.ring"}


def test_listing_sizes_imports_nothing_heavy() -> None:
    assert costly(imported_by(command("sizes", "AS568-214"))) == set()


def test_the_catalog_never_imports_a_screen_or_a_database() -> None:
    code = """
import importlib, pkgutil, catalog
for module in pkgutil.walk_packages(catalog.__path__, "catalog."):
    importlib.import_module(module.name)
"""
    assert costly(imported_by(code)) <= {"pint", "numpy", "cv2"}


def test_importing_the_catalog_imports_no_pint() -> None:
    code = """
import importlib, pkgutil, catalog
for module in pkgutil.walk_packages(catalog.__path__, "catalog."):
    importlib.import_module(module.name)
"""
    assert "pint" not in imported_by(code)


def test_importing_the_app_imports_neither_the_database_nor_pint() -> None:
    assert costly(imported_by("import tui.app")) <= {"textual", "rich"}


GLANCES = """
from datetime import date
from models.glance.first_rows import first_rows
from models.glance.fits import fits_on_record
from models.glance.found import first_found
from models.glance.jobs import open_jobs
from models.glance.machines import machines_known
from models.glance.shelf_rings import rings_on_shelf
from models.glance.shorts import first_shorts
from models.storage import address
place = address.named({where!r})
assert first_rows(place, 500) is not None
assert open_jobs(place, 500) is not None
assert first_found(place, 200) is not None
assert first_shorts(place, date(2026, 3, 2)) is not None
assert rings_on_shelf(place) is not None
assert fits_on_record(place) is not None
assert machines_known(place) is not None
"""


def test_a_glance_into_a_file_imports_no_sqlalchemy_and_no_driver(sqlite_workshop: Path) -> None:
    modules = imported_by(GLANCES.format(where=str(sqlite_workshop)))
    assert costly(modules) == set()
    assert "models.tables" not in modules


def test_a_glance_into_a_server_imports_its_driver_alone(postgres_workshop: str) -> None:
    assert costly(imported_by(GLANCES.format(where=postgres_workshop))) == {"psycopg"}


@pytest.mark.parametrize("words", [(), ("--demo",), ("--unit", "in", "--data", "shop.sqlite3")])
def test_opening_the_app_declares_no_command(words: tuple[str, ...]) -> None:
    modules = imported_by(f"from tui.cli import parse; parse({list(words)!r})")
    declared = {name for name in modules if name.startswith(("tui.operations.", "tui.answers."))}
    assert declared == set()
