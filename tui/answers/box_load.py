"""A box loaded from a list: what each row was taken for, and what was made new with it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from tui.answers.answer import Answer, said
from tui.commands.output import table

if TYPE_CHECKING:
    from models.inventory.box_load import BoxLook

MOST_BAD = 8
"""Bad rows that a refusal tells of in full."""


@dataclass(frozen=True)
class BoxRow:
    """One row of the list by its line: the item, whether it was (or would be) made new, and how many pieces."""

    line: int
    item: str
    size: str | None
    new: bool
    quantity: int


@dataclass(frozen=True)
class BadRow:
    """A row that can't be booked as it stands, by its line, and why not."""

    line: int
    text: str
    why: str


@dataclass(frozen=True)
class BoxLoaded(Answer):
    """What a list says that lies in a box. `booked`: whether it was booked in, or only looked at.

    A row with a quantity of 0 says that none lies there, and books nothing. `bad`: what can't be booked.
    """

    SCHEMA: ClassVar[str] = "kitwright.box-loaded/2"

    bin: str
    booked: bool
    pieces: int
    rows: tuple[BoxRow, ...]
    bad: tuple[BadRow, ...]
    only_look: bool = said(False)
    only_rubber: bool = said(False)
    """Whether all that the bad rows lack is their rubber."""

    @property
    def refused(self) -> bool:
        """Whether nothing was booked, for some rows can't be and nobody said to book the others."""
        return bool(self.bad) and not self.booked and not self.only_look

    @property
    def answered_in(self) -> str:
        """Where the rubber is said that the bad rows lack, or the good rows alone are asked for."""
        if self.only_rubber:
            return "rubber"
        return "good" if self.rows else "rows"

    @property
    def found(self) -> bool:
        """Whether every row could be booked."""
        return not self.bad

    def words(self) -> list[str]:
        """What was or would be booked and what can't be, then each row."""
        booked = [one for one in self.rows if one.quantity]
        new = sum(one.new for one in booked)
        done = "Booked" if self.booked else "Nothing is written yet. It would book"
        made = f"; {new} item{'s are' if new != 1 else ' is'} new" if new else ""
        rows, pieces = len(booked), self.pieces
        first = f"{done} {rows} row{'s' * (rows != 1)}, {pieces:,} piece{'s' * (pieces != 1)}, into {self.bin}{made}."
        bad = [f"Line {one.line}, “{one.text}”: {one.why.rstrip('.')}." for one in self.bad]
        if self.refused:
            many = f"{len(bad)} line{'s' * (len(bad) != 1)} can't be booked"
            others = f" The other {rows} can: --good books them alone." if rows else ""
            told = f"{' '.join(bad[:MOST_BAD])}{' …' if len(bad) > MOST_BAD else ''}"
            if self.only_rubber:
                lack = f"{len(bad)} line{' names' if len(bad) == 1 else 's name'} no rubber, so nothing is booked."
                first = f"{lack} Say it for all of them by --rubber, as NBR 70.{others} {told}"
            else:
                first = f"{many}, so nothing is.{others} {told}"
        cells = [
            (str(one.line), str(one.quantity), one.item, "empty" if not one.quantity else "new" if one.new else "")
            for one in self.rows
        ]
        return [first, *([] if self.refused else bad), *table(("line", "qty", "item", ""), cells, right=(0, 1))]


def loaded_of(bin_code: str, looked: BoxLook, *, booked: bool, only_look: bool = False) -> BoxLoaded:
    """A loaded box as answers tell it."""
    rows = tuple(
        BoxRow(one.row.line, one.item_name, one.row.item.size_key, one.item_id is None, one.row.quantity)
        for one in looked.found
    )
    bad = tuple(BadRow(one.line, one.text, one.why) for one in looked.bad)
    rubber = bool(bad) and all(one.lacks == "rubber" for one in looked.bad)
    return BoxLoaded(bin_code, booked, sum(one.quantity for one in rows), rows, bad, only_look, rubber)
