"""Looking into the shop's own items: thousands, not millions, so their folded text is simply read through."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from models.search.asking import Asking
from models.search.found import How
from models.text import fold

_LOWER: Final = {code: code + 32 for code in range(ord("A"), ord("Z") + 1)}
"""What `lower` does on both databases in the plain collation: to the letters A to Z and no others."""
_IN_USE: Final = "withdrawn_at IS NULL AND retired_at IS NULL"
_CLASSES: Final = (How.EXACT, How.PREFIX, How.WORDS)


def by_words(ask: Asking, said: str, words: Sequence[str], limit: int) -> list[tuple[How, int]]:
    """Items that hold every word: the name itself, then names that begin so, then the rest, each by name."""
    spellings = [_spellings(word) for word in words]
    holds = " AND ".join(f"({' OR '.join(['{at}(folded, ?) > 0'] * len(each))})" for each in spellings)
    rows = ask.rows(
        "SELECT CASE WHEN lower(name{c}) = ? THEN 0 WHEN {at}(folded, ?) = 1 THEN 1 ELSE 2 END AS place, id"
        f" FROM items WHERE {_IN_USE} AND {holds} ORDER BY place, folded{{c}}, id LIMIT ?",
        (said.strip().translate(_LOWER), fold(said), *(word for each in spellings for word in each), limit),
    )
    return [(_CLASSES[place], item_id) for place, item_id in rows]


def near(ask: Asking, sizes: Mapping[str, int], rubber: str, limit: int) -> list[tuple[int, int]]:
    """Rings of these standard sizes: (distance, id), nearest first."""
    if not sizes:
        return []
    only = " AND rubber = ?" if rubber else ""
    rows = ask.rows(
        f"SELECT size_key, id FROM items WHERE {_IN_USE} AND size_key IN ({', '.join('?' * len(sizes))}){only}",
        (*sizes, *([rubber] if rubber else [])),
    )
    return sorted((sizes[size_key], item_id) for size_key, item_id in rows)[:limit]


def listed(ask: Asking, limit: int, offset: int) -> list[int]:
    """A window of all items, by name."""
    window = "ORDER BY folded{c}, id LIMIT ? OFFSET ?"
    return ask.column(f"SELECT id FROM items WHERE {_IN_USE} {window}", (limit, offset))


def count(ask: Asking) -> int:
    """How many items there are."""
    return int(ask.column(f"SELECT count(*) FROM items WHERE {_IN_USE}", ())[0])


def _spellings(word: str) -> list[str]:
    """How the word may stand in an item's text: with either decimal mark, an O-ring with or without its dash."""
    if "·" in word:
        return [word.replace("·", "."), word.replace("·", ",")]
    if word.startswith("oring"):
        return [word, f"o-{word[1:]}", f"o {word[1:]}"]
    return [word]
