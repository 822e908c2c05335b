"""What the keys do at the shelf: the operations on the highlighted row, and the screens that are more than a form."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar

from textual.widgets import Input

from models import inventory
from tui import operations, screens
from tui.answers.box_load import BoxLoaded
from tui.answers.stock import Booked
from tui.fields.box import NEW_LINE
from tui.fields.field import Asked
from tui.screens.operating import Operating

if TYPE_CHECKING:
    from models.stock_rows import StockRow
    from tui.answers.answer import Answer
    from tui.operations.operation import Operation, Values
    from tui.screens.form import Form
    from tui.workshop import Known


class ShelfOperations(Operating):
    """The operations of the Shelf; the screen says which row is meant."""

    OPERATES: ClassVar[str] = "shelf"

    _stock_id: int | None
    _searched: str
    _only: tuple[str, int, str] | None
    _unknown_code: str
    _offers: Known | None = None

    @property
    def chosen(self) -> StockRow | None:
        """The highlighted stock row."""
        raise NotImplementedError

    @property
    def sought(self) -> bool:
        """Whether the highlighted row is one that somebody looked for."""
        raise NotImplementedError

    async def _look_up(self) -> None:
        raise NotImplementedError

    def _show_only(self, only: tuple[str, int, str]) -> None:
        raise NotImplementedError

    def row(self, kind: str) -> object | None:
        """The highlighted stock row, which stands for its item, too."""
        return self.chosen

    def by_hand(self, one: Operation) -> Callable[[], Awaitable[None]] | None:
        """The count round, the two lists, a box that is pasted."""
        return {"round": self._walk, "reorder": self._to_order, "box": self._boxes, "load": self._load}.get(one.name)

    async def before(self, one: Operation) -> None:
        """A key may come before the answer to the last letters typed."""
        if self.query_one("#search", Input).value != self._searched:
            await self._look_up()
        if one.name == "receive":
            self._offers = await self.ask(self.kitwright.workshop.known)

    def typed(self, one: Operation) -> Mapping[str, str]:
        """What the highlighted row or the last scan says already."""
        if one.name == "code":
            return {"gtin": self._unknown_code}
        if one.name != "receive":
            return {}
        row, only = self.chosen, self._only
        if row is not None:
            return {"item": row.item_name, "bin": row.bin_code}
        if only is None:
            return {}
        return {"item": only[2]} if only[0] == "item" else {"bin": only[2].removeprefix("bin ")}

    def form(
        self, one: Operation, asked: Asked, do: Callable[[Values], Answer], title: str, start: Mapping[str, str]
    ) -> Form:
        """Receiving has a form of its own, which offers names."""
        if one.name != "receive":
            return super().form(one, asked, do, title, start)

        known = self._offers
        names, bins = (known.items, known.bins) if known is not None else ((), ())
        return screens.shelf.receive.ReceiveForm(
            one, asked, do, title=title, start=start, names=names, bins=bins, sought=self.sought
        )

    def title_of(self, one: Operation, values: dict[str, Any]) -> str:
        """What is done to which row."""
        row: StockRow | None = values.get("stock") or values.get("item")
        if row is None:
            return one.label
        return (
            f"{one.label}: {row.item_name}" if "item" in values else f"{one.label} {row.item_name}, bin {row.bin_code}"
        )

    def follow(self, answer: Answer) -> None:
        """What was received is highlighted."""
        if isinstance(answer, Booked) and answer.done == "Received":
            self._stock_id = answer.stock[0].stock

    def after(self, one: Operation, values: Values) -> None:
        """A code that was kept is not offered again."""
        if one.name == "code":
            self._unknown_code = ""
        super().after(one, values)

    async def _walk(self) -> None:
        """Walk the bins and count."""
        workshop = self.kitwright.workshop
        stops = await self.ask(workshop.read, inventory.count_round.stops)
        if stops is not None:
            await self.app.push_screen_wait(screens.shelf.round.RoundScreen(workshop, stops, self.kitwright.units))
            self.workshop_changed()

    async def _load(self) -> None:
        """A box from rows that are pasted; the form shows what each is before it books.

        Where the good rows alone were booked, the others stand in the form again, to be corrected.
        """
        load, workshop = operations.registry.operation("shelf", "load"), self.kitwright.workshop
        asked = Asked(self.kitwright.units, {"dry_run": False}, workshop.read)
        start: dict[str, str] = {}
        while True:
            form = screens.form.Form(load, asked, partial(load.perform, workshop), title=load.label, start=start)
            done = await self.app.push_screen_wait(form)
            if done is None:
                return
            answer = done.answer
            assert isinstance(answer, BoxLoaded)
            self.say(f"{answer.words()[0]} F9 takes it back.")
            self.workshop_changed()
            if not answer.bad:
                return
            start = {
                "bin": answer.bin,
                "rubber": done.values["rubber"],
                "rows": NEW_LINE.join(one.text for one in answer.bad),
            }

    async def _to_order(self) -> None:
        """What has fallen to its reorder point."""
        workshop = self.kitwright.workshop
        on = await self.ask(workshop.today)
        rules = (
            None
            if on is None
            else await self.ask(workshop.read, lambda session: inventory.reorder_rules.rules(session, on))
        )
        if rules is None:
            return
        told = await self.app.push_screen_wait(
            screens.shelf.to_order.to_order(sorted(rules, key=lambda row: not row.due))
        )
        if told is None:
            return
        if told.change:
            await self.operate(operations.registry.operation("shelf", "point"), {"item": told.rule})
        else:
            self._show_only(("item", told.rule.item_id, told.rule.item_name))

    async def _boxes(self) -> None:
        """What is missing from the boxes."""
        found = await self.ask(self.kitwright.workshop.read, inventory.assortments.listed)
        if found is None:
            return
        bin_id = await self.app.push_screen_wait(
            screens.shelf.boxes.boxes_sheet(found, plain=self.kitwright.plain_glyphs)
        )
        if bin_id is not None:
            code = next(box.code for box in found if box.bin_id == bin_id)
            self._show_only(("bin", bin_id, f"bin {code}"))
