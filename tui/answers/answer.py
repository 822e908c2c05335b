"""What every answer is: frozen, worded once, and its own JSON."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, is_dataclass
from datetime import date, datetime
from enum import Enum
from typing import Any, ClassVar, Final

SAID = "said"
"""The mark of a field that is only for the words, and no part of the JSON."""


def said(text: Any = "") -> Any:
    """A field that only the words need, such as the sentence for an empty list."""
    return field(default=text, metadata={SAID: True})


@dataclass(frozen=True)
class Answer:
    """An answer to a question, or what a change left. A subclass has its fields, its schema's name and its words."""

    SCHEMA: ClassVar[str]

    def words(self) -> list[str]:
        """The answer line by line, the most important first; the first line is what a screen says."""
        raise NotImplementedError

    @property
    def found(self) -> bool:
        """Whether there is something; the exit code goes by it."""
        return True

    @property
    def refused(self) -> bool:
        """Whether what was given could not be taken, so that nothing was done; the exit code goes by it."""
        return False

    @property
    def answered_in(self) -> str:
        """The field that a refused answer is answered in, as with a yes; "" where none is."""
        return ""

    def raw(self) -> bytes:
        """A file that goes to standard output as it is, in place of words; none for most."""
        return b""

    def aside(self) -> list[str]:
        """What a command says beside its answer, on standard error."""
        return []

    def trouble(self) -> list[str]:
        """What could not be taken: a command says it on standard error, also beside JSON."""
        return []

    def go_on(self) -> list[tuple[str, str]]:
        """Commands that go on from here: what for, and the command; its door adds which workshop it is about."""
        return []

    def as_json(self) -> dict[str, Any]:
        """The answer as JSON values, the schema's name first."""
        return {"schema": self.SCHEMA, **plain(self)}

    def json_text(self) -> str:
        """The same written out, where an answer of which there are many writes itself quicker; else nothing."""
        return ""


_AS_IT_IS: Final = frozenset((str, int, float, bool, type(None)))


def plain(value: Any) -> Any:
    """A value as JSON has it: a dataclass is an object, a day is ISO 8601, a word is a word."""
    kind = type(value)
    if kind in _AS_IT_IS:
        return value
    if (told := _told(kind)) is not None:
        return {name: plain(getattr(value, name)) for name in told}
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, datetime):
        return value.isoformat(timespec="seconds")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple | list):
        return [plain(one) for one in value]
    if isinstance(value, dict):
        return {str(key): plain(one) for key, one in value.items()}
    return value


_FIELDS: Final[dict[type, tuple[str, ...] | None]] = {}


def _told(kind: type) -> tuple[str, ...] | None:
    """The fields of a dataclass that are told, found once; None for what is none."""
    if kind not in _FIELDS:
        told = tuple(one.name for one in fields(kind) if not one.metadata.get(SAID)) if is_dataclass(kind) else None
        _FIELDS[kind] = told
    return _FIELDS[kind]
