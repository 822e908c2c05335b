"""A supplier's file, part by part: every line an entry or a refusal. No database: it can run beside the writing."""

from __future__ import annotations

import marshal
from collections import deque
from collections.abc import Callable, Iterator
from itertools import islice
from typing import NamedTuple

from models.supplier_lists.claimed_parts import Claims, Placed
from models.supplier_lists.entries import Entry, EntryReader, RefusedLine
from models.supplier_lists.layout import Layout
from models.supplier_lists.line import Line
from models.supplier_lists.progress import EVERY
from models.supplier_lists.source import Source

Kept = tuple[int, str, str, bytes]
"""An entry as the file on the side keeps it: its line, its number, its name, and the rest of its fields in one."""


class Reading(NamedTuple):
    """What to read, how, and which parts of it."""

    source: Source
    layout: Layout
    currency: str
    claims: Claims


class Part(NamedTuple):
    """Some lines, read. `read`: bytes of the file up to here (0: not looked); `lines`: how many these are."""

    entries: list[Kept]
    refused: list[RefusedLine]
    read: int

    @property
    def lines(self) -> int:
        """How many lines there were."""
        return len(self.entries) + len(self.refused)


def parts(reading: Reading) -> Iterator[Placed[Part]]:
    """Every line after the header that holds something, in the parts that are claimed here."""
    source, layout, currency, claims = reading
    read = EntryReader(layout, currency).read
    lines = source.lines()
    passed = 0
    while True:
        at = claims.take()
        deque(islice(lines, (at - passed) * EVERY), maxlen=0)  # what another claimed
        some = list(islice(lines, EVERY))
        passed = at + 1
        if not some:
            return
        yield at, _part(read, some, layout.header_line)


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
            entries.append((line.number, found.number, found.name, packed(found)))
        so_far = line.read or so_far
    return Part(entries, refused, so_far)


def packed(entry: Entry) -> bytes:
    """All fields after the name in one: so they are written and read in a third of the time."""
    _number, _name, quantity, unit, *others = entry
    return marshal.dumps((quantity, unit.value, *others))


def unpacked(number: str, name: str, rest: bytes) -> Entry:
    """The entry again."""
    return Entry._make((number, name, *marshal.loads(rest)))  # half the time of `Entry(…)`
