"""Read a supplier's file to the side: every line becomes an entry or a refused line. The database is not touched."""

from __future__ import annotations

from collections.abc import Iterator
from types import TracebackType
from typing import Final

from models.errors import InvalidInputError
from models.supplier_lists.claimed_parts import Claims, in_order
from models.supplier_lists.entries import RefusedLine
from models.supplier_lists.layout import Layout, checked
from models.supplier_lists.maker_process import beside, is_worth_two
from models.supplier_lists.parts import Reading, parts
from models.supplier_lists.progress import Progress, Watch, no_cycles, tell
from models.supplier_lists.scratch import Scratch
from models.supplier_lists.source import Source

A_LINE: Final = 30
"""Bytes of a file, or more, for one line: how many lines there will be is only guessed."""
MOST_AHEAD: Final = 40
"""Parts that we read ourselves and keep until it is their turn, some 30 MB."""


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
            count = _fill(scratch, Reading(source, layout, currency, Claims()), watch)
            with scratch.stoppable(watch, lambda: Progress("reading", count, 1.0)):
                scratch.settle()
        return Staged(source, scratch)
    except BaseException:
        scratch.close()
        raise


def _fill(scratch: Scratch, reading: Reading, watch: Watch | None) -> int:
    """Every line into the scratch file; how many there were."""
    source = reading.source
    lines = source.size // A_LINE
    count = 0
    part: float | None = None

    def here() -> Progress:
        return Progress("reading", count, part)

    # A workbook is all in the finding of its lines, which each of two readers would do for itself.
    two = is_worth_two(lines) and not source.is_workbook
    reading = reading._replace(claims=scratch.claims("reading")) if two else reading
    ours = parts(reading) if two else iter(())
    with source.unchanged(), beside(parts, reading, lines=lines, watch=watch, at=here) as theirs:
        for some in in_order(ours, theirs, most=MOST_AHEAD):
            scratch.add_entries(some.entries)
            scratch.add_refused(some.refused)
            count += some.lines
            if some.read:
                part = min(1.0, max(part or 0.0, some.read / source.size))
            tell(watch, *here())
    part = 1.0
    tell(watch, *here())
    return count
