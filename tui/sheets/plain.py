"""A sheet's blocks as plain text: for a mail, a screen reader, or a printer that knows nothing else."""

from __future__ import annotations

import unicodedata
from typing import Final

from tui.sheets.blocks import Caution, Cell, Facts, Heading, Para, Pictures, Sheet, Step, Table
from tui.sheets.letters import clean
from tui.sheets.wrap import wrap

WIDE: Final = 78
TICK: Final = "[ ] "
LABEL: Final = 20


def text_of(sheet: Sheet) -> str:
    """The whole sheet in lines of at most 78 columns, ending with a line break."""
    lines = [*_lines(sheet.title.upper()), *(_lines(sheet.subtitle) if sheet.subtitle else []), "=" * WIDE]
    for block in sheet.blocks:
        match block:
            case Heading(text):
                lines += ["", *_lines(text), "-" * WIDE]
            case Para(text):
                lines += [*_lines(text), ""]
            case Facts(pairs):
                for label, value in pairs:
                    lines += _hanging(f"{_fitted(label + ':', LABEL - 1)} ", value, LABEL)
            case Step(text):
                lines += _hanging(TICK, text, len(TICK))
            case Caution(text, deadly):
                lines += _hanging("    ! " if deadly else "    - ", text, 6)
            case Pictures(shown):
                for one in shown:
                    lines += _hanging("- ", one.name, 2)
            case Table():
                lines += [*_table(block), ""]
    lines += ["", *_lines(sheet.foot)]
    bare = [line.rstrip() for line in lines]
    return "\n".join(line for line, before in zip(bare, ["", *bare], strict=False) if line or before) + "\n"


def columns(text: str) -> int:
    """How many columns `text` takes in a terminal or a fixed font: two for wide letters, none for combining marks."""
    return sum(map(_columns, text))


def _columns(letter: str) -> int:
    if unicodedata.combining(letter) or unicodedata.category(letter) in {"Mn", "Me", "Cf"}:
        return 0
    return 2 if unicodedata.east_asian_width(letter) in {"W", "F"} else 1


def _lines(text: str, room: int = WIDE) -> tuple[str, ...]:
    return wrap(clean(text), room, _columns)


def _hanging(lead: str, value: Cell, indent: int) -> list[str]:
    first, *rest = ["_" * 30] if value is None else _lines(value, WIDE - indent)
    return [lead + first, *(" " * indent + line for line in rest)]


def _table(table: Table) -> list[str]:
    indent = len(TICK) if table.tick else 0
    room = WIDE - indent - 2 * (len(table.columns) - 1)
    whole = sum(column.share for column in table.columns)
    widths = [max(4, int(room * column.share / whole)) for column in table.columns]
    rights = [column.right for column in table.columns]
    lines = _row(tuple(column.title for column in table.columns), widths, rights, " " * indent)
    for row in table.rows:
        lines += _row(row, widths, rights, TICK if table.tick else "")
    return lines


def _row(row: tuple[Cell, ...], widths: list[int], rights: list[bool], lead: str) -> list[str]:
    cells = [("_" * wide,) if cell is None else _lines(cell, wide) for cell, wide in zip(row, widths, strict=True)]
    return [
        (lead if index == 0 else " " * len(lead))
        + "  ".join(
            _fitted(cell[index] if index < len(cell) else "", wide, right)
            for cell, wide, right in zip(cells, widths, rights, strict=True)
        )
        for index in range(max(map(len, cells)))
    ]


def _fitted(text: str, wide: int, right: bool = False) -> str:
    space = " " * (wide - columns(text))
    return space + text if right else text + space
