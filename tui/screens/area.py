"""What the four areas share: the top line, the key line, a help page, and the message for a window too narrow."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, TypeVar, cast

from textual import events, on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Input, Static
from textual.worker import NoActiveWorker, get_current_worker

import tui
from models.errors import WorkshopError
from models.watching.heard import Line
from tui.bound import bind
from tui.screens.closing import ClosesOnce
from tui.widgets.guide_line import GuideLine
from tui.widgets.key_line import KeyLine
from tui.widgets.next_line import NextLine
from tui.widgets.rows import Rows
from tui.widgets.topbar import TopBar

if TYPE_CHECKING:
    from models.watching.heard import Booked, Heard
    from tui.host import Host

# The style sheet that all areas and their dialogs share. An area loads it, so the first frame need not.
SHARED = Path(__file__).parent.parent / "styles" / "app.tcss"

Answer = TypeVar("Answer")


def _loaded(call: Callable[..., Answer], *given: object) -> Answer:
    """Call once the models are loaded; runs in a thread."""
    tui.workshop.load()
    return call(*given)


async def in_thread(call: Callable[..., Answer], *given: object) -> Answer:
    """Call into the workshop from a thread. Raises `WorkshopError` as the call does."""
    return await asyncio.to_thread(_loaded, call, *given)


class Area(ClosesOnce[None]):
    """One of the four areas. A subclass gives `AREA`, `PAGE` (its Markdown help), `LIST` and `body()`."""

    AREA: ClassVar[str]
    PAGE: ClassVar[Path]
    # The list that the arrows move in, from wherever the focus stands.
    LIST: ClassVar[str]
    # What others booked and is not taken in yet.
    _elsewhere: tuple[Booked, ...] = ()
    _taking_in = False
    # Whether it still reads the first rows it will show: nothing is loaded ahead meanwhile.
    reads = False
    # These work from inside a field too, which has no other use for them.
    BINDINGS: ClassVar[list[BindingType]] = [
        bind("up", "move(-1)", "Up", tooltip="One row up", only="up"),
        bind("down", "move(1)", "Down", tooltip="One row down", only="down"),
        bind("leave", "leave", "Field or list", id="leave",
             tooltip="From the field to the list, where single letters work, and back"),
    ]  # fmt: skip

    def __init__(self) -> None:
        super().__init__()
        # Held while a thread runs that a worker of that group began.
        self._threads: dict[str, asyncio.Lock] = {}

    @property
    def kitwright(self) -> Host:
        """The app, with its own type."""
        return cast("Host", self.app)

    def compose(self) -> ComposeResult:
        """Top line, body, what is next, key line."""
        yield TopBar(self.AREA)
        yield Static("This window is narrow. Widen it to 72 columns to see everything.", id="narrow", markup=False)
        yield from self.body()
        yield NextLine()
        yield GuideLine()
        yield KeyLine(compact=True, show_command_palette=False)

    def body(self) -> Iterable[Widget]:
        """The area's own widgets."""
        raise NotImplementedError

    @property
    def rows(self) -> Rows:
        """The area's main list."""
        return self.query_one(self.LIST, Rows)

    def field(self) -> Input | None:
        """The field that Esc comes back to, if the area has one."""
        return next(iter(self.query(Input)), None)

    def action_move(self, step: int) -> None:
        """Move in the list without leaving the field."""
        self.rows.action_move(step)

    def action_page(self, step: int) -> None:
        """Move by a page without leaving the field."""
        self.rows.action_page(step)

    def action_leave(self) -> None:
        """Between the field and the list."""
        field = self.field()
        if field is None or not self.rows.has_focus:
            self.rows.focus()
        else:
            field.focus()

    def meant(self) -> Mapping[str, str]:
        """The names of what is highlighted, by what they name: item, bin, machine, supplier."""
        return {}

    def next_words(self) -> str | Content:
        """What Enter does now, with the thing named: "Enter counts AS568-214 in Box 3". "" where it does nothing."""
        return ""

    @on(Rows.Highlighted)
    @on(events.DescendantFocus)
    def say_next(self) -> None:
        """Say what is next."""
        self.query_one(NextLine).say_next(self.next_words())

    def workshop_changed(self) -> None:
        """Something in the workshop changed; a subclass that shows it reads it again."""

    def booked_elsewhere(self, heard: Heard) -> None:
        """Others booked something, or the workshop is back: take it in, one after the other."""
        if heard.line is Line.LOST or not self.is_mounted:
            return
        if heard.line is Line.BACK:
            self.workshop_changed()
        self._elsewhere = (*self._elsewhere, *heard.booked)
        if self._elsewhere and not self._taking_in:
            self._take_in()

    @work(group="elsewhere")
    async def _take_in(self) -> None:
        self._taking_in = True
        try:
            while self._elsewhere:
                booked, self._elsewhere = self._elsewhere, ()
                await self.take_in(booked)
        finally:
            self._taking_in = False

    async def take_in(self, booked: tuple[Booked, ...]) -> None:
        """Show what others booked, and keep the cursor where it is."""
        self.workshop_changed()

    def on_screen_resume(self) -> None:
        """Read again: another area or another program may have changed the workshop."""
        self.workshop_changed()

    async def in_turn(self, call: Callable[..., Answer], *given: object) -> Answer:
        """Call from a thread, once the thread is done that an earlier worker of this worker's group began.

        A thread goes on when its worker is cancelled. Where a list is asked for anew at every key, a large shop would
        be read by all of them at once, and the memory that took is never whole again; so whoever comes meanwhile waits,
        and is cancelled by the next before it begins.
        """
        try:
            group = get_current_worker().group
        except NoActiveWorker:
            return await asyncio.to_thread(call, *given)
        lock = self._threads.setdefault(group, asyncio.Lock())
        await lock.acquire()
        thread = asyncio.create_task(asyncio.to_thread(call, *given))

        def done(_: object) -> None:
            lock.release()
            if not thread.cancelled():
                thread.exception()  # of a worker that was cancelled nobody asks for it, and asyncio would print it

        thread.add_done_callback(done)
        return await asyncio.shield(thread)

    async def ask(self, call: Callable[..., Answer], *given: object, quiet: bool = False) -> Answer | None:
        """Call into the workshop from a thread. Where it refuses, its sentences are shown and the answer is None.

        `quiet` is for what nobody asked for by a key: there the screen itself says that it could not be read.
        """
        try:
            answer: Answer = await self.in_turn(_loaded, call, *given)
            for said in () if quiet else self.kitwright.workshop.noticed():
                self.say(said)
            return answer
        except WorkshopError as refused:
            if quiet:
                return None
            self.say(f"{refused.title}. {refused}", trouble=True)
            return None

    def heard(self) -> None:
        """Another key was pressed: what was said is read."""
        for line in self.query(NextLine):
            line.forget()

    def say(self, text: str, *, trouble: bool = False) -> None:
        """A short message where it says what is next; the text is never read as markup."""
        self.kitwright.tell(text, trouble=trouble)
