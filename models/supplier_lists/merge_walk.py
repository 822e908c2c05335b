"""A supplier's file and what the database has, walked side by side in the order of the part numbers."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from models.supplier_lists.entries import Entry
from models.supplier_lists.scratch import ALL_NUMBERS, Run, Scratch


class Step(NamedTuple):
    """A line beside the database's row, if there is one: its id, whether it was withdrawn, the list of its price."""

    line: int
    before: Entry | None
    after: Entry | None
    row_id: int
    was_withdrawn: bool
    priced_list_id: int


def steps(scratch: Scratch, run: Run = ALL_NUMBERS) -> Iterator[Step]:
    """Walk file and database side by side, by part number, all or a run of them. Rows that agree are given too.

    A row whose line was refused is left out: a price that can't be read takes nothing off the list.
    """
    present = scratch.present_in_order(run)
    held = next(present, None)
    for line, entry in scratch.entries_in_order(run):
        while held is not None and held[1].number < entry.number:
            yield from _gone(scratch, held)
            held = next(present, None)
        if held is not None and held[1].number == entry.number:
            row_id, before, was_withdrawn, priced = held
            yield Step(line, before, entry, row_id, was_withdrawn, priced)
            held = next(present, None)
        else:
            yield Step(line, None, entry, 0, False, 0)
    while held is not None:
        yield from _gone(scratch, held)
        held = next(present, None)


def _gone(scratch: Scratch, held: tuple[int, Entry, bool, int]) -> Iterator[Step]:
    row_id, before, was_withdrawn, priced = held
    if not was_withdrawn and not scratch.is_refused(before.number):
        yield Step(0, before, None, row_id, False, priced)
