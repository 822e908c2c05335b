"""Rows of the workshop (stock, an item, a bin): named on the command line, highlighted on a screen."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar

import models
from models import inventory
from tui.fields.amounts import EACH
from tui.fields.field import Asked, Field, FieldError, Look, Option
from tui.fields.words import folded, shown

if TYPE_CHECKING:
    from sqlmodel import Session

    from models.inventory.arrivals import Called
    from models.inventory.bins import BinRow
    from models.inventory.item_names import Told
    from models.inventory.items import ItemRow
    from models.machines import MachineRow, PositionRow
    from models.stock_rows import StockRow

Thing = TypeVar("Thing")

GTIN_LENGTHS = (8, 12, 13, 14)
MOST_ROWS = 500
MOST_BINS = 10_000


def look_of(asked: Asked) -> Look:
    """The workshop to look into. A field that needs one is only asked where there is one."""
    assert asked.look is not None
    return asked.look


def one_named(name: str, known: Iterable[tuple[str, Thing]], what: str, none: str, option: str = "") -> Thing:
    """The one thing of that name. Near names are offered, never taken; `none` is said where there is nothing at all."""
    pairs = list(known)
    for called, thing in pairs:
        if folded(called) == folded(name):
            return thing
    raise FieldError(f"there is no {what} {shown(name)}{_instead(name, pairs, none)}", option)


def _instead(name: str, pairs: list[tuple[str, Thing]], none: str) -> str:
    near = models.alike.nearest(name, (called for called, _ in pairs), 0.6)
    if near:
        return f"; did you mean {shown(near)}?"
    # Another size is no hint: it would be taken for the one that was meant.
    others = [
        called
        for called, _ in pairs
        if models.alike.same_figures(name, called) or not models.alike.is_spelled_like(name, called)
    ]
    return f"; there are: {', '.join(map(shown, others[:10]))}" if others else f". {none}"


def scanned(session: Session, text: str) -> str:
    """The name of the item whose bar code was scanned in place of it; the text itself where it is no known code."""
    digits = text.strip()
    if not (digits.isascii() and digits.isdigit() and len(digits) in GTIN_LENGTHS):
        return text
    try:
        return inventory.bar_codes.look(session, digits).item_name or text
    except models.errors.InvalidInputError:
        return text


@dataclass(frozen=True)
class Stock(Field["StockRow"]):
    """One row of stock: an item, in a bin, of a lot. On a screen it is the highlighted one."""

    ROW: ClassVar[str] = "stock"

    bin_needed: bool = False

    def options(self) -> tuple[Option, ...]:
        """The item's place, and the bin and lot that tell rows of one item apart."""
        in_bin = "the bin's code" if self.bin_needed else "the bin's code, where it lies in several"
        return (
            Option("item", "item", "ITEM", "the item's name", required=True),
            Option("bin", "--bin", "CODE", in_bin, required=self.bin_needed),
            Option("lot", "--lot", "CODE", "which lot, where the bin holds several"),
        )

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> StockRow:
        """The one row that item, bin and lot name. Raises `FieldError`."""
        look, bin_code, lot = look_of(asked), words.get("bin"), words.get("lot")
        item = look(lambda session: scanned(session, words.get("item") or ""))
        found = [
            row
            for row in look(lambda session: models.shelf.stock_rows(session, item, limit=MOST_ROWS)).rows
            if folded(row.item_name) == folded(item)
            and (bin_code is None or folded(row.bin_code) == folded(bin_code))
            and (lot is None or folded(row.lot_code) == folded(lot))
        ]
        there = [row for row in found if row.on_hand]
        if len(found) == 1 or (len(there) == 1 and lot is None):
            return found[0] if len(found) == 1 else there[0]
        if found:
            raise _several(item, found)
        where = f"bin {shown(bin_code)}" if bin_code is not None else "the shelf"
        what = f"no lot {shown(lot)} of {shown(item)}" if lot is not None else f"no {shown(item)}"
        raise FieldError(
            f"{where} holds {what}; look with: kitwright shelf list, or book it in with: kitwright shelf receive", "-"
        )

    def arguments(self, value: StockRow) -> dict[str, Any]:
        """The rule takes the row's number."""
        return {f"{self.name}_id": value.stock_id}


def _several(item: str, found: list[StockRow]) -> FieldError:
    bins = sorted({row.bin_code for row in found})
    if len(bins) > 1:
        told = f"{shown(item)} lies in several bins; say which with --bin: {', '.join(map(shown, bins))}"
    else:
        lots = ", ".join(shown(row.lot_code) for row in found)
        told = f"the bin holds several lots of that item; say which with --lot: {lots}"
    return FieldError(told, "-")


class Bin(Field["BinRow"]):
    """A bin that is there, by its code. Near codes are offered, never taken."""

    METAVAR: ClassVar[str] = "CODE"
    LOOKS: ClassVar[bool] = True

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "the bin's code, as Box 1"

    def read(self, text: str, asked: Asked) -> BinRow:
        """The bin. Raises `FieldError`."""
        known = look_of(asked)(
            lambda session: [(row.code, row) for row in inventory.bins.page(session, limit=MOST_BINS)]
        )
        return one_named(text, known, "bin", "There is no bin yet; add one with: kitwright bin add")

    def from_scan(self, bin_code: str, gtin: str) -> str:
        """A bin's label."""
        return bin_code

    def arguments(self, value: BinRow) -> dict[str, Any]:
        """The rule takes the bin's number."""
        return {"bin_id": value.bin_id}


@dataclass(frozen=True)
class Bins(Field["tuple[BinRow, ...] | None"]):
    """Bins that are there, each named by itself; none named means all."""

    METAVAR: ClassVar[str] = "CODE"
    LOOKS: ClassVar[bool] = True

    must: bool = False

    def options(self) -> tuple[Option, ...]:
        """One option, as often as it is needed."""
        return (Option(self.name, self.flag, self.METAVAR, self.help, takes="many"),)

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> tuple[BinRow, ...] | None:
        """The bins. Raises `FieldError`."""
        told = words.get(self.name)
        one = Bin(self.name, self.label)
        return None if told is None else tuple(one.from_text(code, asked) for code in told.split("\n"))

    def arguments(self, value: tuple[BinRow, ...] | None) -> dict[str, Any]:
        """The rule takes the bins' numbers."""
        return {"bin_ids": None if value is None else {row.bin_id for row in value}}


class Item(Field["ItemRow"]):
    """An item by its name or its bar code, given by its place on the command line. A stock row stands for its item."""

    METAVAR: ClassVar[str] = "ITEM"
    ROW: ClassVar[str] = "item"
    LOOKS: ClassVar[bool] = True

    def options(self) -> tuple[Option, ...]:
        """Its place."""
        return (Option(self.name, self.name, self.METAVAR, self.help or "the item's name", self.must),)

    def read(self, text: str, asked: Asked) -> ItemRow:
        """The item. Raises `FieldError`."""
        return look_of(asked)(lambda session: item_named(session, text))

    def arguments(self, value: ItemRow) -> dict[str, Any]:
        """The rule takes the item's number."""
        return {"item_id": value.item_id}


def item_named(session: Session, name: str) -> ItemRow:
    """The item of this name or bar code. Near names are offered, never taken. Raises `FieldError`."""
    name = scanned(session, name)
    same = [(row.name, row) for row in inventory.items.page(session, name, limit=MOST_ROWS).rows]
    for called, row in same:
        if folded(called) == folded(name):
            return row
    near = same or [(row.name, row) for row in inventory.items.page(session, limit=MOST_ROWS).rows]
    return one_named(name, near, "item", "Look with: kitwright item list", "ITEM")


def told_of(values: Mapping[str, Any]) -> Told:
    """What the fields of a delivery say of a new item beside its name."""
    counted = {"pieces": EACH, "volume": "ul"}.get(values.get("counted") or "", "")
    size, kind, rubber, spec = (values.get(name) or "" for name in ("size", "kind", "rubber", "class"))
    return inventory.item_names.Told(kind, size, rubber, spec, "", counted)


class ItemToCome(Field["Called"]):
    """An item by its name or its bar code; one that is not there is made with the delivery, and that is said."""

    METAVAR: ClassVar[str] = "ITEM"
    LOOKS: ClassVar[bool] = True

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "its name, as: UTTO oil, pail 20 L"

    def read(self, text: str, asked: Asked) -> Called:
        """The item as it is, or as it would be made by its name and what the fields before say of it."""
        told = told_of(asked.values)
        return look_of(asked)(lambda session: inventory.arrivals.item_called(session, scanned(session, text), told))

    def echo(self, value: Called, asked: Asked) -> str:
        """What would be made."""
        return value.news

    def arguments(self, value: Called) -> dict[str, Any]:
        """The rule takes its name."""
        return {"item_name": value.name}


class BinToCome(Field["Called"]):
    """A bin by its code; one that is not there is made with the delivery, and that is said."""

    METAVAR: ClassVar[str] = "CODE"
    LOOKS: ClassVar[bool] = True

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "the code on the bin"

    def read(self, text: str, asked: Asked) -> Called:
        """The bin as it is, or as it would be made."""
        return look_of(asked)(lambda session: inventory.arrivals.bin_called(session, text))

    def echo(self, value: Called, asked: Asked) -> str:
        """What would be made."""
        return value.news

    def from_scan(self, bin_code: str, gtin: str) -> str:
        """A bin's label."""
        return bin_code

    def arguments(self, value: Called) -> dict[str, Any]:
        """The rule takes its code."""
        return {"bin_code": value.name}


class Machine(Field["MachineRow"]):
    """A machine that is there, by its name. Near names are offered, never taken."""

    METAVAR: ClassVar[str] = "MACHINE"
    ROW: ClassVar[str] = "machine"
    LOOKS: ClassVar[bool] = True

    def read(self, text: str, asked: Asked) -> MachineRow:
        """The machine. Raises `FieldError`."""
        known = look_of(asked)(lambda session: [(row.name, row) for row in models.machines.listed(session)])
        return one_named(text, known, "machine", "There is no machine yet; add one with: kitwright machine add")

    def arguments(self, value: MachineRow) -> dict[str, Any]:
        """The rule takes the machine's number."""
        return {"machine_id": value.machine_id}


@dataclass(frozen=True)
class PositionOf(Field["PositionRow"]):
    """A position of the machine that the field `of`, before it, names."""

    METAVAR: ClassVar[str] = "POSITION"
    LOOKS: ClassVar[bool] = True

    of: str = "machine"

    def places(self, asked: Asked) -> tuple[PositionRow, ...]:
        """Every position of that machine."""
        machine: MachineRow = asked.values[self.of]
        return look_of(asked)(lambda session: models.machines.positions(session, machine.machine_id))


class AnyPosition(PositionOf):
    """A position, whatever it takes."""

    def read(self, text: str, asked: Asked) -> PositionRow:
        """The position. Raises `FieldError`."""
        known = [(row.name, row) for row in self.places(asked)]
        return one_named(text, known, "position", "Add one with: kitwright machine position")

    def arguments(self, value: PositionRow) -> dict[str, Any]:
        """The rule takes the position's number."""
        return {"position_id": value.position_id}


class FilterPosition(PositionOf):
    """A position that takes a filter."""

    def read(self, text: str, asked: Asked) -> PositionRow:
        """The position. Raises `FieldError`."""
        known = [(row.name, row) for row in self.places(asked) if row.takes == "filter"]
        none = "It has no filter position; add one with: kitwright machine position"
        return one_named(text, known, "filter position", none)

    def arguments(self, value: PositionRow) -> dict[str, Any]:
        """The rule takes the position's number."""
        return {"position_id": value.position_id}


class RingPosition(PositionOf):
    """A position that takes a ring."""

    def read(self, text: str, asked: Asked) -> PositionRow:
        """The position. Raises `FieldError`."""
        places = self.places(asked)
        other = next((row for row in places if folded(row.name) == folded(text) and row.takes != "ring"), None)
        known = [(row.name, row) for row in places if row.takes == "ring"]
        if other is not None and not any(folded(name) == folded(text) for name, _ in known):
            raise FieldError(f"{shown(other.name)} takes a {other.takes}; only a ring is noted as fitted")
        none = "Add one with: kitwright machine position"
        return one_named(text, known, "position that takes a ring", none)
