"""The shelf as lines for the list, and one stock row's ledger in words."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from textual.content import Content

import catalog
import models
from catalog import orings
from models import inventory, pictures
from tui.answers.stock import stock_of
from tui.keys import key
from tui.screens.measure.result import size_both
from tui.widgets import stock_bars
from tui.widgets.answer_band import Tone, chip
from tui.widgets.cells import clean
from tui.widgets.rows import ANNOTATED, Row
from tui.widgets.stock_bars import Heap, Mark

if TYPE_CHECKING:
    from sqlmodel import Session

    from catalog.orings.sizes import RingSize
    from models.shelf import MovementRow
    from models.stock_rows import StockRow
    from tui.workshop import Workshop

BAR = 10
BARS = 24
"""Cells of the bar in the answer, at most."""
LEDGER_ROWS = 20
PER_LITRE = 1_000_000


class Known(NamedTuple):
    """One stock row's latest movements, its bar codes, why it can't be used any more, the notes on it, its pictures.

    `pictured`: which of item and bin have one; `places`: all rows of its item; `mark`: the item's reorder point;
    `size`: the ring's, None for what is not a ring.
    """

    movements: tuple[MovementRow, ...]
    codes: tuple[str, ...]
    expired: str
    item_note: str = ""
    bin_note: str = ""
    places: tuple[StockRow, ...] = ()
    mark: Mark | None = None
    size: RingSize | None = None
    counted_in: str = "each"
    pictured: tuple[str, ...] = ()

    @property
    def low(self) -> bool:
        """Whether what is free of the item, in all bins, has fallen to its reorder point."""
        return self.mark is not None and sum(one.free for one in self.places) <= self.mark.order_at

    @property
    def heaps(self) -> tuple[Heap, ...]:
        """What lies in each bin; lots of one bin together."""
        return stock_bars.heaps_of((one.bin_code, one.free, one.promised) for one in self.places)


def belonging(workshop: Workshop, row: StockRow) -> Known:
    """What belongs to one row of the shelf. Runs in a thread."""
    on = workshop.today()
    return workshop.read(
        lambda session: Known(
            inventory.history.movements(session, row.stock_id, limit=LEDGER_ROWS),
            inventory.bar_codes.codes_of(session, row.item_id),
            inventory.expiry.expired(session, on, [row.stock_id]).get(row.stock_id, ""),
            models.notes.of(session, models.notes.What.ITEM, row.item_id).note,
            models.notes.of(session, models.notes.What.BIN, row.bin_id).note,
            places_of(session, row.item_id),
            mark_of(session, row.item_id),
            orings.sizes.by_key(row.size_key) if row.size_key else None,
            row.counted_in,
            _pictured(session, row),
        )
    )


def _pictured(session: Session, row: StockRow) -> tuple[str, ...]:
    """Which of item and bin have a picture; nothing is asked where the row says that there is none."""
    if not row.annotated:
        return ()
    both = ((models.notes.What.ITEM, row.item_id), (models.notes.What.BIN, row.bin_id))
    return tuple(what.value for what, number in both if pictures.keeping.is_of(session, what, number))


def places_of(session: Session, item_id: int) -> tuple[StockRow, ...]:
    """Where anything of an item lies."""
    return tuple(one for one in models.shelf.rows_of(session, item_id=item_id) if one.on_hand)


def mark_of(session: Session, item_id: int) -> Mark | None:
    """The item's reorder point, where it has one."""
    point = inventory.reorder_rules.point_of(session, item_id)
    return None if point is None else Mark(*point)


def words(quantity: int, unit: str) -> str:
    """Pieces or litres."""
    return models.volume.in_words(quantity, models.words.Unit(unit))


def bar(free: int, promised: int, most: int, *, plain: bool = False) -> str:
    """Stock as a bar against the fullest row in sight: free, then promised, by a different glyph each."""
    if most <= 0 or free + promised <= 0:
        return "empty"
    signs = stock_bars.PLAIN if plain else stock_bars.GLYPHS
    return stock_bars.bar(free, promised, most, BAR, plain=plain).rstrip(signs.empty)


def both(quantity: int, unit: str) -> str:
    """Pieces, or a volume in litres and in US gallons, under one gallon in quarts."""
    if unit == "each":
        return str(quantity)

    litres, _, rest = catalog.quantity.display.format_volume(Fraction(quantity, PER_LITRE)).partition(" (")
    return f"{litres} ({rest.rstrip(')').split(', ')[-1]})"


def opened(row: StockRow) -> str:
    """What is left in an opened container, in words; nothing where all are full or nobody said what one holds."""
    if not row.opened or row.container is None:
        return ""
    full = f"{row.full} full of {words(row.container, row.counted_in)}, " if row.full else ""
    return f"{full}one opened with {both(row.opened, row.counted_in)} left of {both(row.container, row.counted_in)}"


def stock_row(row: StockRow, most: int, today: date | None, *, plain: bool = False) -> Row:
    """Bin, item, free, promised, bar, expiry; a sign before it for a picture or a note.

    An empty or expired row is told by its word.
    """
    name = row.item_name + (f", opened: {words(row.opened, row.counted_in)} left" if row.opened else "")
    old = row.expires_on is not None and today is not None and row.expires_on < today and row.on_hand > 0
    cells = (
        row.bin_code,
        name,
        words(row.free, row.counted_in),
        words(row.promised, row.counted_in) if row.promised else "",
        bar(row.free, row.promised, most, plain=plain),
        "EXPIRED" if old else f"{row.expires_on}" if row.expires_on else "",
    )
    return Row(cells, "bad" if row.on_hand == 0 or old else "", ANNOTATED[plain] if row.annotated else "")


def answer(
    row: StockRow | None, known: Known | None, today: date | None, unit: str, columns: int, *, plain: bool
) -> list[Content]:
    """How the row stands: its state, what lies there, its bar with the reorder mark, its age, its size."""
    if row is None:
        return []
    stock = stock_of(row, known.expired if known is not None else None)
    promised = f", {stock.amount(row.promised)} promised" if row.promised and not stock.all_promised else ""
    lines = [Content.assemble(_state(row, known, today), f" {clean(stock.place)}: {clean(stock.standing)}{promised}.")]
    if known is not None and known.places:
        held = stock_bars.stock_line(known.heaps, known.mark, max(10, min(BARS, columns // 4)), plain=plain)
        lines.append(Content(f"{held} {clean(_in_all(row, known))}"))
    about = [stock.age]
    about += (
        [opened(row)] if row.opened else [both(row.free, row.counted_in) + " free"] if row.counted_in != "each" else []
    )
    about += [size_both(known.size, unit)] if known is not None and known.size is not None else []
    if told := " · ".join(one for one in about if one):
        lines.append(Content(clean(told)))
    return lines


def _state(row: StockRow, known: Known | None, today: date | None) -> Content:
    old = row.expires_on is not None and today is not None and row.expires_on < today
    if row.on_hand and (old or (known is not None and known.expired)):
        return chip("EXPIRED", Tone.BAD)
    if not row.on_hand:
        return chip("EMPTY", Tone.DOUBT)
    if not row.free:
        return chip("ALL PROMISED", Tone.DOUBT)
    if known is None:
        return chip("…")
    return chip("LOW", Tone.DOUBT) if known.low else chip("OK", Tone.GOOD)


def _in_all(row: StockRow, known: Known) -> str:
    free = words(sum(one.free for one in known.places), row.counted_in)
    bins = len(known.heaps)
    where = "" if bins == 1 else f" in {bins} bins"
    if known.mark is None:
        return f"{free} free{where}, no reorder point"
    order, up_to = (words(one, row.counted_in) for one in known.mark)
    return f"{free} free{where}, {'at or below' if known.low else 'above'} the reorder point of {order}, up to {up_to}"


def drawing(row: StockRow | None, known: Known | None, columns: int, rows: int, *, plain: bool) -> list[str]:
    """The item's bins as bars."""
    if row is None or known is None:
        return []
    return stock_bars.stock_lines(
        known.heaps, known.mark, columns, rows, lambda amount: words(amount, row.counted_in), plain=plain
    )


def ledger(known: Known | None, limit: int) -> list[str]:
    """The notes on the row and its bar codes, then its latest movements, newest first."""
    lines: list[str] = []
    if known is None:
        return lines
    lines += [f"note: {' '.join(known.item_note.split())}"] if known.item_note else []
    lines += [f"note on the bin: {' '.join(known.bin_note.split())}"] if known.bin_note else []
    if known.pictured:
        lines.append(f"picture of the {' and of the '.join(known.pictured)}: {key('paper')} shows it")
    if known.codes:
        lines.append("bar code " + ", ".join(code.removeprefix("0") for code in known.codes))
    for moved in known.movements[:limit]:
        changes = []
        if moved.on_hand_change or not moved.promised_change:
            changes.append(f"{_signed(moved.on_hand_change, known.counted_in)} on hand")
        if moved.promised_change:
            changes.append(f"{_signed(moved.promised_change, known.counted_in)} promised")
        reason = f"  {moved.reason}" if moved.reason else ""
        word = "undone: " + str(moved.kind) if moved.reverses else str(moved.kind)
        lines.append(f"{moved.at:%d %b %H:%M} {moved.who}  {word}  {', '.join(changes)}{reason}")
    return lines


def _signed(change: int, unit: str) -> str:
    return ("+" if change >= 0 else "−") + words(abs(change), unit)
