"""The ring sizes as rows with the text they are found by. Pure: no widget, no database."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import cache
from typing import TYPE_CHECKING, NamedTuple, Protocol, TypeVar

from catalog import orings

if TYPE_CHECKING:
    from catalog.orings.sizes import RingSize
    from tui.workshop import Workshop

# "25x3.5" and "25 × 3.5" mean two numbers; a quoted or bare inch mark is no part of a number.
_CROSS = re.compile(r"(?<=\d)\s*[x×*]\s*(?=[\d.])")
_COMMA = re.compile(r"(?<=\d),(?=\d)")


class Entry(NamedTuple):
    """A size, its series in words, the lower-case text that a filter looks through, and its series as a group."""

    size: RingSize
    title: str
    text: str
    group: str

    @property
    def name(self) -> str:
        """What it is called."""
        return self.size.label


class Found(Protocol):
    """What can be narrowed: its name, a text to look through and the group it is in."""

    @property
    def name(self) -> str:
        """What it is called."""

    @property
    def text(self) -> str:
        """In lower case, with a space before every word."""

    @property
    def group(self) -> str:
        """One word of the choice under the filter."""


AnyEntry = TypeVar("AnyEntry", bound=Found)


@cache
def entries() -> tuple[Entry, ...]:
    """Every size of every series, series by series in table order."""
    return tuple(size_entry(size) for series in orings.sizes.STANDARDS for size in orings.sizes.load(series))


def own_entries(workshop: Workshop) -> tuple[Entry, ...] | None:
    """The rows that are this shop's word: sizes of its own, and rows of ours it confirms or corrects. In a thread.

    None where they can't be read.
    """
    book = workshop.own_sizes()
    return None if book is None else tuple(map(size_entry, book.own))


def size_entry(size: RingSize) -> Entry:
    """A size as a row."""
    called = orings.sizes.title(size.series)
    return Entry(size, called, _text(size, called), size.series)


def _text(size: RingSize, series: str) -> str:
    inside, width = size.id_mm, size.cross_section_mm
    numbers = f"{inside:.2f} {inside:g} {width:.2f} {width:g} {inside / 25.4:.3f} {width / 25.4:.3f}"
    standing = f"{size.standing.word} {size.standing}"
    bare = (
        size.designation.lstrip("PGVSR") if size.series != "own" else ""
    )  # whoever types "jis 25" means P25, G25 or S25
    return f" {size.label} {size.designation} {bare} {series} {size.series} {numbers} {standing} {size.note} ".lower()


def words(text: str) -> tuple[str, ...]:
    """What a filter asks for: every word must be there. A number must begin one of the entry's numbers or names."""
    plain = _COMMA.sub(".", _CROSS.sub(" ", text.lower())).replace('"', " ").replace("mm", " ")
    # A word that starts with a digit is looked for at a word's start, so "3.5" finds 3.53 and not 13.5; and so is
    # "checked", which is also the end of "unchecked".
    return tuple(f" {word}" if word[0].isdigit() or word == "checked" else word for word in plain.split())


def narrow(among: Sequence[AnyEntry], wanted: Iterable[str], group: str = "") -> Sequence[AnyEntry]:
    """The entries that hold every wanted word, of one group if it is named."""
    kept = among if not group else [entry for entry in among if entry.group == group]
    for word in wanted:
        kept = [entry for entry in kept if word in entry.text]
    return kept


def called(kept: Sequence[AnyEntry], text: str) -> int:
    """The place of the row whose whole name was typed, case and spaces apart; the first where none is called so."""
    wanted = _bare(text)
    return next((at for at, entry in enumerate(kept) if _bare(entry.name) == wanted), 0) if wanted else 0


def _bare(name: str) -> str:
    return "".join(name.split()).lower()
