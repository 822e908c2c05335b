"""An element and a housing from a JSON or CSV file, and candidates from a CSV list."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

import models
from tui.fields.field import Asked, FieldError
from tui.fields.filters import FILE, LIST, PARTS, clean_name, element_read
from tui.fields.words import shown, unknown

if TYPE_CHECKING:
    from catalog.filters.element import Element

MOST_BYTES = 20_000_000
_DELIMITERS = ";\t,"


class Listed(NamedTuple):
    """Candidates of a list that could be read, and a sentence for each row that could not."""

    elements: tuple[Element, ...]
    problems: tuple[str, ...]


def parts_of(path: str) -> dict[str, dict[str, str]]:
    """The fields of `element` and `housing` in a file: JSON `{"element": {…}, "housing": {…}}`, or CSV rows of
    `part,field,value`. Raises `FieldError` with one sentence.
    """
    text = _text(FILE.flag, path)
    if text.lstrip().startswith(("{", "[")):
        return _from_json(text)
    return _from_rows(text)


def candidates_of(path: str, asked: Asked) -> Listed:
    """The elements of a CSV list, one a row, with element fields as columns. A bad row is told and the rest go on."""
    rows = list(_rows(LIST.flag, _text(LIST.flag, path)))
    if not rows:
        raise FieldError(
            "the file is empty; its first line must name the columns, as in kind,name,od,length", LIST.flag
        )
    columns = [clean_name(cell) for cell in rows[0][1]]
    known = [one.name.replace("_", "-") for one in PARTS["element"]]
    for column in columns:
        if column not in known:
            raise FieldError(f"column {unknown(column, known)}", LIST.flag)
        if columns.count(column) > 1:
            raise FieldError(f"the column {column} stands there {columns.count(column)} times", LIST.flag)
    elements, problems = [], []
    for line, cells in rows[1:]:
        try:
            if len(cells) > len(columns):
                raise FieldError(f"{len(cells)} values for {len(columns)} columns; put a value with commas in quotes")
            fields = {name: cell for name, cell in zip(columns, cells, strict=False) if cell.strip()}
            elements.append(element_read(fields, asked, "row"))
        except FieldError as problem:
            problems.append(f"line {line}: {problem}")
    return Listed(tuple(elements), tuple(problems))


def _text(option: str, path: str) -> str:
    try:
        return models.outside.small_text(path, MOST_BYTES)
    except models.errors.WorkshopError as problem:
        raise FieldError(str(problem), option) from problem


def _from_json(text: str) -> dict[str, dict[str, str]]:
    try:
        value = json.loads(text)
    except (ValueError, RecursionError):
        raise FieldError("this is not JSON; look at its brackets and quotes", FILE.flag) from None
    if not isinstance(value, dict) or not all(isinstance(part, dict) for part in value.values()):
        raise FieldError('JSON must be {"element": {field: value}, "housing": {field: value}}', FILE.flag)
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
    raise FieldError(f"{shown(where)} must be a text, a number, true, false or null", FILE.flag)


def _from_rows(text: str) -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = {}
    for at, (line, cells) in enumerate(_rows(FILE.flag, text)):
        if at == 0:
            if [clean_name(cell) for cell in cells] != ["part", "field", "value"]:
                raise FieldError("the first line must be part,field,value (or the file JSON)", FILE.flag)
            continue
        if len(cells) != 3:
            raise FieldError(f"line {line} has {len(cells)} values where part,field,value are three", FILE.flag)
        part = _part(cells[0].strip().lower())
        field = clean_name(cells[1])
        if field in found.setdefault(part, {}):
            raise FieldError(f"line {line}: {part} {shown(field)} was given before", FILE.flag)
        found[part][field] = cells[2]
    if not found:
        raise FieldError("the file is empty; its first line must be part,field,value (or the file JSON)", FILE.flag)
    return found


def _part(name: str) -> str:
    if name not in PARTS:
        raise FieldError(unknown(name, list(PARTS)), FILE.flag)
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
        raise FieldError(f"line {reader.line_num} is not CSV ({problem}); look at its quotes", option) from problem
