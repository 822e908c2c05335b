"""All apps of these tests share style sheets, parsed once, and a wait that ends when there is nothing to wait for.

What a picture shows cut fails the test that took it (`cut.py`).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from tests.tui import at_rest, cut, painted_at_rest, parsed_once
from tests.tui.pictured import Pictured


@pytest.fixture(autouse=True, scope="session")
def _quick() -> None:
    parsed_once.share()
    at_rest.share()
    painted_at_rest.share()
    cut.share()


@pytest.fixture(autouse=True)
def _nothing_is_cut() -> Iterator[None]:
    cut.FOUND.clear()
    yield
    if cut.FOUND:
        pytest.fail("cut:\n" + "\n".join(dict.fromkeys(cut.FOUND)), pytrace=False)


@pytest.fixture
def snap_one_of(snap_compare: Any, request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Pictured:
    """Compare one picture of a run that gives several."""
    return Pictured(snap_compare, request, monkeypatch)
