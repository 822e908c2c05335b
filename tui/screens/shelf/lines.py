"""The shelf as lines for the list, and one stock row's ledger in words."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

import catalog
import models
from models import inventory
from tui.widgets.rows import Row

if TYPE_CHECKING:
    from models.shelf import MovementRow
    from models.stock_rows import StockRow
    from tui.workshop import Workshop

BAR = 10
LEDGER_ROWS = 20
PER_LITRE = 1_000_000


class Known(NamedTuple):
    """One stock row's latest movements, its bar codes, why it can't be used any more, and the notes on it."""

    movements: tuple[MovementRow, ...]
    codes: tuple[str, ...]
    expired: str
    item_note: str = ""
    bin_note: str = ""


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
        )
    )


def words(quantity: int, unit: str) -> str:
    """Pieces or litres."""
    return models.volume.in_words(quantity, models.words.Unit(unit))


def bar(free: int, promised: int, most: int, *, plain: bool = False) -> str:
    """Stock as a bar against the fullest row in sight: free, then promised, by a different glyph each."""
    if most <= 0 or free + promised <= 0:
        return "empty"
    cells = max(1, round((free + promised) / most * BAR))
    held = min(cells, max(1, round(promised / most * BAR))) if promised else 0
    full, shaded = ("#", "/") if plain else ("█", "▒")
    return full * (cells - held) + shaded * held


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
    """Bin, item, free, promised, bar, expiry. An empty or expired row is told by its word."""
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
    return Row(cells, "bad" if row.on_hand == 0 or old else "")


def ledger(row: StockRow, known: Known | None, limit: int) -> list[str]:
    """The row in full, then its latest movements, newest first."""
    head = f"{row.item_name} in bin {row.bin_code}: {words(row.on_hand, row.counted_in)} on hand, "
    head += f"{words(row.promised, row.counted_in)} promised, {words(row.free, row.counted_in)} free"
    if row.lot_code:
        head += f", lot {row.lot_code}"
    if row.expires_on:
        head += f", last day {row.expires_on}"
    lines = [head]
    if row.opened:
        lines.append(opened(row))
    if known is None:
        return lines
    if known.expired:
        lines.append(f"! {known.expired}")
    lines += [f"note: {' '.join(known.item_note.split())}"] if known.item_note else []
    lines += [f"note on bin {row.bin_code}: {' '.join(known.bin_note.split())}"] if known.bin_note else []
    if known.codes:
        lines.append("bar code " + ", ".join(code.removeprefix("0") for code in known.codes))
    for moved in known.movements[:limit]:
        changes = []
        if moved.on_hand_change or not moved.promised_change:
            changes.append(f"{_signed(moved.on_hand_change, row.counted_in)} on hand")
        if moved.promised_change:
            changes.append(f"{_signed(moved.promised_change, row.counted_in)} promised")
        reason = f"  {moved.reason}" if moved.reason else ""
        word = "undone: " + str(moved.kind) if moved.reverses else str(moved.kind)
        lines.append(f"{moved.at:%d %b %H:%M} {moved.who}  {word}  {', '.join(changes)}{reason}")
    return lines


def _signed(change: int, unit: str) -> str:
    return ("+" if change >= 0 else "−") + words(abs(change), unit)
