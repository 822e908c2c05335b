"""What a job takes, told by fields: an element, a fluid, a sealant, a fastener, a consumable."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import events, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.widgets import Input, Label, Static

from catalog import fluids
from models import supplier_lists
from tui.answers.kits import NeedAdded
from tui.bound import bind
from tui.fields.field import Asked, FieldError
from tui.needing import FIELDS, KINDS, Needed, read
from tui.operations.registry import operation
from tui.screens.area import Area
from tui.screens.closing import Sheet
from tui.screens.one_page import OnePage
from tui.widgets.cells import clean
from tui.widgets.error_line import ErrorLine
from tui.widgets.filter_input import FilterInput
from tui.widgets.judge.ask_field import PickField

if TYPE_CHECKING:
    from models.jobs import JobRow
    from tui.kitting import Known

# By kind where a kind says it in its own way.
HINTS = {
    "class": "as on the shelf", "class-fluid": "UTTO, API GL-4", "class-filter": "spin-on 1-12 UNF, 10 µm",
    "class-fastener": "M10 × 1.5 × 30", "grade": "any, if left empty", "grade-fluid": "10W-30",
    "grade-fastener": "8.8",
    "asks": "classes, comma between", "asks-sealant": "must resist: oil, fuel",
    "count": "1", "spares": "0", "title": "name on the kit, optional",
}  # fmt: skip
LABELS = {field.name: field.label for kind in KINDS for field in FIELDS[kind]}
NOWHERE = "no position"
MOST_SHOWN = 150


class NewNeed(OnePage, Sheet[int | None]):
    """Hands back the number of the need it put on the kit.

    Enter adds it from any field, Tab goes on, ← → change a picked word. What is wrong is said; Esc adds nothing.
    """

    DEFAULT_CSS = """
    NewNeed {
        & .need-line { height: 1; }
        & .need-line Label { width: 12; padding-left: 1; }
        & .need-line Input { width: 30; }
        & .need-echo { width: 1fr; height: 1; padding-left: 1; color: $text-muted; }
        & .need-echo { text-wrap: nowrap; text-overflow: ellipsis; }
        & #need-shelf { height: auto; max-height: 3; margin-top: 1; color: $text-muted; }
        & #need-adding { height: auto; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        bind("leave", "cancel", "Cancel", tooltip="Add nothing", id="newneed.cancel"),
        bind("take", "accept", "Add", tooltip="Put it on the kit", id="newneed.add"),
    ]

    def __init__(self, area: Area, job: JobRow, known: Known) -> None:
        super().__init__()
        self._area = area
        self._job = job
        self._known = known
        self._busy = False
        self._typing = False
        """Whether letters typed on the Kind went into the first field, and the focus follows."""

    def compose(self) -> ComposeResult:
        """The kind, every kind's fields, what the shelf has of it, what is wrong."""
        with Vertical(classes="sheet"):
            yield Static(clean(f"Add a need to “{self._job.title}”"), classes="title", markup=False)
            yield PickField("Kind", KINDS, id="need-kind")
            for key in LABELS:
                with Horizontal(classes="need-line", id=f"line-{key}"):
                    yield Label(LABELS[key], markup=False)
                    yield FilterInput(max_length=200, select_on_focus=False, id=f"need-{key}")
                    yield Static("", classes="need-echo", id=f"echo-{key}", markup=False)
            for kind in KINDS:
                names = [clean(name) for _, name in self._places(kind)]
                if names:
                    yield PickField("Goes in", (NOWHERE, *names), id=f"at-{kind}")
            yield Static("", id="need-shelf", markup=False)
            yield ErrorLine(id="need-error")
            yield Static("", id="need-adding", markup=False)
        yield Static("Enter adds it · Tab next field · ← → another kind · Esc adds nothing", classes="sheet-keys",
                     markup=False)  # fmt: skip

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self._show_kind()

    @property
    def kind(self) -> str:
        """The kind that is told."""
        return self.query_one("#need-kind", PickField).answer

    def _places(self, kind: str) -> list[tuple[int, str]]:
        return [(number, name) for takes, number, name in self._known.positions if takes == kind]

    def on_key(self, event: events.Key) -> None:
        """Letters typed while a word is picked go into the first field: nobody has to look where the focus is.

        Once one did, spaces go there too: fast hands are there before the focus is.
        """
        letter = event.character if event.is_printable else None
        if letter is None or not (self._typing or (letter != " " and isinstance(self.focused, PickField))):
            return
        self._typing = True
        first = self.query_one(f"#need-{FIELDS[self.kind][0].name}", Input)
        first.focus()
        first.insert_text_at_cursor(letter)
        event.stop()
        event.prevent_default()

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """Where a word is picked again, a space is the next word again."""
        if isinstance(event.widget, PickField):
            self._typing = False

    def on_edited(self) -> None:
        """Another kind was taken."""
        self._show_kind()

    def _show_kind(self) -> None:
        """Show the fields of the kind; what was typed in the others stays."""
        kind = self.kind
        asked = Asked(self._area.kitwright.units)
        shown = {field.name: field for field in FIELDS[kind]}
        for key in LABELS:
            self.query_one(f"#line-{key}").display = key in shown
            hint = HINTS.get(f"{key}-{kind}") or HINTS.get(key) or (shown[key].hint(asked) if key in shown else "")
            self.query_one(f"#need-{key}", Input).placeholder = hint
        for one in KINDS:
            for place in self.query(f"#at-{one}"):
                place.display = one == kind
        on_shelf = " · ".join(self._known.classes.get(kind, ()))
        if len(on_shelf) > MOST_SHOWN:
            on_shelf = f"{on_shelf[:MOST_SHOWN].rpartition(' · ')[0]} · …"
        words = f"On the shelf: {on_shelf}." if on_shelf else f"The shop keeps no {kind} whose class is known."
        self.query_one("#need-shelf", Static).update(clean(words))
        self.query_one(ErrorLine).say("")

    def on_input_changed(self, event: Input.Changed) -> None:
        """Say what was understood as it is typed."""
        key = (event.input.id or "").removeprefix("need-")
        self.query_one(f"#echo-{key}", Static).update(
            clean(_echo(self.kind, key, event.value, Asked(self._area.kitwright.units)))
        )

    def action_cancel(self) -> None:
        """Add nothing, unless it is being added already."""
        if not self._busy:
            self.dismiss(None)

    def action_accept(self) -> None:
        """Put it on the kit, once, or say what is wrong at which field."""
        if self._busy:
            return
        kind = self.kind
        values = {key: self.query_one(f"#need-{key}", Input).value for key in (field.name for field in FIELDS[kind])}
        needed, wrong = read(kind, values, Asked(self._area.kitwright.units))
        if wrong:
            key, sentence = next(iter(wrong.items()))
            field = self.query_one(f"#need-{key}", Input)
            self.query_one(ErrorLine).say(f"! {sentence}", field)
            field.focus()
            return
        for place in self.query(f"#at-{kind}").results(PickField):
            if place.index:
                needed = needed._replace(position_id=self._places(kind)[place.index - 1][0])
        self._busy = True
        self.query_one(ErrorLine).say("")
        self.query_one("#need-adding", Static).update("Adding it …")
        self._put(needed)

    @work(group="change")
    async def _put(self, needed: Needed) -> None:
        """Stays open with all that was typed where the workshop refuses, and says why."""
        add = operation("job", "need").perform
        answer = await self._area.ask(add, self._area.kitwright.workshop, {"job": self._job, "needed": needed})
        self._busy = False
        if not self.is_attached:
            return
        self.query_one("#need-adding", Static).update("")
        if isinstance(answer, NeedAdded):
            self.dismiss(answer.added.need)


def _echo(kind: str, key: str, text: str, asked: Asked) -> str:
    """What is understood of a field; nothing where it is plain, or not whole yet."""
    if not text.strip():
        return ""
    field = next((one for one in FIELDS[kind] if one.name == key), None)
    try:
        said = "" if field is None else field.echo(field.from_text(text, asked), asked)
    except FieldError:
        return ""
    if said:
        return f"= {said}"
    if kind == "fluid" and key in ("class", "grade"):
        named, grade = supplier_lists.read_fluid.class_and_grade(text) if key == "class" else (text, "")
        found = fluids.classes.get(named)
        if found is None:
            return "not in our tables; kept as typed"
        return f"= {found.code}{f', {grade}' if grade else ''}: {found.description}"
    return ""
