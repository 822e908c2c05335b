"""The one modal that asks: a title over what is read, typed and chosen, and the keys that answer.

A question is made of parts, in the order they are shown: `Words` to read, a `Page` of help, an `Entry` to type in, a
list of `Choices`. Each `Key` hands back a result, or says why there is none yet. `tui/screens/asking.py` makes the
common questions. What does something while it is open is a screen of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Generic, Literal, NamedTuple, TypeVar

from textual.app import ComposeResult
from textual.binding import BindingsMap
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Input, Label, Static

from tui.bound import bind
from tui.screens.closing import Sheet
from tui.widgets.cells import clean
from tui.widgets.rows import Column, Row, Rows

Result = TypeVar("Result")

ERROR = "ask-error"
BODY = "ask-body"
KEYS = "ask-keys"


@dataclass(frozen=True)
class Words:
    """Something to read; `classes` are its looks."""

    text: str | Content
    id: str | None = None
    classes: str = ""

    def widgets(self) -> Iterable[Widget]:
        """The text."""
        yield Static(self.text, id=self.id, classes=self.classes, markup=False)


@dataclass(frozen=True)
class Page:
    """Markdown to read."""

    text: str

    def widgets(self) -> Iterable[Widget]:
        """The page."""
        from textual.widgets import Markdown

        yield Markdown(self.text)


@dataclass(frozen=True)
class Entry:
    """A field. `understood` says beneath it what its text means; what begins with "!" is wrong."""

    name: str
    value: str = ""
    hint: str = ""
    longest: int = 200
    understood: Callable[[str], str] | None = None

    def widgets(self) -> Iterable[Widget]:
        """The field and the line beneath it."""
        yield Input(self.value, placeholder=self.hint, max_length=self.longest, id=self.name)
        if self.understood is not None:
            yield Static("", id=f"{self.name}-says", markup=False)


@dataclass(frozen=True)
class Choices:
    """A list of `count` rows. `words` says the highlighted one in full on `beneath` lines, `ruled` off or not.

    `room` is how high it is (`app.tcss`), `click` the meaning that a click on the highlighted row stands for.
    """

    columns: Sequence[Column]
    count: int
    row: Callable[[int], Row]
    name: str = "choices"
    label: str = ""
    empty: str = ""
    room: Literal["few", "some", "more", "many", "rest"] = "few"
    words: Callable[[int], Sequence[str | Content]] | None = None
    beneath: int = 2
    ruled: bool = False
    click: str = "take"

    def widgets(self) -> Iterable[Widget]:
        """The list and the highlighted row's words."""
        if self.label:
            yield Label(self.label, markup=False)
        rows = Rows(self.columns, empty=self.empty, id=self.name)
        rows.add_class(f"room-{self.room}")
        yield rows
        if self.words is not None:
            words = Static("", id=f"{self.name}-words", classes="ruled" if self.ruled else "", markup=False)
            words.styles.height = self.beneath
            yield words


Part = Words | Page | Entry | Choices


class Given(NamedTuple, Generic[Result]):
    """What a key hands back."""

    result: Result


@dataclass(frozen=True)
class Key(Generic[Result]):
    """What answers, by what its key means in the key table; several meanings have a space between them.

    `answer` gives the result, or the sentence that says what is missing. An empty sentence stays and draws the rows
    anew. `first`: before the part that has the focus.
    """

    means: str
    label: str
    tooltip: str
    answer: Callable[[Ask[Result]], Given[Result] | str]
    first: bool = False


class Ask(Sheet[Result]):
    """Asks, and hands back what the pressed key gives. `name` is the question's, so that a test can tell it."""

    def __init__(
        self,
        title: str,
        *parts: Part,
        keys: Sequence[Key[Result]],
        line: str | Callable[[], str],
        name: str,
        looks: str = "sheet",
    ) -> None:
        """`line`: the keys in words, at the bottom. `looks`: the classes of the sheet (`app.tcss`)."""
        super().__init__(name=name)
        self._heading = title
        self._parts = parts
        self._keys = keys
        self._line = line
        self._looks = looks
        self._entries = {one.name: one for one in parts if isinstance(one, Entry)}
        self._choices = {one.name: one for one in parts if isinstance(one, Choices)}
        for at, key in enumerate(keys):
            for name in key.means.split():
                # With an id, the menu offers it: a finger has no keys.
                binding = bind(name, f"take({at})", key.label, tooltip=key.tooltip, priority=key.first, id=f"ask.{at}")
                self._bindings.key_to_bindings.update(BindingsMap([binding]).key_to_bindings)

    def compose(self) -> ComposeResult:
        """Title, parts, what is missing, the keys."""
        body = Vertical if self._entries or self._choices else VerticalScroll
        with body(classes=self._looks, id=BODY):
            if self._heading:
                yield Static(clean(self._heading), classes="title", markup=False)
            for part in self._parts:
                yield from part.widgets()
            if any(entry.understood is None for entry in self._entries.values()):
                yield Static("", id=ERROR, classes="error", markup=False)
        first, *rest = self._looks.split()
        yield Static(self._keys_line(), id=KEYS, classes=" ".join([f"{first}-keys", *rest]), markup=False)

    def on_mount(self) -> None:
        """Fill the lists and begin at the first thing to type or to choose."""
        self._draw()
        self.query_one(f"#{next((one.name for one in self._parts if isinstance(one, Entry | Choices)), BODY)}").focus()

    def _keys_line(self) -> str:
        return self._line if isinstance(self._line, str) else self._line()

    def _draw(self) -> None:
        for one in self._choices.values():
            rows = self.rows(one.name)
            rows.show(one.count, one.row, cursor=rows.cursor)
        if not isinstance(self._line, str):
            self.query_one(f"#{KEYS}", Static).update(self._line())

    def rows(self, name: str = "choices") -> Rows:
        """A list."""
        return self.query_one(f"#{name}", Rows)

    def at(self, name: str = "choices") -> int:
        """The number of a list's highlighted row; -1 where it has none."""
        rows = self.rows(name)
        return rows.cursor if rows.count else -1

    def typed(self, name: str) -> str:
        """What stands in a field."""
        return self.query_one(f"#{name}", Input).value.strip()

    def on_rows_highlighted(self, event: Rows.Highlighted) -> None:
        """The highlighted row in full."""
        one = self._choices[event.rows.id or ""]
        if one.words is not None:
            lines = one.words(event.index) if event.index >= 0 else ()
            whole = Content("\n").join([Content(clean(x)) if isinstance(x, str) else x for x in lines])
            self.query_one(f"#{one.name}-words", Static).update(whole)

    def on_rows_chosen(self, event: Rows.Chosen) -> None:
        """A click on the highlighted row."""
        self._press(self._choices[event.rows.id or ""].click)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Say what was understood."""
        understood = self._entries[event.input.id or ""].understood
        if understood is not None:
            self._say(event.input.id or "", understood(event.value))

    def on_input_submitted(self) -> None:
        """Enter in a field."""
        self._press("take")

    def _press(self, name: str) -> None:
        at = next((at for at, one in enumerate(self._keys) if name in one.means.split()), None)
        if at is not None:
            self.action_take(at)

    def action_take(self, at: int) -> None:
        """Hand back what the key gives, or say what is missing."""
        given = self._keys[at].answer(self)
        if isinstance(given, Given):
            self.dismiss(given.result)
        elif given:
            self._say(next(iter(self._entries), ""), f"! {given}")
        else:
            self._draw()

    def _say(self, entry: str, text: str) -> None:
        for says in self.query(f"#{entry}-says, #{ERROR}").results(Static):
            says.update(clean(text))
            says.set_class(text.startswith("!"), "error")
        if text.startswith("!"):
            self.query_one(f"#{entry}", Input).focus()


def gives(result: Result) -> Callable[[Any], Given[Result]]:
    """The answer of a key that always hands back the same."""
    return lambda ask: Given(result)
