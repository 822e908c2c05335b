"""A list of rings: read from a file or pasted, answered in one go, worked through one by one, put on a kit together."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import events, work
from textual.binding import BindingType
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input, Static
from textual.worker import get_current_worker

import models
from tui.bound import bind
from tui.fields.field import Asked, FieldError
from tui.keys import key, plain
from tui.operations.registry import operation
from tui.screens.accept import accept_rings
from tui.screens.area import SHARED, Area
from tui.screens.ring_list.listed import COLUMNS, Listed, RingList, listed
from tui.widgets.cells import clean
from tui.widgets.filter_input import FilterInput
from tui.widgets.rows import Row, Rows

if TYPE_CHECKING:
    from tui.answers.answer import Answer
    from tui.screens.position.measure_session import MeasureSession
    from tui.workshop import Workshop

MOST = 10_000
"""Rings that a list on screen holds; a longer one is answered by the command, which holds none of them."""
TOLD_EVERY = 0.2
"""Seconds between two words on how far it has come."""
WHY_NOT = {
    "! row": "its row can't be read.",
    "on a kit": "it is on a kit already.",
    "no size": "no size of ours fits. Enter opens it on Measure.",
    "open": "no ring is named for it. Enter opens it on Measure, where you choose.",
}
HINT = "paste the rows here, or type the name of a CSV file; Enter reads it"
START = (
    "A list of rings: the first row names the columns (id, od, width, cut_length, tool, condition; yours come along), "
    "then a ring a row."
)


class Stopped(Exception):  # noqa: N818 - no error: somebody asked for it
    """Whoever is told of the rings wants no more of them."""


class RowsInput(FilterInput):
    """A file's name; what is pasted in several lines are the rows themselves."""

    TAKES_LINES: ClassVar = True

    BINDINGS: ClassVar[list[BindingType]] = [
        bind("take", "screen.accept", "Read", show=True, id="ring_list.read",
             tooltip="Read the file, or measure the highlighted ring where no name is typed"),
    ]  # fmt: skip

    class Pasted(Message):
        """Rows were pasted."""

        def __init__(self, text: str) -> None:
            self.text = text
            super().__init__()

    def _on_paste(self, event: events.Paste) -> None:
        if len(event.text.strip().splitlines()) > 1:
            event.stop()
            event.prevent_default()
            self.post_message(self.Pasted(event.text))
        else:
            super()._on_paste(event)


class MarkRows(Rows):
    """The rings; the space bar marks."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bind("mark", "screen.mark", "Mark", show=True, id="ring_list.mark",
             tooltip="Mark the highlighted ring for the kit, or take the mark off"),
    ]  # fmt: skip


class RingListScreen(Area):
    """Opened over Measure. The session keeps the list, so that it is there again after a ring was measured."""

    AREA = "measure"
    LIST = "#list-rows"
    PAGE = Path(__file__).with_name("ring_list.md")
    CSS_PATH: ClassVar = [SHARED, "ring_list.tcss"]
    AUTO_FOCUS = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        bind("take", "accept", "Measure", show=True, id="ring_list.measure",
             tooltip=f"Open the highlighted ring on Measure; {key('list')} comes back"),
        bind("all", "mark_all", "Mark all", show=True, id="ring_list.mark_all",
             tooltip="Mark every ring named to be fitted, or take all marks off"),
        bind(operation("ring", "kit").key, "kit", operation("ring", "kit").label, show=True, id="ring.kit",
             tooltip="Put the marked rings on a job's kit, all in one change"),
        bind(operation("ring", "list").key, "back", "Ring", show=True, id="ring_list.back",
             tooltip="Back to the ring on Measure; the list stays"),
    ]  # fmt: skip

    def __init__(self, session: MeasureSession, meets: tuple[str, str], joint: str) -> None:
        super().__init__()
        self._session = session
        self._meets = meets
        self._joint = joint
        self._reading: RingList | None = None

    @property
    def _list(self) -> RingList:
        return self._session.rings

    def body(self) -> Iterable[Widget]:
        """The field, the list, the highlighted ring in words, how the list stands."""
        yield RowsInput(placeholder=HINT, max_length=4096, id="list-source")
        yield MarkRows(COLUMNS, empty=START, loads=False, id="list-rows")
        yield Static(id="list-told", markup=False)
        yield Static(id="list-state", markup=False)

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self._show(self._list.hand or 0)
        self._list.hand = None
        self.set_interval(TOLD_EVERY, self._tell_how_far)
        self.call_after_refresh(self._focus)

    def _focus(self) -> None:
        (self.rows if self._list.rings else self.query_one("#list-source", Input)).focus()

    # Reading

    def on_rows_input_pasted(self, event: RowsInput.Pasted) -> None:
        """Answer what was pasted."""
        self._answer("", event.text)

    @work(exclusive=True, group="list-reading")
    async def _answer(self, file: str, pasted: str) -> None:
        one, units = operation("ring", "list"), self.kitwright.units
        fluid, hottest = self._meets
        words = {"batch": file, "pasted": pasted, "fluid": fluid, "hottest": hottest, "joint": self._joint}
        new, worker = RingList(), get_current_worker()

        def tell(answer: Answer) -> None:
            # Asked to stop, or the page was closed meanwhile.
            if new.stopped or worker.is_cancelled or len(new.rings) >= MOST:
                new.stopped = True
                raise Stopped
            new.rings.append(listed(answer))  # type: ignore[arg-type]  # a batch tells of rings and of bad rows

        def answer() -> str:
            try:
                values = one.read({name: text or None for name, text in words.items()}, Asked(units))
                one.perform(self.kitwright.workshop, values, tell, units)
            except FieldError as problem:
                return str(problem)
            except Stopped:
                return ""
            return "" if new.rings else "It holds no ring: under the columns' names type a ring a row."

        self._reading = new
        try:
            wrong = await asyncio.to_thread(answer)
        finally:
            self._reading = None
        if wrong:
            self.query_one("#list-told", Static).update(f"! {clean(wrong)}")
            self.query_one("#list-state", Static).update(self._list.summary() if self._list.rings else "")
            return
        self._session.rings = new
        self.query_one("#list-source", Input).value = ""
        self._show(0)
        self.rows.focus()

    def _tell_how_far(self) -> None:
        if self._reading is not None:
            count = len(self._reading.rings)
            self.query_one("#list-state", Static).update(f"Answering: {count} rings so far. Esc stops there.")

    def action_leave(self) -> None:
        """Stop the reading where one goes on; else between the field and the list."""
        if self._reading is not None:
            self._reading.stopped = True
        else:
            super().action_leave()

    # The list

    def _show(self, cursor: int) -> None:
        rings = self._list.rings
        self.rows.show(len(rings), self._row, cursor=cursor)
        self.query_one("#list-state", Static).update(self._list.summary() if rings else "")

    def _row(self, index: int) -> Row:
        return self._list.rings[index].row()

    @property
    def chosen(self) -> Listed | None:
        """The highlighted ring."""
        at, rings = self.rows.cursor, self._list.rings
        return rings[at] if 0 <= at < len(rings) else None

    def on_rows_highlighted(self) -> None:
        """Say what belongs to the highlighted ring."""
        chosen = self.chosen
        self.query_one("#list-told", Static).update("" if chosen is None else clean(chosen.told()))

    def on_rows_chosen(self) -> None:
        """Measure it."""
        self._measure()

    def action_mark(self) -> None:
        """Mark the highlighted ring, or take its mark off."""
        chosen = self.chosen
        if chosen is None:
            return
        if not (chosen.marked or chosen.markable):
            self.say(f"{clean(chosen.name)} can't be marked: {WHY_NOT.get(chosen.state, WHY_NOT['open'])}")
            return
        chosen.marked = not chosen.marked
        self._show(min(self.rows.cursor + 1, len(self._list.rings) - 1))

    def action_mark_all(self) -> None:
        """Mark all that may go on a kit; where all of them are, take every mark off."""
        may = [one for one in self._list.rings if one.markable]
        mark = any(not one.marked for one in may)
        for one in may:
            one.marked = mark
        self._show(self.rows.cursor)
        if not may:
            self.say("No ring of the list is named to be fitted. Enter opens the highlighted one on Measure.")

    def action_accept(self) -> None:
        """Read the file whose name is typed; where none is, measure the highlighted ring."""
        typed = self.query_one("#list-source", Input).value.strip()
        if typed and not self.rows.has_focus:
            self._answer(typed, "")
        else:
            self._measure()

    def _measure(self) -> None:
        chosen = self.chosen
        if chosen is None:
            self.say("There is no ring yet. Paste the rows, or type the name of a CSV file.")
        elif chosen.error:
            self.say(chosen.told(), trouble=True)
        else:
            self._list.hand = self.rows.cursor
            self.dismiss()

    def action_back(self) -> None:
        """Back to what stands on Measure."""
        self.dismiss()

    def action_kit(self) -> None:
        """Ask for the job, put the marked rings on its kit."""
        self._to_kit()

    @work(exclusive=True, group="accept")
    async def _to_kit(self) -> None:
        marked = self._list.marked
        if not marked:
            self.say(f"Nothing is marked. Space marks the highlighted ring, {plain('all')} all that are to fit.")
            return
        added = await accept_rings(self, tuple(one.chosen for one in marked if one.chosen is not None))
        if added is not None:
            for one, need in zip(marked, added.needs, strict=True):
                one.put(added.title, added.job_id, need.need)
            self._show(self.rows.cursor)

    def workshop_changed(self) -> None:
        """What was put on a kit may have been taken back: ask which of it still stands."""
        self._still_there()

    @work(exclusive=True, group="list-kits")
    async def _still_there(self) -> None:
        put = {one.need for one in self._list.rings if one.need is not None}
        for job_id in {job_id for job_id, _ in put}:
            stand = await self.ask(needs_of, self.kitwright.workshop, job_id, quiet=True)
            if stand is None:
                continue  # it can't be read now: what is known stays
            for one in self._list.rings:
                if one.need is not None and one.need[0] == job_id and one.need[1] not in stand:
                    one.kit, one.need = "", None
        if put:
            self._show(self.rows.cursor)


def needs_of(workshop: Workshop, job_id: int) -> frozenset[int]:
    """The needs that stand on a job's kit; none where opening the job was taken back."""
    try:
        return frozenset(need.need_id for need in workshop.kit(job_id).needs)
    except models.errors.NotFoundError:
        return frozenset()
