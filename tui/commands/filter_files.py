"""An element and a housing from a JSON or CSV file, and candidates from a CSV list, for `kitwright filter`."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from catalog.filters.element import Element
from tui.commands.filter_fields import ELEMENT, clean_name, element_of
from tui.commands.parsing import UsageError, shown, unknown

MOST_BYTES = 20_000_000
PARTS = ("element", "housing")
_DELIMITERS = ";\t,"


class Listed(NamedTuple):
    """Candidates of a list that could be read, and a sentence for each row that could not."""

    elements: tuple[Element, ...]
    problems: tuple[str, ...]


def parts_of(path: str) -> dict[str, dict[str, str]]:
    """The fields of `element` and `housing` in a file: JSON `{"element": {…}, "housing": {…}}`, or CSV rows of
    `part,field,value`. Raises UsageError with one sentence.
    """
    text = _text("--file", path)
    if text.lstrip().startswith(("{", "[")):
        return _from_json(text)
    return _from_rows(text)


def pairs_of(option: str, texts: Sequence[str]) -> dict[str, str]:
    """Fields from `name=value` words."""
    found: dict[str, str] = {}
    for text in texts:
        name, sign, value = text.partition("=")
        if not sign:
            raise UsageError(f"{option}: {shown(text)} has no =; type it like od=60 or first=open")
        clean = clean_name(name)
        if clean in found:
            raise UsageError(f"{option}: {clean} was given twice")
        found[clean] = value
    return found


def candidates_of(path: str, unit: str) -> Listed:
    """The elements of a CSV list, one a row, with element fields as columns. A bad row is told and the rest go on."""
    rows = list(_rows("--list", _text("--list", path)))
    if not rows:
        raise UsageError("--list: the file is empty; its first line must name the columns, as in kind,name,od,length")
    columns = [clean_name(cell) for cell in rows[0][1]]
    for column in columns:
        if column not in ELEMENT:
            raise UsageError(f"--list: column {unknown(column, list(ELEMENT))}")
        if columns.count(column) > 1:
            raise UsageError(f"--list: the column {column} stands there {columns.count(column)} times")
    elements, problems = [], []
    for line, cells in rows[1:]:
        try:
            if len(cells) > len(columns):
                raise UsageError(f"{len(cells)} values for {len(columns)} columns; put a value with commas in quotes")
            fields = {name: cell for name, cell in zip(columns, cells, strict=False) if cell.strip()}
            elements.append(element_of(fields, unit, "row"))
        except UsageError as problem:
            problems.append(f"line {line}: {problem}")
    return Listed(tuple(elements), tuple(problems))


def _text(option: str, path: str) -> str:
    from models.errors import WorkshopError
    from models.outside import small_text

    try:
        return small_text(path, MOST_BYTES)
    except WorkshopError as problem:
        raise UsageError(f"{option}: {problem}") from problem


def _from_json(text: str) -> dict[str, dict[str, str]]:
    try:
        value = json.loads(text)
    except (ValueError, RecursionError):
        raise UsageError("--file: this is not JSON; look at its brackets and quotes") from None
    if not isinstance(value, dict) or not all(isinstance(part, dict) for part in value.values()):
        raise UsageError('--file: JSON must be {"element": {field: value}, "housing": {field: value}}')
    found: dict[str, dict[str, str]] = {}
    for name, fields in value.items():
        _part(name)
        for field, content in fields.items():
            found.setdefault(name, {})[clean_name(field)] = _as_text(f"{name} {field}", content)
    return found


def _as_text(where: str, content: object) -> str:
    """JSON values as a person would type them: true is yes, null is unknown; a number is in the session's unit."""
    if content is None:
        return ""
    if isinstance(content, bool):
        return "yes" if content else "no"
    if isinstance(content, str):
        return content
    if isinstance(content, int | float):
        return f"{content:.9f}".rstrip("0").rstrip(".")
    raise UsageError(f"--file: {shown(where)} must be a text, a number, true, false or null")


def _from_rows(text: str) -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = {}
    for at, (line, cells) in enumerate(_rows("--file", text)):
        if at == 0:
            if [clean_name(cell) for cell in cells] != ["part", "field", "value"]:
                raise UsageError("--file: the first line must be part,field,value (or the file JSON)")
            continue
        if len(cells) != 3:
            raise UsageError(f"--file: line {line} has {len(cells)} values where part,field,value are three")
        part = _part(cells[0].strip().lower())
        field = clean_name(cells[1])
        if field in found.setdefault(part, {}):
            raise UsageError(f"--file: line {line}: {part} {shown(field)} was given before")
        found[part][field] = cells[2]
    if not found:
        raise UsageError("--file: the file is empty; its first line must be part,field,value (or the file JSON)")
    return found


def _part(name: str) -> str:
    if name not in PARTS:
        raise UsageError(f"--file: {unknown(name, PARTS)}")
    return name


def _rows(option: str, text: str) -> Iterator[tuple[int, list[str]]]:
    first = next((line for line in text.splitlines() if line.strip()), "")
    delimiter = max(_DELIMITERS, key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield reader.line_num, cells
    except csv.Error as problem:
        raise UsageError(f"{option}: line {reader.line_num} is not CSV ({problem}); look at its quotes") from problem
