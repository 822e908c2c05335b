"""Watch a PostgreSQL server: one connection of its own that listens to what each booking tells when it is committed.

Importing this needs the server's driver (0.07 s): it is reached by its door, for a server alone.
"""

from __future__ import annotations

import select
import socket
from typing import Any, Final

import psycopg
from psycopg.conninfo import make_conninfo

from models.acts import CHANNEL
from models.storage.address import KEEP_ALIVE, Server
from models.storage.schema import CURRENT
from models.watching.heard import AwayError

LOOK_S: Final = 10.0
"""Seconds after which the log is looked at though nothing was told: something between may swallow what it tells."""
CONNECT_SECONDS: Final = 3
CALLED: Final = "kitwright, watching"
"""What the server's list of connections calls it."""
FAULTS: Final = (psycopg.Error, OSError, ValueError)
REVISION: Final = "SELECT version_num FROM alembic_version"


class ServerSource:
    """The server, by a connection outside the pool that is in no transaction."""

    def __init__(self, server: Server) -> None:
        self._server = server
        self._connection: psycopg.Connection[Any] | None = None
        self._told = False
        self._bell, self._rope = socket.socketpair()

    def open(self) -> None:
        """Connect and listen, to a workshop of this program's schema. Raises `AwayError`."""
        settings = {
            "connect_timeout": str(CONNECT_SECONDS),
            "application_name": CALLED,
            **KEEP_ALIVE,
            **self._server.settings,
        }
        try:
            self._connection = psycopg.connect(make_conninfo("", **settings), autocommit=True)
            self._connection.add_notify_handler(lambda _: self._note())
            self._connection.execute("SET statement_timeout = '5s'")
            if self.look(REVISION) != [(CURRENT.head,)]:
                raise AwayError
            self._connection.execute(f"LISTEN {CHANNEL}".encode())
        except FAULTS as fault:
            raise AwayError from fault

    def _note(self) -> None:
        self._told = True

    def look(self, sql: str, *values: object) -> list[tuple[Any, ...]]:
        """Rows of a statement. Raises `AwayError`."""
        assert self._connection is not None
        try:
            return self._connection.execute(sql.replace("?", "%s").encode(), values or None).fetchall()
        except FAULTS as fault:
            raise AwayError from fault

    def wait(self) -> bool:
        """Rest until the server tells something, or for so long; whether to look at the log. Raises `AwayError`."""
        assert self._connection is not None
        try:
            if not self._told:
                server, bell = self._connection.fileno(), self._bell.fileno()
                told, _, _ = select.select([server, bell], [], [], LOOK_S)
                if bell in told:
                    return False
                if server in told:
                    # Takes in what has come, so that only what comes after it is heard again; or finds the line down.
                    self._connection.execute("SELECT 1")
            self._told = False
        except FAULTS as fault:
            raise AwayError from fault
        return True

    def wake(self) -> None:
        """End a wait, now and from now on; from any thread."""
        self._rope.send(b"\0")

    def close(self) -> None:
        """Let go of the connection."""
        connection, self._connection = self._connection, None
        if connection is not None:
            connection.close()
