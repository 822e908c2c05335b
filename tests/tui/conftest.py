"""All apps of these tests share style sheets, parsed once, and a wait that ends when there is nothing to wait for."""

from __future__ import annotations

import pytest

from tests.tui import at_rest, parsed_once


@pytest.fixture(autouse=True, scope="session")
def _quick() -> None:
    parsed_once.share()
    at_rest.share()
