"""Looking into the shop's own items: thousands, not millions, so their folded text is simply read through."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from sqlalchemy import ColumnElement, case, collate, func, or_
from sqlmodel import Session, col, select

from models.search.found import How
from models.tables import Item
from models.text import fold

_LOWER: Final = {code: code + 32 for code in range(ord("A"), ord("Z") + 1)}
"""What `lower` does on both databases in the plain collation: to the letters A to Z and no others."""
_CLASSES: Final = (How.EXACT, How.PREFIX, How.WORDS)


def by_words(session: Session, said: str, words: Sequence[str], limit: int) -> list[tuple[How, int]]:
    """Items that hold every word: the name itself, then names that begin so, then the rest, each by name."""
    conditions = [_holds(word) for word in words]
    folded, exact = fold(said), said.strip().translate(_LOWER)
    rank = case(
        (func.lower(_by_code_point(session, col(Item.name))) == exact, 0),
        (col(Item.folded).startswith(folded, autoescape=True), 1),
        else_=2,
    )
    rows = session.exec(
        select(rank, Item.id)
        .where(*conditions)
        .order_by(rank, _by_code_point(session, col(Item.folded)), col(Item.id))
        .limit(limit)
    ).all()
    return [(_CLASSES[int(place)], item_id or 0) for place, item_id in rows]


def near(session: Session, sizes: Mapping[str, int], rubber: str, limit: int) -> list[tuple[int, int]]:
    """Rings of these standard sizes: (distance, id), nearest first."""
    if not sizes:
        return []
    found = select(Item.size_key, Item.id).where(col(Item.size_key).in_(list(sizes)))
    if rubber:
        found = found.where(Item.rubber == rubber)
    rows = session.exec(found).all()
    return sorted((sizes[size_key or ""], item_id or 0) for size_key, item_id in rows)[:limit]


def listed(session: Session, limit: int, offset: int) -> list[int]:
    """A window of all items, by name."""
    rows = session.exec(
        select(Item.id).order_by(_by_code_point(session, col(Item.folded)), col(Item.id)).limit(limit).offset(offset)
    )
    return [row or 0 for row in rows.all()]


def count(session: Session) -> int:
    """How many items there are."""
    return session.exec(select(func.count()).select_from(Item)).one()


def _holds(word: str) -> ColumnElement[bool]:
    """The word stands somewhere in the item's text: with either decimal mark, an O-ring with or without its dash."""
    spellings = {word}
    if "·" in word:
        spellings = {word.replace("·", "."), word.replace("·", ",")}
    elif word.startswith("oring"):
        spellings |= {f"o-{word[1:]}", f"o {word[1:]}"}
    return or_(*(col(Item.folded).contains(one, autoescape=True) for one in sorted(spellings)))


def _by_code_point(session: Session, column: Any) -> ColumnElement[str]:
    """The column compared by code point, as SQLite always does."""
    return collate(column, "C" if session.get_bind().dialect.name == "postgresql" else "BINARY")


def _by_name(session: Session) -> ColumnElement[str]:
    return _by_code_point(session, col(Item.folded))
