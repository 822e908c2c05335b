"""Suppliers and their lists: who there is, what a file's columns hold, what it would change, one row with its prices.

Money is text in whole units of the currency beside it; a pack's quantity is pieces or, for "ul", microlitres.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from shlex import quote
from typing import TYPE_CHECKING, Any, ClassVar, Literal

import catalog
from catalog import orings
from tui.answers.answer import Answer, said
from tui.answers.money import amount, price_words, quantity_words
from tui.commands.output import table

if TYPE_CHECKING:
    from collections.abc import Iterable

    from models.supplier_lists.changes import Change
    from models.supplier_lists.entries import Entry, RefusedLine
    from models.supplier_lists.listing import ListedRow, PriceSpan
    from models.supplier_lists.loading import Loaded
    from models.supplier_lists.proposal import Proposal
    from models.supplier_lists.suppliers import SupplierRow

FieldWord = Literal[
    "number", "name", "price", "price from", "price per", "currency", "pack", "unit", "min packs", "lead days", "gtin",
    "ignore",
]  # fmt: skip
NO_SUPPLIER = 'No supplier yet. Add one with: kitwright list add "NAME" --currency EUR'


def plain(text: str) -> str:
    """Text from a file, without what could steer a terminal."""
    return "".join(letter if letter.isprintable() else "?" for letter in text)


@dataclass(frozen=True)
class Supplier:
    """A supplier, its terms, and how many rows its list has. `free_from`: no freight from this value on.

    `freight` null: nobody said its terms yet. `language`: of an order to it, by its code, null until somebody says it.
    """

    supplier: str
    currency: str
    freight: str | None
    free_from: str | None
    minimum_order: str
    lead_days: int | None
    note: str | None
    listed: int
    language: str | None

    @property
    def terms(self) -> str:
        """What it asks, in words."""
        least = self.minimum_order.strip("0.")
        told = (
            "freight not known" if self.freight is None else f"freight {self.freight} {self.currency}",
            f"free from {self.free_from} {self.currency}" if self.free_from else "",
            f"orders from {self.minimum_order} {self.currency} up" if least else "",
            "" if self.lead_days is None else f"{self.lead_days} {'day' if self.lead_days == 1 else 'days'}",
            f"orders in {catalog.languages.tongue.NAMES[self.language]}" if self.language else "",
        )
        return ", ".join(part for part in told if part)


def supplier_of(row: SupplierRow) -> Supplier:
    """A supplier as answers tell it."""
    return Supplier(
        supplier=row.name,
        currency=row.currency,
        freight=amount(row.freight_minor, row.currency),
        free_from=amount(row.free_from_minor, row.currency),
        minimum_order=amount(row.minimum_order_minor, row.currency) or "",
        lead_days=row.lead_days,
        note=row.note or None,
        listed=row.listed,
        language=row.language or None,
    )


@dataclass(frozen=True)
class Suppliers(Answer):
    """Every supplier, or the one that was added."""

    SCHEMA: ClassVar[str] = "kitwright.suppliers/2"

    suppliers: tuple[Supplier, ...]
    added: str = said()

    def words(self) -> list[str]:
        """A table; what was added."""
        if self.added:
            return [self.added]
        cells = [
            (one.supplier, one.currency, str(one.listed), one.freight or "not known", one.free_from or "",
             one.minimum_order.strip("0.") and one.minimum_order, "" if one.lead_days is None else str(one.lead_days))
            for one in self.suppliers
        ]  # fmt: skip
        heads = ("supplier", "currency", "rows", "freight", "free from", "minimum", "days")
        return table(heads, cells, right=(2, 3, 4, 5, 6)) if cells else [NO_SUPPLIER]

    @property
    def found(self) -> bool:
        """Whether there is any."""
        return bool(self.suppliers)


@dataclass(frozen=True)
class ColumnGuess:
    """What one column of a file is taken for, how sure that is (0 to 1), why, and cells to show beside it."""

    column: int
    header: str
    field: FieldWord
    from_packs: int | None
    confidence: float
    why: str
    examples: tuple[str, ...]


@dataclass(frozen=True)
class Columns(Answer):
    """What a file's columns seem to hold, and its decimal mark. `header_line` 0: it has no headers."""

    SCHEMA: ClassVar[str] = "kitwright.columns/2"

    decimal: Literal[".", ","]
    decimal_confidence: float
    header_line: int
    columns: tuple[ColumnGuess, ...]

    def words(self) -> list[str]:
        """The columns as a table; the decimal mark."""
        cells = [
            (
                str(one.column),
                plain(one.header[:24]),
                one.field + (f" {one.from_packs}" if one.from_packs else ""),
                f"{one.confidence:.0%}" if one.confidence else "",
                plain(one.why),
                plain(" / ".join(example[:20] for example in one.examples[:2])),
            )
            for one in self.columns
        ]
        mark = "point" if self.decimal == "." else "comma"
        grid = table(("no", "header", "holds", "sure", "why", "such as"), cells, right=(0, 3))
        return [*grid, f"Decimals follow a {mark} ({self.decimal_confidence:.0%} sure)."]


def columns_of(proposal: Proposal) -> Columns:
    """What was guessed as answers tell it."""
    return Columns(
        decimal="," if proposal.mark == "," else ".",
        decimal_confidence=proposal.mark_confidence,
        header_line=proposal.header_line,
        columns=tuple(
            ColumnGuess(
                guess.at + 1, guess.header, guess.field.value, guess.from_packs, guess.confidence, guess.why,
                tuple(guess.examples),
            )
            for guess in proposal.guesses
        ),
    )  # fmt: skip


@dataclass(frozen=True)
class ListRow:
    """A row as a list states it. `price` is for `price_per` packs; `breaks`: other prices by their least packs."""

    number: str
    name: str
    pack_quantity: int
    counted_in: Literal["each", "ul"]
    min_packs: int
    price: str | None
    price_per: int
    currency: str
    breaks: str | None
    lead_days: int | None
    gtin: str | None

    @property
    def price_words(self) -> str:
        """The price, in words."""
        return price_words(self.price, self.price_per, self.currency) or "no price"


def _stated(entry: Entry | ListedRow) -> dict[str, Any]:
    return {
        "number": entry.number,
        "name": entry.name,
        "pack_quantity": entry.pack_quantity,
        "counted_in": str(entry.counted_in),
        "min_packs": entry.min_packs,
        "price": amount(entry.price_minor, entry.currency),
        "price_per": entry.price_per,
        "currency": entry.currency,
        "breaks": entry.breaks or None,
        "lead_days": entry.lead_days,
        "gtin": entry.gtin or None,
    }


@dataclass(frozen=True)
class Reading:
    """One thing read in a row's text: what it is about, what was understood, how sure (0 to 1), and why."""

    about: str
    text: str
    confidence: float
    why: str


@dataclass(frozen=True)
class ListChange(Answer):
    """What a file would do to one row of a list, or a line that is refused with the reason.

    `what`: the fields that change. `line` None: not in the file. `readings`: what was read in a new text.
    """

    SCHEMA: ClassVar[str] = "kitwright.list-change/2"

    change: Literal["added", "changed", "withdrawn", "refused"]
    line: int | None
    number: str | None
    before: ListRow | None
    after: ListRow | None
    what: tuple[str, ...]
    reason: str | None
    readings: tuple[Reading, ...]

    def words(self) -> list[str]:
        """The change on one line."""
        where = f"line {self.line}" if self.line else "not in the file"
        read = "".join(f"; {one.about} read as {one.text}, {one.confidence:.0%} sure" for one in self.readings)
        return [f"{self.change:9}  {where:15}  {plain(self.number or '')}  {plain(self.said)}{plain(read)}"]

    @property
    def said(self) -> str:
        """The reason, or what is different."""
        if self.reason:
            return self.reason
        if self.before is None or self.after is None:
            row = self.after or self.before
            return "" if row is None else f"{row.name}  {row.price_words}"
        told = []
        for name in self.what:
            if name == "price":
                told.append(f"{self.before.price_words} → {self.after.price_words}")
            else:
                old, new = (getattr(row, name) or "none" for row in (self.before, self.after))
                told.append(f"{name.replace('_', ' ')} {old} → {new}")
        return ", ".join(told)


def change_of(one: Change) -> ListChange:
    """A change as answers tell it."""
    read = () if one.reading is None else one.reading.readings
    what = ("price" if name in ("price_minor", "price_per") else name for name in one.what)
    return ListChange(
        change=one.does.value,
        line=one.line or None,
        number=one.number or None,
        before=None if one.before is None else ListRow(**_stated(one.before)),
        after=None if one.after is None else ListRow(**_stated(one.after)),
        what=tuple(dict.fromkeys(what)),
        reason=one.reason or None,
        readings=tuple(Reading(*found) for found in read),
    )


@dataclass(frozen=True)
class RefusedRow:
    """A line that was not taken, and why."""

    line: int
    number: str | None
    reason: str


@dataclass(frozen=True)
class ListCompared(Answer):
    """The end of a dry run: how many rows it told, and how many lines it would refuse."""

    SCHEMA: ClassVar[str] = "kitwright.list-compared/2"

    supplier: str
    changes: int
    refused_total: int

    def words(self) -> list[str]:
        """Said only where nothing was."""
        return [] if self.changes else ["No changes."]

    @property
    def found(self) -> bool:
        """Whether every line can be taken."""
        return not self.refused_total


@dataclass(frozen=True)
class ListLoaded(Answer):
    """What a list did. `list_number` None: no changes, and nothing was written. `refused_lines`: the first of them."""

    SCHEMA: ClassVar[str] = "kitwright.list-loaded/2"

    supplier: str
    list_number: int | None
    added: int
    changed: int
    withdrawn: int
    unchanged: int
    refused_total: int
    refused_lines: tuple[RefusedRow, ...]
    no_terms: bool = said(False)

    def go_on(self) -> list[tuple[str, str]]:
        """How the supplier's terms are said, where nobody said them."""
        if not self.no_terms:
            return []
        told = f"Freight, smallest order and days of {self.supplier} are not known; say them with"
        return [(told, f"list terms {quote(self.supplier)} --freight AMOUNT")]

    def words(self) -> list[str]:
        """What it did; the first lines that were refused."""
        lines = [f"{'' if self.list_number else 'No changes: '}{self.did}, {self.refused_total:,} refused."]
        lines += [f"  line {one.line}: {plain(one.reason)}" for one in self.refused_lines]
        more = self.refused_total - len(self.refused_lines)
        return [*lines, *([f"  and {more} more; --dry-run shows all of them."] if more > 0 else [])]

    @property
    def did(self) -> str:
        """How many rows it added, changed and withdrew, and how many it left."""
        told = (("added", self.added), ("changed", self.changed), ("withdrawn", self.withdrawn))
        return ", ".join(f"{count:,} {word}" for word, count in (*told, ("as before", self.unchanged)))

    @property
    def found(self) -> bool:
        """Whether every line was taken."""
        return not self.refused_total


def loaded_of(supplier: str, done: Loaded, refused: Iterable[RefusedLine], no_terms: bool = False) -> ListLoaded:
    """What a list did as answers tell it."""
    lines = tuple(RefusedRow(one.line, one.number or None, one.reason) for one in refused)
    return ListLoaded(
        supplier=supplier,
        list_number=done.list_id,
        added=done.added,
        changed=done.changed,
        withdrawn=done.withdrawn,
        unchanged=done.unchanged,
        refused_total=done.refused,
        refused_lines=lines,
        no_terms=no_terms,
    )


@dataclass(frozen=True)
class ListWritten(Answer):
    """A list written out as CSV: the file and how many rows it has."""

    SCHEMA: ClassVar[str] = "kitwright.list-written/2"

    supplier: str
    file: str
    rows: int

    def words(self) -> list[str]:
        """How many went where."""
        return [f"Wrote {self.rows} rows of {self.supplier} to {self.file}."]

    @property
    def found(self) -> bool:
        """Whether there was any."""
        return bool(self.rows)


@dataclass(frozen=True)
class PriceOnce:
    """What a row cost from one day until another; `until` None: it still does. `price` None: none was given."""

    price: str | None
    price_per: int
    currency: str
    breaks: str | None
    since: datetime
    until: datetime | None


@dataclass(frozen=True)
class TextReading:
    """What was read in a row's text, how sure (0 to 1), and whether a person has said that it is right."""

    state: Literal["none", "read", "confirmed", "refused"]
    confidence: float | None
    size: str | None
    id_mm: float | None
    width_mm: float | None
    rubber: str | None
    hardness_shore_a: int | None
    thread: str | None
    volume_ul: int | None

    def words(self) -> list[str]:
        """What was read, how sure, and what a person said of it."""
        if self.confidence is None:
            return []
        ring = "" if self.id_mm is None else f"ring {self._ring}"
        volume = "" if self.volume_ul is None else f"volume {self.volume_ul / 1_000_000:.3g} L"
        found = [word for word in (ring, self.thread and f"thread {self.thread}", volume) if word]
        who = {"confirmed": "confirmed by a person", "refused": "refused by a person"}
        state = who.get(self.state, "not confirmed: say --right or --wrong")
        return [f"read from its text: {', '.join(found)}; {self.confidence * 100:.0f} % sure, {state}"]

    @property
    def _ring(self) -> str:
        size = orings.sizes.label_of(self.size) if self.size else ""
        measures = f"{self.id_mm or 0:g} × {self.width_mm or 0:g} mm"
        return " ".join(word for word in (size, measures, self.rubber, str(self.hardness_shore_a or "")) if word)


@dataclass(frozen=True)
class RowShown(ListRow, Answer):
    """One row of a list as it stands, what was read from its text, what it costs and did cost, newest first."""

    SCHEMA: ClassVar[str] = "kitwright.list-row/2"

    listed: bool
    reading: TextReading
    prices: tuple[PriceOnce, ...]

    def words(self) -> list[str]:
        """The row, its pack, its reading, its prices."""
        gone = "" if self.listed else "  (no longer listed)"
        lines = [f"{plain(self.number)}  {plain(self.name)}{gone}"]
        lines.append(f"pack of {quantity_words(self.pack_quantity, self.counted_in)}")
        lines += self.reading.words()
        for span in self.prices:
            until = "" if span.until is None else f" until {span.until:%Y-%m-%d}"
            money = price_words(span.price, span.price_per, span.currency) or "no price"
            lines.append(f"{money}  from {span.since:%Y-%m-%d}{until}")
        return lines


def shown_of(row: ListedRow, spans: Iterable[PriceSpan]) -> RowShown:
    """A row with its prices as answers tell it."""
    return RowShown(
        **_stated(row),
        listed=row.withdrawn_list_id is None,
        reading=TextReading(
            state=row.reading_state.value,
            confidence=None if row.reading_ppm is None else row.reading_ppm / 1_000_000,
            size=row.size_key,
            id_mm=None if row.ring_id_100nm is None else row.ring_id_100nm / 10_000,
            width_mm=None if row.ring_width_100nm is None else row.ring_width_100nm / 10_000,
            rubber=row.rubber or None,
            hardness_shore_a=row.hardness_shore_a,
            thread=row.thread or None,
            volume_ul=row.volume_ul,
        ),
        prices=tuple(
            PriceOnce(
                amount(span.price_minor, span.currency), span.price_per, span.currency, span.breaks or None,
                span.since, span.until,
            )
            for span in spans
        ),
    )  # fmt: skip
