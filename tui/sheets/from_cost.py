"""What a job's parts cost, turned into the records that its sheet is printed from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.answers.kits import in_words
from tui.sheets.records import Costs, PartPrice

if TYPE_CHECKING:
    from tui.answers.job_cost import JobCost


def costs_of(found: JobCost) -> Costs:
    """The lines and the sums, in words."""
    lines = (PartPrice(in_words(one.quantity, one.counted_in), one.name, one.priced, one.source) for one in found.lines)
    return Costs(tuple(lines), tuple(found.summed))
