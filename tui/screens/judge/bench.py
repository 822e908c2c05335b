"""What the screen asks of whatever is open in it: a list, an answer, the keys' actions."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.content import Content
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input

from tui.screens.judge.ruling import Ruling
from tui.widgets.rows import Rows


class Bench(Widget):
    """A thing to judge, or the tables. Kept once made, so that nothing typed is lost."""

    DEFAULT_CSS = "Bench { height: 1fr; }"
    CAUTION: ClassVar[str]

    class Answered(Message):
        """What stands in the answer band is another."""

        def __init__(self, bench: Bench) -> None:
            self.bench = bench
            super().__init__()

    @property
    def answer(self) -> Sequence[Content]:
        """The lines of the answer band."""
        raise NotImplementedError

    @property
    def plain(self) -> bool:
        """Whether only plain characters may be used."""
        return bool(getattr(self.app, "plain_glyphs", False))

    @property
    def unit(self) -> str:
        """The session's unit."""
        return str(getattr(self.app, "unit", "mm"))

    @property
    def rows(self) -> Rows:
        """The list that the arrows move in."""
        return self.query_one(Rows)

    @property
    def first_input(self) -> Input | None:
        """The first field to type in that is asked for."""
        return next((field for field in self.query(Input) if field.parent and field.parent.display), None)

    @property
    def first(self) -> Widget | None:
        """Where one begins anew."""
        return self.first_input

    @property
    def ruling(self) -> Ruling:
        """What the sheet of reasons shows."""
        raise NotImplementedError

    def clear(self) -> bool:
        """Empty every field, or bring back what was emptied last; True where it emptied."""
        raise NotImplementedError

    def example(self) -> bool:
        """Fill in an example; False where something is typed already."""
        raise NotImplementedError

    def turn_picture(self) -> None:
        """List or drawing, where only one has room."""
        raise NotImplementedError
