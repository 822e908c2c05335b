"""Comma, semicolon, tab or bar between the cells; UTF-8, UTF-16 or the old Windows alphabet: found out."""

from __future__ import annotations

import codecs
import csv
import io
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from models import outside
from models.supplier_lists.line import Line

DELIMITERS: Final = (",", ";", "\t", "|")
_CHUNK: Final = 1 << 20
_SAMPLE_LINES: Final = 50
_TELL_EVERY: Final = 64


def encoding(file: Path) -> str:
    """By the mark at its start or its zero bytes; else UTF-8 if all of it is, else the old Windows alphabet.

    Reads the file once. Raises `InvalidInputError` for what is no text.
    """
    with file.open("rb") as handle:
        found = outside.alphabet(handle.read(outside.SAMPLE), file.name)
        if found is not None:
            return found
        handle.seek(0)
        for name in ("utf-8", "cp1252"):
            decoder = codecs.getincrementaldecoder(name)()
            try:
                while chunk := handle.read(_CHUNK):
                    decoder.decode(chunk)
                decoder.decode(b"", True)
            except UnicodeDecodeError:
                handle.seek(0)
                continue
            return name
    return "latin-1"


def delimiter(file: Path, alphabet: str) -> str:
    """The mark that splits most lines of the start into the same number of cells, more than one."""
    with file.open(encoding=alphabet, errors="replace", newline="") as handle:
        lines = [line for line in (handle.readline(100_000) for _ in range(_SAMPLE_LINES)) if line.strip()]
    best, best_score = ",", 0.0
    for mark in DELIMITERS:
        widths = [len(cells) for cells in _parsed(lines, mark) if cells]
        if not widths:
            continue
        width, agreeing = Counter(widths).most_common(1)[0]
        score = agreeing / len(widths) * min(width, 30) if width > 1 else 0.0
        if score > best_score:
            best, best_score = mark, score
    return best


def _parsed(lines: list[str], mark: str) -> list[list[str]]:
    found = []
    rows = csv.reader(io.StringIO("".join(lines)), delimiter=mark)
    while True:
        try:
            found.append(next(rows))
        except StopIteration:
            return found
        except csv.Error:
            continue


def lines(file: Path, alphabet: str, mark: str) -> Iterator[Line]:
    """Every record with the line it starts on and how far into the file that is. A broken one has no cells.

    Raises `InvalidInputError` where one record goes over so many lines that it can't be one.
    """
    with file.open("rb") as raw, io.TextIOWrapper(raw, alphabet, errors="replace", newline="") as handle:
        record = outside.Record(handle, file.name)
        rows = csv.reader(record, delimiter=mark)
        number = 1
        while True:
            record.letters = 0
            try:
                cells = next(rows)
            except StopIteration:
                return
            except csv.Error as problem:
                broken = f"the line can't be taken apart ({problem}); look for a quotation mark that never ends"
                yield Line(number, (), raw.tell(), broken)
                number = rows.line_num + 1
                continue
            if cells:
                yield Line(number, cells, raw.tell() if rows.line_num % _TELL_EVERY == 0 else 0)
            number = rows.line_num + 1
