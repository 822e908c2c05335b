"""The questions that come again: yes or no, a text to type, something to read, a row to choose."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Generic, Literal, NamedTuple, TypeVar

from textual.content import Content

from tui.screens.ask import Ask, Choices, Entry, Given, Key, Words, gives
from tui.widgets.cells import clean
from tui.widgets.rows import Column, Row

Answer = TypeVar("Answer")


def yes_or_no(question: str, detail: str) -> Ask[bool]:
    """One question before something is done that cannot be seen at once."""
    return Ask(
        question,
        Words(detail),
        keys=(
            Key("take", "Yes", "Do it", gives(True)),
            Key("leave", "No", "Change nothing", gives(False)),
        ),
        line="Enter: yes · Esc: no",
        name="yes-or-no",
    )


def one_text(question: str, hint: str, value: str = "") -> Ask[str | None]:
    """`question` as title, `hint` under the field. An empty answer is not taken."""

    def taken(ask: Ask[str | None]) -> Given[str | None] | str:
        return (
            Given(ask.typed("ask-text")) if ask.typed("ask-text") else "Nothing is typed. Type an answer, or press Esc."
        )

    return Ask(
        question,
        Entry("ask-text", value),
        Words(hint, classes="quiet"),
        keys=(
            Key("take", "Answer", "Accept what is typed", taken),
            Key("leave", "Cancel", "Change nothing", gives(None)),
        ),
        line="Enter answers · Esc cancels",
        name="one-text",
    )


def to_read(title: str, text: str | Content, *, name: str, closes: str = "leave take why") -> Ask[None]:
    """Something to read and to close."""
    words = text if isinstance(text, Content) else Content("\n".join(map(clean, text.splitlines())))
    return Ask(
        title,
        Words(words),
        keys=(Key(closes, "Close", "Back to the screen", gives(None)),),
        line="Esc closes · arrows scroll",
        name=name,
    )


class Line(NamedTuple, Generic[Answer]):
    """A row, what is said of it beneath the list, and what Enter hands back (None: nothing)."""

    row: Row
    words: Sequence[str]
    answer: Answer | None


def highlighted(ask: Ask[Answer | None], lines: Sequence[Line[Answer]]) -> Answer | None:
    """What the highlighted line would hand back."""
    return lines[ask.at()].answer if ask.at() >= 0 else None


def choose(
    title: str,
    columns: Sequence[Column],
    lines: Sequence[Line[Answer]],
    *,
    empty: str,
    line: str,
    name: str,
    enter: tuple[str, str],
    closes: str = "leave",
    room: Literal["more", "many"] = "many",
    beneath: int = 4,
    more: Sequence[Key[Answer | None]] = (),
) -> Ask[Answer | None]:
    """Rows with the highlighted one's words beneath; Enter (`enter`: its label and tooltip) hands back its answer."""

    def taken(ask: Ask[Answer | None]) -> Given[Answer | None] | str:
        answer = highlighted(ask, lines)
        return "" if answer is None else Given(answer)

    return Ask(
        title,
        Choices(
            columns, len(lines), lambda at: lines[at].row, empty=empty, room=room, words=lambda at: lines[at].words,
            beneath=beneath, ruled=True,
        ),
        keys=(Key("take", *enter, taken), Key(closes, "Close", "Back to the screen", gives(None)), *more),
        line=line,
        name=name,
        looks="sheet wide",
    )  # fmt: skip
