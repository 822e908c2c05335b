"""Killed while a supplier's list is taken over: the old list or the new one, whole."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from models.search.searching import search
from models.supplier_lists import bulk
from tests.faults.lives import Says, Told, Work, sound
from tests.faults.places import opened
from tests.models.replay import rows
from tests.models.supplier_lists.lists import supplier, take_over, written

ROWS = 1500


def mark(version: int) -> str:
    """A version's mark: letters, always as many. A digit would be found in the rows' numbers too."""
    return "".join(chr(ord("a") + version // 26**at % 26) for at in range(3))


def lines(version: int) -> list[str]:
    """A list in which every row says which version it is from; every second version drops one row and adds one."""
    return [f"N-{at + version % 2:05},Ring version{mark(version)},{version + 1}.00,1" for at in range(ROWS)]


def take(told: str, where: str, life: int, who: int, file: str) -> None:
    """Take the list over, and tell."""
    says = Says(told)
    if life % 2:
        # As a long list goes: on SQLite with its indexes dropped and sorted again.
        bulk.SORT_FROM = 1  # type: ignore[misc]
        bulk.INDEX_EVERY = ROWS // 2  # type: ignore[misc]
    workshop = opened(where)
    says.tries("the list")
    take_over(workshop, who, Path(file), key=f"list {life}")  # every fork counts its own keys from one
    says.done("the list")
    workshop.close()


class Importing(Work):
    """Importing a supplier's list."""

    name = "import a list"

    def prepare(self) -> None:
        self._where = self.places.empty()
        workshop = opened(self._where)
        self._who = supplier(workshop)
        take_over(workshop, self._who, written(self.folder / "list.csv", lines(0)))
        workshop.close()
        self._now = mark(0)

    def next_life(self, life: int) -> tuple[Callable[..., None], tuple[Any, ...], str]:
        self._next = mark(life + 1)
        file = written(self.folder / "list.csv", lines(life + 1))
        return take, (self._where, life, self._who, str(file)), self._where

    def judge(self, told: Told) -> None:
        listed = rows(self._where, "SELECT name, count(*) FROM list_rows WHERE withdrawn_list_id IS NULL GROUP BY name")
        ((name, count),) = listed
        stored = name.removeprefix("Ring version")
        assert count == ROWS
        assert stored in ({self._next} if told.done else {self._now, self._next})
        workshop = opened(self._where)
        with workshop.read() as session:
            found = {one for one in {self._now, self._next} if search(session, f"version{one}", limit=1).rows}
            assert found == {stored}, "the search's index and the rows differ"
        sound(workshop)
        workshop.close()
        self._now = stored
