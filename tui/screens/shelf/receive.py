"""Receive: what came in, into which bin, how much, of which lot. Hands back what was typed, writes nothing itself."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable
from datetime import date
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.widgets import Input, Label, Static

from models.errors import WorkshopError
from tui.deliveries import Delivery
from tui.scanning import Takes
from tui.screens.area import in_thread
from tui.screens.closing import Sheet
from tui.screens.shelf.amounts import read_amount
from tui.widgets.cells import clean
from tui.widgets.filter_input import FilterInput
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from models.shelf import StockRow
    from tui.deliveries import Meant
    from tui.scanning import Scanned

FIELDS = (
    ("item", "Item", "its name, or a size such as AS568-214", 200),
    ("bin", "Bin", "the code on the bin", 200),
    ("quantity", "How much", "pieces, or a volume such as 5 gal", 40),
    ("lot", "Lot", "may stay empty", 200),
    ("cured", "Cured on", "for rubber: the day on the bag, as 2025-06-30", 10),
    ("expires", "Last day", "the day on the pack, as 2029-06-30", 10),
)
NAMED = ("item", "bin")
# Before the workshop is asked what a name is.
REST = 0.05


class LotField(FilterInput):
    """A lot may be any digits, even those of a bar code."""

    TAKES_CODES: ClassVar = Takes.NONE


class ReceiveForm(Sheet[Delivery | None]):
    """What came in, into which bin, how much. Known items are offered; another name makes a new item."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "cancel", "Cancel", tooltip="Change nothing", id="form.cancel"),
        Binding("up", "move(-1)", "Up", show=False),
        Binding("down", "move(1)", "Down", show=False),
    ]

    def __init__(
        self,
        names: Iterable[str],
        bins: tuple[str, ...],
        row: StockRow | None,
        look_up: Callable[[str, str], Meant],
        *,
        item: str = "",
        place: str = "",
    ) -> None:
        """`names`, `bins`: to offer. `look_up`: what a typed item and bin are. `item`, `place`: from a scan."""
        super().__init__()
        self._item = item
        self._bin = place
        self._names = tuple(names)
        self._look_up = look_up
        self._refused = ("", "")
        self._bins = bins
        self._row = row
        self._offered: list[str] = []

    def compose(self) -> ComposeResult:
        """The fields and the list that goes with the first two."""
        row = self._row
        values = {"item": row.item_name if row else self._item, "bin": row.bin_code if row else self._bin}
        with Vertical(classes="sheet", id="receive"):
            yield Static("Receive", classes="title", markup=False)
            for name, label, hint, most in FIELDS:
                with Horizontal(classes="receive-row"):
                    yield Label(label, markup=False)
                    field = LotField if name == "lot" else FilterInput
                    yield field(values.get(name, ""), placeholder=hint, max_length=most, id=name)
            yield Rows([Column("Known", 20, grow=True)], empty="", id="offers")
            yield Static("", id="receive-news", markup=False)
            yield Static("", id="receive-error", classes="error", markup=False)
        yield Static("Enter: next, then books · ↓ offers · Tab: lot and days · Esc cancels",
                     classes="sheet-keys", markup=False)  # fmt: skip

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.query_one("#receive-news").display = False
        first = next((name for name, *_ in FIELDS[:3] if not self.query_one(f"#{name}", Input).value), "quantity")
        self.query_one(f"#{first}", Input).focus()

    def on_descendant_focus(self) -> None:
        """Remember which field is in hand; what was wrong in another is not said here."""
        self._forget_error()
        self._offer()
        self._say_news()

    def on_input_changed(self) -> None:
        """Follow the text as it is typed."""
        self._forget_error()
        self._offer()
        self._say_news()

    def _forget_error(self) -> None:
        name, text = self._refused
        focused = self.focused.id if self.focused is not None else None
        if name and (focused != name or self._typed(name) != text):
            self._refused = ("", "")
            self.query_one("#receive-error", Static).update("")

    @work(exclusive=True, group="news")
    async def _say_news(self) -> None:
        """Say what a new name will make, once it is typed: while others are offered it may still become one of them."""
        await asyncio.sleep(REST)
        if not self.query("#receive-news"):
            return
        focused = self.focused.id if self.focused is not None else None
        typed = {name: "" if self._offered and focused == name else self._typed(name) for name in NAMED}
        try:
            found = await in_thread(self._look_up, typed["item"], typed["bin"])
        except WorkshopError:
            return
        news = "\n".join(clean(line) for line in (found.item_news, found.bin_news) if line)
        # The form may have been booked and closed meanwhile.
        for told in self.query("#receive-news").results(Static):
            told.update(news)
            told.display = bool(news)

    def _offer(self) -> None:
        """Offer known names for the field in hand; say what a new name will make."""
        focused = self.focused
        known: tuple[str, ...] = ()
        text = ""
        if isinstance(focused, Input) and focused.id in ("item", "bin"):
            text = focused.value.strip().casefold()
            known = self._names if focused.id == "item" else self._bins
        found = [name for name in known if all(word in name.casefold() for word in text.split())][:50]
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
        for field in ("item", "bin"):
            if not self.query_one(f"#{field}", Input).value.strip():
                self.query_one(f"#{field}", Input).value = self._offered[event.index]
                return

    def action_accept(self) -> None:
        """From item to bin to how much; from there on hand back the delivery or say what is missing."""
        focused = self.focused.id if self.focused is not None else None
        for name, ask in (("item", "Type what came in."), ("bin", "Type the code on the bin.")):
            if not self._typed(name) and (focused == name or focused not in NAMED):
                self._refuse(name, ask)
                return
        if focused in NAMED:
            self.query_one("#bin" if focused == "item" else "#quantity", Input).focus()
            return
        self._book()

    @work(exclusive=True, group="book")
    async def _book(self) -> None:
        item = self._typed("item")
        try:
            found = await in_thread(self._look_up, item, "")
        except WorkshopError as problem:
            self._refuse("item", str(problem))
            return
        quantity, error = read_amount(self._typed("quantity"), found.counted_in, least=1)
        if error:
            self._refuse("quantity", error)
            return
        days: dict[str, date | None] = {}
        for name in ("cured", "expires"):
            try:
                days[name] = date.fromisoformat(self._typed(name)) if self._typed(name) else None
            except ValueError:
                self._refuse(name, "Type the day like 2029-06-30, or leave it empty.")
                return
        self.dismiss(Delivery(item, self._typed("bin"), quantity, self._typed("lot"), days["expires"], days["cured"]))

    def _typed(self, name: str) -> str:
        return self.query_one(f"#{name}", Input).value.strip()

    def scanned(self, found: Scanned) -> bool:
        """A bin's label fills the bin; a bar code is left to the shelf."""
        if not found.bin_code:
            return False
        self.query_one("#bin", Input).value = found.bin_code
        self.query_one("#quantity" if self._typed("item") else "#item", Input).focus()
        return True

    def _refuse(self, name: str, sentence: str) -> None:
        self._refused = (name, self._typed(name))
        self.query_one("#receive-error", Static).update(f"! {sentence}")
        self.query_one(f"#{name}", Input).focus()

    def action_cancel(self) -> None:
        """Change nothing."""
        self.dismiss(None)
