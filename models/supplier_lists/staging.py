"""Read a supplier's file to the side: every line becomes an entry or a refused line. The database is not touched."""

from __future__ import annotations

from collections.abc import Iterator
from types import TracebackType
from typing import Any

from models.errors import InvalidInputError
from models.supplier_lists.entries import EntryReader, RefusedLine
from models.supplier_lists.layout import Layout, checked
from models.supplier_lists.progress import EVERY, Progress, Watch, no_cycles, tell
from models.supplier_lists.scratch import Scratch
from models.supplier_lists.source import Source


class Staged:
    """A file that was read. Close it, or use it in a `with`; it holds a file on the side."""

    def __init__(self, source: Source, scratch: Scratch) -> None:
        self.source = source
        self.scratch = scratch
        self.entries = scratch.count("entries")
        self.refused_count = scratch.count("refused")

    def __enter__(self) -> Staged:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file on the side."""
        self.scratch.close()

    def refused(self) -> Iterator[RefusedLine]:
        """Every line that was refused, with the reason, in the order of the file."""
        return self.scratch.refused()


def stage(source: Source, layout: Layout, currency: str, *, watch: Watch | None = None) -> Staged:
    """Read the file as laid out, for a supplier who prices in `currency`; memory stays the same however long it is.

    Raises `InvalidInputError` for a layout without a part number, `CancelledError` when `watch` says stop.
    """
    layout = checked(layout)
    if len(currency) != 3:
        raise InvalidInputError(f"{currency!r} is no currency.", "Give its three letters, like EUR.")
    scratch = Scratch()
    try:
        with no_cycles():
            count = _fill(scratch, source, layout, currency, watch)
            with scratch.stoppable(watch, lambda: Progress("reading", count, 1.0)):
                scratch.settle()
        return Staged(source, scratch)
    except BaseException:
        scratch.close()
        raise


def _fill(scratch: Scratch, source: Source, layout: Layout, currency: str, watch: Watch | None) -> int:
    """Every line into the scratch file; how many there were."""
    read = EntryReader(layout, currency).read
    entries: list[tuple[Any, ...]] = []
    refused: list[RefusedLine] = []
    count = 0
    part = None
    for line in source.lines():
        if line.number <= layout.header_line or (not any(line.cells) and not line.broken):
            continue
        found = read(line)
        if isinstance(found, RefusedLine):
            refused.append(found)
        else:
            entries.append((line.number, *found))
        count += 1
        if line.read:
            part = min(1.0, line.read / source.size)
        if count % EVERY == 0:
            scratch.add_entries(entries)
            scratch.add_refused(refused)
            entries.clear()
            refused.clear()
            tell(watch, "reading", count, part)
    scratch.add_entries(entries)
    scratch.add_refused(refused)
    tell(watch, "reading", count, 1.0)
    return count
