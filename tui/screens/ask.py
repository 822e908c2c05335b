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
from tui.widgets.error_line import ErrorLine
from tui.widgets.rows import Column, Row, Rows
from tui.widgets.typed_rows import TypedRows

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
    `narrows`: what is typed while the list has the focus narrows it, and stands in its label; row 0 stays for nothing
    typed. `adds`: what a row says that would add what is typed, with `{typed}`; `at` is -1 there. `begins`: the row
    that is highlighted at first.
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
    narrows: bool = False
    adds: str = ""
    begins: int = 0

    def widgets(self) -> Iterable[Widget]:
        """The list and the highlighted row's words."""
        if self.label:
            yield Label(self.label, id=f"{self.name}-label", markup=False)
        rows = (TypedRows if self.narrows else Rows)(self.columns, empty=self.empty, id=self.name)
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


class Wrong(NamedTuple):
    """What a key says where a field can't be read: which one, and the sentence."""

    entry: str
    says: str


@dataclass(frozen=True)
class Key(Generic[Result]):
    """What answers, by what its key means in the key table; several meanings have a space between them.

    `answer` gives the result, or the sentence that says what is missing. An empty sentence stays and draws the rows
    anew. `first`: before the part that has the focus.
    """

    means: str
    label: str
    tooltip: str
    answer: Callable[[Ask[Result]], Given[Result] | Wrong | str]
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
        self._letters = dict.fromkeys(self._choices, "")
        self._left: dict[str, list[int]] = {name: list(range(one.count)) for name, one in self._choices.items()}
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
                yield ErrorLine(id=ERROR)
        first, *rest = self._looks.split()
        yield Static(self._keys_line(), id=KEYS, classes=" ".join([f"{first}-keys", *rest]), markup=False)

    def on_mount(self) -> None:
        """Fill the lists and begin at the first thing to type or to choose."""
        for one in self._choices.values():
            self._show(one, one.begins)
        self._draw()
        self.query_one(f"#{next((one.name for one in self._parts if isinstance(one, Entry | Choices)), BODY)}").focus()

    def _keys_line(self) -> str:
        return self._line if isinstance(self._line, str) else self._line()

    def _draw(self) -> None:
        for one in self._choices.values():
            rows = self.rows(one.name)
            self._show(one, rows.cursor)
        if not isinstance(self._line, str):
            self.query_one(f"#{KEYS}", Static).update(self._line())

    def _show(self, one: Choices, cursor: int) -> None:
        """The rows that are left of a list and, where none is called what is typed, the one that would add it."""
        left, typed = self._left[one.name], self.letters(one.name)
        adds = bool(one.adds and typed) and not any(one.row(at).cells[0].casefold() == typed.casefold() for at in left)

        def row(at: int) -> Row:
            return one.row(left[at]) if at < len(left) else Row((one.adds.format(typed=typed),), "good")

        self.rows(one.name).show(len(left) + adds, row, cursor=cursor)

    def on_typed_rows_typed(self, event: TypedRows.Typed) -> None:
        """Narrow the list by what is typed in it, or leave all of it."""
        name = event.rows.id or ""
        one, before = self._choices[name], self._letters[name]
        typed = before[:-1] if event.sign is None else (before + event.sign).lstrip()
        self._letters[name] = typed
        self._left[name] = [at for at in range(one.count) if not typed or (at and _has(one.row(at), typed))]
        self._show(one, 0)
        label = f"{one.label}: {typed}▏" if typed else one.label
        for says in self.query(f"#{name}-label").results(Label):
            says.update(clean(label))

    def letters(self, name: str = "choices") -> str:
        """What is typed in a list that narrows."""
        return " ".join(self._letters[name].split())

    def rows(self, name: str = "choices") -> Rows:
        """A list."""
        return self.query_one(f"#{name}", Rows)

    def at(self, name: str = "choices") -> int:
        """The number of a list's highlighted row; -1 where it has none, or it is the one that would add."""
        cursor, left = self.rows(name).cursor, self._left[name]
        return left[cursor] if 0 <= cursor < len(left) else -1

    def typed(self, name: str) -> str:
        """What stands in a field."""
        return self.query_one(f"#{name}", Input).value.strip()

    def on_rows_highlighted(self, event: Rows.Highlighted) -> None:
        """The highlighted row in full."""
        one = self._choices[event.rows.id or ""]
        if one.words is not None:
            at = self.at(one.name) if event.index >= 0 else -1
            lines = one.words(at) if at >= 0 else ()
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
        elif isinstance(given, Wrong):
            self._say(given.entry, f"! {given.says}")
        elif given:
            self._say(next(iter(self._entries), ""), f"! {given}")
        else:
            self._draw()

    def _say(self, entry: str, text: str) -> None:
        wrong = text.startswith("!")
        for says in self.query(f"#{entry}-says").results(Static):
            says.update(clean(text))
            says.set_class(wrong, "error")
        field = self.query_one(f"#{entry}", Input)
        if self._entries[entry].understood is None:
            self.query_one(ErrorLine).say(text, field)
        if wrong:
            field.focus()


def _has(row: Row, typed: str) -> bool:
    """Whether a row's cells have every word that is typed."""
    said = " ".join(row.cells).casefold()
    return all(word in said for word in typed.casefold().split())


def gives(result: Result) -> Callable[[Any], Given[Result]]:
    """The answer of a key that always hands back the same."""
    return lambda ask: Given(result)
