"""Open a job: its title, the template it is made from, the machine it is on, its day, the hours on the meter."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from tui.fields.field import Asked, FieldError
from tui.operations.job import OPEN
from tui.screens.ask import Ask, Choices, Entry, Given, Key, Wrong, gives
from tui.widgets.rows import Column, Row

if TYPE_CHECKING:
    from models.machines import MachineRow
    from models.templates import TemplateRow


FIELDS: Final = {one.name: one for one in OPEN.typed if one.name in ("title", "due", "hours")}
ENTRIES: Final = {"title": "job-title", "due": "job-due", "hours": "job-hours"}
NEW_MACHINE: Final = "new machine"
"""What is handed back beside the fields' values where the machine has yet to be added: its name."""
NOTHING_YET: Final[Mapping[str, str]] = MappingProxyType({})


def as_typed(values: Mapping[str, Any]) -> dict[str, str]:
    """What stood in the fields that gave these values, so that the form can be asked again as it was left."""
    return {name: values[f"{name} typed"] for name in ENTRIES}


def new_job(
    templates: tuple[TemplateRow, ...],
    machines: tuple[MachineRow, ...],
    typed: Mapping[str, str] = NOTHING_YET,
    template: TemplateRow | None = None,
    machine: MachineRow | None = None,
) -> Ask[dict[str, Any] | None]:
    """Enter opens the job from any field, Tab goes to the lists, where the arrows choose and letters narrow.

    Esc opens none. `typed`, `template`, `machine`: as it was left.
    """

    def template_row(at: int) -> Row:
        one = templates[at - 1]
        return Row((one.name, str(len(one.needs)))) if at else Row(("no template: an empty job", ""), "dim")

    def machine_row(at: int) -> Row:
        return Row((machines[at - 1].name,)) if at else Row(("the bench",), "dim")

    def opened(ask: Ask[dict[str, Any] | None]) -> Given[dict[str, Any] | None] | Wrong | str:
        """What was chosen, or what is missing."""
        at, on = ask.at("template") if templates else 0, ask.at("machine")
        made_from = templates[at - 1] if at > 0 else None
        told: dict[str, Any] = {"template": made_from, "machine": machines[on - 1] if on > 0 else None}
        for name, entry in ENTRIES.items():
            told[f"{name} typed"] = ask.typed(entry)
            try:
                told[name] = FIELDS[name].from_text(ask.typed(entry), Asked(values=told))
            except FieldError as problem:
                return Wrong(entry, str(problem))
        if not told["title"] and made_from is None:
            return "Type what is to be done."
        if at < 0:
            return f"No template has “{ask.letters('template')}”. Backspace takes it off."
        if told["hours"] is not None and not on:
            return "The hours are a machine's: choose it, or leave the hours empty."
        return Given(told | ({NEW_MACHINE: ask.letters("machine")} if on < 0 else {}))

    made_of = Choices(
        [Column("Template", 20, grow=True), Column("Needs", 6, right=True)],
        1 + len(templates),
        template_row,
        name="template",
        label="Made from",
        click="",  # the title may still be wanted
        narrows=True,
        empty="No template has that. Backspace takes a letter off.",
        begins=templates.index(template) + 1 if template in templates else 0,
    )
    return Ask(
        "Open a job",
        Entry("job-title", typed.get("title", ""), "what is to be done, as: Reseal the lift valve"),
        *([made_of] if templates else []),
        Choices(
            [Column("Machine; type to find it, or the name of a new one", 20, grow=True)],
            1 + len(machines),
            machine_row,
            name="machine",
            label="On",
            click="",
            narrows=True,
            adds="new machine: {typed}",
            begins=machines.index(machine) + 1 if machine in machines else 0,
        ),
        Entry("job-due", typed.get("due", ""), "the day it is due, as 2026-12-04; optional"),
        Entry("job-hours", typed.get("hours", ""), "the machine's hour meter, as 1234.5; optional"),
        keys=(
            Key("leave", "Cancel", "Open none", gives(None)),
            Key("take", "Open", "Open the job", opened),
        ),
        line="Enter opens it · Tab: template, machine, day · type or ↑ ↓ · Esc: none",
        name="new-job",
    )
