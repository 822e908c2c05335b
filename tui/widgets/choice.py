"""One of a few words, all in sight: a key steps through them, a click takes one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import events
from textual.binding import BindingType
from textual.content import Content
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget

from tui.bound import bind


class Choice(Widget, can_focus=True):
    """A row of words. Left and right (or `step`) change which is taken; the taken one stands in brackets.

    `by_letter`: among fields, a letter takes the next word that begins with it. No letter and no digit typed there is
    a key of the screen's: it was meant for a field.
    """

    DEFAULT_CSS = """
    Choice { height: 1; width: 1fr; padding: 0 1; &:focus { background: $primary 30%; } }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        bind("before", "step(-1)", "Previous", tooltip="The word before"),
        bind("after", "step(1)", "Next", tooltip="The next word"),
        bind("mark", "step(1)", "Next", tooltip="The next word"),
    ]

    index: reactive[int] = reactive(0)

    class Changed(Message):
        """Another word was taken."""

        def __init__(self, choice: Choice) -> None:
            self.choice = choice
            super().__init__()

        @property
        def control(self) -> Choice:
            """The row of words."""
            return self.choice

    def __init__(
        self,
        words: Sequence[str],
        *,
        short: Sequence[str] = (),
        by_letter: bool = False,
        id: str | None = None,  # noqa: A002 - Textual's own name
    ) -> None:
        """`short`: the words where all in full have no room, even side by side without gaps."""
        super().__init__(id=id)
        self._words = tuple(words)
        self._short = tuple(short) or self._words
        self._by_letter = by_letter

    @property
    def word(self) -> str:
        """The word taken."""
        return self._words[self.index]

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Letters and digits, among fields."""
        return self._by_letter and character is not None and character.isalnum()

    def on_key(self, event: events.Key) -> None:
        """Take the next word that begins with the letter."""
        if not self.check_consume_key(event.key, event.character):
            return
        event.stop()
        event.prevent_default()
        count, letter = len(self._words), (event.character or "").casefold()
        for step in range(1, count + 1):
            at = (self.index + step) % count
            if any(one.casefold().startswith(letter) for one in (self._words[at], self._short[at])):
                self.index = at
                return

    def action_step(self, step: int) -> None:
        """Take the next or the previous word, round and round."""
        self.index = (self.index + step) % len(self._words)

    def watch_index(self, old: int, new: int) -> None:
        """Tell who listens."""
        if old != new:
            self.post_message(self.Changed(self))

    def _pieces(self) -> list[str]:
        tight = sum(len(word) + 2 for word in self._words) > self.size.width
        # Side by side each word has one space behind it, the last needs none, and the taken one has its brackets.
        words = self._short if sum(len(word) + 1 for word in self._words) + 1 > self.size.width else self._words
        return [
            f"[{word}]{' ' if tight else ''}" if i == self.index else (f"{word} " if tight else f" {word} ")
            for i, word in enumerate(words)
        ]

    def render(self) -> Content:
        """The words; the taken one in brackets and reversed."""
        parts = [
            Content(piece).stylize("reverse bold", 0, len(piece.rstrip())) if i == self.index else Content(piece)
            for i, piece in enumerate(self._pieces())
        ]
        return Content.assemble(*parts)

    def on_click(self, event: events.Click) -> None:
        """Take what was clicked."""
        offset = event.get_content_offset(self)
        if offset is None:
            return
        reach = 0
        for i, piece in enumerate(self._pieces()):
            reach += len(piece)
            if offset.x < reach:
                self.index = i
                return
