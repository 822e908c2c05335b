"""A list that takes what is typed while it has the focus: letters go where the eye is, and none is lost."""

from __future__ import annotations

from textual import events
from textual.message import Message

from tui.widgets.rows import Rows


class TypedRows(Rows):
    """Letters, signs and Backspace are posted as `Typed`; all other keys do what they do in a list."""

    class Typed(Message):
        """A sign was typed; None: the last one is taken off."""

        def __init__(self, rows: TypedRows, sign: str | None) -> None:
            self.rows = rows
            self.sign = sign
            super().__init__()

        @property
        def control(self) -> TypedRows:
            """The list."""
            return self.rows

    def on_key(self, event: events.Key) -> None:
        """Accept what is typed before it is a key of the list or of the page."""
        sign = event.character if event.is_printable else None
        if sign is None and event.key != "backspace":
            return
        event.stop()
        event.prevent_default()
        self.post_message(self.Typed(self, sign))

    def on_paste(self, event: events.Paste) -> None:
        """What is pasted is typed."""
        event.stop()
        for sign in event.text:
            if sign.isprintable():
                self.post_message(self.Typed(self, sign))
