"""Search as you type over items and lists: exact, then by size, then by the number's start, by words, by any part."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Final

from models.search import item_queries
from models.search.asking import Asking
from models.search.found import Hit, How, Page, Where
from models.search.hits import load_hits
from models.search.list_queries import ListQueries
from models.search.sizes import near, sizes_near
from models.search.terms import compact, typed, typed_words

if TYPE_CHECKING:
    from sqlmodel import Session

WINDOW: Final = 10_000
"""No search for words looks further than this many rows; the page says that there are more."""
_SHORTEST_PART: Final = 3
_RUBBERS: Final = frozenset(["nbr", "hnbr", "epdm", "fkm", "cr", "acm", "aem", "vmq", "fvmq", "ptfe", "sbr"])

Key = tuple[Where, int]


def search(
    session: Session,
    text: str,
    *,
    limit: int = 50,
    offset: int = 0,
    after: Hit | None = None,
    supplier_id: int | None = None,
    items: bool = True,
    lists: bool = True,
) -> Page:
    """Rows of the shop's items and the suppliers' lists that `text` asks for, best first, items before lists.

    The same rows in the same order on either database. Any text is safe; empty text lists everything, items by name
    and then rows by number. With `supplier_id` only that supplier's list is searched. `offset` counts rows from the
    start, or, with empty text, from just after the listed row `after`: scrolling on from it costs the same everywhere.
    """
    limit, offset = max(0, min(limit, WINDOW)), max(0, offset)
    items = items and supplier_id is None
    ask = Asking(session)
    said = typed(text)
    words = typed_words(said)
    if not said.strip():
        return _listed(ask, limit, offset, after, supplier_id, items, lists)
    if not words:
        return Page((), 0, False)
    enough = min(offset + limit, WINDOW) + 1
    found = _Finder(ask, said, words, enough, supplier_id, items, lists).find()
    keys = list(found.items())[: enough - 1]
    return Page(load_hits(ask, keys[offset:]), len(keys), len(found) >= enough)


def listed(ask: Asking, limit: int) -> Page:
    """The first rows of everything, as `search` gives them for empty text."""
    return _listed(ask, limit, 0, None, None, True, True)


class _Finder:
    """Gathers what is found, class by class, each row once in the best class it has, until there is enough."""

    def __init__(
        self,
        ask: Asking,
        said: str,
        words: list[str],
        enough: int,
        supplier_id: int | None,
        items: bool,
        lists: bool,
    ) -> None:
        self._ask = ask
        self._said = said
        self._words = words
        self._squeezed = compact(said)
        self._enough = enough
        self._items = items
        self._lists = ListQueries(ask, supplier_id) if lists else None
        self._found: dict[Key, How] = {}

    def find(self) -> dict[Key, How]:
        """Everything found, best first, at most as many as are enough."""
        mine: dict[How, list[int]] = {How.EXACT: [], How.PREFIX: [], How.WORDS: []}
        if self._items:
            for how, item_id in item_queries.by_words(self._ask, self._said, self._words, self._enough):
                mine[how].append(item_id)
        for how in (How.EXACT, How.SIZE, How.PREFIX, How.WORDS, How.PART):
            if len(self._found) >= self._enough:
                break
            if how is How.SIZE:
                self._near()
                continue
            self._take(how, Where.ITEM, mine.get(how, ()))
            if self._lists is not None and len(self._found) < self._enough:
                self._take(how, Where.LIST, self._in_lists(self._lists, how))
        return dict(list(self._found.items())[: self._enough])

    def _take(self, how: How, where: Where, ids: Iterable[int]) -> None:
        for row_id in ids:
            self._found.setdefault((where, row_id), how)

    def _in_lists(self, lists: ListQueries, how: How) -> list[int]:
        """As many as could be missing, even if all found so far come again."""
        if how is How.EXACT:
            return lists.exact(self._squeezed, self._enough)
        if how is How.PREFIX:
            return lists.prefix(self._squeezed, self._enough)
        if how is How.WORDS:
            return lists.words(self._words, self._enough)
        return lists.part(self._squeezed, self._enough) if len(self._squeezed) >= _SHORTEST_PART else []

    def _near(self) -> None:
        """Rings near the dimensions that were typed, the nearest first; one's own before a supplier's."""
        wanted = near(self._said)
        if wanted is None:
            return
        rubber = next((word.upper() for word in typed_words(wanted.rest) if word in _RUBBERS), "")
        found: list[tuple[int, int, Where, int]] = []
        if self._items:
            mine = item_queries.near(self._ask, sizes_near(wanted), rubber, self._enough)
            found += [(off, 0, Where.ITEM, row_id) for off, row_id in mine]
        if self._lists is not None:
            listed = self._lists.near(wanted, rubber, self._enough)
            found += [(off, 1, Where.LIST, row_id) for off, row_id in listed]
        for _, _, where, row_id in sorted(found):
            self._take(How.SIZE, where, (row_id,))


def _listed(
    ask: Asking, limit: int, offset: int, after: Hit | None, supplier_id: int | None, items: bool, lists: bool
) -> Page:
    """Everything: the items by name, then the lists by number."""
    mine = item_queries.count(ask) if items else 0
    theirs = _count(ask, supplier_id) if lists else 0
    keys: list[tuple[Key, How]] = []
    beyond = None
    if after is not None and after.where is Where.LIST:
        beyond, items, offset = (compact(after.number), after.row_id), False, offset + mine
    if items and offset < mine:
        keys += [((Where.ITEM, row_id), How.LISTED) for row_id in item_queries.listed(ask, limit, offset)]
    if lists and len(keys) < limit:
        rows = ListQueries(ask, supplier_id).listed(limit - len(keys), max(0, offset - mine), beyond)
        keys += [((Where.LIST, row_id), How.LISTED) for row_id in rows]
    return Page(load_hits(ask, keys), mine + theirs, False)


def _count(ask: Asking, supplier_id: int | None) -> int:
    """How many rows the suppliers list now: what the latest list of each left."""
    only, values = ("", ()) if supplier_id is None else (" WHERE supplier_id = ?", (supplier_id,))
    latest = f"SELECT max(id) FROM supplier_lists{only} GROUP BY supplier_id"
    return int(ask.column(f"SELECT coalesce(sum(listed), 0) FROM supplier_lists WHERE id IN ({latest})", values)[0])
