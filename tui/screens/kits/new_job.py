"""Open a job: its title, the template it is made from, the machine it is on. Hands back the fields' values."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from tui.fields.field import Asked, FieldError
from tui.operations.job import OPEN
from tui.screens.ask import Ask, Choices, Entry, Given, Key, gives
from tui.widgets.rows import Column, Row

if TYPE_CHECKING:
    from models.machines import MachineRow
    from models.templates import TemplateRow


TITLE = OPEN.typed[0]
NEW_MACHINE: Final = "new machine"
"""What is handed back beside the fields' values where the machine has yet to be added: its name."""


def new_job(templates: tuple[TemplateRow, ...], machines: tuple[MachineRow, ...]) -> Ask[dict[str, Any] | None]:
    """Enter opens the job from any field, Tab goes to the lists, the arrows choose there. Esc opens none."""

    def template_row(at: int) -> Row:
        one = templates[at - 1]
        return Row((one.name, str(len(one.needs)))) if at else Row(("no template: an empty job", ""), "dim")

    def machine_row(at: int) -> Row:
        return Row((machines[at - 1].name,)) if at else Row(("the bench",), "dim")

    def opened(ask: Ask[dict[str, Any] | None]) -> Given[dict[str, Any] | None] | str:
        """What was chosen, or what is missing."""
        at, on = ask.at("template") if templates else 0, ask.at("machine")
        template, machine = templates[at - 1] if at else None, machines[on - 1] if on else None
        try:
            title = TITLE.from_text(ask.typed("job-title"), Asked())
        except FieldError as problem:
            return str(problem)
        if not title and template is None:
            return "Type what is to be done."
        new = " ".join(ask.typed("job-machine").split())
        same = next((one for one in machines if one.name.casefold() == new.casefold()), None) if new else None
        told = {"title": title, "template": template, "machine": same or machine, "due": None}
        return Given(told | ({NEW_MACHINE: new} if new and same is None else {}))

    made_from = Choices(
        [Column("Template", 20, grow=True), Column("Needs", 6, right=True)],
        1 + len(templates),
        template_row,
        name="template",
        label="Made from",
        click="",  # the title may still be wanted
    )
    return Ask(
        "Open a job",
        Entry("job-title", hint="what is to be done, as: Reseal the lift valve"),
        *([made_from] if templates else []),
        Choices(
            [Column("Machine", 20, grow=True)],
            1 + len(machines),
            machine_row,
            name="machine",
            label="On",
            click="",
        ),
        Entry("job-machine", hint="or a machine that is not listed yet: its name"),
        keys=(
            Key("leave", "Cancel", "Open none", gives(None)),
            Key("take", "Open", "Open the job", opened),
        ),
        line="Enter opens it · Tab: template, machine · ↑ ↓ choose · Esc opens none",
        name="new-job",
    )
