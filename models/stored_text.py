"""Measured records (a groove, a housing, an element, a need) as text in one column, and back.

They are read and written whole and nothing in SQL looks inside, so they are kept as JSON of the fields that are known.
Numbers come back as they went in: JSON writes a float by the shortest text that reads back the same.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from enum import Enum
from functools import cache
from types import UnionType
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

from models.errors import InvalidInputError
from models.text import TEXT_LENGTH

Record = TypeVar("Record", bound=tuple[Any, ...])


def to_text(record: tuple[Any, ...]) -> str:
    """A named tuple as text; fields at their default are left out. Raises `InvalidInputError` when it is too long."""
    text = json.dumps(_plain(record), ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    if len(text) > TEXT_LENGTH:
        raise InvalidInputError(f"That takes {len(text)} characters to store.", f"Shorten its names to {TEXT_LENGTH}.")
    return text


def from_text(kind: type[Record], text: str) -> Record:
    """The named tuple of that type. Raises ValueError, TypeError or KeyError where the text is not one of its kind."""
    return _built(kind, json.loads(text))  # type: ignore[no-any-return]


def _plain(value: Any) -> Any:
    if hasattr(value, "_asdict"):
        defaults = value._field_defaults
        return {
            name: _plain(one) for name, one in value._asdict().items() if name not in defaults or one != defaults[name]
        }
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, (list, tuple)):
        return [_plain(one) for one in value]
    return value


@cache
def _hints(kind: type[Any]) -> dict[str, Any]:
    return get_type_hints(kind)


def _built(kind: Any, value: Any) -> Any:
    if value is None:
        return None
    if get_origin(kind) in (Union, UnionType):
        (kind,) = (one for one in get_args(kind) if one is not type(None))
    if get_origin(kind) in (tuple, Sequence):
        return tuple(_built(get_args(kind)[0], one) for one in value)
    if isinstance(value, dict):
        hints = _hints(kind)
        return kind(**{name: _built(hints[name], one) for name, one in value.items()})
    return kind(value) if isinstance(kind, type) and issubclass(kind, (Enum, float)) else value
