"""The shelf as lines for the list, and one stock row's ledger in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tui.widgets.rows import Row

if TYPE_CHECKING:
    from models.shelf import MovementRow, StockRow

BAR = 10


def words(quantity: int, unit: str) -> str:
    """Pieces or litres."""
    from models.volume import in_words
    from models.words import Unit

    return in_words(quantity, Unit(unit))


def bar(free: int, promised: int, most: int, *, plain: bool = False) -> str:
    """Stock as a bar against the fullest row in sight: free, then promised, by a different glyph each."""
    if most <= 0 or free + promised <= 0:
        return "empty"
    cells = max(1, round((free + promised) / most * BAR))
    held = min(cells, max(1, round(promised / most * BAR))) if promised else 0
    full, shaded = ("#", "/") if plain else ("█", "▒")
    return full * (cells - held) + shaded * held


def stock_row(row: StockRow, most: int, *, plain: bool = False) -> Row:
    """Bin, item, free, promised, bar, expiry. An empty row is told by its word."""
    cells = (
        row.bin_code,
        row.item_name,
        words(row.free, row.counted_in),
        words(row.promised, row.counted_in) if row.promised else "",
        bar(row.free, row.promised, most, plain=plain),
        f"{row.expires_on}" if row.expires_on else "",
    )
    return Row(cells, "bad" if row.on_hand == 0 else "")


def ledger(row: StockRow, movements: Sequence[MovementRow], limit: int) -> list[str]:
    """The row in full, then its latest movements, newest first."""
    head = f"{row.item_name} in bin {row.bin_code}: {words(row.on_hand, row.counted_in)} on hand, "
    head += f"{words(row.promised, row.counted_in)} promised, {words(row.free, row.counted_in)} free"
    if row.lot_code:
        head += f", lot {row.lot_code}"
    lines = [head]
    for moved in movements[:limit]:
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
