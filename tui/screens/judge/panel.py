"""What every judgement has: fields at the left; criteria and drawing at the right; what the answer band says of it."""

from __future__ import annotations

import asyncio
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar, Protocol, cast

from textual import work
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Static

from tui.fields.units import kept
from tui.screens.judge.bench import Bench
from tui.screens.judge.ruling import Ask, Note, Ruling, nothing, unreadable
from tui.widgets.answer_band import CUT_SHOWN_BY, Told, Tone, chip
from tui.widgets.cells import clean
from tui.widgets.judge.ask_field import AskField, Edited, PickField
from tui.widgets.judge.marks import Mark
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from tui.needing import Needed

DEBOUNCE = 0.03
TONES = {Mark.GOOD: Tone.GOOD, Mark.CARE: Tone.DOUBT, Mark.MEASURE: Tone.DOUBT, Mark.BAD: Tone.BAD}
"""How the answer's chip is coloured."""


class Drawing(Protocol):
    """A widget that draws a ruling's picture."""

    def show(self, picture: object) -> None:
        """Draw other data."""


class Panel(Bench):
    """One thing to judge. A subclass gives the asks, an invented example, `judge` and `drawing`."""

    ASKS: ClassVar[Sequence[Ask]]
    EXAMPLE: ClassVar[Mapping[str, str]]
    EMPTY: ClassVar[str] = "Nothing to judge yet."
    HEADING: ClassVar[str] = "Criterion"
    WORD: ClassVar[int] = 14
    WHY: ClassVar[int] = 30
    """The widths of the list's first and last columns; where there is no room for the last its words go to the name."""

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name for it
        super().__init__(id=id)
        self._ruling: Ruling = nothing(self.EMPTY)
        self._cleared: dict[str, str] = {}
        self._pictured = False

    def judge(self, values: Mapping[str, str], unit: str) -> Ruling:
        """The judgement. Runs in a thread and touches no widget."""
        raise NotImplementedError

    def required(self, values: Mapping[str, str], unit: str) -> Needed | str:
        """What a kit would need here: what was asked for, never what was offered. Where it is not known, why not.

        Runs in a thread and touches no widget.
        """
        return "Only what the machine asks for goes on a kit: pick element, fluid, thread or seal."

    def drawing(self) -> Widget:
        """The widget that draws the ruling's picture."""
        raise NotImplementedError

    @property
    def ruling(self) -> Ruling:
        """The judgement on screen."""
        return self._ruling

    @property
    def answer(self) -> Sequence[Content]:
        """The judgement in a word and its sentences."""
        return answer(self._ruling, plain=self.plain)

    def compose(self) -> ComposeResult:
        """Fields, criteria, the highlighted one in full, the drawing; the answer is the screen's."""
        with Horizontal():
            with VerticalScroll(classes="asks", can_focus=False):
                for ask in self.ASKS:
                    if ask.heading:
                        yield Static(Content(ask.heading), classes="title asks-heading", id=f"head-{ask.key}")
                    if ask.words:
                        yield PickField(ask.label, ask.words, id=f"ask-{ask.key}")
                    else:
                        yield AskField(ask.label, ask.told(kept(self.unit)), wide=ask.wide, id=f"ask-{ask.key}")
            with Vertical(classes="ruling"):
                yield Rows(
                    self._columns(), empty="Criteria appear here as you type.", loads=False, id=f"lines-{self.id}"
                )
                yield Told(cut=CUT_SHOWN_BY, classes="ruling-line")
                yield self.drawing()

    def _columns(self) -> list[Column]:
        return [Column("", self.WORD), Column(self.HEADING, 18, grow=True), Column("Why", self.WHY, yields=1)]

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.watch(self.app, "unit", self._unit_flipped, init=False)
        self._hide_what_does_not_apply()
        self._show(self._ruling)
        self._judge_again()

    def _unit_flipped(self) -> None:
        units = kept(self.unit)
        for ask in self.ASKS:
            if ask.quantity:
                cast("AskField", self.field(ask.key)).hinted(ask.told(units))
        self._judge_again()

    def field(self, key: str) -> AskField | PickField:
        """The field of this key."""
        return cast("AskField | PickField", self.query_one(f"#ask-{key}"))

    @property
    def values(self) -> dict[str, str]:
        """What is typed and picked, by key, of the fields that apply."""
        kind = self._kind
        return {ask.key: self.field(ask.key).answer for ask in self.ASKS if _applies(ask, kind)}

    @property
    def _kind(self) -> str:
        first = self.ASKS[0]
        return self.field(first.key).answer if first.words else ""

    def _hide_what_does_not_apply(self) -> None:
        kind = self._kind
        for ask in self.ASKS:
            shown = _applies(ask, kind)
            self.field(ask.key).display = shown
            if ask.heading:
                self.query_one(f"#head-{ask.key}").display = shown

    def on_edited(self, message: Edited) -> None:
        """Judge again."""
        message.stop()
        self._judge_again()

    @work(exclusive=True, group="judge")
    async def _judge_again(self) -> None:
        """A newer keystroke cancels this one before it reaches the screen."""
        await asyncio.sleep(DEBOUNCE)
        self._hide_what_does_not_apply()
        self._show(await asyncio.to_thread(self.ruled, self.values, self.unit))

    def ruled(self, values: Mapping[str, str], unit: str) -> Ruling:
        """The judgement, which permits nothing while a field cannot be read."""
        return unreadable(self.judge(values, unit), {ask.key: ask.label for ask in self.ASKS})

    def _show(self, ruling: Ruling) -> None:
        before = self._ruling.lines[self.rows.cursor].name if self._ruling.lines else ""
        self._ruling = ruling
        for ask in self.ASKS:
            note = ruling.notes.get(ask.key, Note())
            self.field(ask.key).say(note.echo, note.error)
        self.post_message(self.Answered(self))
        # The cursor stays on a criterion only while that one is still the worst: the worst is what must be read.
        kept = 0 if not ruling.lines or ruling.lines[0].name != before else self.rows.cursor
        self.rows.show(len(ruling.lines), self._row, cursor=kept)
        cast("Drawing", self.query_one(".ruling-picture")).show(ruling.picture)
        self._show_line()

    def _row(self, index: int) -> Row:
        line = self._ruling.lines[index]
        return Row((f"{line.mark.glyph(plain=self.plain)} {line.word}", line.name, line.sentence), line.mark.tone)

    def on_rows_highlighted(self, message: Rows.Highlighted) -> None:
        """Show the highlighted criterion in full."""
        message.stop()
        self._show_line()

    def _show_line(self) -> None:
        index = self.rows.cursor
        box = self.query_one(".ruling-line", Static)
        if not 0 <= index < len(self._ruling.lines):
            box.update("")
            return
        line = self._ruling.lines[index]
        source = Content.styled(f" [{line.source}]", "dim") if line.source else Content("")
        box.update(Content.assemble((clean(f"{line.name}: "), "bold"), clean(line.sentence), source))

    def clear(self) -> bool:
        """Empty every field, or bring back what was emptied last; True where it emptied."""
        typed = {ask.key: self.field(ask.key).answer for ask in self.ASKS}
        blank = {ask.key: ask.words[0] if ask.words else "" for ask in self.ASKS}
        emptied = typed != blank
        if emptied:
            self._cleared = typed
        self.fill(blank if emptied else self._cleared or blank)
        return emptied

    def example(self) -> bool:
        """Fill in the invented example; False where something is typed already."""
        if any(self.field(ask.key).answer for ask in self.ASKS if not ask.words):
            return False
        self.fill(self.EXAMPLE)
        return True

    def fill(self, values: Mapping[str, str]) -> None:
        """Put these answers into the fields; a field that is not named is left as it is."""
        for key, value in values.items():
            self.field(key).answer = value

    def turn_picture(self) -> None:
        """Table or drawing, where only one has room."""
        self._pictured = not self._pictured
        self.set_class(self._pictured, "-pictured")


def _applies(ask: Ask, kind: str) -> bool:
    """Whether it is asked of this kind; while the kind is not known only what is asked of every kind."""
    return not ask.when or kind in ask.when


def answer(ruling: Ruling, *, plain: bool) -> list[Content]:
    """The answer first, in a word with its glyph; then its sentences."""
    says = [clean(sentence) for sentence in ruling.says]
    if not ruling.word:
        return [Content(sentence) for sentence in says]
    lead = says[0] if says else ""
    state = chip(f"{ruling.mark.glyph(plain=plain)} {ruling.word.upper()}", TONES.get(ruling.mark, Tone.PLAIN))
    head = Content.assemble(state, ("  " + lead) if lead else "")
    lines = [head, *(Content(sentence) for sentence in says[1:])]
    count = len(ruling.to_measure)
    if count:
        things = "1 thing" if count == 1 else f"{count} things"
        style = Mark.MEASURE.style
        lines.append(
            Content.styled(f"{Mark.MEASURE.glyph(plain=plain)} {things} to measure before you trust it.", style)
        )
    return lines
