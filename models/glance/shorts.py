"""What is short by what stands written, the first rows of Buy: `models.orders.shorts` also looks at the shelf.

Left out is what was never looked for on the shelf: nobody knows yet whether it is short. What came to lie free since it
was looked for is not counted, so that more may be listed here than is short, or more of it.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Final

from models.glance.asking import Look, ask, day
from models.glance.jobs import HELD, filled_in, standing_of
from models.orders.short_rows import Short, for_item, for_need
from models.orders.to_come import Line, OnOrder, Share, to_come
from models.storage.address import Server
from models.words import Kind, Unit

_NEEDS: Final = f"""
SELECT needs.id, jobs.id, jobs.title, jobs.due_on, needs.title, needs.kind, needs.pieces + needs.spares, needs.low_ul,
       needs.full_ul, held.promised, held.picked
FROM needs
JOIN jobs ON jobs.id = needs.job_id
{HELD}
WHERE jobs.closed_at IS NULL AND needs.withdrawn_at IS NULL AND needs.looked_for_at IS NOT NULL
ORDER BY jobs.due_on IS NULL, jobs.due_on, jobs.id, needs.id
"""
_LOW: Final = """
SELECT items.id, items.name, items.kind, items.counted_in, items.reorder_at, items.reorder_up_to,
       coalesce(sum(CASE WHEN lots.expires_on < ? THEN 0 ELSE stock.on_hand - stock.promised END), 0)
FROM items
LEFT JOIN stock ON stock.item_id = items.id
LEFT JOIN lots ON lots.id = stock.lot_id
WHERE items.reorder_at IS NOT NULL AND items.withdrawn_at IS NULL AND items.retired_at IS NULL
GROUP BY items.id, items.name, items.kind, items.counted_in, items.reorder_at, items.reorder_up_to, items.folded
HAVING coalesce(sum(CASE WHEN lots.expires_on < ? THEN 0 ELSE stock.on_hand - stock.promised END), 0)
       <= items.reorder_at
ORDER BY items.folded, items.id
"""
_ORDERED: Final = """
SELECT order_lines.order_id, order_lines.id, order_lines.item_id, order_lines.packs, (
           SELECT coalesce(sum(order_receipts.packs), 0) FROM order_receipts
           WHERE order_receipts.order_line_id = order_lines.id
           AND NOT EXISTS (SELECT 1 FROM actions AS back WHERE back.undoes_id = order_receipts.action_id)
       ), order_lines.pack_quantity
FROM order_lines
JOIN orders ON orders.id = order_lines.order_id
WHERE NOT EXISTS (SELECT 1 FROM actions AS back WHERE back.undoes_id = orders.action_id)
AND NOT EXISTS (
    SELECT 1 FROM order_steps
    WHERE order_steps.order_id = orders.id AND order_steps.step = 'called off'
    AND NOT EXISTS (SELECT 1 FROM actions AS back WHERE back.undoes_id = order_steps.action_id)
)
"""
_SHARES: Final = """
SELECT order_line_id, need_id, reorder_item_id, quantity FROM order_shares ORDER BY order_line_id, position
"""


def first_shorts(place: Path | Server, on: date, *, by_date: bool = True) -> tuple[Short, ...] | None:
    """What open jobs lack, the oldest due first, then what fell to its reorder point; why is not said of that.

    None where a glance can't tell: ask `models.orders.shorts`.
    """

    def shorts(look: Look) -> tuple[Short, ...]:
        coming = _coming(look)
        return (*_needs(look, coming, on, by_date=by_date), *_low(look, coming, on))

    return ask(place, shorts)


def _coming(look: Look) -> OnOrder:
    rows = [(order_id, Line(*map(int, row))) for order_id, *row in look(_ORDERED)]
    waiting = {order_id for order_id, line in rows if line.received < line.packs}
    lines = [line for order_id, line in rows if order_id in waiting]
    return to_come(lines, (Share(*row) for row in look(_SHARES))) if lines else OnOrder({}, {})


def _needs(look: Look, coming: OnOrder, on: date, *, by_date: bool) -> Iterator[Short]:
    filled = filled_in(look)
    for need_id, job_id, job, due_on, title, word, pieces, low_ul, full_ul, promised, picked in look(_NEEDS):
        kind, waits = Kind(word), coming.for_needs.get(need_id, 0)
        marks, held = (pieces, low_ul, full_ul), (promised, picked)
        lacks = standing_of(kind, marks, held, filled.get(need_id, ()), looked_for=True).lacks(waits)
        if lacks:
            yield for_need(need_id, (job_id, job, day(due_on)), title, kind, lacks, waits, on, by_date=by_date)


def _low(look: Look, coming: OnOrder, on: date) -> Iterator[Short]:
    for item_id, name, kind, unit, order_at, up_to, free in look(_LOW, on.isoformat(), on.isoformat()):
        waits = coming.for_items.get(item_id, 0)
        if free + waits <= order_at:
            yield for_item(item_id, name, Kind(kind), Unit(unit), up_to - int(free) - waits, waits, "")
