"""The last band of every screen: what Enter does with what is highlighted, or what was just said of the last deed."""

from __future__ import annotations

from rich.cells import cell_len
from textual.content import Content
from textual.widgets import Static

from tui.widgets.cells import clean
from tui.widgets.key_line import KeyLine

MOST = 4
"""Messages of one deed that stand there together, the last ones."""
ROWS = 2
"""The lines of the longest message: its own and the keys'."""
CUT = " …"
CLAUSE = "; "


class NextLine(Static):
    """Says what is next. A message stands in its place until another key is pressed, and covers nothing.

    It is one line: of what is next the last clauses are left out where they have no room. A message that has none in it
    has the key line's as well, and the keys come back with the next key: nothing above ever moves. What is longer still
    is cut, and says so.
    """

    DEFAULT_CSS = """
    NextLine { height: 1; padding: 0 1; text-wrap: nowrap; text-overflow: ellipsis; }
    NextLine.-long { height: 2; }
    NextLine.-told { text-style: bold; color: $text-accent; }
    NextLine.-trouble { text-style: bold; color: $text-warning; }
    """

    def __init__(self) -> None:
        super().__init__("", id="next", markup=False)
        self._words: str | Content = ""
        self._next = Content("")
        self._told: list[str] = []

    def say_next(self, words: str | Content) -> None:
        """What is next, unless a message stands there still."""
        self._words = words
        self._show_next()

    def _show_next(self) -> None:
        words = self._words
        if isinstance(words, str):
            words = Content.assemble(("Next: ", "bold"), self._fitting(clean(words))) if words else Content("")
        if words != self._next:
            self._next = words
            if not self._told:
                self.update(words, layout=False)

    def _fitting(self, words: str) -> str:
        """As many of its clauses as there is room for, the first at least."""
        room = self.content_size.width - len("Next: ")
        while room > 0 and cell_len(words) > room and CLAUSE in words:
            words = words.rpartition(CLAUSE)[0]
        return words

    def tell(self, text: str, *, trouble: bool = False) -> None:
        """A message, beneath those of the same deed; the text is never read as markup."""
        self._told = [*self._told, f"! {text}" if trouble else text][-MOST:]
        self.set_class(trouble, "-trouble")
        self.add_class("-told")
        self._show_told()

    def _show_told(self) -> None:
        words = Content(" · ".join(map(clean, self._told)))
        width = self.content_size.width
        lines = list(words.wrap(width)) if width > 0 else [words]
        long = len(lines) > 1
        self.set_class(long, "-long")
        for keys in self.screen.query(KeyLine):
            keys.display = not long
        if len(lines) > ROWS:
            lines = [lines[0], lines[1].truncate(max(0, width - len(CUT)), ellipsis=False) + CUT]
        self.update(Content("\n").join(lines), layout=False)

    def on_resize(self) -> None:
        """What fits has changed."""
        self._show_next()
        if self._told:
            self._show_told()

    def forget(self) -> None:
        """Another key was pressed: what was said is read."""
        if self._told:
            self._told = []
            self.remove_class("-told", "-trouble", "-long")
            for keys in self.screen.query(KeyLine):
                keys.display = True
            self.update(self._next)
