"""A box loaded from a list: what each row was taken for, and what was made new with it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from tui.answers.answer import Answer
from tui.commands.output import table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from models.inventory.box_load import BoxItem


@dataclass(frozen=True)
class BoxRow:
    """One row of the list by its line: the item, whether it was (or would be) made new, and how many pieces."""

    line: int
    item: str
    size: str | None
    new: bool
    quantity: int


@dataclass(frozen=True)
class BoxLoaded(Answer):
    """What a list says that lies in a box. `booked`: whether it was booked in, or only looked at."""

    SCHEMA: ClassVar[str] = "kitwright.box-loaded/2"

    bin: str
    booked: bool
    pieces: int
    rows: tuple[BoxRow, ...]

    def words(self) -> list[str]:
        """What was or would be booked, then each row."""
        new = sum(one.new for one in self.rows)
        done = "Booked" if self.booked else "Nothing is written yet. It would book"
        made = f"; {new} item{'s are' if new != 1 else ' is'} new" if new else ""
        rows, pieces = len(self.rows), self.pieces
        first = f"{done} {rows} row{'s' * (rows != 1)}, {pieces:,} piece{'s' * (pieces != 1)}, into {self.bin}{made}."
        cells = [(str(one.line), str(one.quantity), one.item, "new" if one.new else "") for one in self.rows]
        return [first, *table(("line", "qty", "item", ""), cells, right=(0, 1))]


def loaded_of(bin_code: str, found: Sequence[BoxItem], *, booked: bool) -> BoxLoaded:
    """A loaded box as answers tell it."""
    rows = tuple(
        BoxRow(one.row.line, one.item_name, one.row.item.size_key, one.item_id is None, one.row.quantity)
        for one in found
    )
    return BoxLoaded(bin_code, booked, sum(one.quantity for one in rows), rows)
