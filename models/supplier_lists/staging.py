"""Read a supplier's file: every line becomes an entry or a refused line. The database is not touched."""

from __future__ import annotations

from collections.abc import Iterator
from types import TracebackType

from models.collecting import no_cycles
from models.errors import InvalidInputError
from models.supplier_lists.entries import RefusedLine
from models.supplier_lists.layout import Layout, checked
from models.supplier_lists.parts import parts
from models.supplier_lists.progress import Progress, Watch, now_and_then, tell
from models.supplier_lists.scratch import Scratch
from models.supplier_lists.source import Source


class Staged:
    """A file that was read. Close it, or use it in a `with`."""

    def __init__(self, source: Source, scratch: Scratch) -> None:
        self.source = source
        self.scratch = scratch
        self.entries = scratch.entries
        self.refused_count = scratch.refused_count()

    def __enter__(self) -> Staged:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of what was read."""
        self.scratch.close()

    def refused(self) -> Iterator[RefusedLine]:
        """Every line that was refused, with the reason, in the order of the file."""
        return self.scratch.refused()


def stage(source: Source, layout: Layout, currency: str, *, watch: Watch | None = None) -> Staged:
    """Read the file as laid out, for a supplier who prices in `currency`; memory is bounded however long it is.

    Raises `InvalidInputError` for a layout without a part number, `CancelledError` when `watch` says stop.
    """
    layout = checked(layout)
    if len(currency) != 3:
        raise InvalidInputError(f"{currency!r} is not a currency.", "Give its three letters, like EUR.")
    scratch = Scratch()
    try:
        with no_cycles():
            count = _fill(scratch, source, layout, currency, watch)
            scratch.settle(now_and_then(watch, lambda: Progress("reading", count, 1.0)))
        return Staged(source, scratch)
    except BaseException:
        scratch.close()
        raise


def _fill(scratch: Scratch, source: Source, layout: Layout, currency: str, watch: Watch | None) -> int:
    """Every line into the scratch tables; how many there were."""
    count = 0
    part: float | None = None
    with source.unchanged():
        for some in parts(source, layout, currency):
            scratch.add_entries(some.entries)
            scratch.add_refused(some.refused)
            count += some.lines
            if some.read:
                part = min(1.0, max(part or 0.0, some.read / source.size))
            tell(watch, "reading", count, part)
    tell(watch, "reading", count, 1.0)
    return count
