"""Screens that are pushed over another: they close once, and only themselves."""

from __future__ import annotations

from asyncio import sleep
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar

from textual import events
from textual._compositor import Compositor
from textual.await_complete import AwaitComplete
from textual.binding import BindingType
from textual.content import Content
from textual.message import Message
from textual.screen import ModalScreen, Screen
from textual.widget import Widget
from textual.worker import NoActiveWorker, get_current_worker

from tui import touched
from tui.bound import bind
from tui.widgets.letting_go import let_go, rings_of
from tui.widgets.rows import Rows
from tui.widgets.watchers import forget_closed_watchers

if TYPE_CHECKING:
    from textual.widgets import Input

    from models.watching.heard import Heard

Result = TypeVar("Result")


class ClosesOnce(Screen[Result]):
    """A screen that answers once: a second Enter that was already on its way finds it gone, and does nothing.

    Textual's `dismiss` closes whatever is on top, so that Enter would close the page beneath. A screen that ends its
    work while another lies over it (its help, say) closes that one first, unanswered.
    """

    _has_closed = False
    _closes_with: tuple[Result | None] | None = None

    @property
    def has_closed(self) -> bool:
        """Whether this was closed: it may still be on its way out, and takes nothing more."""
        return self._has_closed

    def keeps(self, event: events.Key | events.Paste) -> bool:
        """Whether a key or a paste waits until something that is being done here is done; the page hands it on then."""
        return False

    def takes_lines(self) -> Input | None:
        """Where pasted lines belong, whichever field has the focus; None where no field takes more than one."""
        return None

    def says_itself(self, text: str) -> bool:
        """Whether this shows what the app tells in a line of its own."""
        return False

    def booked_elsewhere(self, heard: Heard) -> None:
        """Others booked something meanwhile: a page that shows it takes it in, and leaves alone what is typed."""

    async def on_click(self, event: events.Click) -> None:
        """On a field's name, or on what is said beneath it: go to the field. On a key's name: as if it were pressed."""
        if (key := touched.key_touched(event)) is not None:
            if len(key) > 1:
                # From the app: a key that its own page sent would not come up to where it does something.
                self.app.call_later(self.app.simulate_key, key)
            else:
                # As where no field is: in one it would be typed.
                await self.app._check_bindings(key)
        elif (field := touched.field_beside(event)) is not None:
            field.focus()

    def closed(self) -> None:
        """This was closed, by itself or by an area's key."""
        self._has_closed = True

    def dismiss(self, result: Result | None = None) -> AwaitComplete:
        """Close with `result`, unless this is closed already; once it comes back, where another area is open now."""
        stack = open_screens(self)
        if self not in stack:
            if not self._has_closed and self._closes_with is None:
                self._closes_with = (result,)
            return AwaitComplete(sleep(0))
        if stack[0] is self:
            # There is nothing beneath an area to come back to.
            return AwaitComplete(sleep(0))
        self._has_closed = True
        while self.app.screen is not self:
            self.app.screen.dismiss()
        return super().dismiss(result)

    def on_screen_resume(self) -> None:
        """Close now if that had to wait."""
        if self._closes_with is not None:
            self.dismiss(*self._closes_with)

    async def _dispatch_message(self, message: Message) -> None:
        """Closed before it was built, it is not built any more: it would miss the page that it was laid over."""
        if not (self._has_closed and isinstance(message, events.Compose | events.Mount)):
            await super()._dispatch_message(message)

    async def _message_loop_exit(self) -> None:
        """Let go of what was drawn: Textual keeps the lines of the last thousand parts, there or not."""
        app, parts = self.app, self.walk_children(Widget, with_self=True)
        parts += [bar for part in parts for bar in part._get_virtual_dom() if isinstance(bar, Widget)]
        rings = rings_of(parts)
        await super()._message_loop_exit()
        let_go(parts, rings)
        self._compositor = Compositor()
        forget_closed_watchers(app)

    async def _on_message(self, message: Message) -> None:
        """Once closed, a key that was on its way, or what one of the fields says of it, means nothing any more.

        Nor does a click on a row of a list that meanwhile shows other rows.
        """
        if isinstance(message, Rows.Chosen) and message.is_past:
            message.stop()
            return
        if self._has_closed and (isinstance(message, events.InputEvent) or not is_textuals(message)):
            message.stop()
            return
        await super()._on_message(message)


def is_textuals(message: Message) -> bool:
    """Whether Textual sends this itself to build, draw and take away a screen; a widget's own messages are not."""
    return type(message).__module__ in ("textual.events", "textual.messages")


def open_screens(screen: Screen[Any]) -> list[Screen[Any]]:
    """The screens of the open area, lowest first; none while the app goes down."""
    app = screen.app
    return app._screen_stacks.get(app.current_mode, [])


class Sheet(ModalScreen[Result], ClosesOnce[Result]):
    """A modal screen, laid over a page until it is answered.

    Of two bases Textual takes the style of the first.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        bind("help", "app.help", "Help", tooltip="What this asks for, or the help page of the screen beneath",
             id="sheet.help"),
    ]  # fmt: skip

    def help_words(self) -> Content | None:
        """Its own help; None where what it is for stands on the page of the screen beneath."""
        return None


def leave(page: Screen[Any]) -> None:
    """A page is closed: what its workers had in mind for it is let go, before its parts are taken away.

    The worker that closes it goes on; it may have something to say.
    """
    if isinstance(page, ClosesOnce):
        page.closed()
    try:
        own = get_current_worker()
    except NoActiveWorker:
        own = None
    for worker in list(page.app.workers):
        if worker is not own and not worker.is_finished and page in worker.node.ancestors_with_self:
            worker.cancel()
