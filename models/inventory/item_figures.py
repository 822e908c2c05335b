"""What a judgement needs to know of an item: the classes it claims, its measured element, what one container holds."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from sqlmodel import Session, col, delete, select

from catalog.filters.element import Element
from models import row_snapshots
from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError
from models.rows import find, hold
from models.stored_text import from_text, to_text
from models.tables import Item, ItemClaim
from models.text import clean
from models.words import Kind

MOST_CLAIMS = 60


class ItemFigures(NamedTuple):
    """One item's claims beyond its class and grade, its element, and what one container holds in its own unit."""

    claims: tuple[str, ...] = ()
    element: Element | None = None
    container: int | None = None


def of(session: Session, item_ids: Iterable[int]) -> dict[int, ItemFigures]:
    """The figures of items by id; an item nothing is known of is left out."""
    ids = set(item_ids)
    found: dict[int, ItemFigures] = {}
    claims = select(ItemClaim).where(col(ItemClaim.item_id).in_(ids)).order_by(col(ItemClaim.position))
    for said in session.exec(claims).all():
        known = found.get(said.item_id, ItemFigures())
        found[said.item_id] = known._replace(claims=(*known.claims, said.claim))
    some = (col(Item.element).is_not(None)) | (col(Item.container).is_not(None))
    for item_id, element, holds in session.exec(
        select(Item.id, Item.element, Item.container).where(col(Item.id).in_(ids), some)
    ).all():
        known = found.get(item_id or 0, ItemFigures())
        measured = None if element is None else from_text(Element, element)
        found[item_id or 0] = known._replace(element=measured, container=holds)
    return found


def set_claims(session: Session, act: Act, item_id: int, claims: Sequence[str]) -> ItemFigures:
    """Say which further classes a fluid claims, or what a sealant resists. Raises `InvalidInputError`."""
    made = claim(session, act, "items.set_claims", subject_id=item_id)
    if made.first:
        item = hold(session, Item, item_id, "item")
        session.exec(delete(ItemClaim).where(col(ItemClaim.item_id) == item_id))
        write(session, item, ItemFigures(tuple(claims)))
    return of(session, [item_id]).get(item_id, ItemFigures())


def set_element(session: Session, act: Act, item_id: int, element: Element) -> ItemFigures:
    """Note an element as it was measured. Raises `NotFoundError`, `InvalidInputError`."""
    return _say_anew(session, act, "items.set_element", item_id, ItemFigures(element=element))


def set_container(session: Session, act: Act, item_id: int, holds: int) -> ItemFigures:
    """Say what one full container holds. Raises `NotFoundError`, `InvalidInputError`."""
    return _say_anew(session, act, "items.set_container", item_id, ItemFigures(container=holds))


def _say_anew(session: Session, act: Act, what: str, item_id: int, figures: ItemFigures) -> ItemFigures:
    """Write one figure over the one there is, which is kept for undo."""
    name = find(session, Item, item_id, "item").name
    made = claim(session, act, what, name, subject_id=item_id)
    if made.first:
        item = hold(session, Item, item_id, "item")
        row_snapshots.write_over(session, made.action_id, item, **_columns(item, figures))
    return of(session, [item_id]).get(item_id, ItemFigures())


def write(session: Session, item: Item, figures: ItemFigures) -> None:
    """Write the figures of an item that has none of these yet. Raises `InvalidInputError`."""
    assert item.id is not None
    claims = tuple(dict.fromkeys(clean(one, "class") for one in figures.claims))
    if claims and item.kind not in {Kind.FLUID, Kind.SEALANT}:
        raise InvalidInputError(f"“{item.name}” is a {item.kind}; only fluids and sealants claim classes.")
    if len(claims) > MOST_CLAIMS:
        raise InvalidInputError(f"{len(claims)} classes are claimed.", f"Name at most {MOST_CLAIMS}.")
    session.add_all([ItemClaim(item_id=item.id, position=at, claim=said) for at, said in enumerate(claims)])
    for name, said in _columns(item, figures).items():
        setattr(item, name, said)
    session.add(item)
    session.flush()


def _columns(item: Item, figures: ItemFigures) -> dict[str, Any]:
    """The item's columns that the figures fill. Raises `InvalidInputError` for one that such an item can't have."""
    filled: dict[str, Any] = {}
    if figures.element is not None:
        if item.kind is not Kind.FILTER:
            raise InvalidInputError(f"“{item.name}” is a {item.kind}, not a filter.", "Choose a filter.")
        filled["element"] = to_text(figures.element)
    if figures.container is not None:
        if figures.container < 1:
            raise InvalidInputError("A container must hold something.", "Type what a full one holds.")
        filled["container"] = figures.container
    return filled
