"""The schema's history: the steps lead to the tables, a backup is made first, a newer database is refused."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from pathlib import Path
from textwrap import dedent
from typing import Any

import psycopg
import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, Engine, Select, inspect, select, text
from sqlalchemy import Table as Listing

from models import bins, demo, postgresql, sqlite, upgrade
from models.check import check
from models.database import open_workshop
from models.errors import WorkshopNewerError
from models.search.index import is_made_here
from models.tables import Table
from models.upgrade import CURRENT, Schema
from tests.models.shop import act, one_step_ahead


def _config(connection: Connection | None = None) -> Config:
    config = Config()
    config.set_main_option("script_location", CURRENT.steps)
    config.attributes["connection"] = connection
    return config


def _engine(where: str) -> Engine:
    return postgresql.engine(where) if postgresql.is_address(where) else sqlite.engine(Path(where))


def _run_every_step(where: str) -> None:
    """Bring an empty database up by the steps alone, as an old workshop would have come here."""
    engine = _engine(where)
    with engine.begin() as connection:
        upgrade.to_head(connection)
    engine.dispose()


def _schema_of(where: str) -> list[str]:
    """Everything the database knows about its own shape, as sorted lines."""
    if where.startswith("postgresql"):
        queries = (
            "SELECT conrelid::regclass || ' ' || conname || ' ' || pg_get_constraintdef(oid) FROM pg_constraint"
            " WHERE connamespace = 'public'::regnamespace",
            "SELECT indexdef FROM pg_indexes WHERE schemaname = 'public'",
            "SELECT tgrelid::regclass || ' ' || pg_get_triggerdef(oid) FROM pg_trigger WHERE NOT tgisinternal",
            "SELECT pg_get_functiondef(oid) FROM pg_proc WHERE pronamespace = 'public'::regnamespace",
            "SELECT table_name || ' ' || column_name || ' ' || data_type || ' ' || is_nullable || ' '"
            " || coalesce(character_maximum_length, 0) || ' ' || coalesce(column_default, '')"
            " FROM information_schema.columns WHERE table_schema = 'public'",
        )
        with psycopg.connect(where) as connection:
            return sorted(str(row[0]) for query in queries for row in connection.execute(query).fetchall())
    file = sqlite3.connect(where)
    shape = file.execute(
        "SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL AND name <> 'alembic_version'"
    ).fetchall()
    file.close()
    return sorted(
        f"{name}: {' '.join(line.strip().rstrip(',').split())}" for name, text in shape for line in text.splitlines()
    )


def _same_schema(at_once: str, by_steps: str) -> None:
    open_workshop(at_once).close()
    _run_every_step(by_steps)
    assert _schema_of(by_steps) == _schema_of(at_once)
    engine = _engine(by_steps)
    with engine.begin() as connection:
        described = {"compare_type": True, "include_object": lambda _object, name, *_rest: not is_made_here(name)}
        context = MigrationContext.configure(connection, opts=described)
        assert compare_metadata(context, Table.metadata) == []
        command.check(_config(connection))
    engine.dispose()


def test_the_steps_lead_to_the_same_schema_on_sqlite(tmp_path: Path) -> None:
    _same_schema(str(tmp_path / "at-once.sqlite3"), str(tmp_path / "steps.sqlite3"))


def test_the_steps_lead_to_the_same_schema_on_postgresql(empty_postgres: str, postgres_workshop: str) -> None:
    _same_schema(postgres_workshop, empty_postgres)


def test_the_code_names_every_step_there_is() -> None:
    steps = ScriptDirectory.from_config(_config())
    assert steps.get_heads() == [CURRENT.head]
    assert [step.revision for step in steps.walk_revisions()][::-1] == [*CURRENT.earlier, CURRENT.head]


@pytest.fixture
def next_schema(tmp_path: Path) -> Schema:
    """A program one step ahead of ours."""
    return one_step_ahead(tmp_path / "steps")


def test_an_upgrade_keeps_every_row_and_ours_then_refuses(where: str, next_schema: Schema, tmp_path: Path) -> None:
    old = open_workshop(where)
    with old.write() as session:
        bins.add(session, act(), code="A1")
    old.close()
    try:
        newer = open_workshop(where, schema=next_schema)
        with newer.read() as session:
            assert session.connection().execute(text("SELECT code, walk FROM bins")).all() == [("A1", 7)]
        newer.close()
        with pytest.raises(WorkshopNewerError, match="written by a newer Kitwright: its schema is 9999") as raised:
            open_workshop(where)
        assert "Update Kitwright" in raised.value.to_do
        backups = list(tmp_path.glob(f"workshop.before-upgrade-from-{CURRENT.head}.*.sqlite3"))
        if postgresql.is_address(where):
            assert backups == []
        else:
            (backup,) = backups
            kept = open_workshop(backup)
            with kept.read() as session:
                assert [row.code for row in bins.page(session)] == ["A1"]
            kept.close()
    finally:
        if postgresql.is_address(where):
            with psycopg.connect(where) as connection:
                connection.execute("ALTER TABLE bins DROP COLUMN IF EXISTS walk")
                connection.execute("UPDATE alembic_version SET version_num = %s", [CURRENT.head])


@pytest.mark.parametrize("earlier", CURRENT.earlier)
@pytest.mark.parametrize("database", ["sqlite", "postgresql"])
def test_an_upgrade_from_every_earlier_step_keeps_all_data(
    database: str, earlier: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    """The demo's rows, as far as that step had tables for them, through every step since: none is lost or changed."""
    full = demo.open_demo(tmp_path / "full.sqlite3")
    place = str(tmp_path / "old.sqlite3") if database == "sqlite" else request.getfixturevalue("empty_postgres")
    engine = _engine(place)
    with engine.begin() as old, full.read() as session:
        upgrade.to_head(old, CURRENT._replace(head=earlier))
        there = set(inspect(old).get_table_names())
        tables = [table for table in Table.metadata.sorted_tables if table.name in there and "list" not in table.name]
        before = {table.name: session.connection().execute(_by_key(table)).mappings().all() for table in tables}
        for table in tables:
            if before[table.name]:
                old.execute(table.insert(), [dict(row) for row in before[table.name]])
    engine.dispose()
    full.close()
    assert len(before["movements"]) > 50
    opened = open_workshop(place)
    with opened.read() as session:
        for table in tables:
            after = session.connection().execute(_by_key(table)).mappings().all()
            assert [dict(row) for row in after] == [dict(row) for row in before[table.name]], table.name
        assert check(session).findings == ()
    opened.close()


def _by_key(table: Listing) -> Select[Any]:
    return select(table).order_by(*table.primary_key.columns)


def test_a_step_that_fails_leaves_the_workshop_as_it_was(tmp_path: Path, next_schema: Schema) -> None:
    file = tmp_path / "w.sqlite3"
    open_workshop(file).close()
    before = _schema_of(str(file))
    step = Path(next_schema.steps) / "versions" / "9999_next.py"
    step.write_text(step.read_text() + "    raise RuntimeError('half way')\n")
    with pytest.raises(RuntimeError, match="half way"):
        open_workshop(file, schema=next_schema)
    assert _schema_of(str(file)) == before
    open_workshop(file).close()


def test_alembic_is_only_imported_when_the_database_is_behind(tmp_path: Path) -> None:
    asked = dedent(
        f"""
        import sys
        from models.database import open_workshop
        for _ in range(2):
            open_workshop({str(tmp_path / "w.sqlite3")!r}).close()
        print("alembic" in sys.modules)
        """
    )
    said = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True).stdout
    assert said.strip() == "False"


@pytest.mark.parametrize("database", ["sqlite", "postgresql"])
def test_two_programs_that_start_at_once_make_one_workshop(
    database: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    where = str(tmp_path / "w.sqlite3") if database == "sqlite" else request.getfixturevalue("empty_postgres")
    asked = f"from models.database import open_workshop; open_workshop({where!r}).close()"
    started = [subprocess.Popen([sys.executable, "-c", asked], stderr=subprocess.PIPE) for _ in range(3)]
    for one in started:
        _, said = one.communicate()
        assert one.returncode == 0, said.decode()
