"""Items: add, get, look for."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import NamedTuple

from sqlalchemy import func, insert
from sqlmodel import Session, col, select

from catalog.orings.sizes import STANDARDS, Series, by_key, title
from models.actions import claim
from models.acts import Act
from models.alike import skeleton, tell
from models.errors import AlreadyThereError, InvalidInputError
from models.inventory.item_figures import ItemFigures
from models.inventory.item_figures import write as write_figures
from models.rows import find, in_use
from models.tables import Action, Item
from models.text import NOTE_LENGTH, clean, fold, search_words
from models.words import Kind, Unit

NO_FIGURES = ItemFigures()
_COLUMNS = [one.name for one in Item.metadata.tables["items"].columns if one.name != "id"]
BRING_BACK = "Choose another name, or bring it back with: kitwright item retire NAME --back"


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


class NewItem(NamedTuple):
    """An item to add. Fluids are counted in microlitres, the rest in pieces unless `counted_in` says otherwise.

    `figures`: the further classes it claims, its element as measured, what one full container holds.
    """

    kind: Kind
    name: str
    size_key: str | None = None
    rubber: str = ""
    hardness_shore_a: int | None = None
    spec_class: str = ""
    spec_grade: str = ""
    cure_minutes: int | None = None
    counted_in: Unit | None = None
    note: str = ""
    figures: ItemFigures = NO_FIGURES


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
    figures: ItemFigures = NO_FIGURES,
) -> ItemRow:
    """Add one item; see `add_many`."""
    new = NewItem(
        kind, name, size_key, rubber, hardness_shore_a, spec_class, spec_grade, cure_minutes, counted_in, note, figures
    )
    return add_many(session, act, [new])[0]


def _tell_alike(session: Session, names: Sequence[str]) -> None:
    known: dict[str, str] = {}
    for name in session.exec(select(Item.name).where(in_use(Item))):
        known.setdefault(skeleton(name), name)
    for name in names:
        looks = skeleton(name)
        tell(name, [known[looks]] if looks in known else (), "item")
        known.setdefault(looks, name)


def add_many(session: Session, act: Act, new: Sequence[NewItem]) -> tuple[ItemRow, ...]:
    """Add items in one action, all or none, in the order given.

    Raises `InvalidInputError` (bad text, a ring without its size) or `AlreadyThereError` (a name is taken).
    """
    rows = [_made(one) for one in new]
    made = claim(session, act, "items.add", rows[0].name if len(rows) == 1 else f"{len(rows)} items")
    if made.first:
        names = [row.name for row in rows]
        twice = {name for name in names if names.count(name) > 1} if len(set(names)) < len(names) else set()
        refuse_taken(session, names, twice)
        _tell_alike(session, names)
        session.flush()
        # All at once: SQLite can't be asked for many ids in the order of the rows, and would be sent a statement each.
        session.connection().execute(insert(Item), [{**_columns(row), "action_id": made.action_id} for row in rows])
    found = session.exec(select(Item).where(Item.action_id == made.action_id).order_by(col(Item.id))).all()
    if made.first:
        for row, one in zip(found, new, strict=True):
            if one.figures != NO_FIGURES:
                write_figures(session, row, one.figures)
    return tuple(as_row(row) for row in found)


def _columns(row: Item) -> dict[str, object]:
    return {name: getattr(row, name) for name in _COLUMNS}


def refuse_taken(session: Session, names: Sequence[str], twice: Collection[str] = ()) -> None:
    """Raise `AlreadyThereError` where an item has one of the names; `twice`: names that are given more than once."""
    there = (col(Item.name).in_(names), col(Item.withdrawn_at).is_(None))
    taken = session.exec(select(Item.name, Item.retired_at).where(*there)).first()
    if taken is not None and taken[1] is not None:
        raise AlreadyThereError(f"There was an item “{taken[0]}”, which is retired.", BRING_BACK)
    name = taken[0] if taken is not None else next(iter(twice), None)
    if name is not None:
        raise AlreadyThereError(f"There is already an item “{name}”.", "Use it, or choose another name.")


def _made(new: NewItem) -> Item:
    """The item as it will be stored, or `InvalidInputError`."""
    kind, label = new.kind, clean(new.name, "name")
    family = clean(new.rubber, "rubber", limit=20, empty=True).upper()
    size_key = clean_size_key(new.size_key) if kind is Kind.RING else None
    if kind is not Kind.RING and (new.size_key is not None or family):
        raise InvalidInputError(f"“{label}” is not a ring but names a ring's size or rubber.", "Leave them out.")
    check_hardness(new.hardness_shore_a)
    if new.cure_minutes is not None and new.cure_minutes < 0:
        raise InvalidInputError("A cure time can't be negative.", "Type hours from 0 up.")
    unit = new.counted_in or (Unit.MICROLITRE if kind is Kind.FLUID else Unit.EACH)
    if (kind is Kind.FLUID and unit is Unit.EACH) or (kind is Kind.RING and unit is not Unit.EACH):
        raise InvalidInputError(f"A {kind} can't be counted in {unit}.", "Count rings in pieces and fluids by volume.")
    said_class = clean(new.spec_class, "class", empty=True)
    grade = clean(new.spec_grade, "grade", empty=True)
    return Item(
        action_id=0,
        kind=kind,
        name=label,
        counted_in=unit,
        size_key=size_key,
        rubber=family,
        hardness_shore_a=new.hardness_shore_a,
        spec_class=said_class,
        spec_grade=grade,
        cure_minutes=new.cure_minutes,
        note=clean(new.note, "note", limit=NOTE_LENGTH, empty=True),
        folded=folded_of(label, size_key, family, said_class, grade, kind),
        class_folded=fold(said_class),
        grade_folded=fold(grade),
    )


def folded_of(name: str, size_key: str | None, rubber: str, spec_class: str, spec_grade: str, kind: Kind) -> str:
    """The words an item is found by."""
    return fold(name, _size_words(size_key), rubber, spec_class, spec_grade, kind)


def check_hardness(hardness_shore_a: int | None) -> None:
    """Raise `InvalidInputError` for a hardness off the Shore A scale."""
    if hardness_shore_a is not None and not 1 <= hardness_shore_a <= 100:
        raise InvalidInputError(
            f"A hardness of {hardness_shore_a} is off the Shore A scale.", "Type a number from 1 to 100."
        )


def get(session: Session, item_id: int) -> ItemRow:
    """One item. Raises `NotFoundError`."""
    return as_row(find(session, Item, item_id, "item"))


def is_made_by(session: Session, item_id: int, key: str) -> bool:
    """Whether the action under this key added the item."""
    made = select(Item.id).join(Action, col(Action.id) == col(Item.action_id)).where(Item.id == item_id)
    return session.exec(made.where(Action.key == key)).first() is not None


def named(session: Session, name: str) -> ItemRow | None:
    """The item of this name, case, accents and doubled spaces apart; the very same name goes first. None: no item."""
    label, wanted = name.strip(), fold(name)
    same = (col(Item.folded) == wanted) | col(Item.folded).startswith(f"{wanted} ", autoescape=True)
    rows = session.exec(select(Item.id, Item.name).where(same, in_use(Item)).order_by(col(Item.id))).all()
    found = [row for row in rows if row[1] == label] or [row for row in rows if fold(row[1]) == wanted]
    return get(session, found[0][0]) if found and found[0][0] is not None else None


def page(session: Session, text: str = "", *, kind: Kind | None = None, limit: int = 200, offset: int = 0) -> ItemPage:
    """Items whose name, size, rubber, class or grade hold every word of `text`, by name."""
    conditions = [in_use(Item), *(col(Item.folded).contains(word, autoescape=True) for word in search_words(text))]
    if kind is not None:
        conditions.append(col(Item.kind) == kind)
    total = session.exec(select(func.count()).select_from(Item).where(*conditions)).one()
    rows = session.exec(
        select(Item).where(*conditions).order_by(col(Item.folded), col(Item.id)).limit(limit).offset(offset)
    ).all()
    return ItemPage(tuple(as_row(row) for row in rows), total)


def clean_size_key(size_key: str | None) -> str:
    """A ring size's key, `series:designation`.

    A series the catalog knows must hold the size; another series is the shop's own (`own`: of
    its own tables). Raises `InvalidInputError`.
    """
    key = clean(size_key or "", "ring size", limit=60)
    series, colon, designation = key.partition(":")
    if not (series and colon and designation):
        raise InvalidInputError(f"“{key}” names no ring size.", "Write the series and the size, as in as568:214.")
    if series in STANDARDS and by_key(key) is None:
        raise InvalidInputError(f"{title(Series(series))} has no size “{designation}”.", "Look it up in the catalog.")
    return key


def _size_words(size_key: str | None) -> str:
    """What a person may type to find a ring: its series and size, its label, its ID and width in mm."""
    if size_key is None:
        return ""
    series, _, designation = size_key.partition(":")
    size = by_key(size_key)
    said = f"{size.label} {size.id_mm:g} {size.cross_section_mm:g}" if size else ""
    return f"{size_key} {series} {designation} {said}"


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
