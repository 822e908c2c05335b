"""Readers of outside data under a fuzzer that follows the code's branches, for longer than the suite has time for.

Optional: `pip install atheris`, then `python -m tests.faults.fuzz quantity|scan|sizes|photo -max_total_time=60`. What
it finds goes into the suite as a test. The suite itself tries the same readers by Hypothesis
(`tests/models/test_hostile_files.py`, `tests/catalog`).
"""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Callable
from importlib import import_module
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


def main() -> None:
    """Try the reader that is named, until the time is up or something gets out of it."""
    reader = READERS[sys.argv.pop(1)]
    atheris = import_module("atheris")
    atheris.instrument_all()
    atheris.Setup(sys.argv, reader)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
