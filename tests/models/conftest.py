"""Every workshop these tests open shares its compiled statements with the others."""

from __future__ import annotations

from itertools import count

import pytest

_NUMBERS = count(1)


@pytest.fixture(autouse=True, scope="session")
def _statements(shared_statements: None) -> None:
    """For all of them, those that open a workshop of their own too."""


@pytest.fixture(scope="module", params=["sqlite", "postgresql"])
def lasting(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> str:
    """A place with nothing in it on each database, for a module whose tests all look at one workshop."""
    if request.param == "sqlite":
        return str(tmp_path_factory.mktemp("lasting") / "w.sqlite3")
    from tests import postgres

    return postgres.new_database(request.getfixturevalue("postgres_server"), f"lasting_{next(_NUMBERS)}")
