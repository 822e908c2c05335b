"""The rows of a box as text: a name and a count a row, each name read as a supplier's list is read. Books nothing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final, NamedTuple

from catalog.orings.sizes import label_of
from models.errors import InvalidInputError
from models.inventory.item_names import NOTHING_TOLD, read_item
from models.inventory.items import NewItem
from models.words import Kind

MOST_ROWS: Final = 500
MOST_LETTERS: Final = 60_000
MOST_PIECES: Final = 1_000_000
# The count is the last cell. A comma parts it only where a space follows: between digits it may be a decimal's.
_ROW: Final = re.compile(r"(?P<name>.+?)\s*(?:[;\t|]|,(?=\s))\s*(?P<count>[0-9]{1,7})\s*")
_THOUSANDS: Final = re.compile(r", ?[0-9]{1,3}, [0-9]{3}$")
"""A count of thousands with its comma, or a hardness and a count: nobody can tell."""
_HOW: Final = "Write a row as: AS568-214 NBR 70; 12"


class BoxRow(NamedTuple):
    """One row: its line in the text, the item that it names, how many lie there, and what was understood, in words."""

    line: int
    item: NewItem
    quantity: int
    words: str


def read(text: str, rubber: str = "") -> tuple[BoxRow, ...]:
    """The rows of the text; `rubber` is that of the rows that name none. A first row of headings is passed over.

    Raises `InvalidInputError` for the first row that can't be booked as it stands, by its line.
    """
    if len(text) > MOST_LETTERS:
        raise InvalidInputError(f"That is more than {MOST_LETTERS:,} letters.", "Load it in parts.")
    found: list[BoxRow] = []
    for line, said in _lines(text):
        if len(found) == MOST_ROWS:
            raise InvalidInputError(f"That is more than {MOST_ROWS} rows.", "Load it in parts.")
        found.append(_row(line, said, rubber))
    if not found:
        raise InvalidInputError("No row is there.", _HOW)
    return tuple(found)


def _lines(text: str) -> Iterator[tuple[int, str]]:
    first = True
    for line, said in enumerate(text.splitlines(), 1):
        said = " ".join(said.replace("\t", ";").replace('"', " ").split())
        if not said:
            continue
        if not (first and not re.search(r"[0-9]", said)):
            yield line, said
        first = False


def _row(line: int, said: str, rubber: str) -> BoxRow:
    parted = _ROW.fullmatch(said)
    shown = f"Line {line}, “{said[:40]}”"
    if parted is None:
        raise InvalidInputError(f"{shown}: no name and count were found.", _HOW)
    name, count = parted["name"].strip(" ;|,"), int(parted["count"])
    if not 1 <= count <= MOST_PIECES:
        raise InvalidInputError(f"{shown}: {count} pieces can't be booked.", f"Type 1 to {MOST_PIECES:,}.")
    if re.search(r"[;|]", name) or _THOUSANDS.search(said):
        raise InvalidInputError(f"{shown}: there are more than two cells.", _HOW)
    made = read_item(name)
    if made.item.kind is Kind.RING and "rubber" in made.missing and rubber:
        made = read_item(name, NOTHING_TOLD._replace(rubber=rubber))
    # A filter's class may stay open here: what fits is seen by the element.
    if missing := [one for one in made.missing if one != "class"]:
        what = {"size": "which size", "rubber": "which rubber", "kind": "what it is"}.get(missing[0], "what it is")
        raise InvalidInputError(f"{shown}: {what} is not said.", f"{_HOW}; or say one rubber for all.")
    item = made.item
    if item.counted_in is not None and item.counted_in.value != "each":
        raise InvalidInputError(f"{shown}: that is counted by volume.", "Receive it by itself.")
    if item.kind is Kind.RING:
        what = " ".join(filter(None, (label_of(item.size_key), item.rubber, str(item.hardness_shore_a or ""))))
        item = item._replace(name=f"O-ring {what}")
    return BoxRow(line, item, count, item.name)
