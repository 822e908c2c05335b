"""What every table shares: named constraints, text enums the database checks, 64-bit quantities."""

# No `from __future__ import annotations` in the table modules: SQLModel reads the annotations while the class is made.

from collections.abc import Callable
from enum import StrEnum
from typing import Any

from sqlalchemy import CheckConstraint, Dialect, Enum, MetaData
from sqlmodel import SQLModel

NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}
"""Names for constraints: a migration can only drop what has a name."""


class Table(SQLModel):
    """The parent of every table. Table rows stay inside `models`: functions give out named tuples."""

    metadata = MetaData(naming_convention=NAMES)


class UnknownWordError(LookupError):
    """A column holds a word that is none of its own."""


class _Members(dict[str | None, Any]):
    def __missing__(self, word: object) -> Any:
        raise UnknownWordError(f"holds “{word}” where one of {', '.join(str(one) for one in self if one)} belongs")


class _Words(Enum):
    """Reads a word by one look into a dictionary: a shelf has tens of thousands. Raises `UnknownWordError`."""

    def result_processor(self, dialect: Dialect, coltype: object) -> Callable[[Any], Any]:
        """From the stored word to its member; None stays None."""
        members = _Members({one.value: one for one in self.enum_class or ()})
        members[None] = None
        return members.__getitem__


def word_type(words: type[StrEnum]) -> Enum:
    """A column type that stores the word itself (SQLModel would store the member's name) and reads it back typed."""
    return _Words(
        words,
        values_callable=lambda members: [member.value for member in members],
        native_enum=False,
        create_constraint=False,
        length=20,
    )


def one_of(column: str, words: type[StrEnum], *, or_null: bool = False) -> CheckConstraint:
    """A check that the column holds one of the words."""
    listed = ", ".join(f"'{word.value}'" for word in words)
    null = f"{column} IS NULL OR " if or_null else ""
    return CheckConstraint(f"{null}{column} IN ({listed})", name=f"{column}_word")


def not_blank(column: str) -> CheckConstraint:
    """A check that a text is not empty."""
    return CheckConstraint(f"length({column}) > 0", name=f"{column}_not_blank")
