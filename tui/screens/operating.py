"""The screen's door to operations: an area's keys do what its declarations say."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import Any, ClassVar

from textual import work
from textual.binding import Binding, BindingType

from tui.fields.field import Asked
from tui.operations.operation import Operation, Values
from tui.operations.registry import operation, operations
from tui.screens.area import Area
from tui.widgets.cells import clean


def keys_of(area: str, *, footer: Iterable[str] = ()) -> list[BindingType]:
    """The keys of an area's operations; those named in `footer` are shown in the key line."""
    shown = frozenset(footer)
    return [
        Binding(
            one.keys,
            f"operate('{one.name}')",
            one.label,
            show=one.name in shown,
            key_display="Enter" if one.keys == "enter" else None,
            tooltip=f"{one.help[0].upper()}{one.help[1:]}",
            id=f"{area}.{one.name}",
        )
        for one in operations(area)
        if one.keys
    ]


class Operating(Area):
    """An area whose keys do operations. `OPERATES` is their area's name."""

    OPERATES: ClassVar[str]

    def row(self, kind: str) -> object | None:
        """The highlighted row of a kind, such as `stock`, which fills the fields that mean one."""
        raise NotImplementedError

    async def before(self, one: Operation) -> None:
        """What must be up to date before the highlighted row counts."""

    def after(self, one: Operation, values: Values) -> None:
        """The operation was done."""
        self.workshop_changed()

    @work(exclusive=True, group="change")
    async def action_operate(self, name: str) -> None:
        """Do an operation: fill its rows from the screen, ask for the rest, say what came of it."""
        from tui.screens.form import Done, Form

        one = operation(self.OPERATES, name)
        await self.before(one)
        values: dict[str, Any] = {}
        for field in one.rows:
            row = self.row(field.ROW)
            if row is None:
                self.say(f"{one.label}: highlight the {field.label.lower()} first.")
                return
            values[field.name] = row
        if why := one.refuse(values):
            self.say(clean(f"{why[0].upper()}{why[1:]}."), trouble=True)
            return
        workshop = self.kitwright.workshop
        if one.typed:
            asked = Asked(self.kitwright.units, values, workshop.read)
            form = Form(one, asked, partial(one.perform, workshop), title=self.title_of(one, values))
            done = await self.app.push_screen_wait(form)
        else:
            answer = await self.ask(one.perform, workshop, values)
            done = None if answer is None else Done(values, answer)
        if done is not None:
            self.say(f"{done.answer.words()[0]} F9 takes it back." if one.change else done.answer.words()[0])
            self.after(one, done.values)

    def title_of(self, one: Operation, values: dict[str, Any]) -> str:
        """The form's title: the deed and what it is done to."""
        return one.label
