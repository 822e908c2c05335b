"""Every workshop these tests open shares its compiled statements with the others."""

from __future__ import annotations

import pytest


@pytest.fixture(autouse=True, scope="session")
def _statements(shared_statements: None) -> None:
    """For all of them, those that open a workshop of their own too."""
