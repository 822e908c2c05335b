"""What keeps the app up whatever is typed: pages take keys once they stand, and what closes closes once.

Textual builds a page beside the keys. A key that comes at once, or a worker that comes back late, would meet a page
half built or half gone. Beneath that lies the last net (`tui/net.py`).
"""

from __future__ import annotations

from asyncio import sleep
from contextvars import Context
from time import monotonic
from typing import TYPE_CHECKING, Any, Final
from weakref import WeakSet

from textual import events
from textual._context import active_app, active_message_pump, message_hook
from textual.await_complete import AwaitComplete
from textual.dom import DOMNode
from textual.errors import NoWidget
from textual.theme import ThemeProvider
from textual.widget import AwaitMount
from textual.worker import Worker
from textual.worker_manager import WorkerManager

from tui import screens
from tui.kept_styles import KeptStyles
from tui.net import LastNet
from tui.screens.closing import ClosesOnce, leave

if TYPE_CHECKING:
    from collections.abc import Mapping

    from textual.actions import ActionParseResult
    from textual.await_complete import AwaitComplete as Awaited
    from textual.screen import Screen
    from textual.widget import Widget

BUILDING: Final = "building"
"""The group of a page's workers that put parts into it; keys wait for them."""
LONGEST = 5.0
"""Seconds that a key waits for a page's parts. A page takes tenths; after this the key goes where it can."""


def stands(page: Screen[Any]) -> bool:
    """Whether all parts of a page are there and set up."""
    # Asked at every key: by hand it takes 40 µs on the largest page, with `walk_children` 330.
    parts: list[DOMNode] = [page]
    while parts:
        part = parts.pop()
        if not part._is_mounted:
            return False
        parts.extend(part._nodes)
    return not any(
        worker.group == BUILDING and not worker.is_finished and page in worker.node.ancestors_with_self
        for worker in page.app.workers
    )


def has_closed(node: object) -> bool:
    """Whether the page that something belongs to is closed, and only still on its way out."""
    pages = (
        (one for one in node.ancestors_with_self if isinstance(one, ClosesOnce)) if isinstance(node, DOMNode) else ()
    )
    return any(page.has_closed for page in pages)


class Workers(WorkerManager):
    """Lets no worker of a closed page begin: a part that is mounted late may still call for one."""

    def add_worker(self, worker: Worker[Any], start: bool = True, exclusive: bool = True) -> None:
        """Start it, unless its page is closed."""
        super().add_worker(worker, start=start, exclusive=exclusive)
        if has_closed(worker.node):
            worker.cancel()


class Steady(LastNet):
    """The app's base."""

    def __init__(self) -> None:
        super().__init__()
        self.stylesheet = KeptStyles(variables=self.get_css_variables())
        self._workers = Workers(self)
        self._unfinished: WeakSet[Screen[Any]] = WeakSet()

    def _register(self, *parts: Any, **where: Any) -> list[Widget]:
        """Parts that are mounted: their tasks begin in a context of the app's own."""
        return self._own_context().run(super()._register, *parts, **where)

    def _start_widget(self, parent: Widget, widget: Widget) -> None:
        """A scroll bar: likewise."""
        self._own_context().run(super()._start_widget, parent, widget)

    def _own_context(self) -> Context:
        """A context that knows the app and nothing else.

        A task copies the context it is begun in: a part that stays, such as the scroll bar that an area gets while a
        page is being closed, would hold that page, with all that was drawn of it, for as long as it lives.
        """
        context = Context()
        context.run(active_app.set, self)
        context.run(active_message_pump.set, self)
        if (hook := message_hook.get(None)) is not None:
            context.run(message_hook.set, hook)
        return context

    def open_page(self) -> Screen[Any] | None:
        """The page on top, or none while the app goes up or down."""
        stack = self._screen_stacks.get(self.current_mode, [])
        return stack[-1] if stack else None

    async def parts(self) -> None:
        """Wait until the open page has its parts."""
        until = monotonic() + LONGEST
        while (page := self.open_page()) is not None and page not in self._unfinished and not stands(page):
            if not self._running:
                return
            if monotonic() > until:
                self.waited_in_vain(page)
                return
            await sleep(0.001)

    def waited_in_vain(self, page: Screen[Any]) -> None:
        """A page never got its parts: keys wait for it once, and from then on go where they can."""
        self._unfinished.add(page)

    async def standing(self, event: events.Event) -> None:
        """Wait with what was typed or clicked until the open page has its parts."""
        if isinstance(event, (events.InputEvent, events.Paste)) and not event.is_forwarded:
            await self.parts()

    async def _check_bindings(self, key: str, priority: bool = False) -> bool:
        """A key that no field took comes back here, and the one before it may be building yet."""
        await self.parts()
        if self.open_page() is None:
            return True
        return await super()._check_bindings(key, priority)

    async def run_action(
        self,
        action: str | ActionParseResult,
        default_namespace: DOMNode | None = None,
        namespaces: Mapping[str, DOMNode] | None = None,
    ) -> bool:
        """Do what a key or a click asks for, unless its page is closed."""
        if has_closed(default_namespace):
            return False
        return await super().run_action(action, default_namespace, namespaces)

    async def on_event(self, event: events.Event) -> None:
        """A click on what is gone, and still drawn, is none: Textual would look for its place."""
        if isinstance(event, events.MouseEvent) and not event.is_forwarded and self._is_gone(event):
            return
        await super().on_event(event)

    def _is_gone(self, event: events.MouseEvent) -> bool:
        page = self.open_page()
        if page is None:
            return True
        try:
            widget, _ = page.get_widget_at(event.x, event.y)
        except NoWidget:
            return False
        return page not in widget.ancestors_with_self

    async def _shutdown(self) -> None:
        """Leave: no worker comes back to pages that are being taken away."""
        self.workers.cancel_all()
        await super()._shutdown()

    def switch_mode(self, mode: str) -> AwaitMount:
        """Open an area, unless the app is being left: no page is begun while all are taken away."""
        if self._dom_ready and self.is_going_down:
            return AwaitMount(self, [])  # type: ignore[arg-type]  # of no parts, nobody asks whose they are
        return super().switch_mode(mode)

    def pop_screen(self) -> Awaited:
        """Close the page on top, unless it is the area itself."""
        stack = self._screen_stacks.get(self.current_mode, [])
        if len(stack) < 2:
            return AwaitComplete(sleep(0))
        leave(stack[-1])
        return super().pop_screen()

    def action_command_palette(self) -> None:
        """Search for a command."""
        page = self.open_page()
        if page is not None and not isinstance(page, screens.palette.Palette):
            # Without a name of its own: the one before may still be on its way out.
            self.push_screen(screens.palette.Palette())

    def search_themes(self) -> None:
        """Offer the themes."""
        self.push_screen(screens.palette.Palette(providers=[ThemeProvider], placeholder="Search for themes…"))
