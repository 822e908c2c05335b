"""A supplier's file, part by part: every line an entry or a refusal. No database is needed."""

from __future__ import annotations

import marshal
from collections.abc import Callable, Iterator
from itertools import islice
from typing import NamedTuple

from models.supplier_lists.entries import Entry, EntryReader, RefusedLine
from models.supplier_lists.layout import Layout
from models.supplier_lists.line import Line
from models.supplier_lists.progress import EVERY
from models.supplier_lists.source import Source

Kept = tuple[str, int, bytes]
"""An entry as it is kept till it is written: its number, its line, and the rest of its fields in one."""


class Part(NamedTuple):
    """Some lines, read. `read`: bytes of the file up to here (0: not looked); `lines`: how many these are."""

    entries: list[Kept]
    refused: list[RefusedLine]
    read: int

    @property
    def lines(self) -> int:
        """How many lines there were."""
        return len(self.entries) + len(self.refused)


def parts(source: Source, layout: Layout, currency: str) -> Iterator[Part]:
    """Every line after the header that holds something."""
    read = EntryReader(layout, currency).read
    lines = source.lines()
    while some := list(islice(lines, EVERY)):
        yield _part(read, some, layout.header_line)


def _part(read: Callable[[Line], Entry | RefusedLine], lines: list[Line], header_line: int) -> Part:
    entries: list[Kept] = []
    refused: list[RefusedLine] = []
    so_far = 0
    for line in lines:
        if line.number <= header_line or (not any(line.cells) and not line.broken):
            continue
        found = read(line)
        if isinstance(found, RefusedLine):
            refused.append(found)
        else:
            entries.append((found.number, line.number, packed(found)))
        so_far = line.read or so_far
    return Part(entries, refused, so_far)


def packed(entry: Entry) -> bytes:
    """All fields after the number in one: so they are written and read in a third of the time."""
    _number, name, quantity, unit, *others = entry
    return marshal.dumps((name, quantity, unit.value, *others))


def unpacked(number: str, rest: bytes) -> Entry:
    """The entry again."""
    return Entry._make((number, *marshal.loads(rest)))  # half the time of `Entry(…)`
