"""What was found, in blocks of rows: the list draws any of a million, and only the blocks near it are held."""

from __future__ import annotations

from collections import OrderedDict
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from models.search.found import Hit, Page

BLOCK: Final = 200
"""Rows asked for at once: a few screens."""
MOST_BLOCKS: Final = 60
MOST_WANTED: Final = 3
"""Blocks still to be fetched; a fast scroll forgets what it has left behind."""


class HitWindow:
    """The rows of one search by number. A row that is not here yet is noted in `wanted`, the newest last."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.total = 0
        self.more = False
        # The search looks no further, though there is more.
        self._exhausted = False
        self.wanted: list[int] = []
        self._blocks: OrderedDict[int, tuple[Hit, ...]] = OrderedDict()

    def put(self, block: int, page: Page) -> None:
        """Take a block in. The search may have found more rows than it knew of, or fewer than it thought."""
        if page.more or block * BLOCK + len(page.rows) >= self.total or not page.rows:
            self.total, self.more = max(page.total, self.total if page.rows else 0), page.more
        self._exhausted = self._exhausted or not page.rows
        self._blocks[block] = page.rows
        self._blocks.move_to_end(block)
        while len(self._blocks) > MOST_BLOCKS:
            self._blocks.popitem(last=False)
        if block in self.wanted:
            self.wanted.remove(block)

    def row(self, index: int) -> Hit | None:
        """The row, or None while its block is away."""
        block, at = divmod(index, BLOCK)
        rows = self._blocks.get(block)
        if rows is None:
            self._want(block)
            return None
        self._blocks.move_to_end(block)
        return rows[at] if at < len(rows) else None

    def first(self) -> tuple[Hit, ...]:
        """The first block, if it is here."""
        return self._blocks.get(0, ())

    def near_end(self, index: int) -> bool:
        """Whether the rows known of run out soon after this one, and there are more to be had."""
        if self.more and not self._exhausted and index >= self.total - BLOCK // 4:
            self._want(self.total // BLOCK)
            return True
        return False

    def _want(self, block: int) -> None:
        if block in self.wanted:
            self.wanted.remove(block)
        self.wanted.append(block)
        del self.wanted[:-MOST_WANTED]

    def said(self) -> str:
        """How many there are, never less than the truth allows."""
        if self.more:
            return f"more than {self.total:,}"
        return f"{self.total:,} {'row' if self.total == 1 else 'rows'}"
