"""What the keys do at the shelf: each asks for what it must know, changes one thing, and says so."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

from textual import work
from textual.widgets import Input

from tui.screens.operating import Operating
from tui.screens.shelf.lines import words
from tui.stores import Stores
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from models.shelf import StockRow
    from tui.deliveries import Meant
    from tui.operations.operation import Operation


class Deeds(Operating):
    """The actions of the Shelf; the screen says which row is meant."""

    _stock_id: int | None
    _searched: str
    _only: tuple[str, int, str] | None
    _unknown_code: str

    @property
    def chosen(self) -> StockRow | None:
        """The highlighted stock row."""
        raise NotImplementedError

    @property
    def stores(self) -> Stores:
        """The workshop's stores."""
        return Stores(self.kitwright.workshop)

    async def _look_up(self) -> None:
        raise NotImplementedError

    def _show_only(self, only: tuple[str, int, str]) -> None:
        raise NotImplementedError

    OPERATES: ClassVar[str] = "shelf"

    def row(self, kind: str) -> object | None:
        """The highlighted stock row."""
        return self.chosen

    async def before(self, one: Operation) -> None:
        """A key may come before the answer to the last letters typed."""
        if self.query_one("#search", Input).value != self._searched:
            await self._look_up()

    def title_of(self, one: Operation, values: dict[str, Any]) -> str:
        """What is done to which row."""
        row: StockRow = values["stock"]
        return f"{one.label} {row.item_name}, bin {row.bin_code}"

    def _meant(self, item: str, place: str) -> Meant:
        from tui.deliveries import meant

        return self.kitwright.workshop.read(lambda session: meant(session, item, place))

    @work(exclusive=True, group="change")
    async def action_receive(self) -> None:
        """Book a delivery in."""
        from tui.screens.shelf.receive import ReceiveForm

        known = await self.ask(self.kitwright.workshop.known)
        if known is None:
            return
        item = place = ""
        if self.chosen is None and self._only is not None:
            item, place = (self._only[2], "") if self._only[0] == "item" else ("", self._only[2].removeprefix("bin "))
        form = ReceiveForm(known.items, known.bins, self.chosen, self._meant, item=item, place=place)
        delivery = await self.app.push_screen_wait(form)
        if delivery is None:
            return
        row = await self.ask(self.kitwright.workshop.receive, delivery)
        if row is not None:
            self._stock_id = row.stock_id
            here = f"{words(delivery.quantity, row.counted_in)} {clean(row.item_name)} into {clean(row.bin_code)}"
            self.say(f"Received {here}; now {words(row.on_hand, row.counted_in)}. F9 takes it back.")
            self.workshop_changed()

    @work(exclusive=True, group="change")
    async def action_walk(self) -> None:
        """Walk the bins and count."""
        from tui.screens.shelf.round import RoundScreen

        stops = await self.ask(self.stores.stops)
        if stops is not None:
            await self.app.push_screen_wait(RoundScreen(self.stores, stops))
            self.workshop_changed()

    @work(exclusive=True, group="change")
    async def action_to_order(self) -> None:
        """What has fallen to its reorder point."""
        from tui.screens.shelf.to_order import ToOrder

        rules = await self.ask(self.stores.rules)
        if rules is None:
            return
        told = await self.app.push_screen_wait(ToOrder(rules))
        if told is None:
            return
        rule = next(one for one in rules if one.item_id == told.item_id)
        if told.change:
            await self._set_point(rule.item_id, rule.item_name, rule.counted_in)
        else:
            self._show_only(("item", rule.item_id, rule.item_name))

    @work(exclusive=True, group="change")
    async def action_new_point(self) -> None:
        """Say when to order more of the highlighted item."""
        row = self.chosen
        if row is None:
            self.say("Highlight the item to set a reorder point for.")
        else:
            await self._set_point(row.item_id, row.item_name, row.counted_in)

    async def _set_point(self, item_id: int, name: str, counted_in: str) -> None:
        from tui.screens.shelf.to_order import PointForm

        rules = await self.ask(self.stores.rules)
        if rules is None:
            return
        rule = next((one for one in rules if one.item_id == item_id), None)
        point = await self.app.push_screen_wait(PointForm(name, counted_in, rule))
        if point is None:
            return
        kept = await self.ask(self.stores.set_rule, item_id, *point)
        if kept is not None:
            self.say(f"{clean(name)}: {clean(kept.reason)}")

    @work(exclusive=True, group="change")
    async def action_boxes(self) -> None:
        """What is missing from the boxes."""
        from tui.screens.shelf.boxes import Boxes

        found = await self.ask(self.stores.boxes)
        if found is None:
            return
        bin_id = await self.app.push_screen_wait(Boxes(found, plain=self.kitwright.plain_glyphs))
        if bin_id is not None:
            code = next(box.code for box in found if box.bin_id == bin_id)
            self._show_only(("bin", bin_id, f"bin {code}"))

    @work(exclusive=True, group="change")
    async def action_bar_code(self) -> None:
        """Say which bar code is on the highlighted item's pack."""
        from tui.screens.shelf.bar_code import AskBarCode

        row = self.chosen
        if row is None:
            self.say("Highlight the item whose pack has the bar code.")
            return
        code = await self.app.push_screen_wait(AskBarCode(row.item_name, self._unknown_code))
        if code is None:
            return
        kept = await self.ask(self.stores.tie, code, row.item_id)
        if kept is not None:
            self._unknown_code = ""
            self.say(
                f"Kept: {kept.gtin.lstrip('0')} is {clean(row.item_name)}. Scanned, it opens here. F9 takes it back."
            )
            self.workshop_changed()
