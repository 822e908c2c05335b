"""What the stores are kept by: a count round's sheet and what came of it, reorder points, assortment boxes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Literal

import models
from tui.answers.answer import Answer, said
from tui.answers.stock import Stock
from tui.commands.output import table

if TYPE_CHECKING:
    from models.inventory.assortments import Box as BoxOfRows
    from models.inventory.reorder_rules import RuleRow

SHOWN = 200


@dataclass(frozen=True)
class Stop:
    """A bin of a count round, and what should lie in it."""

    bin: str
    stock: tuple[Stock, ...]


@dataclass(frozen=True)
class RoundSheet(Answer):
    """The sheet of a count round, in walking order. `csv`: it for a spreadsheet; `written`: the file it is in."""

    SCHEMA: ClassVar[str] = "kitwright.round/2"

    stops: tuple[Stop, ...]
    csv: str = said()
    written: str = said()

    @property
    def sheet(self) -> list[str]:
        """The sheet to print, line by line."""
        if self.csv:
            return self.csv.splitlines()
        if not self.stops:
            return ["Nothing lies there to be counted."]
        lines = []
        for stop in self.stops:
            lines.append(f"Bin {stop.bin}")
            for one in stop.stock:
                lot = f", lot {one.lot}" if one.lot else ""
                lines.append(f"    ______  {one.item}{lot} (on record {one.amount(one.on_hand)})")
        return lines

    def words(self) -> list[str]:
        """The sheet, unless it is in a file."""
        return [] if self.written else self.sheet

    def aside(self) -> list[str]:
        """Where the file is."""
        return [f"Wrote {self.written}"] if self.written else []

    @property
    def found(self) -> bool:
        """Whether anything lies there."""
        return bool(self.stops)


@dataclass(frozen=True)
class Gap:
    """A row whose count differs from what was on record before, which `stock` tells."""

    stock: Stock
    counted: int
    difference: int

    @property
    def words(self) -> str:
        """Both figures."""
        one, sign = self.stock, "+" if self.difference > 0 else "−"
        return (
            f"{one.item} in bin {one.bin}: {one.amount(self.counted)} counted, {one.amount(one.on_hand)} on record "
            f"({sign}{one.amount(abs(self.difference))})"
        )


@dataclass(frozen=True)
class SheetLine:
    """What is wrong with a line of a sheet that was filled in."""

    line: int
    what: str


@dataclass(frozen=True)
class RoundCounted(Answer):
    """A filled-in sheet against the record. `moved`: what moved since it was printed, and is not booked.

    `bad_lines`: what can't be taken; where there is one, nothing is booked.
    """

    SCHEMA: ClassVar[str] = "kitwright.counted/2"

    booked: bool
    counted: int
    blank: int
    gaps: tuple[Gap, ...]
    moved: tuple[SheetLine, ...]
    bad_lines: tuple[SheetLine, ...]

    def words(self) -> list[str]:
        """How many agree, each that differs, what to count again, whether it is booked."""
        agree, more = self.counted - len(self.gaps), len(self.gaps) - SHOWN
        lines = [f"{self.counted} counted: {agree} agree, {len(self.gaps)} differ; {self.blank} left blank."]
        lines += [f"    {gap.words}" for gap in self.gaps[:SHOWN]]
        lines += [f"    and {more} more; --json lists all of them"] if more > 0 else []
        lines += [f"    line {one.line}: {one.what}: count it again" for one in self.moved]
        if self.booked:
            return [*lines, "Booked."]
        if self.bad_lines:
            return lines
        return [*lines, "Nothing was booked yet; to book it add --book." if self.counted else "Nothing to book."]

    def aside(self) -> list[str]:
        """The lines that can't be taken."""
        if not self.bad_lines:
            return []
        wrong = [f"line {one.line}: {one.what}" for one in self.bad_lines]
        return [*wrong, "Nothing was booked: put the lines above right first."]

    @property
    def refused(self) -> bool:
        """Whether a line can't be taken."""
        return bool(self.bad_lines)

    @property
    def found(self) -> bool:
        """Whether all that was counted stands as it was when the sheet was printed."""
        return bool(self.counted) and not self.moved


@dataclass(frozen=True)
class ReorderPoint:
    """When to order more of an item, and whether it is time. Quantities in what it is counted in."""

    item: str
    counted_in: Literal["each", "ul"]
    order_at: int
    up_to: int
    lead_days: int | None
    free: int
    due: bool
    to_order: int
    reason: str

    @property
    def words(self) -> str:
        """What to order, and why."""
        return f"{self.item}: {f'order {_amount(self, self.to_order)}' if self.due else 'enough'}. {self.reason}"


def _amount(one: ReorderPoint | ReorderProposal, quantity: int) -> str:
    return models.volume.in_words(quantity, models.words.Unit(one.counted_in))


def point_of(rule: RuleRow) -> ReorderPoint:
    """A rule as answers tell it."""
    return ReorderPoint(
        item=rule.item_name,
        counted_in=rule.counted_in.value,
        order_at=rule.order_at,
        up_to=rule.up_to,
        lead_days=rule.lead_days,
        free=rule.free,
        due=rule.due,
        to_order=rule.to_order,
        reason=rule.reason,
    )


@dataclass(frozen=True)
class ReorderPoints(Answer):
    """Reorder points. `otherwise`: said where there is none; `done`: whether that is what was asked for."""

    SCHEMA: ClassVar[str] = "kitwright.reorder/2"

    rules: tuple[ReorderPoint, ...]
    otherwise: str = said()
    done: bool = said(False)

    def words(self) -> list[str]:
        """A line a rule."""
        return [rule.words for rule in self.rules] or [self.otherwise]

    @property
    def found(self) -> bool:
        """Whether there is one, or what was asked for is done."""
        return bool(self.rules) or self.done


@dataclass(frozen=True)
class ReorderProposal(Answer):
    """The reorder point that an item's use and a lead time call for."""

    SCHEMA: ClassVar[str] = "kitwright.reorder-proposal/2"

    item: str
    counted_in: Literal["each", "ul"]
    order_at: int
    reason: str

    def words(self) -> list[str]:
        """The point and how it was worked out."""
        return [f"{self.item}: order more at {_amount(self, self.order_at)}.", self.reason]

    @property
    def found(self) -> bool:
        """Whether there is anything to keep."""
        return bool(self.order_at)


@dataclass(frozen=True)
class BoxSize:
    """One item of a box in pieces. What lies in it beyond what a full one holds has `full` 0."""

    item: str
    size: str | None
    full: int
    on_hand: int
    free: int
    missing: int


@dataclass(frozen=True)
class Box:
    """An assortment box: what a full one holds, size by size, and how many pieces are missing."""

    bin: str
    note: str | None
    missing: int
    sizes: tuple[BoxSize, ...]


def box_of(box: BoxOfRows) -> Box:
    """A box as answers tell it."""
    sizes = tuple(
        BoxSize(row.item_name, row.size_key, row.full, row.on_hand, row.free, row.missing) for row in box.rows
    )
    return Box(box.code, box.note or None, sum(row.missing for row in box.missing), sizes)


@dataclass(frozen=True)
class Boxes(Answer):
    """Assortment boxes in walking order. `everything`: whether what is all there is told, too; `done`: it was set."""

    SCHEMA: ClassVar[str] = "kitwright.boxes/2"

    boxes: tuple[Box, ...]
    everything: bool = said(False)
    done: bool = said(False)

    def words(self) -> list[str]:
        """Each box, and a table of what it lacks."""
        lines = [line for box in self.boxes for line in self._lines(box)]
        return lines or ["No bin is an assortment box yet."]

    def _lines(self, box: Box) -> list[str]:
        lacks = [one for one in box.sizes if one.missing]
        told = f"{box.missing} missing, of {len(lacks)} sizes" if lacks else "nothing is missing"
        cells = [
            (f"  {one.item}", str(one.missing or ""), str(one.on_hand), str(one.full or ""))
            for one in (box.sizes if self.everything else lacks)
        ]
        rows = table(("  item", "missing", "there", "full"), cells, right=(1, 2, 3)) if cells else []
        return [f"{box.bin}{f' ({box.note})' if box.note else ''}: {told}", *rows]

    @property
    def found(self) -> bool:
        """Whether there is a box and none lacks anything, or what was asked for is done."""
        return self.done or (bool(self.boxes) and not any(box.missing for box in self.boxes))
