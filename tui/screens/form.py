"""The form of an operation: its fields one under the other, each with what was understood or what is wrong beneath."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING, Any, ClassVar, NamedTuple, cast

from textual import events, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input, Label, Static

from models.errors import WorkshopError
from tui import screens
from tui.answers.answer import Answer
from tui.bound import bind
from tui.fields.box import NEW_LINE
from tui.fields.field import Asked, Field, FieldError
from tui.fields.words import in_a_form
from tui.operations.operation import Operation, Values
from tui.scanning import Takes
from tui.screens.area import in_thread
from tui.screens.closing import Sheet
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from models.watching.heard import Booked, Heard
    from tui.host import Host
    from tui.scanning import Scanned

LONGEST = 500
LONGEST_PASTE = 60_000


MOVES = frozenset({"stock", "job", "order"})
"""What a form is about that another bench may move meanwhile, by the names of its values."""


async def tell_meanwhile(sheet: Sheet[Any], said: Sequence[str]) -> None:
    """Say beneath the sheet's title what others did; what was said there before is old."""
    line = sheet.query_one_optional("#meanwhile", Static)
    if line is None:
        line = Static("", id="meanwhile", classes="said error", markup=False)
        await sheet.query_one(".sheet").mount(line, after=".title")
    line.update(clean(f"! {'; '.join(said)}"))


class Done(NamedTuple):
    """What a form did: its fields' values and the answer."""

    values: Values
    answer: Answer


class AsTyped(Input):
    """A field for any digits, even those of a bar code."""

    TAKES_CODES: ClassVar = Takes.NONE


class PastedRows(AsTyped):
    """A field that takes rows: what is pasted stays on its one line, its ends of line shown as a sign."""

    TAKES_LINES: ClassVar = True

    def _on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        self.insert_text_at_cursor(NEW_LINE.join(event.text.strip().splitlines()))


class Form(Sheet[Done | None]):
    """Asks for what an operation must still know, does it, and hands back its values and its answer; Esc, None.

    `asked` holds what is known already: the rows that are highlighted, the units. Enter goes to the next field that
    must be filled and is not, and does it where there is none; what is optional is reached by Tab. Where the
    workshop refuses, the form stays with its sentence: what is typed is lost only by Esc. `start`: what stands in its
    fields at first.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        bind("leave", "cancel", "Cancel", tooltip="Change nothing", id="form.cancel"),
    ]

    def __init__(
        self,
        operation: Operation,
        asked: Asked,
        do: Callable[[Values], Answer],
        *,
        title: str,
        start: Mapping[str, str] | None = None,
    ) -> None:
        super().__init__()
        self._start = start or {}
        self._do = do
        self._doing = False
        # Keys typed after an Enter whose end they wait for; None where they wait for nothing.
        self._waiting: list[events.Key | events.Paste] | None = None
        self._operation = operation
        self._whole = tuple(one for one in operation.asks(asked.values) if one.name not in asked.values)
        self._fields = tuple(part for one in self._whole for part in one.parts(asked))
        self._asked = asked
        self._title = title
        # One piece of news after the other: each is what moved since the last.
        self._news = asyncio.Lock()

    def compose(self) -> ComposeResult:
        """What is done to what, how it stands, the fields."""
        with Vertical(classes="sheet long"):
            yield Static(clean(self._title), classes="title", markup=False)
            if told := self._operation.told(self._asked.values):
                yield Static(clean(told), id="stands", markup=False)
            for one in self._fields:
                yield Label(one.label, markup=False)
                kind = PastedRows if one.PASTED else AsTyped if one.AS_TYPED else Input
                longest = LONGEST_PASTE if one.PASTED else LONGEST
                yield kind(
                    self._start.get(one.name, ""), placeholder=one.hint(self._asked), max_length=longest, id=one.name
                )
                yield Static("", id=f"{one.name}-said", classes="said", markup=False)
        must = sum(one.must for one in self._fields)
        spare = len(self._fields) > max(must, 1)
        on = "the next required field" if spare else "next field"
        keys = f"Enter: {on}, then does it" if must > 1 else "Enter does it"
        more = f" · Tab: {'the next field' if must <= 1 else 'next'}" if spare else ""
        yield Static(f"{keys}{more} · Esc cancels", classes="sheet-keys", markup=False)

    def help_words(self) -> Content | None:
        """What is done, each field with what it takes, and the keys."""
        labels = {field.flag: f"“{field.label}”" for field in self._fields}
        does = self._operation.help
        lines = [Content(clean(f"{does[0].upper()}{does[1:]}.")), Content("")]
        for one in self._fields:
            hint = one.hint(self._asked)
            parts = (in_a_form(one.help, labels), f"as {hint}" if hint else "", "" if one.must else "optional")
            lines.append(Content.assemble((f"{one.label}  ", "bold"), clean("; ".join(part for part in parts if part))))
        keys = "Enter goes to the next required field, then does it. Tab goes to any field. Esc cancels."
        return Content("\n").join([*lines, Content(""), Content(keys)])

    def booked_elsewhere(self, heard: Heard) -> None:
        """Others moved what this is about: say so beside what is typed, which stays as it is."""
        if heard.booked and MOVES & self._asked.values.keys():
            self._tell_moved(heard.booked)

    @work(group="elsewhere")
    async def _tell_moved(self, booked: tuple[Booked, ...]) -> None:
        async with self._news:
            try:
                now, said = await in_thread(
                    screens.meanwhile.look, cast("Host", self.app).workshop, booked, self._asked.values
                )
            except WorkshopError:
                return
            if not said or not self.is_mounted:
                return
            self._asked = replace(self._asked, values=now)
            stands = self.query_one_optional("#stands", Static)
            if stands is not None and (how := self._operation.told(now)):
                stands.update(clean(how))
            await tell_meanwhile(self, said)

    async def _read(self, one: Field[Any], values: dict[str, Any]) -> Any:
        text, asked = self.query_one(f"#{one.name}", Input).value, replace(self._asked, values=values)
        if not one.LOOKS:
            return one.from_text(text, asked)
        try:
            return await in_thread(one.from_text, text, asked)
        except WorkshopError as refused:
            raise FieldError(str(refused)) from refused

    def _say(self, one: Field[Any], text: str, *, wrong: bool = False) -> None:
        beneath = self.query_one(f"#{one.name}-said", Static)
        if wrong:
            text = in_a_form(text, {field.flag: f"“{field.label}”" for field in self._fields})
        beneath.set_class(wrong, "error")
        beneath.update(f"! {text}" if wrong and text else text)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Say what was understood so far; what is wrong is said once it is entered."""
        event.stop()
        one = next(field for field in self._fields if field.name == event.input.id)
        if one.LOOKS:
            self._say(one, "")
            return
        asked = replace(self._asked, values=self._so_far(one))
        try:
            value = one.from_text(event.value, asked)
            said = one.echo(value, asked) if event.value.strip() and value is not None else ""
        except FieldError:
            said = ""
        self._say(one, f"= {said}" if said else "")

    def _so_far(self, upto: Field[Any]) -> dict[str, Any]:
        """What the fields before it hold, of those that can be read by themselves."""
        values: dict[str, Any] = dict(self._asked.values)
        for one in self._fields[: self._fields.index(upto)]:
            if not one.LOOKS:
                with suppress(FieldError):
                    text = self.query_one(f"#{one.name}", Input).value
                    values[one.name] = one.from_text(text, replace(self._asked, values=values))
        return values

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Go to the next field, or do it, or say what is wrong and where."""
        event.stop()
        if not self._doing:
            self._doing = True
            self._take(event.input.id or "")

    def takes_lines(self) -> Input | None:
        """Where pasted lines belong, whichever field has the focus: its field of rows; None where it has none."""
        return next(iter(self.query(PastedRows)), None)

    def keeps(self, event: events.Key | events.Paste) -> bool:
        """What is typed after Enter waits: it belongs to the field that Enter leads to. Esc never waits."""
        key = event.key if isinstance(event, events.Key) else ""
        if key == "escape":
            self._waiting = None
        elif self._waiting is not None:
            self._waiting.append(event)
            return True
        elif key == "enter" and isinstance(self.focused, Input):
            self._waiting = []
        return False

    def entered(self) -> None:
        """What Enter began is done: hand on what was typed since, up to the next Enter."""
        self._doing = False
        # In the app's own queue, behind the keys that still wait there for it to be asked whether they wait.
        self.app.call_later(self._hand_on)

    async def _hand_on(self) -> None:
        waiting, self._waiting = self._waiting or [], None
        await cast("Host", self.app).hand_on(waiting, anew=self.has_closed)

    @work(group="form")
    async def _take(self, entered: str) -> None:
        try:
            await self._enter(entered)
        finally:
            self.entered()

    async def _enter(self, entered: str) -> None:
        values: dict[str, Any] = dict(self._asked.values)
        at = [one.name for one in self._fields].index(entered)
        for place, one in enumerate(self._fields):
            try:
                values[one.name] = await self._read(one, values)
            except FieldError as problem:
                field = self.query_one(f"#{one.name}", Input)
                # A field further down that nobody came to yet is asked for, not found fault with.
                if place <= at or field.value.strip():
                    self._say(one, str(problem), wrong=True)
                field.focus()
                return
            if why := self._operation.refuse(values):
                self._say(one, f"{why[0].upper()}{why[1:]}.", wrong=True)
                self.query_one(f"#{one.name}", Input).focus()
                return
            self._say(one, "")
        values |= {one.name: one.joined(values) for one in self._whole if one.name not in values}
        try:
            answer = await in_thread(self._do, values)
        except (WorkshopError, FieldError) as refused:
            option = getattr(refused, "option", "")
            asked = next((one for one in self._fields if option and one.flag == option), self._fields[at])
            self._say(asked, str(refused), wrong=True)
            self.query_one(f"#{asked.name}", Input).focus()
            return
        if answer.refused:
            # Nothing was done: what was typed stays, and the sentence stands where it can be answered.
            asked = next((one for one in self._fields if one.name == answer.answered_in), self._fields[at])
            self._say(asked, answer.words()[0], wrong=True)
            self.query_one(f"#{asked.name}", Input).focus()
            return
        self.dismiss(Done(values, answer))

    def scanned(self, found: Scanned) -> bool:
        """A bin's label or a bar code goes into the field that takes it; where that is all, it is done."""
        for one in self._fields:
            if text := one.from_scan(found.bin_code, found.gtin):
                field = self.query_one(f"#{one.name}", Input)
                field.value = text
                field.focus()
                if len(self._fields) == 1 and not self._doing:
                    self._doing = True
                    self._take(one.name)
                return True
        return False

    def action_cancel(self) -> None:
        """Change nothing."""
        self.dismiss(None)
