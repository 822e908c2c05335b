"""Where the workshops lie that programs are killed on: files in a folder, or databases on the suite's own server."""

from __future__ import annotations

import shutil
from abc import ABC, abstractmethod
from itertools import count
from pathlib import Path
from unittest.mock import patch

from models.database import Workshop, open_workshop
from models.storage.upgrade import CURRENT, Schema
from tests import postgres

_NUMBERS = count(1)
_SHARE = "as-on-a-network-share"


def opened(where: str, schema: Schema = CURRENT) -> Workshop:
    """Open a workshop; what lies in a folder called a share is opened as if it were one."""
    if _SHARE not in where:
        return open_workshop(where, schema=schema)
    with patch("models.storage.sqlite.on_network_share", return_value=True):
        return open_workshop(where, schema=schema)


class Places(ABC):
    """Makes places for workshops: empty ones, and copies of one that is closed."""

    name: str

    @abstractmethod
    def empty(self) -> str:
        """A place with nothing in it."""

    @abstractmethod
    def copy(self, pattern: str) -> str:
        """A place like another."""

    @abstractmethod
    def settle(self, where: str) -> None:
        """Wait until nobody but us is at work there: what a killed program had sent may still be on its way."""

    @abstractmethod
    def forget(self, where: str) -> None:
        """Take a place away."""


class Files(Places):
    """SQLite files, each in a folder of its own."""

    name = "SQLite"
    _called = "place"

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def empty(self) -> str:
        folder = self._folder / f"{self._called}-{next(_NUMBERS)}"
        folder.mkdir()
        return str(folder / "w.sqlite3")

    def copy(self, pattern: str) -> str:
        return str(shutil.copy(pattern, self.empty()))

    def settle(self, where: str) -> None:
        """Nothing is on its way: the program wrote the file itself."""

    def forget(self, where: str) -> None:
        shutil.rmtree(Path(where).parent)


class Shared(Files):
    """SQLite files as on a network share, with the older journal that works there."""

    name = "share"
    _called = _SHARE


class Databases(Places):
    """PostgreSQL databases on one server."""

    name = "PostgreSQL"

    def __init__(self, server: str) -> None:
        self._server = server

    def empty(self) -> str:
        return postgres.new_database(self._server, f"place_{next(_NUMBERS)}")

    def copy(self, pattern: str) -> str:
        postgres.wait_until_alone(pattern)
        like = pattern.rpartition("/")[2]
        return postgres.new_database(self._server, f"place_{next(_NUMBERS)}", like)

    def settle(self, where: str) -> None:
        postgres.wait_until_alone(where)

    def forget(self, where: str) -> None:
        postgres.drop_database(self._server, where.rpartition("/")[2])
