"""What open orders will still bring, reckoned from their lines. No database needed to import it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from typing import NamedTuple


class OnOrder(NamedTuple):
    """What is still to come, in base units: by need, and by item for whatever no need claims."""

    for_needs: dict[int, int]
    for_items: dict[int, int]


class Line(NamedTuple):
    """A line of an order of which something may still come."""

    line_id: int
    item_id: int
    packs: int
    received: int
    pack_quantity: int


class Share(NamedTuple):
    """How much of a line is for which need, or for which item's reorder point."""

    line_id: int
    need_id: int | None
    item_id: int | None
    quantity: int


def to_come(lines: Iterable[Line], shares: Iterable[Share]) -> OnOrder:
    """By need and by item; what has come of a line served its shares in the order they are given in."""
    of_line: defaultdict[int, list[Share]] = defaultdict(list)
    for share in shares:
        of_line[share.line_id].append(share)
    for_needs: defaultdict[int, int] = defaultdict(int)
    for_items: defaultdict[int, int] = defaultdict(int)
    for line in lines:
        come = line.received * line.pack_quantity
        left = line.packs * line.pack_quantity - come
        for share in of_line[line.line_id]:
            served = min(share.quantity, come)
            come -= served
            waits = share.quantity - served
            left -= waits
            if share.need_id is not None:
                for_needs[share.need_id] += waits
            elif share.item_id is not None:
                for_items[share.item_id] += waits
        for_items[line.item_id] += left
    return OnOrder(
        {key: value for key, value in for_needs.items() if value},
        {key: value for key, value in for_items.items() if value},
    )
