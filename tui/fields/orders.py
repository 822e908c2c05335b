"""What a buyer names: an order, a line of it, jobs, a supplier."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import TYPE_CHECKING, Any, ClassVar

from models import orders, supplier_lists
from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.money import Money
from tui.fields.plain import Count, Day, Several, Text
from tui.fields.rows import look_of

if TYPE_CHECKING:
    from models.orders.listing import OrderLineView, OrderView
    from models.supplier_lists.suppliers import SupplierRow


@dataclass(frozen=True)
class Numbers(Several):
    """Whole numbers from 1 up, each told by itself, such as jobs or orders. None of them is None."""

    empty: Any = None
    metavar: str = "N"

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> Any:
        """The numbers. Raises `FieldError`."""
        told = super().from_words(words, asked)
        return None if told is None else tuple(Count(self.name, self.label).from_text(one, asked) for one in told)

    def read(self, text: str, asked: Asked) -> Any:
        """The one number."""
        return (Count(self.name, self.label).read(text, asked),)


@dataclass(frozen=True)
class Order(Field["OrderView"]):
    """An order by its number. On a screen it is the highlighted one."""

    METAVAR: ClassVar[str] = "ORDER"
    ROW: ClassVar[str] = "order"
    LOOKS: ClassVar[bool] = True

    placed: bool = True

    def read(self, text: str, asked: Asked) -> OrderView:
        """The order. Raises `FieldError`, or `NotFoundError` where there is none of that number."""
        number = Count(self.name, self.label).read(text, asked)
        return look_of(asked)(lambda session: orders.listing.get(session, number))

    def arguments(self, value: OrderView) -> dict[str, Any]:
        """The rule takes its number."""
        return {"order_id": value.order_id}


@dataclass(frozen=True)
class OrderLine(Field["OrderLineView | None"]):
    """One line of the order read before it, by its number; none means all that is still to come."""

    METAVAR: ClassVar[str] = "N"
    ROW: ClassVar[str] = "line"
    LOOKS: ClassVar[bool] = True

    must: bool = False
    of: str = "order"

    def read(self, text: str, asked: Asked) -> OrderLineView | None:
        """The line. Raises `FieldError`."""
        order: OrderView = asked.values[self.of]
        number = Count(self.name, self.label).read(text, asked)
        for line in order.lines:
            if line.line_id == number:
                return line
        known = ", ".join(str(line.line_id) for line in order.lines)
        raise FieldError(f"order {order.order_id} has no line {number}; it has: {known}")


@dataclass(frozen=True)
class Packs(Field["int | None"]):
    """How many packs of the line came: from one up to all that are still to come, which an empty one means."""

    METAVAR: ClassVar[str] = "N"

    must: bool = False
    of: str = "line"

    def hint(self, asked: Asked) -> str:
        """How many are still to come."""
        line: OrderLineView | None = asked.values.get(self.of)
        return Count(self.name, self.label, most=max(line.waits, 1)).hint(asked) if line else "a whole number"

    def read(self, text: str, asked: Asked) -> int | None:
        """The number. Raises `FieldError`."""
        line: OrderLineView | None = asked.values.get(self.of)
        if line is not None and text.isascii() and text.isdigit() and len(text) <= 9 and int(text) > line.waits > 0:
            packs = "1 pack is" if line.waits == 1 else f"{line.waits} packs are"
            raise FieldError(
                f"only {packs} still to come of this line; type {line.waits} here, and receive what came beyond it "
                "on the Shelf"
            )
        count = Count(self.name, self.label, most=max(line.waits, 1)) if line else Count(self.name, self.label)
        return count.read(text, asked)


@dataclass(frozen=True)
class HomeBin(Field[str]):
    """The bin of what has none yet, or of the one line; an empty one leaves each item where it is kept."""

    METAVAR: ClassVar[str] = "CODE"

    empty: str = ""

    def _homeless(self, asked: Asked) -> list[str]:
        order: OrderView | None = asked.values.get("order")
        line: OrderLineView | None = asked.values.get("line")
        waiting = [line] if line is not None else [one for one in order.lines if one.waits] if order is not None else []
        return [one.name or one.number for one in waiting if not one.bins]

    def options(self) -> tuple[Option, ...]:
        """The bin, where one is needed."""
        return (Option(self.name, self.flag, self.METAVAR, self.help),)

    def hint(self, asked: Asked) -> str:
        """What to type, and for what."""
        new = self._homeless(asked)
        if new:
            return f"the code on the bin for {new[0]}{f' and {len(new) - 1} more' if len(new) > 1 else ''}"
        return "the code on the bin; empty: where it is kept"

    def read(self, text: str, asked: Asked) -> str:
        """The code; a bin that is new is made."""
        return text

    def from_text(self, text: str, asked: Asked) -> str:
        """The code. Raises `FieldError` for an empty one where something has no bin yet."""
        new = self._homeless(asked)
        if not text.strip() and new:
            raise FieldError(f"{new[0]} has no bin yet; type the code on the bin it goes to")
        return " ".join(text.split())


@dataclass(frozen=True)
class CureDays(Field["Mapping[int, date]"]):
    """The cure days on the bags of what came, by line: a day for the one line, or `LINE=DAY` for those of an order.

    A form asks for each line whose rubber has a shelf life; what stays empty was not said.
    """

    METAVAR: ClassVar[str] = "DAY"

    must: bool = False
    empty: Any = field(default_factory=dict)

    def options(self) -> tuple[Option, ...]:
        """One option, as often as it is needed."""
        return (Option(self.name, self.flag, self.METAVAR, self.help, takes="many"),)

    def _of(self, line: OrderLineView, asked: Asked) -> Day:
        alone = asked.values.get("line") is not None
        label = "Cure day on the bag" if alone else f"Cured: {line.name or line.item_name}"
        return Day(
            f"{self.name}-{line.line_id}", f"{label} (optional)", must=False, what="the day on the bag",
            example="2026-06-30",
        )  # fmt: skip

    def parts(self, asked: Asked) -> tuple[Field[Any], ...]:
        """A day for each line that still comes and is of a rubber with a shelf life."""
        one: OrderLineView | None = asked.values.get("line")
        order: OrderView = asked.values["order"]
        lines = order.lines if one is None else (one,)
        return tuple(self._of(line, asked) for line in lines if line.waits and line.ages)

    def joined(self, values: Mapping[str, Any]) -> Mapping[int, date]:
        """The days that were typed."""
        told = {name: day for name, day in values.items() if name.startswith(f"{self.name}-") and day is not None}
        return {int(name.removeprefix(f"{self.name}-")): day for name, day in told.items()}

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> Mapping[int, date]:
        """The days. Raises `FieldError`."""
        order: OrderView = asked.values["order"]
        line: OrderLineView | None = asked.values.get("line")
        found: dict[int, date] = {}
        for told in (words.get(self.name) or "").split("\n"):
            number, parted, text = told.rpartition("=")
            if not told.strip():
                continue
            if not parted and line is None:
                raise FieldError(f"which line was cured on {told}? Say it as LINE={told}, once for each")
            of = line if not parted else OrderLine("line", "Line").read(number, replace(asked, values={"order": order}))
            day = Day(self.name, self.label).read(text.strip(), asked)
            if of is None or (line is not None and of.line_id != line.line_id):
                raise FieldError(f"only line {line.line_id if line else ''} is received; leave out {told}")
            assert day is not None
            found[of.line_id] = day
        return found


class Supplier(Field["SupplierRow | None"]):
    """A supplier by name, case apart."""

    METAVAR: ClassVar[str] = "NAME"
    LOOKS: ClassVar[bool] = True

    def read(self, text: str, asked: Asked) -> SupplierRow | None:
        """The supplier. Raises `NotFoundError` where there is none of that name."""
        return look_of(asked)(lambda session: supplier_lists.suppliers.named(session, text))

    def arguments(self, value: SupplierRow | None) -> dict[str, Any]:
        """The rule takes its number."""
        return {} if value is None else {"supplier_id": value.supplier_id}


@dataclass(frozen=True)
class SupplierMoney(Money):
    """An amount in the currency that the supplier read before prices in, or the one that is told with it."""

    of: str = "currency"

    def _in(self, asked: Asked) -> Asked:
        supplier: SupplierRow | None = asked.values.get("supplier")
        currency = asked.values.get("currency") or (supplier.currency if supplier is not None else "")
        return replace(asked, values={**asked.values, "currency": currency})

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return super().hint(self._in(asked))

    def read(self, text: str, asked: Asked) -> int | None:
        """Minor units. Raises `FieldError`."""
        return super().read(text, self._in(asked))

    def echo(self, value: int | None, asked: Asked) -> str:
        """The amount with its currency."""
        return super().echo(value, self._in(asked))


class Name(Text):
    """The name of what is new."""

    METAVAR: ClassVar[str] = "NAME"


class PartNumber(Text):
    """A part number as a list has it."""

    METAVAR: ClassVar[str] = "NUMBER"
