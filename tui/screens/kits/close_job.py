"""Before a job closes: what became of what it picked, ring by ring; Enter takes all as planned."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar, Final, NamedTuple

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Static

from tui.answers.kits import books_words, in_words
from tui.fields.became import WhatBecame
from tui.screens.closing import Sheet
from tui.widgets.cells import clean
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from models.kitting.closing import Books, Closing, Out

WAYS: Final = ("used", "back", "scrapped")
GLYPHS: Final = {"used": "✓", "back": "↩", "scrapped": "×"}
STYLES: Final = {"used": "", "back": "good", "scrapped": "bad"}
MOST_BY_PIECE: Final = 12
"""Pieces of a line that have a row each; more of them go together."""


class Part(NamedTuple):
    """A row: so much of a picked line goes one way."""

    line: Out
    quantity: int
    way: str


def parts_of(closing: Closing) -> list[Part]:
    """Each ring by itself, the rest of a line by what is planned."""
    parts: list[Part] = []
    for line in closing.lines:
        for way in WAYS:
            much = getattr(line.planned, way)
            by_piece = line.counted_in.value == "each" and line.kind.value == "ring" and line.out <= MOST_BY_PIECE
            parts += [Part(line, 1, way)] * much if by_piece else [Part(line, much, way)] if much else []
    return parts


def became(closing: Closing, parts: Sequence[Part]) -> WhatBecame:
    """What the rows come to, by line."""
    from models.kitting.closing import Became

    sums: Counter[tuple[int, str]] = Counter()
    for part in parts:
        sums[part.line.line_id, part.way] += part.quantity
    lines = {one.line_id: Became(*(sums[one.line_id, way] for way in WAYS)) for one in closing.lines}
    return WhatBecame(closing, lines, as_planned=True)


def told_of(books: Books) -> str:
    """What a fluid takes, what was picked of it and what was poured."""
    marks = f"takes {in_words(books.low_ul, 'ul')} to {in_words(books.full_ul, 'ul')}"
    return clean(f"{books.title} {marks}. {books_words(books.picked_ul, books.poured_ul)}")


class CloseJob(Sheet[WhatBecame | None]):
    """Enter closes the job as the rows say; U, B, S say what became of one, Space takes the next; Esc closes none."""

    DEFAULT_CSS = """
    CloseJob #close-list { height: 8; }
    CloseJob.-tall #close-list { height: 16; }
    CloseJob #close-books { text-style: bold; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        # Before the list, which would page on.
        Binding("space", "next_way", "Next", tooltip="Used, back, scrapped: the next of them", id="close.next",
                priority=True),
        Binding("u", "way('used')", "Used", tooltip="The job used it", id="close.used"),
        Binding("b", "way('back')", "Back", tooltip="It goes back to its bin", id="close.back"),
        Binding("s", "way('scrapped')", "Scrapped", tooltip="It is thrown away", id="close.scrapped"),
        Binding("enter,y", "accept", "Close the job", tooltip="Close the job as the rows say", id="close.accept"),
        Binding("escape,n", "cancel", "Don't close", tooltip="Change nothing", id="close.cancel"),
    ]  # fmt: skip

    def __init__(self, title: str, words: str, closing: Closing) -> None:
        super().__init__()
        self._job = title
        self._words = words
        self._took = closing
        self._parts = parts_of(closing)

    def compose(self) -> ComposeResult:
        """The question, the books that differ, what is out, what follows from it."""
        with Vertical(classes="sheet wide"):
            yield Static(f"Close “{clean(self._job)}”? What became of it:", classes="title", markup=False)
            books = [told_of(one) for one in self._took.books]
            if books:
                yield Static("\n".join(books), id="close-books", markup=False)
            yield Rows(
                [Column("Became", 10), Column("Qty", 8, right=True), Column("What", 24, grow=True),
                 Column("Bin", 10, yields=1)],
                empty="",
                id="close-list",
            )  # fmt: skip
            yield Static(self._words, markup=False)
        yield Static("Enter: all as planned · U used · B back in its bin · S scrapped · Esc: don't close",
                     classes="sheet-keys wide", markup=False)  # fmt: skip

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.query_one(Rows).focus()
        self._show()

    def _show(self) -> None:
        rows = self.query_one(Rows)
        rows.show(len(self._parts), self._row, cursor=max(0, rows.cursor))

    def _row(self, index: int) -> Row:
        part = self._parts[index]
        much = in_words(part.quantity, part.line.counted_in.value)
        what = part.line.item_name if part.line.item_name == part.line.title else (
            f"{part.line.title}: {part.line.item_name}"
        )  # fmt: skip
        return Row((f"{GLYPHS[part.way]} {part.way}", much, what, part.line.bin_code), STYLES[part.way])

    def action_way(self, way: str) -> None:
        """Say what became of the highlighted row, and go on to the next."""
        rows = self.query_one(Rows)
        at = rows.cursor
        if 0 <= at < len(self._parts):
            self._parts[at] = self._parts[at]._replace(way=way)
            rows.show(len(self._parts), self._row, cursor=min(at + 1, len(self._parts) - 1))

    def action_next_way(self) -> None:
        """The highlighted row goes the next way."""
        at = self.query_one(Rows).cursor
        if 0 <= at < len(self._parts):
            way = WAYS[(WAYS.index(self._parts[at].way) + 1) % len(WAYS)]
            self._parts[at] = self._parts[at]._replace(way=way)
            self._show()

    def on_rows_chosen(self) -> None:
        """A click on the highlighted row is Space."""
        self.action_next_way()

    def action_accept(self) -> None:
        """Hand back what the rows say."""
        self.dismiss(became(self._took, self._parts))

    def action_cancel(self) -> None:
        """Leave the job open."""
        self.dismiss(None)
