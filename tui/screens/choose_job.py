"""Which job is this for? An open job, or a new one by the title typed; how many and how many spare, or what else is
asked: a fluid's marks, a fastener's class."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar, NamedTuple

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.widgets import Input, Label, Static

from tui.bound import bind
from tui.fields.field import Asked, FieldError
from tui.fields.words import in_a_form
from tui.needing import COUNT, SPARES
from tui.screens.closing import Sheet
from tui.widgets.error_line import ErrorLine
from tui.widgets.filter_input import FilterInput
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from models.jobs import JobRow


FIGURES = (replace(COUNT, name="pieces", must=True), replace(SPARES, must=True))


class JobChoice(NamedTuple):
    """An open job, or None and the title of a job to open; pieces and spares wanted; what else was asked."""

    job: JobRow | None
    title: str
    pieces: int
    spares: int
    details: Mapping[str, str] = {}


class Detail(NamedTuple):
    """One thing more to type: its key, its name before the field, what stands in it, how wide it is."""

    key: str
    label: str
    value: str = ""
    width: int = 16
    hint: str = ""


# What is typed in the details, to the key of a wrong one and the sentence that says so; None where all is right.
Refuse = Callable[[Mapping[str, str]], tuple[str, str] | None]


def _likeliest(jobs: Sequence[JobRow], machine: str = "") -> int:
    """The place of the job that is meant unless somebody says: of those not finished, one on the thing's own machine,
    and of these one that lacks something."""
    open_ones = [at for at, job in enumerate(jobs) if str(job.state) != "picked"]
    here = [at for at in open_ones if machine and jobs[at].machine_name == machine] or open_ones
    return next((at for at in here if str(jobs[at].state) in ("short", "draft")), here[0] if here else 0)


def _why(job: JobRow, machine: str) -> str:
    """Why another than the first row is highlighted."""
    here = "it is on this machine" if machine and job.machine_name == machine else ""
    lacks = "its kit lacks something" if str(job.state) in ("short", "draft") else ""
    return f"Highlighted: {' and '.join(filter(None, (here, lacks))) or 'the first that is not picked yet'}."


class ChooseJob(Sheet[JobChoice | None]):
    """Type to narrow the jobs or name a new one; Enter takes the highlighted row, Esc changes nothing."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bind("leave", "cancel", "Cancel", tooltip="Change nothing", id="job.cancel"),
        bind("take", "accept", "Accept", tooltip="Take the highlighted job", id="job.accept"),
        bind("up", "move(-1)", "Up", tooltip="The job above", only="up"),
        bind("down", "move(1)", "Down", tooltip="The job below", only="down"),
    ]
    AUTO_FOCUS = "#job-title"
    DEFAULT_CSS = "ChooseJob .job-details { height: 1; }"

    def __init__(
        self,
        what: str,
        jobs: tuple[JobRow, ...],
        *,
        details: Sequence[Detail] = (),
        refuse: Refuse | None = None,
        counted: bool = True,
        spares: int = 1,
        machine: str = "",
    ) -> None:
        super().__init__()
        self._details = details
        self._refuse = refuse
        self._counted = counted
        self._spares = spares
        self._machine = machine
        self._what = what
        self._jobs = jobs
        self._shown: list[JobRow | None] = []
        self._narrowed = ""
        self._untouched = True

    def compose(self) -> ComposeResult:
        """What it is for, the field, the jobs, the two figures."""
        with Vertical(classes="sheet"):
            yield Static(f"{self._what}: for which job?", classes="title", markup=False)
            yield FilterInput(
                placeholder="type to find a job, or the title of a new one", max_length=200, id="job-title"
            )
            jobs = Rows(
                [Column("Job", 20, grow=True), Column("Machine", 18, yields=1), Column("Kit", 7)],
                empty="No open job. Type a title to open one.",
                id="job-list",
            )
            yield Static("", id="job-why", classes="said", markup=False)
            jobs.can_focus = False  # ↑ ↓ move in it from any field, so Tab goes on to the next
            yield jobs
            if self._details:
                with Horizontal(classes="job-details"):
                    for one in self._details:
                        yield Label(f"{one.label} ", markup=False)
                        field = FilterInput(one.value, placeholder=one.hint, max_length=80, id=f"detail-{one.key}")
                        field.styles.width = one.width
                        yield field
            if self._counted:
                with Horizontal(id="job-figures"):
                    for figure, value in zip(FIGURES, (1, self._spares), strict=True):
                        yield Label(f"{'  ' if figure is FIGURES[1] else ''}{figure.label} ", markup=False)
                        yield FilterInput(str(value), max_length=7, id=figure.name)
            yield ErrorLine(id="job-error")
        yield Static(
            "Enter accepts · ↑ ↓ choose · Tab to the figures · Esc cancels", classes="sheet-keys", markup=False
        )

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self._narrow()

    def _narrow(self) -> None:
        self._narrowed = self.query_one("#job-title", Input).value
        text = self._narrowed.strip()
        words = text.casefold().split()
        found = [
            job for job in self._jobs if all(word in f"{job.title} {job.machine_name}".casefold() for word in words)
        ]
        self._shown = [*found, None] if text else list(found)
        self._untouched = not text
        at = _likeliest(found, self._machine)
        self.query_one("#job-list", Rows).show(len(self._shown), self._row, cursor=at)
        why = self.query_one("#job-why", Static)
        why.display = at > 0
        why.update(_why(found[at], self._machine) if at else "")

    def _row(self, index: int) -> Row:
        job = self._shown[index]
        if job is None:
            return Row((f"New job: {self.query_one('#job-title', Input).value.strip()}", "", "new"), "good")
        return Row((job.title, job.machine_name, str(job.state)))

    def on_input_changed(self, event: Input.Changed) -> None:
        """Follow the text as it is typed."""
        if event.input.id == "job-title":
            self._narrow()

    def on_rows_chosen(self) -> None:
        """Take the row."""
        self._untouched = False
        self.action_accept()

    def action_move(self, step: int) -> None:
        """Move in the list from any field."""
        self._untouched = False
        self.query_one("#job-list", Rows).action_move(step)

    def action_page(self, step: int) -> None:
        """Page in the list from any field."""
        self.query_one("#job-list", Rows).action_page(step)

    def action_cancel(self) -> None:
        """Leave everything as it was."""
        self.dismiss(None)

    def action_accept(self) -> None:
        """Hand back the choice, or say what is missing."""
        if self.query_one("#job-title", Input).value != self._narrowed:
            self._narrow()
        details = {one.key: self.query_one(f"#detail-{one.key}", Input).value for one in self._details}
        wrong = self._refuse(details) if self._refuse else None
        error = self.query_one(ErrorLine)
        title = self.query_one("#job-title", Input)
        figures: list[int] = []
        for figure in FIGURES if self._counted else ():
            field = self.query_one(f"#{figure.name}", Input)
            try:
                figures.append(figure.from_text(field.value, Asked()))
            except FieldError as problem:
                error.say(f"! {figure.label}: {in_a_form(str(problem))}", field)
                field.focus()
                return
        pieces, spares = figures or (1, 0)
        if not self._shown:
            error.say("! There is no open job. Type the title of a new one.", title)
        elif self._untouched and all(job is not None and str(job.state) == "picked" for job in self._shown):
            error.say("! Every open job has all it needs. Type the title of a new one, or ↓ takes one of these.", title)
        elif wrong is not None:
            for field in self.query(f"#detail-{wrong[0]}").results(Input):
                error.say(f"! {wrong[1]}", field)
                field.focus()
        else:
            job = self._shown[self.query_one("#job-list", Rows).cursor]
            new = title.value.strip()
            self.dismiss(JobChoice(job, job.title if job else new, pieces, spares, details))
