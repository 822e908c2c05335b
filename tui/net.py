"""The last net: a fault in a page closes that page, and the app lives on.

Only the command that opens the app spreads it (`net = True`); under test a fault ends the app, as it should.
"""

from __future__ import annotations

import asyncio
from collections import deque
from contextlib import suppress
from time import monotonic
from typing import TYPE_CHECKING, Any, Final
from weakref import WeakSet

from textual import events
from textual.app import App, ScreenStackError
from textual.dom import DOMNode
from textual.screen import Screen
from textual.worker import WorkerFailed, active_worker

import tui
from models import storage
from tui.screens.closing import leave

if TYPE_CHECKING:
    from pathlib import Path

    from textual.message import Message

MOST: Final = 3
"""So many faults within `SPAN`, or with no key between them, and the app ends."""
SPAN: Final = 2.0
"""Seconds."""
TAKING_AWAY: Final = 2.0
"""Seconds that a failed page gets to take itself away; its parts may be dead."""


class LastNet(App[None]):
    """Catches what no page caught."""

    net = False
    last_words = ""
    """What to say once the terminal is the shell's again; empty unless the app ended by faults."""
    caught = 0

    def __init__(self) -> None:
        super().__init__()
        self._fell: WeakSet[Screen[Any]] = WeakSet()
        self._fell_at: deque[float] = deque(maxlen=MOST)
        self._since_key = 0
        self._last_area: str | None = None

    @property
    def is_up(self) -> bool:
        """Whether the first page stands: before, a fault is the app's own."""
        return True

    @property
    def is_going_down(self) -> bool:
        """Whether the app is being left, and its pages with it."""
        return self._exit or not self._running or not self._screen_stacks.get(self.current_mode)

    async def _dispatch_message(self, message: Message) -> None:
        """A fault here would end the loop that all keys come through."""
        if isinstance(message, events.InputEvent | events.Paste):
            if self._dom_ready and self.is_going_down:
                return
            self._since_key = 0
        try:
            await super()._dispatch_message(message)
        except Exception as fault:
            if isinstance(fault, ScreenStackError) and self._dom_ready and self.is_going_down:
                return
            if not self.net or not self.is_up or isinstance(message, events.Load | events.Compose | events.Mount):
                raise
            self._handle_exception(fault)

    def _handle_exception(self, error: Exception) -> None:
        """Close the page that failed, or end the app where that does not help."""
        if not self.net:
            super()._handle_exception(error)
            return
        fault = error.error if isinstance(error, WorkerFailed) else error
        page = page_of(fault)
        if page is not None and page in self._fell:
            # One fault is often several: each part that can't be drawn says so.
            return
        self.caught += 1
        report = self._report(fault)
        self._since_key += 1
        self._fell_at.append(monotonic())
        often = len(self._fell_at) == MOST and self._fell_at[-1] - self._fell_at[0] < SPAN
        if not self.is_up or often or self._since_key >= MOST:
            self._give_up(report)
        elif not self.is_going_down:
            if page is not None:
                self._fell.add(page)
            self.call_later(self._mend, page, report)

    def _report(self, fault: BaseException) -> str:
        """Where the report lies, in words."""
        file: Path | None = None
        with suppress(Exception):  # whatever fails in telling of a fault is no second fault
            file = tui.fault_report.write(fault, storage.locations.state_folder())
        return f"The report is in {file}" if file is not None else "No report could be written"

    def _give_up(self, report: str) -> None:
        """End with a sentence in place of a traceback, which would show what was typed."""
        if not self.last_words:
            self.last_words = f"Kitwright failed and can't go on; what was booked is kept. {report}."
        self._return_code = 1
        self._exit = True
        self._close_messages_no_wait()

    async def _mend(self, page: Screen[Any] | None, report: str) -> None:
        """Close the page and what lies over it; an area is built again, or left where it failed twice."""
        if self.is_going_down:
            return
        self.capture_mouse(None)
        mode = next((mode for mode, stack in self._screen_stacks.items() if page in stack), None)
        if page is None or mode is None:
            self._tell("Something failed; it was left off.", report)
            return
        stack = self._screen_stacks[mode]
        at = stack.index(page)
        if at:
            gone = stack[at:]
            del stack[at:]
            self.screen.post_message(events.ScreenResume())
            self._tell("This page failed and was closed; the others are as you left them.", report)
        else:
            gone = list(stack)
            again = self._last_area == mode and self._since_key > 1
            self._last_area = mode
            if mode != self.current_mode:
                del self._screen_stacks[mode]
                self._tell("An area failed and was closed; its key opens it again.", report)
            elif again and mode != "measure":
                self.switch_mode("measure")
                del self._screen_stacks[mode]
                self._tell("This area failed twice and was closed; the others work.", report)
            else:
                self._anew(mode, stack)
                self._tell("This area failed and was opened again; the others are as you left them.", report)
        for one in reversed(gone):
            await self._take_away(one)

    def _anew(self, mode: str, stack: list[Screen[Any]]) -> None:
        """A new page in the place of a failed one; there is one at every moment."""
        make = self._modes[mode]
        page, _ = self._get_screen(make() if callable(make) else make)
        self._load_screen_css(page)
        stack[:] = [page]
        if page._css_update_count != self._css_update_count:
            self.refresh_css()
        page._screen_resized(self.size)
        page.post_message(events.ScreenResume())
        self.screen_change_signal.publish(page)

    async def _take_away(self, page: Screen[Any]) -> None:
        """Take a page away whose parts may have ended already. Whoever waits for its answer gets none."""
        leave(page)
        if page._result_callbacks:
            page._result_callbacks[-1](None)
            page._pop_result_callback()
        with suppress(Exception):
            await asyncio.wait_for(page.remove(), TAKING_AWAY)
        if page in self._registry and (page._task is None or page._task.done()):
            with suppress(Exception):
                await asyncio.wait_for(page._message_loop_exit(), TAKING_AWAY)
        self._registry.discard(page)
        if page in self._nodes:
            self._nodes._remove(page)

    def _tell(self, sentence: str, report: str) -> None:
        self.notify(f"{sentence} {report}.", title="A fault", severity="error", timeout=20, markup=False)


def page_of(fault: BaseException) -> Screen[Any] | None:
    """The page in which a fault happened: of the innermost object that belongs to one, else of the worker."""
    frames = []
    traceback = fault.__traceback__
    while traceback is not None:
        frames.append(traceback.tb_frame)
        traceback = traceback.tb_next
    for frame in reversed(frames):
        page = _page(frame.f_locals.get("self"))
        if page is not None:
            return page
    try:
        return _page(active_worker.get().node)
    except LookupError:
        return None


def _page(node: object) -> Screen[Any] | None:
    if not isinstance(node, DOMNode):
        return None
    return next((one for one in node.ancestors_with_self if isinstance(one, Screen)), None)
