"""One question of a judgement: a field to type in, or a word to pick, with what was understood beside it."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget
from textual.widgets import Input

from tui.bound import bind
from tui.widgets.cells import clean, fit

LONGEST = 200
LABEL = 12
NARROW = 11
UNKNOWN = "?"


class AskInput(Input):
    """The input. Keys that would do nothing in one line belong to the screen around it."""

    # An Input scrolls, so it binds these keys itself; here they would only hide the screen's own.
    BINDINGS: ClassVar[list[BindingType]] = [
        bind("take", "app.focus_next", "Next field", tooltip="The next field", priority=True),
        bind("up", "screen.move(-1)", "Up", tooltip="The row above", only="up"),
        bind("down", "screen.move(1)", "Down", tooltip="The row below", only="down"),
        bind(
            "page-down", "screen.picture", "Picture", show=True, tooltip="List or drawing", id="judge.picture_in_field"
        ),
    ]  # fmt: skip

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Nothing asked for has a question mark in it, so that key stays the screen's, and Alt with a letter too."""
        return character != "?" and not key.startswith("alt+") and super().check_consume_key(key, character)


class Edited(Message):
    """An answer changed."""


class AskField(Widget):
    """A typed answer. `wide` gives the input the whole line and puts the echo beneath."""

    DEFAULT_CSS = """
    AskField {
        height: 1;
        text-wrap: nowrap;
        & AskInput { margin-left: 12; width: 11; padding: 0; }
        &.-wide { height: 2; }
        &.-wide AskInput { width: 1fr; }
    }
    """

    def __init__(self, name: str, hint: str, *, wide: bool = False, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._label = name
        self._hint = hint
        self._echo = ""
        self._error = ""
        self._wide = wide
        self.set_class(wide, "-wide")

    def compose(self) -> ComposeResult:
        """The input alone; the rest is drawn around it."""
        # max_length keeps a pasted megabyte out of the screen; the parser refuses far shorter text with a sentence.
        yield AskInput(max_length=LONGEST)

    @property
    def input(self) -> Input:
        """The input."""
        return self.query_one(AskInput)

    @property
    def answer(self) -> str:
        """What is typed."""
        return self.input.value

    @answer.setter
    def answer(self, text: str) -> None:
        self.input.value = text

    def hinted(self, hint: str) -> None:
        """Show another hint while nothing is typed."""
        self._hint = hint
        self.refresh()

    def say(self, echo: str, error: str) -> None:
        """Show what was understood, or what is wrong."""
        self._echo, self._error = clean(echo), clean(error)
        self._fit_height()
        self.refresh()

    def _room(self) -> int:
        return self.size.width - (2 if self._wide else LABEL + NARROW + 1)

    def _beneath(self) -> list[str]:
        """The lines below the input: the error, or an echo that has no room beside it."""
        width = max(16, self.size.width - 2)
        if self._error:
            return textwrap.wrap("! " + self._error, width, subsequent_indent="  ")[:5]
        if self._wide:
            return textwrap.wrap(self._echo and f"= {self._echo}", width, subsequent_indent="  ")[:3] or [self._hint]
        return [f"= {self._echo}"] if len(self._short()) > self._room() else []

    def _short(self) -> str:
        return self._echo if len(self._echo) <= self._room() else self._echo.replace(" = ", "=")

    def _fit_height(self) -> None:
        lines = 1 + len(self._beneath())
        if self.styles.height is None or self.styles.height.value != lines:
            self.styles.height = lines

    def on_resize(self) -> None:
        """Lay out for the new size."""
        self._fit_height()

    def render(self) -> Content:
        """Name, a gap for the input, what was understood; the rest beneath."""
        width = self.size.width
        label = fit(f" {self._label}", LABEL)
        beneath = self._beneath()
        first = Content(fit(label, width))
        if not self._wide:
            beside = "" if self._error or beneath else self._short()
            tail = fit(beside or ("" if self._error or beneath else self._hint), max(0, self._room()))
            gap = " " * (NARROW + 1)
            first = Content.assemble(label, gap, tail if beside else (tail, "dim"))
        style = "bold $text-error" if self._error else "" if self._echo else "dim"
        return Content("\n").join([first, *(Content.styled(fit(f"  {line}", width), style) for line in beneath)])

    def on_input_changed(self, event: Input.Changed) -> None:
        """Follow the text as it is typed."""
        event.stop()
        kept = clean(event.value)
        if kept != event.value:
            # A pasted control character must never reach the terminal.
            event.input.value = kept
            return
        self.post_message(Edited())


class PickField(Widget, can_focus=True):
    """One of a few words, `?` first for what nobody looked at. Left and right change it; a click takes the next."""

    DEFAULT_CSS = """
    PickField { height: 1; text-wrap: nowrap; &:focus { background: $primary 30%; } }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        bind("before", "step(-1)", "Previous", tooltip="The word before"),
        bind("after", "step(1)", "Next", tooltip="The next word"),
        bind("mark", "step(1)", "Next", tooltip="The next word"),
        bind("take", "app.focus_next", "Next field", tooltip="The next field"),
    ]

    index: reactive[int] = reactive(0)

    def __init__(self, name: str, words: Sequence[str], *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._label = name
        self._words = tuple(words)

    @property
    def answer(self) -> str:
        """The word taken."""
        return self._words[self.index]

    @answer.setter
    def answer(self, word: str) -> None:
        self.index = self._words.index(word) if word in self._words else 0

    def say(self, echo: str, error: str) -> None:
        """A picked word needs no echo and cannot be wrong."""

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Digits: among fields they were meant for one of them, and open no area."""
        return character is not None and character.isdigit()

    def on_key(self, event: events.Key) -> None:
        """Keep a digit from an area's keys; a sheet has none, and may take what is typed on a word into a field."""
        if not self.screen.is_modal and self.check_consume_key(event.key, event.character):
            event.stop()
            event.prevent_default()

    def action_step(self, step: int) -> None:
        """Take the next or the previous word, round and round."""
        self.index = (self.index + step) % len(self._words)

    def watch_index(self, old: int, new: int) -> None:
        """Tell who listens."""
        if old != new:
            self.post_message(Edited())

    def render(self) -> Content:
        """The taken word in brackets among all others, in their own order, on as many lines as they take."""
        lines = []
        for at, line in enumerate(self._lines()):
            lead = fit(f" {self._label}" if at == 0 else "", LABEL)
            lines.append(Content.assemble(lead, *(self._word(index) for index in line)))
        return Content("\n").join(lines)

    def _word(self, index: int) -> Content:
        if index != self.index:
            return Content.styled(f" {self._words[index]} ", "dim")
        word = f"[{self._words[index]}]"
        return Content(word).stylize("bold reverse" if self.has_focus else "bold", 0, len(word))

    def _lines(self) -> list[list[int]]:
        """The words by line. Taken or not a word is as wide, so nothing moves when another is taken."""
        room = max(1, self.size.width - LABEL)
        lines: list[list[int]] = [[]]
        used = 0
        for index, word in enumerate(self._words):
            wide = len(word) + 2
            if lines[-1] and used + wide > room:
                lines.append([])
                used = 0
            lines[-1].append(index)
            used += wide
        return lines

    def on_resize(self) -> None:
        """As high as its words take."""
        height = len(self._lines())
        if self.styles.height is None or self.styles.height.value != height:
            self.styles.height = height

    def on_click(self, event: events.Click) -> None:
        """Take the next word."""
        self.action_step(1)
