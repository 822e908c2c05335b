"""Fill: marks, what drained, what was poured; how much more, how far over, and which packs to open."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.widget import Widget

from tui import answers, operations, screens
from tui.fields.fills import DRAINED, FULL, HELD, LET_OUT, LOW, PACKS, POURED
from tui.screens.judge.panel import Panel
from tui.screens.judge.ruling import Ask, Line, Ruling, ask, nothing
from tui.widgets.judge.marks import Mark
from tui.widgets.judge.sight_glass import SightGlass, glass_of

if TYPE_CHECKING:
    from tui.answers.fill import Fill

PUT_RIGHT = "Put right what is marked; the level follows."
OVER = "over the full mark"
MARKS: Mapping[str, Mark] = {
    "at the full mark": Mark.GOOD,
    "between the marks": Mark.GOOD,
    "at the low mark": Mark.CARE,
    "below the low mark": Mark.CARE,
    OVER: Mark.BAD,
}


class FillPanel(Panel):
    """The tally of one fill."""

    ASKS: ClassVar[Sequence[Ask]] = (
        ask(LOW, heading="The system holds"),
        ask(FULL),
        ask(HELD),
        ask(DRAINED, heading="What you did"),
        ask(POURED, wide=True),
        ask(LET_OUT),
        ask(PACKS, wide=True, heading="Packs on hand"),
    )
    EXAMPLE: ClassVar[Mapping[str, str]] = {
        "low": "11 qt", "full": "12 qt", "drained": "10 qt", "poured": "6 qt, 4 qt", "packs": "1 qt, 1 gal",
    }  # fmt: skip
    CAUTION = "Check the level at the mark. The machine's manual has the last word."
    HEADING = "Volume"
    EMPTY = "Type what the system holds at the full mark. Then what was poured, pour by pour."

    def drawing(self) -> Widget:
        """The glass."""
        return SightGlass(classes="ruling-picture", plain=self.plain)

    def judge(self, values: Mapping[str, str], unit: str) -> Ruling:
        """Where the level stands and what is missing."""
        reader = screens.judge.reading.Reader(values, unit)
        read = reader.read(operations.fill.FILL)
        if reader.wrong:
            return nothing(PUT_RIGHT, reader.notes)
        if read[LOW.name] is None and read[FULL.name] is None:
            return nothing(self.EMPTY, reader.notes)
        level = reader.answer(operations.fill.FILL, operations.fill.filled, read)
        if level is None:
            return nothing(PUT_RIGHT, reader.notes)
        glass = glass_of(
            level.held_ul, level.low_ul, level.full_ul, level.left_in_ul, level.first, over=level.state == OVER,
            drained=level.to_dispose_ul + level.reused_ul,
        )  # fmt: skip
        # What goes to disposal is a line of the list.
        says = (level.still, level.stayed)
        return Ruling(MARKS[level.state], level.state, says, (*_lines(level), *_packs(level)), glass, reader.notes)


def _lines(level: Fill) -> list[Line]:
    rows: list[tuple[Mark, str, int]] = []
    if level.over_ul:
        rows.append((Mark.BAD, "too much", level.over_ul))
    else:
        if level.to_low_ul:
            rows.append((Mark.CARE, "more to low mark", level.to_low_ul))
        rows.append((Mark.NOTE, "more to full mark", level.to_full_ul))
    rows += [
        (Mark.NOTE, "in the system now", level.held_ul),
        (Mark.NOTE, "of it stayed in", level.left_in_ul),
        (Mark.NOTE, "of it from packs", level.fresh_ul),
        (Mark.NOTE, "of it poured back", level.reused_ul),
        (Mark.NOTE, "goes to disposal", level.to_dispose_ul),
    ]
    rows += [] if level.low_ul == level.full_ul else [(Mark.NOTE, "low mark", level.low_ul)]
    rows.append((Mark.NOTE, "full mark", level.full_ul))
    # The list says the figure where it says a word elsewhere: the figure is the answer here.
    return [
        Line(mark, answers.levels.volume(each, level.first, short=True), name, answers.levels.volume(each, level.first))
        for mark, name, each in rows
    ]


def _packs(level: Fill) -> list[Line]:
    found = []
    for mark, opened in level.to_open:
        sign, word = (Mark.BAD, "short") if opened.missing_ul else (Mark.NOTE, "open")
        said = opened.said(level.first)
        found.append(Line(sign, word, f"packs to {mark} mark", said, "least left over, then fewest packs"))
    return found
