"""All apps of these tests share style sheets, parsed once, and a wait that ends when there is nothing to wait for."""

from __future__ import annotations

from typing import Any

import pytest

from tests.tui import at_rest, painted_at_rest, parsed_once
from tests.tui.pictured import Pictured


@pytest.fixture(autouse=True, scope="session")
def _quick() -> None:
    parsed_once.share()
    at_rest.share()
    painted_at_rest.share()


@pytest.fixture
def snap_one_of(snap_compare: Any, request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Pictured:
    """Compare one picture of a run that gives several."""
    return Pictured(snap_compare, request, monkeypatch)
