"""Stock: one row as every answer tells it, what was booked, what lies where, and a row's history."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, ClassVar, Literal

import models
from tui.answers.answer import Answer, said
from tui.commands.output import table

if TYPE_CHECKING:
    from models.shelf import MovementRow
    from models.stock_rows import StockRow


@dataclass(frozen=True)
class Stock:
    """A stock row. Quantities in pieces or, for `counted_in` "ul", in microlitres; `free` is on hand less promised.

    `container` is what a full one holds, `full` how many there are, `opened` what is left in an opened one. `expired`
    says why it is past its day.
    """

    stock: int
    item: str
    kind: Literal["ring", "filter", "fluid", "sealant", "fastener", "consumable"]
    size: str | None
    rubber: str | None
    bin: str
    lot: str | None
    expires_on: date | None
    expired: str | None
    counted_in: Literal["each", "ul"]
    on_hand: int
    promised: int
    free: int
    container: int | None
    full: int | None
    opened: int | None

    def amount(self, quantity: int) -> str:
        """An amount in the words of what it is counted in."""
        return models.volume.in_words(quantity, models.words.Unit(self.counted_in))

    @property
    def containers(self) -> str:
        """Full containers and the rest in an opened one; "" where nobody said what one holds."""
        if not self.container or not self.on_hand:
            return ""
        full = f"{self.full} full" if self.full else ""
        opened = f"one opened with {self.amount(self.opened)}" if self.opened else ""
        return " and ".join(part for part in (full, opened) if part)

    @property
    def standing(self) -> str:
        """How the row stands, in half a sentence: what is on hand and what is free."""
        held = f" ({self.containers})" if self.containers else ""
        free = "all promised" if self.all_promised else f"{self.amount(self.free)} free"
        return f"{self.amount(self.on_hand)} on hand{held}, {free}"

    @property
    def all_promised(self) -> bool:
        """Whether it lies there, and all of it for kits."""
        return 0 < self.on_hand == self.promised

    @property
    def place(self) -> str:
        """The item and where it lies."""
        lot = f", lot {self.lot}" if self.lot else ""
        return f"{self.item} in bin {self.bin}{lot}"

    @property
    def age(self) -> str:
        """Its last day, and whether that is past."""
        if self.expired:
            return f"Expired: {self.expired}. No kit is offered it."
        return "" if self.expires_on is None else f"Use by {self.expires_on}."


def stock_of(row: StockRow, expired: str | None = None) -> Stock:
    """A row of the shelf as answers tell it."""
    return Stock(
        stock=row.stock_id,
        item=row.item_name,
        kind=row.kind.value,
        size=row.size_key,
        rubber=row.rubber or None,
        bin=row.bin_code,
        lot=row.lot_code or None,
        expires_on=row.expires_on,
        expired=expired,
        counted_in=row.counted_in.value,
        on_hand=row.on_hand,
        promised=row.promised,
        free=row.free,
        container=row.container,
        full=row.full if row.container else None,
        opened=row.opened if row.container else None,
    )


@dataclass(frozen=True)
class Booked(Answer):
    """What was done to stock, and how it stands now.

    `done`: what was done, in a word; `amount`: how much, where it was one; `difference`: against what was on record,
    for a count; `new_item`, `new_bin`: what was made with a delivery; `undo`: how to take it back.
    """

    SCHEMA: ClassVar[str] = "kitwright.booked/2"

    done: str
    stock: tuple[Stock, ...]
    amount: int | None = None
    difference: int | None = None
    new_item: str | None = None
    new_bin: str | None = None
    asks: tuple[str, ...] = said(())
    undo: str = said("To take it back: kitwright undo")

    def words(self) -> list[str]:
        """What was done to each row and how it stands; its age; what a new item leaves open; the way back."""
        lines = []
        for one in self.stock:
            how_much = f" {one.amount(self.amount)}:" if self.amount is not None else ""
            sign = "" if self.difference is None else self._signed(one)
            lines.append(f"{self.done}{how_much} {one.place}: {one.standing}{sign}.")
            lines += [one.age] if one.age else []
        lines += [f"New item: {self.new_item}."] if self.new_item else []
        lines += [f"New bin: {self.new_bin}."] if self.new_bin else []
        lines += [*self.asks, "If it is, take it back and say it: --class CLASS."] if self.asks else []
        return [*lines, self.undo] if self.undo else lines

    def _signed(self, one: Stock) -> str:
        assert self.difference is not None
        if self.difference == 0:
            return ", as it was on record"
        sign, more = ("+", "more") if self.difference > 0 else ("−", "fewer" if one.counted_in == "each" else "less")
        return f" ({sign}{one.amount(abs(self.difference))}, {more} than was on record)"


@dataclass(frozen=True)
class StockList(Answer):
    """What lies where: the rows that were asked for, and how many there are in all. `nothing`: said where none is."""

    SCHEMA: ClassVar[str] = "kitwright.stock/2"

    total: int
    stock: tuple[Stock, ...]
    nothing: str = said()

    def words(self) -> list[str]:
        """A table by bin; what is past its day is said."""
        if not self.stock:
            return [self.nothing]
        cells = [
            (
                one.bin,
                one.item,
                *(one.amount(one.on_hand), one.amount(one.promised), one.amount(one.free)),
                one.lot or "",
                "; ".join(filter(None, (_column_age(one), one.containers))),
            )
            for one in self.stock
        ]
        lines = table(("bin", "item", "on hand", "promised", "free", "lot", ""), cells, right=(2, 3, 4))
        more = self.total - len(self.stock)
        return [*lines, f"{len(self.stock)} of {self.total} shown; add a word to narrow it."] if more > 0 else lines

    @property
    def found(self) -> bool:
        """Whether anything lies there."""
        return bool(self.stock)


def _column_age(one: Stock) -> str:
    if one.expired:
        return f"EXPIRED: {one.expired}"
    return "" if one.expires_on is None else f"use by {one.expires_on}"


@dataclass(frozen=True)
class Movement:
    """One entry of the ledger. Changes in what the item is counted in; `reverses`: the entry it takes back."""

    movement: int
    at: datetime
    who: str
    what: str
    on_hand_change: int
    promised_change: int
    reason: str | None
    reverses: int | None


def movement_of(row: MovementRow) -> Movement:
    """An entry of the ledger as answers tell it."""
    return Movement(
        movement=row.movement_id,
        at=row.at,
        who=row.who,
        what=row.kind.value,
        on_hand_change=row.on_hand_change,
        promised_change=row.promised_change,
        reason=row.reason or None,
        reverses=row.reverses,
    )


@dataclass(frozen=True)
class History(Answer):
    """What was booked for one row, newest first."""

    SCHEMA: ClassVar[str] = "kitwright.history/2"

    stock: Stock
    movements: tuple[Movement, ...]

    def words(self) -> list[str]:
        """The row, then a table of its movements."""
        cells = [
            (
                f"{one.at.astimezone():%Y-%m-%d %H:%M}",
                one.who,
                one.what if one.reverses is None else f"undone: {one.what}",
                *(self._signed(one.on_hand_change), self._signed(one.promised_change)),
                one.reason or "",
            )
            for one in self.movements
        ]
        return [self.stock.place, *table(("when", "who", "what", "on hand", "promised", "why"), cells, right=(3, 4))]

    def _signed(self, amount: int) -> str:
        return "" if amount == 0 else f"{'+' if amount > 0 else '−'}{self.stock.amount(abs(amount))}"

    @property
    def found(self) -> bool:
        """Whether anything was booked."""
        return bool(self.movements)
