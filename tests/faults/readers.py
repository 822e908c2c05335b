"""Readers of outside data, each as a function of bytes: whatever gets out of one is a fault."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from typing import Final

from catalog.orings.own_csv import OwnTableError
from catalog.orings.own_table_csv import read_own_tables
from catalog.photo import file
from catalog.photo.refusal import PhotoError
from catalog.quantity import Kind, QuantityError, parse
from models.own_sizes import as_typed
from tui import scanning


def quantity(data: bytes) -> None:
    with contextlib.suppress(QuantityError):
        parse(data.decode("utf-8", "replace"), kind=Kind.LENGTH, bare_unit="mm")


def scan(data: bytes) -> None:
    scanning.read(data.decode("utf-8", "replace"))


def sizes(data: bytes) -> None:
    with contextlib.suppress(OwnTableError):
        read_own_tables(as_typed(data.decode("utf-8", "replace")), series="jis", source="a test")


def photo(data: bytes) -> None:
    with contextlib.suppress(PhotoError):
        file.opened(data)


READERS: Final[dict[str, Callable[[bytes], None]]] = {
    "quantity": quantity,
    "scan": scan,
    "sizes": sizes,
    "photo": photo,
}
