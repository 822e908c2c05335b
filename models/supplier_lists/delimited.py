"""Comma, semicolon, tab or bar between the cells; UTF-8, UTF-16 or the old Windows alphabet: found out."""

from __future__ import annotations

import codecs
import csv
import io
from collections import Counter
from collections.abc import Iterator
from itertools import chain, islice
from pathlib import Path
from typing import Final

from models import outside
from models.supplier_lists.line import Line, Lines

DELIMITERS: Final = (",", ";", "\t", "|")
_CHUNK: Final = 1 << 20
_SAMPLE_LINES: Final = 50
_QUOTE: Final = '"'
_END: Final = "end"


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
    for some in blocks(file, alphabet, mark, _SAMPLE_LINES):
        yield from map(some.line, range(len(some.numbers)))


def blocks(file: Path, alphabet: str, mark: str, every: int) -> Iterator[Lines]:
    """The same, so many lines of text at once."""
    with file.open("rb") as raw, io.TextIOWrapper(raw, alphabet, errors="replace", newline="") as handle:
        first = 1
        while texts := list(islice(handle, every)):
            rows = _one_a_line(texts, mark)
            if rows is None:
                found, went = _records(first, texts, handle, mark, file.name)
            else:
                found, went = Lines(range(first, first + len(rows)), rows, {}, 0), len(texts)
            yield found._replace(read=raw.tell())
            first += went


def _one_a_line(texts: list[str], mark: str) -> list[list[str]] | None:
    """The cells of each line where every line is a record; None where a record goes over several, or is broken."""
    if not any(_QUOTE in text for text in texts) and max(map(len, texts)) < csv.field_size_limit():
        return [text.rstrip("\r\n").split(mark) for text in texts]
    try:
        rows = list(csv.reader([*texts, _END], delimiter=mark))
    except csv.Error:
        return None
    # A quotation mark left open takes in what stands behind the last line.
    return rows[:-1] if len(rows) == len(texts) + 1 else None


def _records(first: int, texts: list[str], rest: Iterator[str], mark: str, name: str) -> tuple[Lines, int]:
    """The records that begin in these lines, which may go on in those after them; and how many lines they are."""
    record = outside.Record(chain(texts, rest), name)
    rows = csv.reader(record, delimiter=mark)
    numbers: list[int] = []
    kept: list[list[str]] = []
    broken: dict[int, str] = {}
    while rows.line_num < len(texts):
        record.letters = 0
        number = first + rows.line_num
        try:
            cells = next(rows)
        except StopIteration:
            break
        except csv.Error as problem:
            broken[len(kept)] = f"the line can't be taken apart ({problem}); look for a quotation mark that never ends"
            cells = []
        numbers.append(number)
        kept.append(cells)
    return Lines(numbers, kept, broken, 0), rows.line_num
