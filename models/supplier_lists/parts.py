"""A supplier's file, part by part: every line an entry or a refusal. No database is needed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from models.supplier_lists.entries import Kept, RefusedLine
from models.supplier_lists.layout import Layout
from models.supplier_lists.many_lines import LinesReader
from models.supplier_lists.progress import EVERY
from models.supplier_lists.source import Source


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
    reader = LinesReader(layout, currency)
    for some in source.blocks(EVERY):
        yield Part(*reader.read(some), some.read)
