"""Killed while a workshop is made for the first time, and while an older one is brought up to date."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

from models.storage.upgrade import CURRENT, Schema
from tests.faults.lives import Says, Told, Work, sound
from tests.faults.places import opened
from tests.models.ahead import one_step_ahead
from tests.models.full import Rows, everything, make_earlier, plain
from tests.models.replay import replayed, rows
from tests.models.shop import ring


def open_it(told: str, where: str, schema: Schema = CURRENT) -> None:
    """Open the workshop, whatever it takes."""
    says = Says(told)
    says.tries("opening")
    opened(where, schema).close()
    says.done("opening")


class Opening(Work):
    """The first opening."""

    name = "first opening"

    def prepare(self) -> None:
        self._where = ""

    def next_life(self, life: int) -> tuple[Callable[..., None], tuple[Any, ...], str]:
        self._where = self.places.empty()
        return open_it, (self._where,), self._where

    def judge(self, told: Told) -> None:
        workshop = opened(self._where)
        with workshop.write() as session:
            ring(session, 3)
        sound(workshop)
        workshop.close()
        assert sum(one.on_hand for one in replayed(self._where).values()) == 3
        self.places.forget(self._where)


class Upgrading(Work):
    """An upgrade to the program one step ahead, from each revision before it in turn, with rows in every table."""

    name = "upgrade"

    def prepare(self) -> None:
        self._ahead = one_step_ahead(self.folder / "steps")
        self._patterns: dict[str, tuple[str, Rows]] = {}

    def next_life(self, life: int) -> tuple[Callable[..., None], tuple[Any, ...], str]:
        revision = self._ahead.earlier[life % len(self._ahead.earlier)]
        if revision not in self._patterns:
            where = self.places.empty()
            self._patterns[revision] = (where, make_earlier(where, revision))
        pattern, self._held = self._patterns[revision]
        self._where = self.places.copy(pattern)
        return open_it, (self._where, self._ahead), self._where

    def judge(self, told: Told) -> None:
        workshop = opened(self._where, self._ahead)
        with workshop.read() as session:
            assert plain(everything(session.connection(), self._held)) == plain(self._held)
        sound(workshop)
        workshop.close()
        assert rows(self._where, "SELECT version_num FROM alembic_version") == [(self._ahead.head,)]
        for backup in Path(self._where).parent.glob("*.before-upgrade-*.sqlite3"):
            assert _kept(backup) == len(self._held["movements"]), "a backup was left half made"
        self.places.forget(self._where)


def _kept(backup: Path) -> int:
    file = sqlite3.connect(backup)
    try:
        return int(file.execute("SELECT count(*) FROM movements").fetchone()[0])
    finally:
        file.close()
