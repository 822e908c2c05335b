"""The last band of every screen: what Enter does with what is highlighted, or what was just said of the last deed."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static

from tui.widgets.cells import clean

MOST = 4
"""Messages of one deed that stand there together, the last ones."""


class NextLine(Static):
    """Says what is next. A message stands in its place until another key is pressed, and covers nothing."""

    DEFAULT_CSS = """
    NextLine { height: auto; min-height: 1; max-height: 4; padding: 0 1; }
    NextLine.-told { text-style: bold; color: $text-accent; }
    NextLine.-trouble { text-style: bold; color: $text-warning; }
    """

    def __init__(self) -> None:
        super().__init__("", id="next", markup=False)
        self._next = Content("")
        self._told: list[str] = []

    def say_next(self, words: str | Content) -> None:
        """What is next, unless a message stands there still."""
        now = Content.assemble(("Next: ", "bold"), clean(words)) if isinstance(words, str) and words else words
        now = Content(now) if isinstance(now, str) else now
        if now != self._next:
            self._next = now
            if not self._told:
                self.update(now, layout=False)

    def tell(self, text: str, *, trouble: bool = False) -> None:
        """A message, beneath those of the same deed; the text is never read as markup."""
        self._told = [*self._told, f"! {text}" if trouble else text][-MOST:]
        self.set_class(trouble, "-trouble")
        self.add_class("-told")
        self.update(Content("\n").join([Content(clean(line)) for line in self._told]))

    def forget(self) -> None:
        """Another key was pressed: what was said is read."""
        if self._told:
            self._told = []
            self.remove_class("-told", "-trouble")
            self.update(self._next)
