"""What this shop says of fluids itself: its own stand-in rules and classes, to see, to add, to withdraw."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, NamedTuple, cast

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from tui.screens.area import Area
from tui.screens.closing import Sheet
from tui.widgets.cells import clean
from tui.widgets.judge.ask_field import AskField, PickField
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from tui.host import Host
    from tui.workshop import Workshop

CLASS = "a class"
KINDS = ("allowed", "caution", "partial", "downgrade", "never", "lacks", "upgrade", CLASS)
MEANS = {
    "allowed": "Yes, within what stands under “if”.",
    "caution": "With care: say under “if” what must hold. Two on one way are a no.",
    "partial": "With care, for part of the duty: say under “if” which.",
    "downgrade": "No: say under “if” what is lost.",
    "never": "Never: say under “if” what harm it does.",
    "lacks": "Never, unless another claim on the label supplies what it lacks.",
    "upgrade": "Yes: it was made to replace the other.",
    CLASS: "A class of the shop's own: its code under “you have”, what it is under “if”.",
}


class OwnRow(NamedTuple):
    """One line of the list: a rule's or a class's number, what is said, and by whom."""

    number: int
    rule: bool
    cells: tuple[str, ...]
    words: str


def own_rows(workshop: Workshop) -> tuple[OwnRow, ...]:
    """All the shop says, classes after rules; called in a thread."""
    from models import fluid_rules

    rules, classes = workshop.read(fluid_rules.listed), workshop.read(fluid_rules.classes)
    return (
        *(
            OwnRow(
                one.rule_id, True, (one.said.kind.value, one.said.offered, one.said.required, one.said.condition),
                f"{one.said.offered} where {one.said.required} is asked: {one.said.kind}"
                f"{f', if {one.said.condition}' if one.said.condition else ''}. {one.who}, {one.at:%Y-%m-%d}"
                f"{f', {one.said.source}' if one.said.source else ''}.",
            )
            for one in rules
        ),
        *(
            OwnRow(
                one.class_id, False, (CLASS, one.said.code, "", one.said.description),
                f"{one.said.code}: {one.said.description}. {one.who}, {one.at:%Y-%m-%d}.",
            )
            for one in classes
        ),
    )  # fmt: skip


class OwnRulesScreen(Sheet[None]):
    """The list, four fields to say one more, and the keys. Every change can be undone after Esc by F9."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "dismiss", "Close", tooltip="Back to the question", id="own.close"),
        Binding("f7", "add", "Add", tooltip="Say what the fields hold", id="own.add"),
        Binding("f8", "withdraw", "Withdraw", tooltip="Withdraw the highlighted one", id="own.withdraw"),
    ]

    def __init__(self, area: Area) -> None:
        super().__init__()
        self._area = area
        self._rows: tuple[OwnRow, ...] = ()

    def compose(self) -> ComposeResult:
        """List, the highlighted one in full, fields."""
        with Vertical(classes="sheet", id="own"):
            yield Static("What this shop says of fluids itself", classes="title", markup=False)
            yield Rows(
                [Column("says", 10), Column("you have", 18), Column("asked for", 16), Column("if", 16, grow=True)],
                empty="Nothing yet. Fill in the fields below, then F7.",
                id="own-rows",
            )
            yield Static(id="own-line")
            yield AskField("You have", "a class; several parted by ;", id="own-have")
            yield AskField("Asked for", "UTTO, API GL-4, @engine", id="own-need")
            yield PickField("Says", KINDS, id="own-kind")
            yield AskField("If", "the condition, or why not", wide=True, id="own-if")
            yield Static(id="own-means")
        yield Static("F7 add · F8 withdraw the highlighted one · Esc closes", classes="sheet-keys", markup=False)

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
        """Say what the fields hold."""
        self._add(self._answer("have"), self._answer("need"), self._answer("kind"), self._answer("if"))

    @work(exclusive=True, group="change")
    async def _add(self, have: str, need: str, kind: str, condition: str) -> None:
        if await self._area.ask(say_own, self._workshop, have, need, kind, condition) is None:
            return
        if self.is_attached:
            for key in ("have", "need", "if"):
                self.query_one(f"#own-{key}", AskField).answer = ""
            self.query_one("#own-have", AskField).input.focus()
        self._changed("Said, as this shop's own.")

    def action_withdraw(self) -> None:
        """Withdraw the highlighted one."""
        index = self.query_one(Rows).cursor
        if 0 <= index < len(self._rows):
            self._withdraw(self._rows[index])

    @work(exclusive=True, group="change")
    async def _withdraw(self, row: OwnRow) -> None:
        if await self._area.ask(withdraw_own, self._workshop, row) is not None:
            self._changed("Withdrawn. After Esc, F9 brings it back.")

    def _changed(self, words: str) -> None:
        self._area.say(words)
        self._area.workshop_changed()
        if self.is_attached:
            self._read()


def say_own(workshop: Workshop, have: str, need: str, kind: str, condition: str) -> bool:
    """Write one rule or class; called in a thread."""
    from models import fluid_rules

    if kind == CLASS:
        workshop.change(lambda session, act: fluid_rules.add_class(session, act, have, condition))
    else:
        workshop.change(
            lambda session, act: fluid_rules.add(
                session, act, required=need, offered=have, kind=kind, condition=condition
            )
        )
    return True


def withdraw_own(workshop: Workshop, row: OwnRow) -> bool:
    """Withdraw one rule or class; called in a thread."""
    from models import fluid_rules

    if row.rule:
        workshop.change(lambda session, act: fluid_rules.remove(session, act, row.number))
    else:
        workshop.change(lambda session, act: fluid_rules.remove_class(session, act, row.number))
    return True
