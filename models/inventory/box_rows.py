"""The rows of a box as text: a name and a count a row, each name read as a supplier's list is read. Books nothing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final, NamedTuple

from catalog.orings.names import no_size_of
from catalog.orings.sizes import Series, title
from models.errors import InvalidInputError
from models.inventory.item_names import NOTHING_TOLD, read_item, ring_name
from models.inventory.items import NewItem
from models.words import Kind

MOST_ROWS: Final = 500
MOST_LETTERS: Final = 60_000
MOST_PIECES: Final = 1_000_000
# The count is the last cell. A comma parts it only where a space follows: between digits it may be a decimal's.
_ROW: Final = re.compile(r"(?P<name>.+?)\s*(?:[;\t|]|,(?=\s))\s*(?P<count>[0-9]{1,7})\s*")
_THOUSANDS: Final = re.compile(r", ?[0-9]{1,3}, [0-9]{3}$")
"""A count of thousands with its comma, or a hardness and a count: nobody can tell."""
_LOOK: Final = "Look at the bag again; the Catalog lists the sizes."
_HOW: Final = "Write a row as: AS568-214 NBR 70; 12"


class BoxRow(NamedTuple):
    """One row: its line in the text, the item that it names, how many lie there (0: none), what was understood, in
    words, and what it says.
    """

    line: int
    item: NewItem
    quantity: int
    words: str
    text: str = ""


class BadRow(NamedTuple):
    """A row that can't be booked as it stands: its line, what it says, and why not. `lacks`: what it leaves unsaid."""

    line: int
    text: str
    why: str
    lacks: str = ""

    @property
    def words(self) -> str:
        """`line 2, “AS568-214; 12”: the rubber is missing`."""
        return f"line {self.line}, “{self.text[:40]}”: {self.why}"


class _NotSaidError(InvalidInputError):
    """A row leaves something open; `lacks`: what."""

    def __init__(self, lacks: str, what: str) -> None:
        super().__init__(f"{what} is missing.", f"{_HOW}; or give one rubber for all.")
        self.lacks = lacks


class BoxRead(NamedTuple):
    """The rows that can be booked, a count of 0 (nothing lies there) among them, and those that can't."""

    rows: tuple[BoxRow, ...]
    bad: tuple[BadRow, ...]


def read(text: str, rubber: str = "") -> BoxRead:
    """The rows of the text; `rubber` is that of the rows that name none. A first row of headings is passed over.

    Raises `InvalidInputError` where there is no row, or too many.
    """
    if len(text) > MOST_LETTERS:
        raise InvalidInputError(f"That is more than {MOST_LETTERS:,} letters.", "Load it in parts.")
    rows: list[BoxRow] = []
    bad: list[BadRow] = []
    for line, said in _lines(text):
        if len(rows) + len(bad) == MOST_ROWS:
            raise InvalidInputError(f"That is more than {MOST_ROWS} rows.", "Load it in parts.")
        try:
            rows.append(_row(line, said, rubber))
        except InvalidInputError as refused:
            lacks = refused.lacks if isinstance(refused, _NotSaidError) else ""
            bad.append(BadRow(line, said, f"{refused.happened} {refused.to_do}".strip(), lacks))
    if not rows and not bad:
        raise InvalidInputError("No row is there.", _HOW)
    return BoxRead(tuple(rows), tuple(bad))


def _lines(text: str) -> Iterator[tuple[int, str]]:
    first = True
    for line, said in enumerate(text.splitlines(), 1):
        said = " ".join(said.replace("\t", ";").replace('"', " ").split())
        if not said:
            continue
        if not (first and not re.search(r"[0-9]", said)):
            yield line, said
        first = False


def _no_size(name: str) -> tuple[Series, str] | None:
    """The standard that the row names and the size that it does not have, as typed; None where it names none."""
    words = re.sub(r"(?i)^O[ -]?RINGS?\s+", "", name).split()
    for many in (1, 2, 3):
        said = " ".join(words[:many])
        if (series := no_size_of(said)) is not None:
            return series, said
    return None


def _row(line: int, said: str, rubber: str) -> BoxRow:
    parted = _ROW.fullmatch(said)
    if parted is None:
        raise InvalidInputError("no name and count were found.", _HOW)
    name, count = parted["name"].strip(" ;|,"), int(parted["count"])
    if count > MOST_PIECES:
        raise InvalidInputError(f"{count} pieces can't be booked.", f"Type 0 (empty) to {MOST_PIECES:,}.")
    if re.search(r"[;|]", name) or _THOUSANDS.search(said):
        raise InvalidInputError("there are more than two cells.", _HOW)
    made = read_item(name)
    if made.item.kind is Kind.RING and "rubber" in made.missing and rubber:
        made = read_item(name, NOTHING_TOLD._replace(rubber=rubber))
    # A filter's class may stay open here: what fits is seen by the element.
    if missing := [one for one in made.missing if one != "class"]:
        if (standard := _no_size(name)) is not None:
            raise InvalidInputError(f"{standard[1]} is no size of {title(standard[0])}.", _LOOK)
        what = {"size": "the size", "rubber": "the rubber"}.get(missing[0], "its kind")
        raise _NotSaidError(missing[0], what)
    item = made.item
    if item.counted_in is not None and item.counted_in.value != "each":
        raise InvalidInputError("that is counted by volume.", "Receive it by itself.")
    if item.kind is Kind.RING:
        item = item._replace(name=ring_name(item))
    return BoxRow(line, item, count, item.name, said)
