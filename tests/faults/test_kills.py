"""A few kills in every kind of work on both databases; `python -m tests.faults` does hundreds."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.faults.lives import Work, run
from tests.faults.places import Databases, Files
from tests.faults.works import WORKS

KILLS = 2


@pytest.mark.parametrize("work", WORKS, ids=lambda work: work.name)
@pytest.mark.parametrize("database", ["sqlite", "postgresql"])
def test_nothing_acknowledged_is_lost(
    work: type[Work], database: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    places = Files(tmp_path) if database == "sqlite" else Databases(request.getfixturevalue("postgres_server"))
    done = run(work(places, tmp_path), KILLS, random.Random(work.name))
    assert done.kills == KILLS
