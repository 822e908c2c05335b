"""Statements are compiled once a run, not once for every workshop a test opens: that was a third of a test's time.

SQLAlchemy keeps them by engine. All engines of one database here are alike, so they share what they keep.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from typing import Any

from sqlalchemy import Engine, event
from sqlmodel import Session


class _Shared(dict[Any, Any]):
    """Keyed as SQLAlchemy keys it, with the database's name in the place of the engine's own dialect object."""

    def _key(self, key: tuple[Any, ...]) -> tuple[Any, ...]:
        return (key[0].name, *key[1:])

    def get(self, key: Any, default: Any = None) -> Any:
        return super().get(self._key(key), default)

    def __getitem__(self, key: Any) -> Any:
        return super().__getitem__(self._key(key))

    def __setitem__(self, key: Any, value: Any) -> None:
        super().__setitem__(self._key(key), value)

    def __contains__(self, key: object) -> bool:
        assert isinstance(key, tuple)
        return super().__contains__(self._key(key))


_KEPT = _Shared()


def _sharing(make: Callable[..., Engine]) -> Callable[..., Engine]:
    def made(*given: Any) -> Engine:
        engine = make(*given)
        engine._compiled_cache = _KEPT
        return engine

    return made


@cache
def share() -> None:
    """From now on every workshop's engine shares its compiled statements with the others."""
    from models.storage import postgresql, sqlite

    sqlite.engine = _sharing(sqlite.engine)
    postgresql.engine = _sharing(postgresql.engine)


@contextmanager
def counted(session: Session) -> Iterator[list[str]]:
    """The statements that a unit sends, as it sends them."""
    sent: list[str] = []

    def note(_connection: object, _cursor: object, statement: str, *_rest: object) -> None:
        sent.append(statement)

    connection = session.connection()
    event.listen(connection, "before_cursor_execute", note)
    try:
        yield sent
    finally:
        event.remove(connection, "before_cursor_execute", note)
