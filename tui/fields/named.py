"""What has a name of the shop's own (an item, a bin, a machine, a supplier), named by it in a form and a command."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar, NamedTuple

from models import upkeep
from tui.fields.field import Asked, Field
from tui.fields.rows import look_of, one_named


class NamedRow(NamedTuple):
    """The row's number and its name as it is on record."""

    row_id: int
    name: str


@dataclass(frozen=True)
class NameOf(Field[NamedRow]):
    """One that is there, by its name. Near names are offered, never taken. `retired`: also what is offered no more."""

    LOOKS: ClassVar[bool] = True

    what: str = "item"
    retired: bool = False

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "the bin's code" if self.what == "bin" else f"the {self.what}'s name"

    def read(self, text: str, asked: Asked) -> NamedRow:
        """The row. Raises `FieldError`."""
        what = upkeep.named.What(self.what)
        known = look_of(asked)(lambda session: upkeep.named.listed(session, what, retired=self.retired))
        rows = [(name, NamedRow(row_id, name)) for name, row_id in known]
        return one_named(text, rows, self.what, f"There is no {self.what} yet.")

    def from_scan(self, bin_code: str, gtin: str) -> str:
        """A bin's label."""
        return bin_code if self.what == "bin" else ""

    def arguments(self, value: NamedRow) -> dict[str, Any]:
        """The rule takes the row's number."""
        return {self.parameter or "row_id": value.row_id}
