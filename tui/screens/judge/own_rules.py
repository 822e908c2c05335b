"""This shop's own rules on fluids: its own stand-in rules and classes, to see, to add, to withdraw."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, ClassVar, NamedTuple, cast

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from tui import answers
from tui.bound import bind
from tui.fields.field import Asked, FieldError
from tui.fields.fluids import CONDITION, KIND, OWN_HAVE, OWN_NEED, WHICH, Own
from tui.fields.words import in_a_form
from tui.keys import plain
from tui.operations.fluid import RULE_ADD, RULE_CLASS, RULE_LIST, RULE_REMOVE
from tui.screens.area import Area
from tui.screens.closing import Sheet
from tui.widgets.cells import clean
from tui.widgets.judge.ask_field import LONGEST, AskField, AskInput, PickField
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from tui.host import Host
    from tui.operations.operation import Operation
    from tui.workshop import Workshop

CLASS = "a class"
RULINGS = ("allowed", "caution", "partial", "downgrade", "never", "lacks", "upgrade", CLASS)
MEANS = {
    "allowed": "Yes, within the condition.",
    "caution": "With care: type what must hold as the condition. Two in one chain mean no.",
    "partial": "With care, for part of the duty: type which as the condition.",
    "downgrade": "No: type what is lost as the condition.",
    "never": "Never: type what harm it does as the condition.",
    "lacks": "Never, unless another claim on the label supplies what it lacks.",
    "upgrade": "Yes: it was made to replace the other.",
    CLASS: "A class of the shop's own: its code under “You have”, what it is under “Condition”.",
}


TYPED_IN = {"have": "have", "code": "have", "need": "need", "condition": "condition", "says": "condition"}
"""The field of the sheet in which a field of the rules' and classes' operations is typed."""


class OwnRow(NamedTuple):
    """One line of the list: how it is named where it is withdrawn, its cells, and all of it in words."""

    which: str
    cells: tuple[str, ...]
    words: str


def own_rows(workshop: Workshop) -> tuple[OwnRow, ...]:
    """All the shop says, classes after rules; called in a thread."""
    found = RULE_LIST.perform(workshop, {})
    assert isinstance(found, answers.own_fluids.OwnRules)
    return (
        *(
            OwnRow(str(one.number), (one.kind, one.have, one.need, one.condition), f"{one.says}. {one.whose}.")
            for one in found.rules
        ),
        *(
            OwnRow(one.code, (CLASS, one.code, "", one.description), f"{one.says}. {one.whose}.")
            for one in found.classes
        ),
    )


class ConditionInput(AskInput):
    """The last field: its Enter says what the fields hold."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bind("take", "screen.add", "Add", priority=True, tooltip="Add what the fields hold", id="own.add"),
    ]


class ConditionField(AskField):
    """The field of the condition."""

    def compose(self) -> ComposeResult:
        """The input alone; the rest is drawn around it."""
        yield ConditionInput(max_length=LONGEST, select_on_focus=False)


class OwnRulesScreen(Sheet[None]):
    """The list, four fields to say one more, and the keys. Every change can be undone after Esc by F9."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bind("leave", "dismiss", "Close", tooltip="Back to the question", id="own.close"),
        bind("drop", "withdraw", "Withdraw", tooltip="Withdraw the highlighted one", id="own.withdraw"),
    ]

    def __init__(self, area: Area) -> None:
        super().__init__()
        self._area = area
        self._rows: tuple[OwnRow, ...] = ()

    def compose(self) -> ComposeResult:
        """List, the highlighted one in full, fields."""
        with Vertical(classes="sheet", id="own"):
            yield Static("This shop's own rules on fluids", classes="title", markup=False)
            yield Rows(
                [
                    Column("ruling", 10),
                    Column("you have", 18),
                    Column("asked for", 16),
                    Column("condition", 16, grow=True),
                ],
                empty="Nothing yet. Fill in the fields below; Enter in the last adds it.",
                id="own-rows",
            )
            yield Static(id="own-line")
            yield AskField(OWN_HAVE.label, OWN_HAVE.what, id="own-have")
            yield AskField(OWN_NEED.label, OWN_NEED.what, id="own-need")
            yield PickField(KIND.label, RULINGS, id="own-kind")
            yield ConditionField(CONDITION.label, CONDITION.what, wide=True, id="own-condition")
            yield Static(id="own-means")
        yield Static(
            f"Enter in the last field adds · {plain('drop')} in the list withdraws · Esc closes",
            classes="sheet-keys",
            markup=False,
        )

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.query_one("#own-have", AskField).input.focus()
        self._explain()
        self._read()

    @property
    def _workshop(self) -> Workshop:
        return cast("Host", self.app).workshop

    @work(exclusive=True, group="read")
    async def _read(self) -> None:
        found = await self._area.ask(own_rows, self._workshop)
        # Esc may have closed the window while the workshop was asked.
        if found is not None and self.is_attached:
            self._rows = found
            rows = self.query_one(Rows)
            rows.show(len(found), self._row, cursor=min(rows.cursor, max(0, len(found) - 1)))

    def _row(self, index: int) -> Row:
        return Row(self._rows[index].cells)

    def on_rows_highlighted(self) -> None:
        """The highlighted one in full."""
        index = self.query_one(Rows).cursor
        words = self._rows[index].words if 0 <= index < len(self._rows) else ""
        self.query_one("#own-line", Static).update(Content(clean(words)))

    def on_edited(self) -> None:
        """Say what the picked word means."""
        self._explain()

    def _explain(self) -> None:
        self.query_one("#own-means", Static).update(MEANS[self._answer("kind")])

    def _answer(self, key: str) -> str:
        return cast("AskField | PickField", self.query_one(f"#own-{key}")).answer

    def action_move(self, step: int) -> None:
        """Move in the list from a field."""
        self.query_one(Rows).action_move(step)

    def action_picture(self) -> None:
        """A page down from a field."""
        self.query_one(Rows).action_page(1)

    def action_add(self) -> None:
        """Add what the fields hold."""
        have, need, ruling, condition = (self._answer(key) for key in ("have", "need", "kind", "condition"))
        if ruling == CLASS:
            self._do(RULE_CLASS, {"code": have, "says": condition})
        else:
            self._do(RULE_ADD, {"have": have, "need": need, "kind": ruling, "condition": condition})

    def action_withdraw(self) -> None:
        """Withdraw the highlighted one."""
        index = self.query_one(Rows).cursor
        if 0 <= index < len(self._rows):
            row = self._rows[index]
            rule = row.cells[0] != CLASS
            self._change(RULE_REMOVE, {WHICH.name: Own(int(row.which)) if rule else Own(code=row.which)})

    def _do(self, operation: Operation, words: Mapping[str, str]) -> None:
        """Do it by what was typed, or say what is wrong with that."""
        try:
            values = operation.read(words, Asked())
        except FieldError as problem:
            names = {field.called: field.name for field in operation.fields}
            field = TYPED_IN.get(names.get(problem.option, ""))
            if field is None:
                self._area.say(f"{operation.label}: {problem}", trouble=True)
            else:
                asked = self.query_one(f"#own-{field}", AskField)
                asked.say("", in_a_form(str(problem)))
                asked.input.focus()
            return
        self._change(operation, values)

    @work(exclusive=True, group="change")
    async def _change(self, operation: Operation, values: Mapping[str, Any]) -> None:
        answer = await self._area.ask(operation.perform, self._workshop, values)
        if answer is None:
            return
        if self.is_attached and operation is not RULE_REMOVE:
            for key in ("have", "need", "condition"):
                self.query_one(f"#own-{key}", AskField).answer = ""
            self.query_one("#own-have", AskField).input.focus()
        back = " After Esc, F9 brings it back." if operation is RULE_REMOVE else ""
        self._area.say(f"{answer.words()[0]}{back}")
        self._area.workshop_changed()
        if self.is_attached:
            self._read()
