"""What a row of a supplier's list is, so that it can be judged like an item on the shelf: said before, or read."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import Final, NamedTuple

from catalog.orings.sizes import label_of
from models.qualify.wanted import Thing
from models.supplier_lists.listing import ListedRow
from models.supplier_lists.read_fluid import fluids_in, split
from models.supplier_lists.words import ReadingState
from models.tables import Need
from models.text import fold
from models.words import Kind, Unit, unit_for

_BETWEEN_DIGITS: Final = re.compile(r"(?<=\d)\s*[x*]\s*(?=\d)")
_COMMA: Final = re.compile(r"(?<=\d),(?=\d)")
_WORD: Final = re.compile(r"[^\s,;:()\[\]]+")


_fold: Final = lru_cache(maxsize=10_000)(fold)
"""Kept: the lists name the same few classes again and again."""


class Known(NamedTuple):
    """A row as an item: never stored itself. `doubt`: what a person must look at before it is ordered, or ""."""

    item: Thing
    claims: tuple[str, ...]
    doubt: str


@lru_cache(maxsize=4_000)
def words_in(text: str) -> frozenset[str]:
    """The words of a text as they are compared: case folded, `×` and `x` between numbers apart, decimal points."""
    plain = unicodedata.normalize("NFKC", text).casefold().replace("×", "x").replace("µ", "u").replace("μ", "u")
    plain = _COMMA.sub(".", _BETWEEN_DIGITS.sub(" x ", plain))
    return frozenset(_WORD.findall(plain)) - {"x"}


def holds(row: ListedRow, unit: Unit) -> int | None:
    """What one pack holds in that unit; None where the list does not say."""
    if unit is Unit.EACH:
        return row.pack_quantity if row.counted_in is Unit.EACH else None
    if row.counted_in is Unit.MICROLITRE:
        return row.pack_quantity
    return None if row.volume_ul is None else row.pack_quantity * row.volume_ul


def known_by_their_text(rows: Iterable[ListedRow], need: Need) -> Iterator[tuple[ListedRow, Known]]:
    """What each row's own text says it is; those left out where that is not near what the need asks for."""
    match need.kind:
        case Kind.RING:
            told = ((row, _ring(row)) for row in rows)
        case Kind.FLUID:
            told = ((row, fluid(row, need, fluids_in(row.name))) for row in rows)
        case _:
            return _by_words(rows, need)
    return ((row, known) for row, known in told if known is not None)


def _item(name: str, kind: Kind, spec_class: str = "", spec_grade: str = "") -> Thing:
    return Thing(
        0,
        kind,
        name,
        spec_class=spec_class,
        spec_grade=spec_grade,
        class_folded=_fold(spec_class),
        grade_folded=_fold(spec_grade),
        counted_in=unit_for(kind),
    )


def _ring(row: ListedRow) -> Known | None:
    if row.size_key is None or row.reading_state is ReadingState.REFUSED:
        return None
    item = Thing(0, Kind.RING, row.name or row.number, row.size_key, row.rubber, row.hardness_shore_a)
    if row.reading_state is ReadingState.CONFIRMED:
        return Known(item, (), "")
    sure = "" if row.reading_ppm is None else f", {row.reading_ppm / 10_000:.0f} % sure"
    hard = f" {row.hardness_shore_a}" if row.hardness_shore_a else ""
    return Known(item, (), f"read as {label_of(row.size_key)} {row.rubber}{hard}".rstrip() + sure)


def fluid(row: ListedRow, need: Need, kept: str | None) -> Known | None:
    """The classes and the grade that the text names, as `kept`; a class the need names in the same words before them.

    None where it names neither.
    """
    named, grade = split(kept) if kept else ((), "")
    asked = need.spec_class
    if asked and asked not in named and words_in(asked) <= words_in(row.name):
        named = (asked, *named)
    if not named:
        return None
    return Known(
        _item(row.name or row.number, Kind.FLUID, named[0], grade),
        named[1:],
        f"read as {', '.join(named)}{f' {grade}' if grade else ''} in the list's text",
    )


def _by_words(rows: Iterable[ListedRow], need: Need) -> Iterator[tuple[ListedRow, Known]]:
    """Rows whose text holds every word of the class asked for, and the grade where its words are there."""
    asked, grade, kind = words_in(need.spec_class), words_in(need.spec_grade), need.kind
    if not asked:
        return
    plain = _item("", kind, need.spec_class)
    graded = plain._replace(spec_grade=need.spec_grade, grade_folded=_fold(need.spec_grade)) if grade else plain
    for row in rows:
        said = words_in(row.name)
        if asked <= said:
            item = graded if grade <= said else plain
            yield row, Known(item._replace(name=row.name or row.number), (), "taken by the words of the list's text")
