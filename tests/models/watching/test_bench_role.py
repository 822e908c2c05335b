"""The role that README gives to the benches does all of a shop's work, and can change neither tables nor the log."""

from __future__ import annotations

import re
from pathlib import Path

import psycopg
import pytest
from sqlalchemy import text

from models import jobs, kits, shelf
from models.acts import by
from models.database import open_workshop
from models.errors import WorkshopUnavailableError
from models.inventory import bins
from models.storage.check import check
from models.undoing.undo import undo
from tests.models.shop import act, ring, ring_spec

README = Path(__file__).parents[3] / "README.md"


def grants() -> list[str]:
    """What README has the shop PC's owner of the database say."""
    found = re.findall(r'psql kitwright -c "(GRANT [^"]+)"', README.read_text(encoding="utf-8"))
    assert found
    return [one.strip() for line in found for one in line.split(";")]


def test_a_bench_does_its_work_by_the_role_of_the_readme(empty_postgres: str) -> None:
    open_workshop(empty_postgres).close()
    with psycopg.connect(empty_postgres, autocommit=True) as owner:
        owner.execute("DROP ROLE IF EXISTS bench")
        owner.execute("CREATE ROLE bench LOGIN")
        for one in grants():
            owner.execute(one.encode())
    at_bench = open_workshop(re.sub(r"//[^@]+@", "//bench@", empty_postgres))
    with at_bench.write() as session:
        row = ring(session, 9)
        job = jobs.open_job(session, act(), title="Pump leaks").job_id
        need = kits.accept_match(session, act(), job, ring_spec("as568:214", ["NBR"], pieces=2))
        kits.pick(session, act(), [one.line_id for one in need.lines if one.line_id])
        shelf.use(session, act(key="used"), stock_id=row.stock_id, quantity=1)
    with at_bench.write() as session:
        undo(session, act(), "used")
    with at_bench.read() as session:
        assert shelf.stock_row(session, row.stock_id).on_hand == 7
        assert not check(session).findings
    for sql in (
        "DROP TABLE stock",
        "ALTER TABLE stock ADD COLUMN x int",
        "TRUNCATE movements",
        "CREATE TABLE x (y int)",
    ):
        with pytest.raises(WorkshopUnavailableError), at_bench.write() as session:
            session.connection().execute(text(sql))
    for sql in ("UPDATE actions SET who = 'x'", "DELETE FROM movements"):
        with pytest.raises(WorkshopUnavailableError, match="append-only"), at_bench.write() as session:
            session.connection().execute(text(sql))
    with at_bench.write() as session:
        bins.add(session, by("bench"), code="Z1")
    at_bench.close()
    with psycopg.connect(empty_postgres, autocommit=True) as owner:
        owner.execute("DROP OWNED BY bench")
        owner.execute("DROP ROLE bench")
