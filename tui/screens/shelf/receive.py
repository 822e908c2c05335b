"""Receive: what came in, into which bin, how much, of which lot. A form by hand: it offers names and says what is new.

The fields, what it does and its answer are those of the operation.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.widgets import Input, Label, Static

from tui.bound import bind
from tui.fields.amounts import EACH
from tui.fields.field import Asked, Field, FieldError
from tui.operations.operation import Operation, Values
from tui.operations.receive import OF_A_NEW_ITEM
from tui.scanning import Takes
from tui.screens.form import LONGEST, Form
from tui.widgets.cells import clean
from tui.widgets.error_line import ErrorLine
from tui.widgets.filter_input import FilterInput
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from models.inventory.arrivals import Called
    from tui.answers.answer import Answer
    from tui.scanning import Scanned

NAMED = ("item", "bin")
NEW = tuple(one.name for one in OF_A_NEW_ITEM)
LAST = "class"
"""Asked after how much: a bin that is typed on from the item's name must not become the item's class."""
FILTER_CLASS = "as spin-on 1-12 UNF, 10 µm"
# Before the workshop is asked what a name is.
REST = 0.05


class LotField(FilterInput):
    """A lot may be any digits, even those of a bar code."""

    TAKES_CODES: ClassVar = Takes.NONE


class ReceiveForm(Form):
    """What came in, into which bin, how much. Known items are offered; another name makes a new item.

    What a new item is is read from its name and said while it is typed. What the name leaves open is asked for.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        bind("up", "move(-1)", "Up", tooltip="The name above", only="up"),
        bind("down", "move(1)", "Down", tooltip="The name below", only="down"),
    ]

    def __init__(
        self,
        operation: Operation,
        asked: Asked,
        do: Callable[[Values], Answer],
        *,
        title: str,
        start: Mapping[str, str] | None = None,
        names: Iterable[str] = (),
        bins: Iterable[str] = (),
        sought: bool = True,
    ) -> None:
        """`names`, `bins`: to offer. `sought`: somebody looked for what stands in its fields at first."""
        self._sought = sought
        super().__init__(operation, asked, do, title=title, start=start)
        self._known = {"item": tuple(names), "bin": tuple(bins)}
        self._refused = ("", "")
        self._asks: set[str] = set()
        self._offered: list[str] = []

    def compose(self) -> ComposeResult:
        """The fields and the list that goes with the first two."""
        with Vertical(classes="sheet", id="receive"):
            yield Static(clean(self._title), classes="title", markup=False)
            names = [one.name for one in self._operation.typed]
            ahead = {"item": -1.0, LAST: names.index("quantity") + 0.5}
            for one in sorted(self._operation.typed, key=lambda one: ahead.get(one.name, names.index(one.name))):
                kind = LotField if one.name == "lot" else FilterInput
                with Horizontal(
                    classes="receive-row spare" if one.name in NEW else "receive-row", id=f"row-{one.name}"
                ):
                    yield Label(one.label, markup=False)
                    yield kind(
                        self._start.get(one.name, ""),
                        placeholder=one.hint(self._asked),
                        max_length=LONGEST,
                        id=one.name,
                    )
            yield Rows([Column("Known", 20, grow=True)], empty="", loads=False, id="offers")
            yield Static("", id="receive-news", markup=False)
            yield ErrorLine(id="receive-error")
        yield Static("Enter: next, then books · ↓ offers · Tab: lot and days · Esc cancels",
                     classes="sheet-keys", markup=False)  # fmt: skip

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.query_one("#receive-news").display = False
        # What came may be another thing than happens to be highlighted: there its name stands first, and typing
        # writes over it.
        first = next((name for name in NAMED if not self._typed(name)), "quantity")
        self.query_one(f"#{first if self._sought else 'item'}", Input).focus()

    def on_descendant_focus(self) -> None:
        """Offer what goes into the field in hand; what was wrong in another is not said here."""
        self._follow()

    def on_input_changed(self, event: Input.Changed) -> None:
        """Follow the text as it is typed."""
        event.stop()
        self._follow()

    def _follow(self) -> None:
        name, text = self._refused
        if name and (self._in_hand != name or self._typed(name) != text):
            self._say_wrong("", "")
        self._offer()
        self._say_news()

    @property
    def _in_hand(self) -> str:
        return (self.focused.id or "") if self.focused is not None else ""

    def _typed(self, name: str) -> str:
        return self.query_one(f"#{name}", Input).value.strip()

    @work(exclusive=True, group="news")
    async def _say_news(self) -> None:
        """Say what a new name will make, once it is typed: while others are offered it may still become one of them."""
        await asyncio.sleep(REST)
        values: dict[str, Any] = {}
        lines: list[str] = []
        for one in self._operation.typed:
            if not self.query(f"#{one.name}"):
                return  # booked and closed meanwhile
            if one.name not in (*NEW, *NAMED, "quantity"):
                break
            if not self._typed(one.name) or (self._offered and self._in_hand == one.name):
                continue
            try:
                values[one.name] = await self._read(one, values)
            except FieldError:
                continue
            if one.name == "item":
                self._ask_for(values["item"])
            echo = one.echo(values[one.name], replace(self._asked, values=values)) if one.name not in NEW else ""
            lines += [f"= {echo}" if echo and one.name == "quantity" else echo] if echo else []
        for told in self.query("#receive-news").results(Static):
            told.update("\n".join(map(clean, lines)))
            told.display = bool(lines)

    def _ask_for(self, item: Called) -> None:
        """Show the fields for what the name of a new item leaves open; the unit stands in the amount's field."""
        self._known["class"] = tuple(one.spec_class for one in item.waits)
        self._asks = {*item.missing, *(name for name in self._asks if not item.known and self._typed(name))}
        for name in NEW:
            self.query_one(f"#row-{name}").set_class(name not in self._asks, "spare")
        if LAST in self._asks:
            asked = next(one for one in self._operation.typed if one.name == LAST)
            self.query_one(f"#{LAST}", Input).placeholder = (
                f"its class, {FILTER_CLASS}" if item.kind == "filter" else asked.hint(self._asked)
            )
        known = replace(self._asked, values={"item": item} if item.counted_in != EACH else {})
        amount = next(one for one in self._operation.typed if one.name == "quantity")
        self.query_one("#quantity", Input).placeholder = amount.hint(known)

    async def _read(self, one: Field[Any], values: dict[str, Any]) -> Any:
        """A field that is not shown is empty, whatever was typed into it for another name."""
        return one.empty if one.name in NEW and one.name not in self._asks else await super()._read(one, values)

    def _offer(self) -> None:
        """Offer known names for the field in hand."""
        name = self._in_hand
        known = self._known.get(name, ())
        text = self._typed(name).casefold() if known else ""
        found = [one for one in known if all(word in one.casefold() for word in text.split())][:50]
        self._offered = found if not (len(found) == 1 and found[0].casefold() == text) else []
        self.query_one("#offers").set_class(not self._offered, "spare")
        self.query_one("#offers", Rows).show(len(self._offered), lambda index: Row((self._offered[index],)), cursor=-1)

    def action_move(self, step: int) -> None:
        """Take the offer above or below into the field."""
        focused = self.focused
        if not self._offered or not isinstance(focused, Input):
            return
        rows = self.query_one("#offers", Rows)
        if focused.value in self._offered:
            rows.move_to(rows.cursor + step)
        with self.prevent(Input.Changed):
            focused.value = self._offered[rows.cursor]

    def action_page(self, step: int) -> None:
        """The offers are few: a page is a step."""
        self.action_move(step)

    def on_rows_chosen(self, event: Rows.Chosen) -> None:
        """Take the row."""
        for name in NAMED:
            if not self._typed(name):
                self.query_one(f"#{name}", Input).value = self._offered[event.index]
                return

    def action_accept(self) -> None:
        """From item to what it leaves open, to bin, to how much; from there on book it, or say what is missing."""
        name = self._in_hand
        if name in ("item", *NEW) and name != LAST and self._typed("item"):
            if not self._doing:
                self._doing = True
                self._after_item(name)
        elif name == "quantity" and self._typed(name) and LAST in self._asks and not self._typed(LAST):
            self.query_one(f"#{LAST}", Input).focus()
            self.entered()
        elif name == "bin" and self._typed(name):
            self.query_one("#quantity", Input).focus()
            self.entered()
        elif name and not self._doing:
            self._doing = True
            self._take(name)

    @work(group="form")
    async def _after_item(self, name: str) -> None:
        """On to the next thing that the item's name leaves open; the first that is wrong is said."""
        values: dict[str, Any] = {}
        try:
            for one in self._operation.typed:
                if one.name not in ("item", *NEW):
                    break
                try:
                    values[one.name] = await self._read(one, values)
                except FieldError as problem:
                    self._say(one, str(problem), wrong=True)
                    self.query_one(f"#{one.name}", Input).focus()
                    return
            self._ask_for(values["item"])
            passed = NEW[: NEW.index(name) + 1] if name in NEW else ()
            # The thing that was highlighted comes to its own bin; the bin of another is asked.
            same = self._typed("item") == self._start.get("item", "").strip() and self._typed("bin")
            last = "quantity" if same else "bin"
            following = next((one for one in NEW if one in self._asks and one not in (*passed, LAST)), last)
            self.query_one(f"#{following}", Input).focus()
        finally:
            self.entered()

    def _say(self, one: Field[Any], text: str, *, wrong: bool = False) -> None:
        if wrong:
            self._say_wrong(one.name, text)

    def _say_wrong(self, name: str, text: str) -> None:
        self._refused = (name, self._typed(name) if name else "")
        self.query_one(ErrorLine).say(f"! {text}" if text else "", self.query_one(f"#{name}") if name else None)

    def scanned(self, found: Scanned) -> bool:
        """A bin's label fills the bin; a bar code is left to the shelf."""
        if not found.bin_code:
            return False
        self.query_one("#bin", Input).value = found.bin_code
        self.query_one("#quantity" if self._typed("item") else "#item", Input).focus()
        return True
