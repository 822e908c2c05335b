"""Which column holds what: as a person confirmed it, kept by its headers so that their order may change."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from models.errors import InvalidInputError
from models.supplier_lists.figures import MARKS
from models.supplier_lists.words import Field


class Column(NamedTuple):
    """One column in use. `at` counts from 0; `from_packs` is for PRICE_FROM: the price that holds from so many on."""

    at: int
    header: str
    field: Field
    from_packs: int | None = None


class Layout(NamedTuple):
    """How a file is laid out. `header_line` is 0 where there are no headers; rows begin after it."""

    columns: tuple[Column, ...]
    mark: str
    header_line: int

    def column(self, field: Field) -> Column | None:
        """The column that holds the field, if any."""
        return next((column for column in self.columns if column.field is field), None)

    def with_field(self, at: int, field: Field, from_packs: int | None = None, *, header: str = "") -> Layout:
        """The layout with one column corrected; another column that held the field lets go of it."""
        header = header or next((column.header for column in self.columns if column.at == at), "")
        kept = [
            column
            for column in self.columns
            if column.at != at and (column.field is not field or field in (Field.PRICE_FROM, Field.IGNORE))
        ]
        return self._replace(columns=tuple(sorted([*kept, Column(at, header, field, from_packs)])))


def checked(layout: Layout) -> Layout:
    """The layout, or `InvalidInputError`: no part number, a field twice, a price break without its quantity."""
    used = [column for column in layout.columns if column.field is not Field.IGNORE]
    counts = Counter(column.field for column in used if column.field is not Field.PRICE_FROM)
    if not counts[Field.NUMBER]:
        raise InvalidInputError("No column holds the part number.", "Say which one does.")
    for field, count in counts.items():
        if count > 1:
            raise InvalidInputError(f"Two columns hold the {field}.", "Keep one of them.")
    steps = [column.from_packs for column in used if column.field is Field.PRICE_FROM]
    if any(step is None or step < 2 for step in steps) or len(set(steps)) < len(steps):
        raise InvalidInputError(
            "A price break needs the number of packs it starts from, each once.", "Say it as price from 10."
        )
    if steps and not counts[Field.PRICE]:
        raise InvalidInputError("There are price breaks but no price.", "Say which column holds the price of one pack.")
    if layout.mark not in MARKS:
        raise InvalidInputError("The decimal mark is missing.", "It is a point or a comma.")
    return layout._replace(columns=tuple(used))


def heading(header: str) -> str:
    """A header as it is compared: case and spaces apart."""
    return " ".join(header.split()).casefold()


def to_json(layout: Layout) -> str:
    """The layout as text to keep."""
    columns = [[column.header, column.at, column.field.value, column.from_packs] for column in layout.columns]
    return json.dumps({"columns": columns, "mark": layout.mark, "headers": layout.header_line > 0}, ensure_ascii=False)


def from_json(kept: str, headers: Sequence[str], header_line: int) -> Layout | None:
    """A kept layout on a file with these headers; None when a column it needs is missing or there twice."""
    said = json.loads(kept)
    if said["headers"] is not (header_line > 0):
        return None
    now = [heading(header) for header in headers]
    columns = []
    for header, at, field, from_packs in said["columns"]:
        if said["headers"] and heading(header):
            if now.count(heading(header)) != 1:
                return None
            place = now.index(heading(header))
        elif at < len(headers):
            place = at
        else:
            return None
        columns.append(Column(place, headers[place] if said["headers"] else "", Field(field), from_packs))
    return Layout(tuple(sorted(columns)), said["mark"], header_line)
