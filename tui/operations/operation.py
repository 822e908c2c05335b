"""What an operation is, and how it is done: fields in, a change or a question, an answer out."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, NamedTuple

from tui.fields.field import DEFAULT_UNITS, Asked, Field, FieldError, Look
from tui.fields.units import Units

if TYPE_CHECKING:
    from datetime import date, datetime
    from pathlib import Path

    from sqlmodel import Session

    from models.storage.address import Server
    from tui.answers.answer import Answer
    from tui.workshop import Workshop

Values = Mapping[str, Any]
Tell = Callable[["Answer"], None]
"""Gives one of many answers on at once, so that they are never held together."""


class Then(NamedTuple):
    """What an answer is made of: what the rule gave back, the fields' values, a session to look with,
    the day, and the moment in the zone of the clock on the wall."""

    result: Any
    values: Values
    session: Session
    today: date
    now: datetime


def _tell_nobody(_: Answer) -> None:
    """Where the answers before the last are asked for by nobody."""


class Bench(NamedTuple):
    """What a question of the catalog may go by beside its fields' values.

    `units`: of a bare number; `look`: into the workshop, which is opened at the first look and not before; `tell`:
    gives one of many answers on at once. `place`: where the workshop lies, for what only glances at it
    (`models.glance`).
    """

    units: Units
    look: Look
    tell: Tell = _tell_nobody
    place: Callable[[], Path | Server] | None = None


@dataclass(frozen=True)
class Operation:
    """One thing that can be done or asked.

    `area` and `name`: its subcommand (`shelf scrap`). `label`: what its key, palette entry and form are called.
    `help`: one line; `about`: more of it for `--help`; `examples`: command lines without `kitwright` and `--demo`;
    `before`: what such a line needs to have been done first, as a line of its own.
    `fields`: what it must know, in the order in which it is asked. `key`: what its key on the area's
    screen means in the key table (`tui/keys.py`); "in-menu": it has a row in the menu and no key; "": neither.

    `change` or `question`: gives the rule in `models`, called with a session (a change also with an act) and
    the fields' arguments by name; `dated`: and with the day, as `on`. `answer`: makes the answer. `refuse`: the
    sentence where what the fields hold so far can't be done, else "". `told`: what a form says above its fields;
    `start`: what stands in them at first. `quick`: its key does it at once, and what is optional stays so.

    `does`, in place of all three: what is more than one look or one change (a plan that takes long, a file), by hand.
    `tells`: the same for what tells answers one at a time before its last.

    `answers`, in place of all these: a question that the catalog answers from the fields' values. It opens no workshop,
    unless `looks` says that it may look into one, or that a field may; `glances` says that it reads one in passing, if
    one is there (`models.glance`). Only then its command takes `--data`. It
    refuses with `FieldError`, naming the option. `elsewhere`: the sentence where somebody names a workshop all the
    same, for what never touches one. `lengths_only`: no field goes by the bench's kept units, so that its
    command reads no settings.

    Where there is both a change and a question, `changes` says by the fields which of them it is this time. With
    `command` False it is a key only, for what is an option of another subcommand. One that is named as its area is
    itself the command.
    """

    area: str
    name: str
    label: str
    help: str
    fields: tuple[Field[Any], ...]
    examples: tuple[str, ...]
    change: Callable[[], Callable[..., Any]] | None = None
    question: Callable[[], Callable[..., Any]] | None = None
    does: Callable[[Workshop, Values], Answer] | None = None
    tells: Callable[[Workshop, Values, Tell], Answer] | None = None
    answers: Callable[[Values, Bench], Answer] | None = None
    looks: bool = False
    glances: bool = False
    elsewhere: str = ""
    lengths_only: bool = False
    answer: Callable[[Then], Answer] = lambda then: then.result
    about: str = ""
    key: str = ""
    refuse: Callable[[Values], str] = lambda _: ""
    told: Callable[[Values], str] = lambda _: ""
    start: Callable[[Session, date, Values], Mapping[str, str]] = lambda *_: {}
    changes: Callable[[Values], bool] = lambda _: True
    command: bool = True
    dated: bool = False
    quick: bool = False
    before: tuple[str, ...] = ()

    @property
    def workshop(self) -> bool:
        """Whether it has to do with a workshop at all."""
        return self.answers is None or self.looks or self.glances

    @property
    def rows(self) -> tuple[Field[Any], ...]:
        """The fields that a screen fills from what is highlighted."""
        return tuple(one for one in self.fields if one.ROW)

    @property
    def typed(self) -> tuple[Field[Any], ...]:
        """The fields that a form asks for."""
        return tuple(one for one in self.fields if not one.ROW)

    def asks(self, values: Values) -> tuple[Field[Any], ...]:
        """The fields that a form asks for where these are known."""
        return tuple(one for one in self.typed if not one.given or values.get(one.given) is not None)

    def read(self, words: Mapping[str, str | None], asked: Asked) -> dict[str, Any]:
        """The fields' values from the command line's words. Raises `FieldError`, naming the option it is about."""
        values: dict[str, Any] = dict(asked.values)
        for one in self.fields:
            if one.given and values.get(one.given) is None:
                if any(words.get(option.dest) for option in one.options()):
                    raise FieldError(f"needs --{one.given}: say which {one.given} it is of", one.called)
                values[one.name] = one.empty
                continue
            try:
                values[one.name] = one.from_words(words, replace(asked, values=values))
            except FieldError as problem:
                raise FieldError(str(problem), problem.option or one.called) from problem
            if why := self.refuse(values):
                raise FieldError(why, "-")
        return values

    def arguments(self, values: Values) -> dict[str, Any]:
        """What the rule is given, by parameter; a field left empty that has no meaning of its own is left out."""
        given: dict[str, Any] = {}
        for one in self.fields:
            if values.get(one.name) is not None:
                given.update(one.arguments(values[one.name]))
        return given

    def perform(
        self, workshop: Workshop, values: Values, tell: Tell = _tell_nobody, units: Units = DEFAULT_UNITS
    ) -> Answer:
        """Do it, or ask it, and give the answer, the last of many. Raises `WorkshopError`; runs in any thread."""
        if self.answers is not None:
            return self.answers(values, Bench(units, workshop.read, tell, workshop.place))
        if self.does is not None:
            return self.does(workshop, values)
        if self.tells is not None:
            return self.tells(workshop, values, tell)
        given = self.arguments(values)
        if self.dated:
            given["on"] = workshop.today()
        if self.change is not None and self.changes(values):
            rule = self.change()
            result = workshop.change(lambda session, act: rule(session, act, **given))
        else:
            assert self.question is not None
            look = self.question()
            result = workshop.read(lambda session: look(session, **given))
        now = workshop.now()
        return workshop.read(lambda session: self.answer(Then(result, values, session, workshop.today(), now)))

    def starting(self, workshop: Workshop, values: Values) -> Mapping[str, str]:
        """What stands in a form's fields at first. Raises `WorkshopError`; runs in any thread."""
        return workshop.read(lambda session: self.start(session, workshop.today(), values))
