"""A note on an item, a bin, a machine or its position: declared once, for the three areas."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

import models
from tui import answers
from tui.fields.named import NameOf
from tui.fields.plain import Text
from tui.fields.rows import AnyPosition, Machine
from tui.operations.operation import Operation, Values

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import date

    from sqlmodel import Session

    from models.acts import Act
    from models.notes import NoteRow
    from tui.answers.upkeep import WhatWord
    from tui.fields.field import Field

MOST_LETTERS = 200


def _write(what: str) -> Callable[..., NoteRow]:
    return partial(models.notes.write, what=models.notes.What(what))


def _at_position(session: Session, act: Act, *, machine_id: int, position_id: int, text: str = "") -> NoteRow:
    """On the position, which says its machine itself."""
    return models.notes.write(session, act, models.notes.What.POSITION, position_id, text)


def _stands(what: str, row_id: Callable[[Values], int]) -> Callable[[Session, date, Values], Mapping[str, str]]:
    """A form's field holds the note that stands."""

    def start(session: Session, _: date, values: Values) -> Mapping[str, str]:
        return {"note": models.notes.of(session, models.notes.What(what), row_id(values)).note}

    return start


def note_field() -> Text:
    """The note's text; it may be empty."""
    return Text(
        "note", "Note", f"the note, at most {MOST_LETTERS} letters; without it there is none", must=False,
        what="the note (empty: none)", placed=True, longest=MOST_LETTERS, parameter="text", empty="",
    )  # fmt: skip


def _noting(area: str, name: str, what: str, on: tuple[Field[Any], ...], **more: Any) -> Operation:
    a = "an item" if what == "item" else f"a {what}"
    return Operation(
        area=area,
        name=name,
        label=f"Note on {a}",
        help=f"write a note on {a}, or take it away",
        about=f"Write a note on {a}, in place of the one before. It stands where the {what} is\n"
        "shown. Without a text there is no note any more.",
        fields=(
            *on,
            note_field(),
        ),
        answer=lambda then: answers.notes.note_of(then.result),
        **more,
    )  # fmt: skip


def note_on(what: WhatWord, one: str, text: str) -> Operation:
    """The operation of an area whose things are named by themselves. `one`: of the demo, for the example."""
    thing = NameOf(what, what.capitalize(), f"the {what} by its name", placed=True, what=what, retired=True)
    return _noting(
        what, "note", what, (thing,), change=partial(_write, what),
        start=_stands(what, lambda values: values[what].row_id),
        examples=(f'{what} note "{one}" "{text}"', f'{what} note "{one}"'),
    )  # fmt: skip


NOTE_ON_POSITION = _noting(
    "machine", "note-position", "position",
    (
        Machine("machine", "Machine", "the machine's name", placed=True),
        AnyPosition("position", "Position", "the position on it", placed=True),
    ),
    change=lambda: _at_position,
    start=_stands("position", lambda values: values["position"].position_id),
    examples=('machine note-position "Orchard tractor 3" "pump inlet flange ring" "two bolts need a long socket"',),
)  # fmt: skip
