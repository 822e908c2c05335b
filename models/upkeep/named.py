"""What has a name of the shop's own: items, bins, machines, suppliers; how each is held, and whether a name is free."""

from __future__ import annotations

from enum import StrEnum
from typing import Final, NamedTuple

from sqlmodel import Session, col, select

from models.alike import skeleton, tell
from models.errors import AlreadyThereError
from models.inventory import bins, items
from models.rows import hold, in_use
from models.tables import Bin, Item, Machine, Supplier
from models.text import fold

Named = Item | Bin | Machine | Supplier


class What(StrEnum):
    """What is renamed, retired or merged."""

    ITEM = "item"
    BIN = "bin"
    MACHINE = "machine"
    SUPPLIER = "supplier"


TABLES: Final[dict[What, type[Item] | type[Bin] | type[Machine] | type[Supplier]]] = {
    What.ITEM: Item,
    What.BIN: Bin,
    What.MACHINE: Machine,
    What.SUPPLIER: Supplier,
}

NEAR: Final = 0.8
MOST_ALIKE: Final = 5


class Changed(NamedTuple):
    """What was done to a row: its name now, the name before or of what it went into, and whether it is offered.

    `both_have`: of two that were merged, what each keeps for itself, note or picture.
    """

    what: What
    row_id: int
    name: str
    other: str = ""
    retired: bool = False
    both_have: tuple[str, ...] = ()


def column_of(what: What) -> str:
    """The column that holds the name."""
    return "code" if what is What.BIN else "name"


def name_of(row: Named) -> str:
    """The row's name."""
    return row.code if isinstance(row, Bin) else row.name


def held(session: Session, what: What, row_id: int) -> Named:
    """The row, held until the unit ends. Raises `NotFoundError`."""
    return hold(session, TABLES[what], row_id, what.value)


def names(session: Session, what: What) -> list[str]:
    """The names of all that are in use."""
    table = TABLES[what]
    return list(session.exec(select(getattr(table, column_of(what))).where(in_use(table))).all())


def listed(session: Session, what: What, *, retired: bool = False) -> list[tuple[str, int]]:
    """The names with their rows' numbers, by name; `retired`: those that are retired, too."""
    table = TABLES[what]
    there = col(table.withdrawn_at).is_(None) if retired else in_use(table)
    named = getattr(table, column_of(what))
    return [(name, row_id or 0) for name, row_id in session.exec(select(named, table.id).where(there).order_by(named))]


def refuse_taken(session: Session, what: What, name: str, row_id: int) -> None:
    """Raise `AlreadyThereError` where another row has the name; note one that looks alike."""
    if what is What.ITEM:
        items.refuse_taken(session, [name])
    elif what is What.BIN:
        bins.refuse_taken(session, name)
    else:
        table = TABLES[what]
        named = col(getattr(table, "name"))  # noqa: B009 - mypy sees no common column
        others = select(named).where(col(table.id) != row_id)
        taken = session.exec(others).all()
        same = [one for one in taken if one == name or (what is What.SUPPLIER and fold(one) == fold(name))]
        if same:
            raise AlreadyThereError(
                f"There is or was a {what.value} “{same[0]}” already.",
                f"Choose another name, or merge the two with: kitwright {what.value} merge",
            )
    tell(name, names(session, what), what.value)


def alike(session: Session, what: What, name: str) -> list[str]:
    """The names in use that look like this one, or are spelled nearly so; the likest first."""
    from difflib import SequenceMatcher  # only paid where it is asked for

    own, folded = skeleton(name), fold(name)
    others = [one for one in names(session, what) if one != name]
    looks = [one for one in others if skeleton(one) == own or _bare(one) == _bare(name)]
    near = []
    for one in others:
        matcher = SequenceMatcher(None, folded, fold(one), autojunk=False)
        # Names of sizes differ in one figure and mean another thing: their figures must be the same.
        if _figures(one) == _figures(name) and matcher.quick_ratio() > NEAR and matcher.ratio() > NEAR:
            near.append((-matcher.ratio(), one))
    return list(dict.fromkeys([*looks, *(one for _, one in sorted(near))]))[:MOST_ALIKE]


def _bare(name: str) -> str:
    """Letters and figures alone: "A-1" and "A1" are one."""
    return "".join(letter for letter in fold(name) if letter.isalnum())


def _figures(name: str) -> str:
    return "".join(letter for letter in name if letter.isdigit())
