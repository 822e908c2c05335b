"""A supplier's file, part by part: every line an entry or a refusal. No database: it can run beside the writing."""

from __future__ import annotations

import marshal
from collections.abc import Iterator
from typing import NamedTuple

from models.supplier_lists.entries import Entry, EntryReader, RefusedLine
from models.supplier_lists.layout import Layout
from models.supplier_lists.progress import EVERY
from models.supplier_lists.source import Source

Kept = tuple[int, str, str, bytes]
"""An entry as the file on the side keeps it: its line, its number, its name, and the rest of its fields in one."""


class Reading(NamedTuple):
    """What to read, and how."""

    source: Source
    layout: Layout
    currency: str


class Part(NamedTuple):
    """Some lines, read. `read`: bytes of the file up to here (0: not looked); `lines`: how many these are."""

    entries: list[Kept]
    refused: list[RefusedLine]
    read: int

    @property
    def lines(self) -> int:
        """How many lines there were."""
        return len(self.entries) + len(self.refused)


def parts(reading: Reading) -> Iterator[Part]:
    """Every line after the header that holds something."""
    source, layout, currency = reading
    read = EntryReader(layout, currency).read
    entries: list[Kept] = []
    refused: list[RefusedLine] = []
    so_far = 0
    for line in source.lines():
        if line.number <= layout.header_line or (not any(line.cells) and not line.broken):
            continue
        found = read(line)
        if isinstance(found, RefusedLine):
            refused.append(found)
        else:
            entries.append((line.number, found.number, found.name, packed(found)))
        so_far = line.read or so_far
        if len(entries) + len(refused) == EVERY:
            yield Part(entries, refused, so_far)
            entries, refused = [], []
    yield Part(entries, refused, source.size)


def packed(entry: Entry) -> bytes:
    """All fields after the name in one: so they are written and read in a third of the time."""
    _number, _name, quantity, unit, *others = entry
    return marshal.dumps((quantity, unit.value, *others))


def unpacked(number: str, name: str, rest: bytes) -> Entry:
    """The entry again."""
    return Entry(number, name, *marshal.loads(rest))
