"""Waiting for an app under test by what it has to do, where Textual's harness waits by the clock.

Textual's waits 20 ms at least, twice for every key, and looks whether the process used the processor meanwhile. An
event loop knows better: with nothing to run, no call in a thread and no timer due within those 20 ms, nothing can
happen in them, and the wait is over. Where something can, it is waited for, and the clock rules as it did.

Before each wait Textual's asks every widget to answer, which makes it look for work once more: four in five of all
messages of a test were these. With nothing to run, a widget that waits for its next message has none left to answer.
"""

from __future__ import annotations

import asyncio
from asyncio import AbstractEventLoop, Future
from collections.abc import Callable
from time import monotonic, process_time
from typing import Any
from weakref import WeakKeyDictionary, WeakSet

import textual.app
import textual.pilot
from textual._wait import SLEEP_GRANULARITY, SLEEP_IDLE, wait_for_idle
from textual.message_pump import MessagePump
from textual.pilot import Pilot

_in_threads: WeakKeyDictionary[AbstractEventLoop, WeakSet[Future[Any]]] = WeakKeyDictionary()
_run_in_executor = asyncio.BaseEventLoop.run_in_executor
_ask = Pilot._wait_for_screen


def _noted(self: asyncio.BaseEventLoop, executor: Any, call: Callable[..., Any], *given: Any) -> Future[Any]:
    """Begin a call in a thread, and remember it until the loop has its answer."""
    future = _run_in_executor(self, executor, call, *given)
    _in_threads.setdefault(self, WeakSet()).add(future)
    return future


async def _nothing_to_run(loop: Any, until: float) -> None:
    """Go round the loop until twice in a row nothing but this was to run."""
    free = 0
    while free < 2 and monotonic() < until:
        await asyncio.sleep(0)
        free = 0 if loop._ready else free + 1


async def at_rest(min_sleep: float = SLEEP_GRANULARITY, max_sleep: float = 1) -> None:
    """In place of Textual's `wait_for_idle`: seconds at least, and at most."""
    if min_sleep:
        await wait_for_idle(min_sleep, max_sleep)
        return
    loop: Any = asyncio.get_running_loop()
    until = monotonic() + max_sleep
    while monotonic() < until:
        used, window = process_time(), monotonic() + SLEEP_GRANULARITY
        while (now := monotonic()) < window:
            await _nothing_to_run(loop, until)
            calls = [one for one in _in_threads.get(loop, ()) if not one.done()]
            soon = loop.time() + SLEEP_GRANULARITY
            due = [timer.when() for timer in loop._scheduled if not timer.cancelled() and timer.when() <= soon]
            if calls:
                await asyncio.wait(calls, timeout=max(0.0, window - now))
            elif due:
                await asyncio.sleep(max(0.0, min(due) - loop.time()))
            else:
                return
        if process_time() - used < SLEEP_IDLE:
            return


def _waits(pump: MessagePump) -> bool:
    """Whether it waits for its next message: it has none, and is within none."""
    queue: Any = pump._message_queue
    return not queue.values and bool(queue.ready_event._waiters)


async def _answered(self: Pilot[Any], timeout: float = 30.0) -> bool:
    """In place of the pilot's own, which asks: whether all have handled what was sent to them, after waiting for it."""
    await _nothing_to_run(asyncio.get_running_loop(), monotonic() + 1)
    app: Any = self.app
    if app.is_running and not app._exception_event.is_set():
        pumps = [app, *app.screen.walk_children(with_self=True)]
        if all(_waits(pump) for pump in pumps):
            return True
    return await _ask(self, timeout)


def share() -> None:
    """From here on every app under test is waited for so."""
    asyncio.BaseEventLoop.run_in_executor = _noted  # type: ignore[method-assign, assignment]
    textual.app.wait_for_idle = at_rest  # type: ignore[attr-defined]
    textual.pilot.wait_for_idle = at_rest  # type: ignore[attr-defined]
    Pilot._wait_for_screen = _answered  # type: ignore[method-assign]
