"""The schema's history: the steps lead to the tables, a backup is made first, a newer database is refused."""

from __future__ import annotations

import hashlib
import sqlite3
import subprocess
import sys
from multiprocessing.synchronize import Barrier
from pathlib import Path
from textwrap import dedent

import psycopg
import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, text
from sqlalchemy.dialects.sqlite import dialect as sqlite_dialect
from sqlalchemy.schema import CreateIndex, CreateTable

from models.database import open_workshop
from models.errors import WorkshopNewerError, WorkshopOlderError
from models.inventory import bins
from models.search import index
from models.search.index import is_made_here
from models.search.searching import search
from models.storage import append_only, postgresql, sqlite, upgrade
from models.storage.check import check
from models.storage.restore import restore
from models.storage.schema import CURRENT, Schema
from models.tables import Table
from tests.faults.lives import FORKS
from tests.models import full
from tests.models.ahead import one_step_ahead
from tests.models.full import engine
from tests.models.shop import act, ring


def _config(connection: Connection | None = None) -> Config:
    config = Config()
    config.set_main_option("script_location", CURRENT.steps)
    config.attributes["connection"] = connection
    return config


def _run_every_step(where: str) -> None:
    """Bring an empty database up by the steps alone, as an old workshop would have come here."""
    made = engine(where)
    with made.begin() as connection:
        upgrade.to_head(connection)
    made.dispose()


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
    return sorted(f"{name}: {part}" for name, text in shape for part in _parts(" ".join(text.split())))


def _parts(statement: str) -> list[str]:
    """A statement, parted at the commas of its first brackets: a column that a step adds has no line of its own."""
    parts, depth = [""], 0
    for one in statement:
        depth += (one == "(") - (one == ")")
        if one == "," and depth == 1:
            parts.append("")
        else:
            parts[-1] += one
    return [part.strip(" ()") for part in parts]


def _same_schema(at_once: str, by_steps: str) -> None:
    open_workshop(at_once).close()
    _run_every_step(by_steps)
    assert _schema_of(by_steps) == _schema_of(at_once)
    made = engine(by_steps)
    with made.begin() as connection:
        described = {"compare_type": True, "include_object": lambda _object, name, *_rest: not is_made_here(name)}
        context = MigrationContext.configure(connection, opts=described)
        assert compare_metadata(context, Table.metadata) == []
        command.check(_config(connection))
    made.dispose()


def test_the_steps_lead_to_the_same_schema_on_sqlite(tmp_path: Path) -> None:
    _same_schema(str(tmp_path / "at-once.sqlite3"), str(tmp_path / "steps.sqlite3"))


def test_the_steps_lead_to_the_same_schema_on_postgresql(empty_postgres: str, postgres_workshop: str) -> None:
    _same_schema(postgres_workshop, empty_postgres)


def test_tables_changed_in_place_have_another_head() -> None:
    """A database made before the change would lack a column; by its revision it is refused with a way out."""
    dialect = sqlite_dialect()
    made = [str(CreateTable(table).compile(dialect=dialect)) for table in Table.metadata.sorted_tables]
    made += sorted(
        str(CreateIndex(one).compile(dialect=dialect))
        for table in Table.metadata.sorted_tables
        for one in table.indexes
    )
    made += [*append_only.statements("sqlite"), *index.statements("sqlite")]
    named = f"first_{hashlib.sha256(chr(10).join(made).encode()).hexdigest()[:8]}"
    assert named == CURRENT.head, f"write {named} in models/storage/schema.py and the step's revision"


def test_the_code_names_every_step_there_is() -> None:
    steps = ScriptDirectory.from_config(_config())
    assert steps.get_heads() == [CURRENT.head]
    assert [step.revision for step in steps.walk_revisions()][::-1] == [*CURRENT.earlier, CURRENT.head]


@pytest.fixture
def next_schema(tmp_path: Path) -> Schema:
    """A program one step ahead of ours."""
    return one_step_ahead(tmp_path / "steps")


def _mark(where: str, revision: str) -> None:
    made = engine(where)
    with made.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = :said"), {"said": revision})
    made.dispose()


@pytest.mark.parametrize("revision", ["0001", "0011", "r0001", "first_0123abcd"])
def test_a_workshop_from_before_the_first_release_gets_a_sentence_and_a_way_out(where: str, revision: str) -> None:
    _mark(where, revision)
    try:
        with pytest.raises(WorkshopOlderError, match="from before the first release and can't be opened") as raised:
            open_workshop(where)
        assert "Keep it and take what it holds out with the program that made it" in raised.value.to_do
        assert "begin a new workshop at another place with --data" in raised.value.to_do
        if not postgresql.is_address(where):
            assert sqlite.revision(Path(where)) == revision
            assert list(Path(where).parent.glob("*before-upgrade*")) == []
    finally:
        _mark(where, CURRENT.head)


def test_a_backup_from_before_the_first_release_is_not_put_back(where: str, tmp_path: Path) -> None:
    """It is looked at first, also where the place is taken."""
    backup = tmp_path / "kept" / "backup.sqlite3"
    backup.parent.mkdir()
    open_workshop(backup).close()
    _mark(str(backup), "0011")
    for place in (where, tmp_path / "new.sqlite3"):
        with pytest.raises(WorkshopOlderError, match=f"{backup} was made by a Kitwright from before the first release"):
            restore(backup, place)
    assert not (tmp_path / "new.sqlite3").exists()


@pytest.mark.parametrize("database", ["sqlite", "postgresql"])
def test_an_upgrade_keeps_every_row_and_ours_then_refuses(
    database: str, next_schema: Schema, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    # Not the server's database that tests share: it would stay as the next step leaves it.
    on_file = database == "sqlite"
    where = str(tmp_path / "workshop.sqlite3") if on_file else request.getfixturevalue("empty_postgres")
    old = open_workshop(where)
    with old.write() as session:
        bins.add(session, act(), code="A1")
    old.close()
    newer = open_workshop(where, schema=next_schema)
    with newer.read() as session:
        seen = "SELECT code, walk, bin_id FROM bins JOIN walks ON bin_id = bins.id"
        assert session.connection().execute(text(seen)).all() == [("A1", 7, 1)]
    newer.close()
    with pytest.raises(WorkshopNewerError, match="written by a newer Kitwright: its schema is 9999") as raised:
        open_workshop(where)
    assert "Update Kitwright" in raised.value.to_do
    backups = list(tmp_path.glob(f"workshop.before-upgrade-from-{CURRENT.head}.*.sqlite3"))
    assert len(backups) == on_file
    for backup in backups:
        kept = open_workshop(backup)
        with kept.read() as session:
            assert [row.code for row in bins.page(session)] == ["A1"]
        kept.close()


LEFT_EMPTY = {
    *("fill_entries.takes_back_id", "job_templates.retired_at", "list_rows.lead_days", "machines.withdrawn_at"),
    *("needs.hardness_shore_a", "needs.withdrawn_at", "order_shares.reorder_item_id", "order_steps.expected_on"),
    *("positions.withdrawn_at", "shop_fluid_classes.withdrawn_by_id", "shop_fluid_rules.withdrawn_by_id"),
    *(
        "own_grooves.withdrawn_by_id",
        "own_ports.withdrawn_by_id",
        "own_sizes.withdrawn_by_id",
        "suppliers.withdrawn_at",
    ),
}


def test_every_column_is_filled_in_some_row_that_is_seen_to_come_through() -> None:
    """A record kept in a column of its row (a housing, a cure day) is as much a thing of its own as a table was."""
    rows = full.full_rows()
    empty = {
        f"{name}.{column}"
        for name, some in rows.items()
        for column in some[0]
        if all(row[column] is None for row in some)
    }
    assert empty == LEFT_EMPTY, "fill the column in tests.models.full"


@pytest.mark.parametrize("earlier", [*CURRENT.earlier, CURRENT.head])
@pytest.mark.parametrize("database", ["sqlite", "postgresql"])
def test_an_upgrade_from_every_earlier_step_keeps_all_data(
    database: str, earlier: str, next_schema: Schema, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    """Rows in every table that step had, through every step since: none is lost or changed, and work goes on."""
    place = str(tmp_path / "old.sqlite3") if database == "sqlite" else request.getfixturevalue("empty_postgres")
    before = full.make_earlier(place, earlier)
    empty = [name for name, rows in before.items() if not rows]
    assert empty == [], "fill these tables in tests.models.full, so that their rows are seen to come through"
    assert len(before["movements"]) > 100
    opened = open_workshop(place, schema=next_schema)
    with opened.read() as session:
        after = full.plain(full.everything(session.connection(), before))
        for name, rows in full.plain(before).items():
            assert after[name] == rows, name
        assert check(session).findings == ()
        assert "R116" in {hit.number for hit in search(session, "oring as568-116", items=False).rows}
        assert search(session, "taken off", items=False).rows == ()
        shouted = session.connection().execute(text("SELECT shouted FROM list_rows WHERE number = 'OLD'")).scalar_one()
        assert shouted == "TAKEN OFF"
    with opened.write() as session:
        assert ring(session, 1, bin_code="New bin").on_hand == 1
    opened.close()


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


def _open_at_once(places: list[str], together: Barrier) -> None:
    for where in places:
        together.wait()
        open_workshop(where).close()


def _at_once(places: list[str]) -> list[int | None]:
    """Four programs that open each place in the same instant; how they ended."""
    together = FORKS.Barrier(4)
    started = [FORKS.Process(target=_open_at_once, args=(places, together), daemon=True) for _ in range(4)]
    for one in started:
        one.start()
    for one in started:
        one.join(60)
        if one.exitcode:
            together.abort()
    return [one.exitcode for one in started]


def _is_whole(where: str) -> bool:
    opened = open_workshop(where)
    with opened.read() as session:
        whole = check(session).ok
    opened.close()
    return whole


def test_programs_that_start_at_once_make_one_file(tmp_path: Path) -> None:
    """Two that turned the journal over at once: SQLite refused one without waiting, in 1 of 10 of these places."""
    places = [str(tmp_path / f"{turn}.sqlite3") for turn in range(40)]
    assert _at_once(places) == [0] * 4
    assert _is_whole(places[0])
    assert _is_whole(places[-1])


def test_programs_that_start_at_once_make_one_workshop_on_a_server(empty_postgres: str) -> None:
    assert _at_once([empty_postgres]) == [0] * 4
    assert _is_whole(empty_postgres)
