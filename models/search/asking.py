"""Ask the database in its own words: at every keystroke, a statement costs more to build than to run."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sqlalchemy import Connection
    from sqlmodel import Session

    from models.glance.asking import Look


def _spelled(statement: str, *, postgresql: bool) -> str:
    said = statement.replace("{c}", "" if not postgresql else ' COLLATE "C"')
    return said.replace("{at}", "strpos" if postgresql else "instr")


class Asking:
    """One session's connection. Statements are written with `?`, `{c}` for comparing by code point and `{at}`.

    `{at}(text, piece)` is where a piece stands in a text, from 1; 0 where it does not.
    """

    def __init__(self, session: Session) -> None:
        self.connection: Connection = session.connection()
        self.postgresql = self.connection.dialect.name == "postgresql"

    def rows(self, statement: str, values: Sequence[Any]) -> Sequence[Any]:
        """All rows of the answer."""
        said = _spelled(statement, postgresql=self.postgresql)
        if self.postgresql:
            said = said.replace("?", "%s")
        return self.connection.exec_driver_sql(said, tuple(values)).all()

    def column(self, statement: str, values: Sequence[Any]) -> list[Any]:
        """The first value of every row."""
        return [row[0] for row in self.rows(statement, values)]


class Glancing(Asking):
    """The same through a glance, which has no session. It only reads."""

    def __init__(self, look: Look, *, postgresql: bool) -> None:
        self._look = look
        self.postgresql = postgresql

    def rows(self, statement: str, values: Sequence[Any]) -> Sequence[Any]:
        """All rows of the answer."""
        return self._look(_spelled(statement, postgresql=self.postgresql), *values)
