"""Items: add, get, look for."""

from __future__ import annotations

from typing import NamedTuple

from sqlalchemy import func
from sqlmodel import Session, col, select

from models.actions import claim
from models.acts import Act
from models.errors import AlreadyThereError, InvalidInputError
from models.rows import find
from models.tables import Item
from models.text import NOTE_LENGTH, clean, fold, search_words
from models.words import Kind, Unit


class ItemRow(NamedTuple):
    """One item. Rings have a size key (`as568:214`) and a rubber family; the rest a class and a grade."""

    item_id: int
    kind: Kind
    name: str
    counted_in: Unit
    size_key: str | None
    rubber: str
    hardness_shore_a: int | None
    spec_class: str
    spec_grade: str
    cure_minutes: int | None
    note: str


class ItemPage(NamedTuple):
    """A window of a list, and how many there are in all."""

    rows: tuple[ItemRow, ...]
    total: int


def add(
    session: Session,
    act: Act,
    *,
    kind: Kind,
    name: str,
    size_key: str | None = None,
    rubber: str = "",
    hardness_shore_a: int | None = None,
    spec_class: str = "",
    spec_grade: str = "",
    cure_minutes: int | None = None,
    counted_in: Unit | None = None,
    note: str = "",
) -> ItemRow:
    """Add an item. Fluids are counted in microlitres, the rest in pieces unless `counted_in` says otherwise.

    Raises `InvalidInputError` (bad text, a ring without its size) or `AlreadyThereError` (the name is taken).
    """
    label = clean(name, "name")
    family = clean(rubber, "rubber", limit=20, empty=True).upper()
    if kind is Kind.RING:
        size_key = clean_size_key(size_key)
    elif size_key is not None or family:
        raise InvalidInputError(f"“{label}” is no ring but names a ring's size or rubber.", "Leave them out.")
    if hardness_shore_a is not None and not 1 <= hardness_shore_a <= 100:
        raise InvalidInputError(
            f"A hardness of {hardness_shore_a} is off the Shore A scale.", "Type a number from 1 to 100."
        )
    if cure_minutes is not None and cure_minutes < 0:
        raise InvalidInputError("A cure time can't be negative.", "Type hours from 0 up.")
    unit = counted_in or (Unit.MICROLITRE if kind is Kind.FLUID else Unit.EACH)
    if (kind is Kind.FLUID) != (unit is Unit.MICROLITRE) and kind in {Kind.FLUID, Kind.RING}:
        raise InvalidInputError(f"A {kind} can't be counted in {unit}.", "Count rings in pieces and fluids by volume.")
    made = claim(session, act, "items.add", label)
    if made.first:
        if session.exec(select(Item.id).where(Item.name == label)).first() is not None:
            raise AlreadyThereError(f"There is already an item “{label}”.", "Use it, or choose another name.")
        row = Item(
            action_id=made.action_id,
            kind=kind,
            name=label,
            counted_in=unit,
            size_key=size_key,
            rubber=family,
            hardness_shore_a=hardness_shore_a,
            spec_class=clean(spec_class, "class", empty=True),
            spec_grade=clean(spec_grade, "grade", empty=True),
            cure_minutes=cure_minutes,
            note=clean(note, "note", limit=NOTE_LENGTH, empty=True),
            folded=fold(label, size_key, (size_key or "").partition(":")[2], family, spec_class, spec_grade, kind),
            class_folded=fold(spec_class),
            grade_folded=fold(spec_grade),
        )
        session.add(row)
        session.flush()
    else:
        row = session.exec(select(Item).where(Item.action_id == made.action_id)).one()
    return as_row(row)


def get(session: Session, item_id: int) -> ItemRow:
    """One item. Raises `NotFoundError`."""
    return as_row(find(session, Item, item_id, "item"))


def page(session: Session, text: str = "", *, kind: Kind | None = None, limit: int = 200, offset: int = 0) -> ItemPage:
    """Items whose name, size, rubber, class or grade hold every word of `text`, by name."""
    conditions = [col(Item.folded).contains(word, autoescape=True) for word in search_words(text)]
    if kind is not None:
        conditions.append(col(Item.kind) == kind)
    total = session.exec(select(func.count()).select_from(Item).where(*conditions)).one()
    rows = session.exec(
        select(Item).where(*conditions).order_by(col(Item.folded), col(Item.id)).limit(limit).offset(offset)
    ).all()
    return ItemPage(tuple(as_row(row) for row in rows), total)


def clean_size_key(size_key: str | None) -> str:
    """A ring size's key, `series:designation`. Raises `InvalidInputError` for anything else."""
    key = clean(size_key or "", "ring size", limit=60)
    series, colon, designation = key.partition(":")
    if not (series and colon and designation):
        raise InvalidInputError(f"“{key}” names no ring size.", "Write the series and the size, as in as568:214.")
    return key


def as_row(row: Item) -> ItemRow:
    """The item as it is given out."""
    assert row.id is not None
    return ItemRow(
        row.id,
        row.kind,
        row.name,
        row.counted_in,
        row.size_key,
        row.rubber,
        row.hardness_shore_a,
        row.spec_class,
        row.spec_grade,
        row.cure_minutes,
        row.note,
    )
