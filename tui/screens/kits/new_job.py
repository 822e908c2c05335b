"""Open a job: its title, the template it is made from, the machine it is on. Hands back the fields' values."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Input, Label, Static

from tui.fields.field import Asked, FieldError
from tui.operations.job import OPEN
from tui.screens.closing import Sheet
from tui.widgets.cells import clean
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from models.machines import MachineRow
    from models.templates import TemplateRow


TITLE = OPEN.typed[0]


class NewJob(Sheet[dict[str, Any] | None]):
    """Enter opens the job from any field, Tab goes to the lists, the arrows choose there. Esc opens none."""

    DEFAULT_CSS = "NewJob Rows { height: 6; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "cancel", "Cancel", tooltip="Open none", id="newjob.cancel"),
        Binding("enter", "open", "Open", tooltip="Open the job", id="newjob.open"),
    ]

    def __init__(self, templates: tuple[TemplateRow, ...], machines: tuple[MachineRow, ...]) -> None:
        super().__init__()
        self._templates = templates
        self._machines = machines

    def compose(self) -> ComposeResult:
        """Title, templates, machines."""
        with Vertical(classes="sheet"):
            yield Static("Open a job", classes="title", markup=False)
            yield Input(placeholder="what is to be done, as: Reseal the lift valve", max_length=200, id="job-title")
            if self._templates:
                yield Label("Made from", markup=False)
                yield Rows([Column("Template", 20, grow=True), Column("Needs", 6, right=True)], id="template")
            yield Label("On", markup=False)
            yield Rows([Column("Machine", 20, grow=True)], id="machine")
            yield Static("", id="newjob-error", classes="error", markup=False)
        yield Static("Enter opens it · Tab: template, machine · ↑ ↓ choose · Esc opens none", classes="sheet-keys",
                     markup=False)  # fmt: skip

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        if self._templates:
            self.query_one("#template", Rows).show(1 + len(self._templates), self._template_row)
        self.query_one("#machine", Rows).show(1 + len(self._machines), self._machine_row)

    def _template_row(self, index: int) -> Row:
        if index == 0:
            return Row(("no template: an empty job", ""), "dim")
        one = self._templates[index - 1]
        return Row((one.name, str(len(one.needs))))

    def _machine_row(self, index: int) -> Row:
        return Row(("the bench", ), "dim") if index == 0 else Row((self._machines[index - 1].name,))  # fmt: skip

    def on_input_submitted(self) -> None:
        """Open it."""
        self.action_open()

    def on_rows_chosen(self) -> None:
        """A click on the highlighted row opens nothing by itself: the title may still be wanted."""

    def action_open(self) -> None:
        """Hand back what was chosen, or say what is missing."""
        at = self.query_one("#template", Rows).cursor if self._templates else 0
        template = self._templates[at - 1] if at else None
        on = self.query_one("#machine", Rows).cursor
        machine = self._machines[on - 1] if on else None
        try:
            title = TITLE.from_text(self.query_one("#job-title", Input).value, Asked())
            if not title and template is None:
                raise FieldError("Type what is to be done.")
        except FieldError as problem:
            self.query_one("#newjob-error", Static).update(f"! {clean(str(problem))}")
            self.query_one("#job-title", Input).focus()
            return
        self.dismiss({"title": title, "template": template, "machine": machine, "due": None})

    def action_cancel(self) -> None:
        """Open none."""
        self.dismiss(None)
