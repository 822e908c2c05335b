"""A workshop is new until something was booked, on both databases."""

from __future__ import annotations

from pathlib import Path

from models.database import open_workshop
from models.glance.newness import is_new
from models.inventory import bins
from models.storage.locations import place
from tests.models.shop import act


def test_it_is_new_until_something_is_booked(where: str) -> None:
    assert is_new(place(where, False)) is True
    workshop = open_workshop(where)
    with workshop.write() as session:
        bins.add(session, act(), code="Box 1")
    workshop.close()
    assert is_new(place(where, False)) is False


def test_one_that_is_not_there_is_new_and_one_that_is_none_is_not(tmp_path: Path) -> None:
    assert is_new(tmp_path / "none.sqlite3") is True
    other = tmp_path / "letter.sqlite3"
    other.write_text("no database")
    assert is_new(other) is None
