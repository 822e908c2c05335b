"""Before a job closes: what became of what it picked, ring by ring, and the hours; Enter takes all as planned."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Final, NamedTuple

from textual.widgets import Input

import models
from models import kitting
from tui.answers.jobs import not_done_of
from tui.answers.kits import books_words, in_words
from tui.answers.levels import over_filled
from tui.fields.became import WhatBecame
from tui.fields.field import Asked, FieldError
from tui.fields.hour_meter import HOURS
from tui.keys import plain
from tui.screens.ask import Ask, Choices, Entry, Given, Key, Words, gives
from tui.widgets.cells import clean
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from models.hour_meter import Reading
    from models.kitting.closing import Books, Closing, Out

WAYS: Final = ("used", "back", "scrapped")
GLYPHS: Final = {"used": "✓", "back": "↩", "scrapped": "×"}
STYLES: Final = {"used": "", "back": "good", "scrapped": "bad"}
MOST_LEFT: Final = 3
"""Needs that are not done, a line each; of more it is said how many."""
MOST_BY_PIECE: Final = 12
"""Pieces of a line that have a row each; more of them go together."""


class Part(NamedTuple):
    """A row: so much of a picked line goes one way."""

    line: Out
    quantity: int
    way: str


class Closes(NamedTuple):
    """How a job closes: what became of what it picked, and the hours, where they were typed."""

    became: WhatBecame
    meter_hundredths_h: int | None
    typed: str


class Hours(NamedTuple):
    """The question for the hours: what was read `before`, and what stands in the field."""

    before: Reading | None
    typed: str = ""

    def entry(self, way: str) -> Entry:
        """The field, which is optional. `way`: the key that leads there, where a list stands before it."""
        last = f"; last {self.before.words}" if self.before is not None else ""
        return Entry("hours", self.typed, f"{way}hour meter, as 1234.5; optional{last}", understood=hours_words)


def hours_words(text: str) -> str:
    """What the typed hours mean; what can't be read begins with "!"."""
    try:
        found = HOURS.from_text(text, Asked())
    except FieldError as problem:
        return f"! {problem}"
    return "" if found is None else f"Hour meter: {models.hours.in_words(found)}"


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
    sums: Counter[tuple[int, str]] = Counter()
    for part in parts:
        sums[part.line.line_id, part.way] += part.quantity
    lines = {one.line_id: kitting.closing.Became(*(sums[one.line_id, way] for way in WAYS)) for one in closing.lines}
    return WhatBecame(closing, lines, as_planned=True)


def told_of(books: Books) -> str:
    """What a fluid takes, what was picked of it and what was poured."""
    marks = f"takes {in_words(books.low_ul, 'ul')} to {in_words(books.full_ul, 'ul')}"
    out = f" {in_words(books.let_out_ul, 'ul')} let out again." if books.let_out_ul else ""
    over = f" ! {over_filled(Fraction(books.over_ul))}" if books.over_ul else ""
    return clean(f"{books.title} {marks}. {books_words(books.picked_ul, books.poured_ul)}{out}{over}")


def left_words(closing: Closing) -> str:
    """The needs of which not all is picked or poured, a line each; "" where there is none."""
    tallied = {one.need_id for one in closing.books}  # those have a line of their own
    left = not_done_of(one for one in closing.left if one.need_id not in tallied)
    lines = [f"Not all picked: {one.words()}" for one in left[:MOST_LEFT]]
    more = [f"… and {len(left) - MOST_LEFT} needs more"] if len(left) > MOST_LEFT else []
    return "\n".join(clean(one) for one in (*lines, *more))


def close_job(title: str, words: str, closing: Closing, parts: list[Part], hours: Hours | None) -> Ask[Closes | None]:
    """What became of each; Enter closes the job as the rows say, Space, B and S change one, Esc closes none.

    `parts` are changed in place, so that the question can be asked again as it was left. `hours` None: on the bench.
    """

    def row(at: int) -> Row:
        part = parts[at]
        much = in_words(part.quantity, part.line.counted_in.value)
        item, asked = part.line.item_name, part.line.title
        what = item if item == asked else f"{asked}: {item}"
        return Row((f"{GLYPHS[part.way]} {part.way}", much, what, part.line.bin_code), STYLES[part.way])

    def goes(way: str) -> Callable[[Ask[Closes | None]], str]:
        """The highlighted row goes this way, and the next is highlighted."""

        def change(ask: Ask[Closes | None]) -> str:
            at = ask.at()
            if at >= 0:
                parts[at] = parts[at]._replace(way=way)
                ask.query_one(Rows).action_move(1)
            return ""

        return change

    def next_way(ask: Ask[Closes | None]) -> str:
        """The highlighted row goes the next way; a space among the hours means nothing."""
        at = ask.at()
        if at >= 0 and not isinstance(ask.focused, Input):
            parts[at] = parts[at]._replace(way=WAYS[(WAYS.index(parts[at].way) + 1) % len(WAYS)])
        return ""

    def accept(ask: Ask[Closes | None]) -> Given[Closes | None] | str:
        typed = ask.typed("hours") if hours is not None else ""
        try:
            read = HOURS.from_text(typed, Asked())
        except FieldError as problem:
            return str(problem)
        return Given(Closes(became(closing, parts), read, typed))

    left = left_words(closing)
    books = [*([left] if left else []), *map(told_of, closing.books)]
    rows = Choices(
        [Column("Became", 10), Column("Qty", 8, right=True), Column("What", 24, grow=True),
         Column("Bin", 10, yields=1)],
        len(parts),
        row,
        room="some",
        click="mark",
    )  # fmt: skip
    ways = (
        # Before the list, which would page on.
        Key("mark", "Next", "Used, back, scrapped: the next of them", next_way, first=True),
        Key("back", "Back", "It goes back to its bin", goes("back")),
        Key("scrap", "Scrapped", "It is thrown away", goes("scrapped")),
    )
    line = f"Enter: as planned · Space: next · {plain('back')} back · {plain('scrap')} scrapped · Esc: leave open"
    return Ask(
        f"Close “{clean(title)}”?" + (" What became of it:" if parts else ""),
        *([Words("\n".join(books))] if books else []),
        *([rows] if parts else []),
        *([hours.entry("Tab: " if parts else "")] if hours is not None else []),
        Words(words),
        keys=(
            *(ways if parts else ()),
            Key("take", "Close the job", "Close the job as it says here", accept),
            Key("leave", "Leave open", "Change nothing", gives(None)),
        ),
        line=line if parts else "Enter: close it · Esc: leave open",
        name="close-job",
        looks="sheet wide",
    )
