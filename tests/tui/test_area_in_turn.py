"""Threads of one group run one after the other: who is cancelled while it waits never begins; nothing is printed."""

from __future__ import annotations

import asyncio
import gc
import threading
from types import SimpleNamespace
from typing import Any, cast

import pytest
from textual.worker import active_worker

from tui.screens.area import Area


async def test_the_cancelled_never_begin_the_last_one_does_and_a_fault_of_nobody_s_is_not_printed() -> None:
    area = cast(Area, SimpleNamespace(_threads={}))
    active_worker.set(cast(Any, SimpleNamespace(group="read")))
    printed: list[object] = []
    asyncio.get_running_loop().set_exception_handler(lambda _, told: printed.append(told))
    may_go = threading.Event()
    ran: list[int] = []

    def refused() -> None:
        may_go.wait()
        raise RuntimeError

    first = asyncio.create_task(Area.in_turn(area, refused))
    await asyncio.sleep(0)
    others = [asyncio.create_task(Area.in_turn(area, ran.append, nth)) for nth in range(3)]
    await asyncio.sleep(0)
    for one in (first, *others[:2]):
        one.cancel()
    may_go.set()
    await others[2]
    for one in (first, *others[:2]):
        with pytest.raises(asyncio.CancelledError):
            await one
    await asyncio.sleep(0)
    gc.collect()
    assert (ran, printed) == ([2], [])
    assert not area._threads["read"].locked()
