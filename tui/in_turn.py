"""Keys in their order: each goes out once the one before has been to everybody who may take it.

A letter is taken by its field at once; a key with a binding (Ctrl+U, Backspace, Ctrl+G) climbs from part to part up to
the app, and is done there. Sent in one burst, as by a slow line or a busy machine, "Ctrl+U, DOT 4" would come out as
"OT 4" or nothing: the letters reach the field first, and then it is emptied.
"""

from __future__ import annotations

from collections import deque
from typing import TYPE_CHECKING, Final

from textual import events

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable

    from textual.message_pump import MessagePump
    from textual.timer import Timer
    from textual.widget import Widget

    from tui.host import Host

LONGEST: Final = 2.0
"""Seconds that keys wait for one before them; a part that is taken away may swallow it and never say so."""


class InTurn:
    """Stands between the app and its page. `deliver` hands a key on."""

    def __init__(self, app: Host, deliver: Callable[[events.Event], Awaitable[None]]) -> None:
        self._app = app
        self._deliver = deliver
        self._under_way: events.Event | None = None
        self._waiting: deque[events.Event] = deque()
        self._timer: Timer | None = None

    @property
    def holding(self) -> bool:
        """Whether keys wait for their turn."""
        return bool(self._waiting)

    async def take(self, event: events.Event) -> None:
        """One key or paste: now, or after those before it."""
        if self._under_way is None and not self._waiting:
            await self._go(event)
            return
        self._waiting.append(event)
        if self._timer is None:
            self._timer = self._app.set_timer(LONGEST, self._give_up)

    async def _go(self, event: events.Event) -> None:
        target = self._app.focused or self._app.open_page()
        await self._deliver(event)
        # A key that is not forwarded was done, or is kept, by the app itself; a letter stays in its field.
        if target is not None and event.is_forwarded and not _stays(event, target):
            self._under_way = event
            self._follow(event, target)

    def _follow(self, event: events.Event, part: MessagePump) -> None:
        """Ask again when a part has dealt with it: behind it in that part's own queue."""
        if not part.call_later(self._passed, event, part):
            self._app.call_later(self._ended, event)

    def _passed(self, event: events.Event, part: MessagePump) -> None:
        above = part._parent
        if part is self._app or event._stop_propagation or above is None:
            self._app.call_later(self._ended, event)
        else:
            self._follow(event, above)

    async def _ended(self, event: events.Event) -> None:
        if event is self._under_way:
            await self._next()

    async def _give_up(self) -> None:
        self._timer = None
        await self._next()

    async def _next(self) -> None:
        """The next that waits; those that nobody else has to see follow at once."""
        self._under_way = None
        if self._timer is not None:
            self._timer.stop()
            self._timer = None
        while self._waiting and self._under_way is None:
            event = self._waiting.popleft()
            await self._app.parts()
            await self._go(event)
        if self._waiting:
            self._timer = self._app.set_timer(LONGEST, self._give_up)


def _stays(event: events.Event, target: Widget) -> bool:
    """Whether the part that has the focus takes it itself, so that whatever follows comes after it anyway."""
    return isinstance(event, events.Key) and target.check_consume_key(event.key, event.character)
