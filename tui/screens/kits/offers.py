"""What could fill a need: the shelf first, then the suppliers' lists, each with its reason; Enter pins by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, NamedTuple

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from tui.screens.closing import Sheet
from tui.screens.kits.lines import amount
from tui.widgets.cells import clean
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from models.kitting.candidates import Candidate
    from models.kitting.kit_offers import ListOffer, NeedOffers


class Chosen(NamedTuple):
    """What was chosen: a row of the shelf to pin, and how much of it is free; or None to see Buy."""

    stock_id: int | None
    name: str
    free: int


class OffersScreen(Sheet[Chosen | None]):
    """Enter pins the highlighted row of the shelf; on a supplier's row it opens Buy. Esc goes back."""

    DEFAULT_CSS = """
    OffersScreen #offer-list { height: 10; }
    OffersScreen #offer-why { height: 6; border-top: solid $panel-lighten-2; }
    OffersScreen.-tall #offer-list { height: 20; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q,o", "dismiss", "Close", tooltip="Back to the kit", id="offers.close"),
        Binding("enter", "take", "Pin", tooltip="Pin what is highlighted", id="offers.pin"),
    ]

    def __init__(self, found: NeedOffers) -> None:
        super().__init__()
        self._found = found
        self._shelf = found.shelf
        self._lists = found.lists

    def compose(self) -> ComposeResult:
        """The list and the highlighted row's reason in full."""
        found = self._found
        lacks = f", {amount(found.missing, found.counted_in)} short" if found.missing else ", nothing short"
        with Vertical(classes="sheet wide"):
            yield Static(clean(f"What could fill {found.title}{lacks}"), classes="title", markup=False)
            yield Rows(
                [
                    Column("Where", 13),
                    Column("Free, pack", 10, right=True),
                    Column("What", 24, grow=True),
                    Column("Answer", 12),
                ],
                empty="Nothing comes near: not on the shelf, not on a list.",
                id="offer-list",
            )
            yield Static("", id="offer-why")
        yield Static("Enter pins it, or opens Buy for a supplier's · ↑ ↓ · Esc back", classes="sheet-keys wide",
                     markup=False)  # fmt: skip

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.query_one(Rows).focus()
        self.query_one(Rows).show(len(self._shelf) + len(self._lists), self._row)

    def _row(self, index: int) -> Row:
        unit = self._found.counted_in
        if index < len(self._shelf):
            one = self._shelf[index]
            answer, tone = _answer(one)
            return Row((one.bin_code, amount(one.free, unit), one.item_name, answer), tone)
        listed = self._lists[index - len(self._shelf)]
        days = "buy" if listed.lead_days is None else f"buy, {listed.lead_days} d"
        return Row((listed.supplier, amount(listed.pack, unit), listed.name or listed.number, days), "dim")

    def on_rows_highlighted(self) -> None:
        """The highlighted row in full."""
        index = self.query_one(Rows).cursor
        lines = self._words(index) if index < len(self._shelf) + len(self._lists) else []
        self.query_one("#offer-why", Static).update(Content("\n").join([Content(clean(line)) for line in lines]))

    def _words(self, index: int) -> list[str]:
        unit = self._found.counted_in
        if index < len(self._shelf):
            return _on_shelf(self._shelf[index], unit)
        return _on_list(self._lists[index - len(self._shelf)], unit)

    def on_rows_chosen(self) -> None:
        """Take the row."""
        self.action_take()

    def action_take(self) -> None:
        """Hand back what is highlighted."""
        index = self.query_one(Rows).cursor
        if index < len(self._shelf):
            one = self._shelf[index]
            self.dismiss(Chosen(one.stock_id, one.item_name, one.free))
        elif index < len(self._shelf) + len(self._lists):
            self.dismiss(Chosen(None, "", 0))


def _answer(one: Candidate) -> tuple[str, str]:
    if one.refused:
        return "○ no", "bad"
    if not one.free:
        return "· promised", "dim"
    return ("● with care", "good") if one.because else ("● may", "good")


def _on_shelf(one: Candidate, unit: str) -> list[str]:
    first = f"{one.item_name} in bin {one.bin_code}: {amount(one.free, unit)} free of {amount(one.on_hand, unit)}"
    if one.refused:
        return [first, f"Not used by itself: {one.refused}", "Pinned by hand it is used all the same, and says so."]
    return [first, one.because[:1].upper() + one.because[1:] if one.because else "As asked for."]


def _on_list(one: ListOffer, unit: str) -> list[str]:
    from models.purchasing.money import written

    per = f" for {one.price_per}" if one.price_per != 1 else ""
    days = "nobody says when it comes" if one.lead_days is None else f"takes {one.lead_days} days"
    price = f"{written(one.price_minor, one.currency)}{per} a pack of {amount(one.pack, unit)}"
    first = f"{one.number} from {one.supplier}: {one.name}" if one.name else f"{one.number} from {one.supplier}"
    return [first, f"{price}, {days}.", one.because[:1].upper() + one.because[1:]]
