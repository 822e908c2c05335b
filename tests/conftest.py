"""Fixtures for every part: an empty workshop on SQLite and on PostgreSQL, and folders of the test's own."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import psycopg
import pytest

from models.database import Workshop, open_workshop
from tests import postgres

NUMBERS = count(1)


@pytest.fixture(autouse=True)
def own_folders(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """No test ever meets the data of the person who runs it."""
    folder = tmp_path_factory.mktemp("data")
    monkeypatch.setenv("KITWRIGHT_DATA", str(folder))
    return folder


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[str]:
    """The address of a running server with a database `pattern` that holds an empty workshop."""
    with postgres.server() as address:
        with psycopg.connect(f"{address}/postgres", autocommit=True) as connection:
            connection.execute("CREATE DATABASE pattern")
        open_workshop(f"{address}/pattern").close()
        yield address


@pytest.fixture
def new_postgres(postgres_server: str) -> Callable[[str], str]:
    """Makes a database, empty (`template0`) or with an empty workshop (`pattern`); returns its address."""

    def make(template: str = "pattern") -> str:
        name = f"workshop_{next(NUMBERS)}"
        with psycopg.connect(f"{postgres_server}/postgres", autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE {name} TEMPLATE {template}")
        return f"{postgres_server}/{name}"

    return make


@pytest.fixture(params=["sqlite", "postgresql"])
def where(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where an empty workshop lies: every test that asks runs on both databases."""
    if request.param == "sqlite":
        return str(tmp_path / "workshop.sqlite3")
    make: Callable[[str], str] = request.getfixturevalue("new_postgres")
    return make("pattern")


@pytest.fixture
def workshop(where: str) -> Iterator[Workshop]:
    """An empty workshop, open."""
    opened = open_workshop(where)
    yield opened
    opened.close()
