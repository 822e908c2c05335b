"""Fixtures for every part: an empty workshop on SQLite and on PostgreSQL, and folders of the test's own."""

from __future__ import annotations

import gc
import os
import shutil
from collections.abc import Iterator
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

# A busy machine is no failure: what a step may cost is for tests/bench. Failing examples print how to repeat them.
settings.register_profile("kitwright", deadline=None, print_blob=True)
settings.load_profile("kitwright")

# A fifth of the time otherwise goes into looking for cycles that are not there. The app sets a tenth of this: no key
# may wait for a long look. Here nothing waits, and most of what a test made is gone before anything looks.
gc.set_threshold(500_000, 5, 40)

# Temporary folders go where files lie in memory, where the system has such a place with room: a commit of SQLite's
# costs a seventh there of what it costs on a disk.
IN_MEMORY = Path("/dev/shm")
ROOM = 4_000_000_000
if IN_MEMORY.is_dir() and os.access(IN_MEMORY, os.W_OK) and shutil.disk_usage(IN_MEMORY).free > ROOM:
    os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", str(IN_MEMORY))

# The models (0.3 s) and the server's helpers are imported by the fixtures that need them: most tests need neither.
if TYPE_CHECKING:
    from models.database import Workshop

NUMBERS = count(1)

LONGEST_NAME = 1_000


def pytest_xdist_auto_num_workers(config: pytest.Config) -> int:
    """Three workers for two cores: the screens' tests wait for four parts in ten of their time."""
    return max(1, (os.cpu_count() or 1) * 3 // 2)


def pytest_make_parametrize_id(val: object, argname: str) -> str | None:
    """No test is named by a whole file: each worker sends every name, and each report carries one."""
    if isinstance(val, str | bytes) and len(val) > LONGEST_NAME:
        return f"{argname}_of_{len(val)}"
    return None


@pytest.fixture(autouse=True)
def own_folders(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """No test ever meets the data of the person who runs it."""
    # Not made here: most tests need none, and finding a free name among thousands costs more than the test.
    folder = tmp_path_factory.getbasetemp() / f"data-{next(NUMBERS)}"
    monkeypatch.setenv("KITWRIGHT_DATA", str(folder))
    return folder


@pytest.fixture(scope="session")
def shared_statements() -> None:
    """Workshops opened from here on compile each statement once for all."""
    from tests.statements import share

    share()


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[str]:
    """The address of a running server, without a database name."""
    from tests import postgres

    with postgres.server() as address:
        yield address


@pytest.fixture(scope="session")
def postgres_workshop(postgres_server: str, shared_statements: None) -> str:
    """The address of one database with a workshop in it; `where` empties it for each test."""
    from models.database import open_workshop
    from tests import postgres

    address = postgres.new_database(postgres_server, "workshop")
    open_workshop(address).close()
    return address


@pytest.fixture
def empty_postgres(postgres_server: str) -> str:
    """The address of a database with nothing in it, not even tables."""
    from tests import postgres

    return postgres.new_database(postgres_server, f"empty_{next(NUMBERS)}")


@pytest.fixture(scope="session")
def sqlite_workshop(tmp_path_factory: pytest.TempPathFactory, shared_statements: None) -> Path:
    """A file with an empty workshop, closed, to copy from."""
    from models.database import open_workshop

    file = tmp_path_factory.mktemp("pattern") / "workshop.sqlite3"
    open_workshop(file).close()
    return file


@pytest.fixture(params=["sqlite", "postgresql"])
def where(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where an empty workshop lies: every test that asks runs on both databases."""
    if request.param == "sqlite":
        pattern: Path = request.getfixturevalue("sqlite_workshop")
        return str(shutil.copy(pattern, tmp_path / "workshop.sqlite3"))
    from tests import postgres

    address: str = request.getfixturevalue("postgres_workshop")
    postgres.empty(address)
    return address


@pytest.fixture
def workshop(where: str) -> Iterator[Workshop]:
    """An empty workshop, open."""
    from models.database import open_workshop

    opened = open_workshop(where)
    yield opened
    opened.close()
