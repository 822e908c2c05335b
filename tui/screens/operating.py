"""The screen's door to operations: an area's keys do what its declarations say."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterable, Mapping
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar

from textual import work
from textual.binding import BindingType

from tui import screens
from tui.bound import bind
from tui.fields.field import Asked, Field, FieldError
from tui.fields.words import in_a_form
from tui.operations.operation import Operation, Values
from tui.operations.registry import operation, operations
from tui.screens.area import Area
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from tui.answers.answer import Answer
    from tui.screens.form import Form


def keys_of(area: str, *, footer: Iterable[str] = (), plain: bool = False) -> list[BindingType]:
    """The keys of an area's operations; those named in `footer` are shown in the key line.

    `plain`: it shows the plain keys, as on a screen without a field.
    """
    in_line = frozenset(footer)
    return [
        bind(
            one.key,
            f"operate('{one.name}', '{area}')",
            one.label,
            show=one.name in in_line,
            plain=plain,
            tooltip=f"{one.help[0].upper()}{one.help[1:]}",
            id=f"{area}.{one.name}",
        )
        for one in operations(area)
        if one.key
    ]


class Operating(Area):
    """An area whose keys do operations. `OPERATES` is the area that most of them are of."""

    OPERATES: ClassVar[str]

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Where several operations have one key, the highlighted row says which is meant."""
        if action == "operate" and self.is_mounted:
            name, area, *_ = (*map(str, parameters), "")
            return self.means(operation(area or self.OPERATES, name))
        return super().check_action(action, parameters)

    def means(self, one: Operation) -> bool:
        """Whether the operation's key means this one now, and no other that has the same key."""
        return True

    def row(self, kind: str) -> object | None:
        """The highlighted row of a kind, such as `stock`, which fills the fields that mean one."""
        raise NotImplementedError

    def by_hand(self, one: Operation) -> Callable[[], Awaitable[None]] | None:
        """The screen of an operation that is more than a form."""
        return None

    async def before(self, one: Operation) -> None:
        """What must be up to date before the highlighted row counts."""

    def typed(self, one: Operation) -> Mapping[str, str]:
        """What the screen knows already of the fields that are asked for."""
        return {}

    def form(
        self, one: Operation, asked: Asked, do: Callable[[Values], Answer], title: str, start: Mapping[str, str]
    ) -> Form:
        """The form of an operation; an area may have a form of its own for one."""
        return screens.form.Form(one, asked, do, title=title, start=start)

    def follow(self, answer: Answer) -> None:
        """What the answer says is highlighted next."""

    def after(self, one: Operation, values: Values) -> None:
        """The operation was done."""
        self.workshop_changed()

    def fits(self, one: Operation, field: Field[Any], row: object | None) -> bool:
        """Whether what is highlighted fills the field."""
        return row is not None

    def missing(self, one: Operation, field: Field[Any]) -> str:
        """What to highlight first."""
        return f"{one.label}: highlight the {field.label.lower()} first."

    @work(exclusive=True, group="change")
    async def action_operate(self, name: str, area: str = "") -> None:
        """Do an operation, of the screen's own area or another: fill its rows from the screen, ask for the rest."""
        one = operation(area or self.OPERATES, name)
        if shown := self.by_hand(one):
            await shown()
            return
        await self.before(one)
        values: dict[str, Any] = {}
        for field in one.rows:
            row = self.row(field.ROW)
            if (row is not None or field.must) and not self.fits(one, field, row):
                self.say(self.missing(one, field))
                return
            values[field.name] = row
        await self.operate(one, values)

    async def operate(self, one: Operation, values: dict[str, Any]) -> None:
        """Do an operation with what is known already: ask for the rest, say what came of it."""
        if why := one.refuse(values):
            self.say(clean(f"{why[0].upper()}{why[1:]}."), trouble=True)
            return
        workshop = self.kitwright.workshop
        asks = [field for field in one.asks(values) if field.name not in values]
        if one.quick:
            values |= {field.name: field.empty for field in asks}
        if asks and not one.quick:
            asked = Asked(self.kitwright.units, values, workshop.read)
            start = await self.ask(one.starting, workshop, values)
            if start is None:
                return
            title = self.title_of(one, values)
            form = self.form(one, asked, partial(one.perform, workshop), title, {**start, **self.typed(one)})
            done = await self.app.push_screen_wait(form)
        else:
            try:
                answer = await self.ask(one.perform, workshop, values)
            except FieldError as refused:
                self.say(clean(in_a_form(str(refused))), trouble=True)
                return
            done = None if answer is None else screens.form.Done(values, answer)
        if done is not None:
            self.say(f"{done.answer.words()[0]} F9 takes it back." if one.change else done.answer.words()[0])
            self.follow(done.answer)
            self.after(one, done.values)

    def title_of(self, one: Operation, values: dict[str, Any]) -> str:
        """The form's title: what is done, and to what."""
        return one.label
