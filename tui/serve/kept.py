"""One browser's app: a process that lives on for a while when its browser is gone, and paints all when it is back."""

from __future__ import annotations

import asyncio
import os
from asyncio.subprocess import PIPE, Process
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from enum import IntEnum
from typing import Final

from aiohttp import ClientError, web
from textual_serve.app_service import AppService
from textual_serve.download_manager import DownloadManager

from tui.serve.driver import AGAIN

KEPT_SECONDS: Final = 600.0
"""How long an app waits for its browser to come back."""
LEAVING_SECONDS: Final = 5.0
"""How long an app that was told to end may take over it: it may be making the day's backup."""
PARTING_SECONDS: Final = 2.0
"""How long a browser may take to let a socket be closed: one that is gone never does."""
READY: Final = b"__GANGLION__\n"
"""What Textual's driver says once the app stands; packets follow."""
LONGEST_TROUBLE: Final = 4000
"""Bytes of what an app says on standard error that are kept."""
CHUNK: Final = 4096
COLUMNS: Final = (20, 400)
LINES: Final = (6, 200)
"""What a terminal is at least and at most, whatever a browser says."""


class Why(IntEnum):
    """Why a browser's socket is closed, as its page is told (RFC 6455 leaves 4000 to 4999 to the application)."""

    LEFT = 4001
    """The app was left, as by F10."""
    FAILED = 4002
    """The app ended by a fault, or never began."""
    ELSEWHERE = 4003
    """The same browser opened it in another tab."""
    STOPPED = 4004
    """The server ends, and every app with it."""


def within(number: object, limits: tuple[int, int]) -> int:
    """A size that a browser says, within what is sensible."""
    return min(max(number, limits[0]), limits[1]) if isinstance(number, int) else limits[0]


class KeptApp(AppService):
    """An app and the socket it is shown on, if any.

    `argv`: its command, run without a shell. `environment`: set beside what the server has; `unset`: what it is not
    told. `ended`: called once it has; `trouble`: is told what it said on standard error.
    """

    def __init__(
        self,
        argv: Sequence[str],
        environment: Mapping[str, str],
        downloads: DownloadManager,
        ended: Callable[[KeptApp], None],
        trouble: Callable[[str], None],
        *,
        kept_seconds: float = KEPT_SECONDS,
    ) -> None:
        super().__init__(
            "", write_bytes=self._send_bytes, write_str=self._send_text, close=self._do_nothing,
            download_manager=downloads,
        )  # fmt: skip
        self._argv = tuple(argv)
        self._given = dict(environment)
        self._ended = ended
        self._trouble = trouble
        self._kept_seconds = kept_seconds
        self._told_to_end = False
        self._cut: Callable[[], None] = lambda: None
        self._turn = asyncio.Lock()
        self._socket: web.WebSocketResponse | None = None
        self._forget: asyncio.TimerHandle | None = None
        self._stopping: asyncio.Task[None] | None = None
        self._closing: asyncio.Task[None] | None = None

    @property
    def is_shown(self) -> bool:
        """Whether a browser has it open."""
        return self._socket is not None

    async def show(
        self, socket: web.WebSocketResponse, columns: int, lines: int, cut: Callable[[], None] = lambda: None
    ) -> None:
        """Show it on this socket from now on: begin it, or paint all of it. A socket before is closed.

        `cut`: cuts the socket's connection. Raises OSError where the app can't be begun.
        """
        (before, cut_before), self._socket, self._cut = (self._socket, self._cut), socket, cut
        if self._forget is not None:
            self._forget.cancel()
            self._forget = None
        if before is not None:
            # Beside: one that is dead without knowing takes its time.
            self._closing = asyncio.ensure_future(_close(before, Why.ELSEWHERE, cut_before))
        async with self._turn:  # two sockets at once would begin two
            if self._task is None:
                await self.start(columns, lines)
            else:
                await self.set_terminal_size(columns, lines)
                await self.send_meta({"type": AGAIN})
            await self.focus()

    def hide(self, socket: web.WebSocketResponse) -> None:
        """The socket is closed; the app waits for the next."""
        if self._socket is socket:
            self._socket = None
            loop = asyncio.get_running_loop()
            self._forget = loop.call_later(self._kept_seconds, self._give_up)

    def _give_up(self) -> None:
        self._stopping = asyncio.ensure_future(self.stop())

    async def stop(self) -> None:
        """End it: first asked, then made to."""
        if self._forget is not None:
            self._forget.cancel()
        self._told_to_end = True
        task, process = self._task, self._process
        if task is None or process is None:
            return
        await self._download_manager.cancel_app_downloads(app_service_id=self.app_service_id)
        await self.send_meta({"type": "quit"})
        late = asyncio.get_running_loop().call_later(PARTING_SECONDS, self._cut)
        if not (await asyncio.wait([task], timeout=LEAVING_SECONDS))[0]:
            with suppress(ProcessLookupError):
                process.kill()
            await asyncio.wait([task], timeout=LEAVING_SECONDS)
        late.cancel()

    async def _open_app_process(self, width: int = 80, height: int = 24) -> Process:
        environment = {**self._build_environment(width, height), **self._given}
        for name in ("NO_COLOR", "KITWRIGHT_ASCII", "TEXTUAL_DEBUG"):  # they are about the server's terminal
            environment.pop(name, None)
        self._process = await asyncio.create_subprocess_exec(
            *self._argv, stdin=PIPE, stdout=PIPE, stderr=PIPE, env=environment,
            # Ctrl+C at the server's terminal is the server's: it ends the apps itself.
            start_new_session=os.name == "posix",
        )  # fmt: skip
        assert self._process.stdin is not None
        self._stdin = self._process.stdin
        return self._process

    async def run(self) -> None:
        """Hand on what the app paints, until it ends; then say why."""
        assert self._process is not None
        errors = asyncio.ensure_future(self._errors())
        with suppress(asyncio.IncompleteReadError, asyncio.LimitOverrunError, ConnectionError):
            await self._packets()
        code = await self._process.wait()
        if (said := (await errors).strip()) and not self._told_to_end:
            self._trouble(said)
        self._ended(self)
        if self._socket is not None:
            socket, self._socket = self._socket, None
            why = Why.STOPPED if self._told_to_end else Why.FAILED if code else Why.LEFT
            await _close(socket, why, self._cut)

    async def _packets(self) -> None:
        assert self._process is not None
        assert self._process.stdout is not None
        out = self._process.stdout
        await out.readuntil(READY)
        handlers = {b"D": self.on_data, b"M": self.on_meta, b"P": self.on_packed}
        while True:
            head = await out.readexactly(5)
            await handlers[head[:1]](await out.readexactly(int.from_bytes(head[1:], "big")))

    async def _errors(self) -> str:
        """What the app says on standard error: all is read, so that it never waits; the last of it is kept."""
        assert self._process is not None
        assert self._process.stderr is not None
        last = b""
        while some := await self._process.stderr.read(CHUNK):
            last = (last + some)[-LONGEST_TROUBLE:]
        return last.decode("utf-8", "replace")

    async def _send_bytes(self, data: bytes) -> None:
        """To the browser; where there is none it is lost, and painted again for the next."""
        if self._socket is not None:
            with suppress(ConnectionError, ClientError, RuntimeError):
                await self._socket.send_bytes(data)

    async def _send_text(self, text: str) -> None:
        if self._socket is not None:
            with suppress(ConnectionError, ClientError, RuntimeError):
                await self._socket.send_str(text)

    async def _do_nothing(self) -> None:
        """The app says that it ends. It may still make a backup: the page is told once it has ended."""


async def _close(socket: web.WebSocketResponse, why: Why, cut: Callable[[], None]) -> None:
    """Close it, and say why; one that takes nothing more in is cut off, for the app would wait for it."""
    # Not by giving up waiting: the app's task waits for the same future within aiohttp, and would be cancelled with it.
    late = asyncio.get_running_loop().call_later(PARTING_SECONDS, cut)
    with suppress(ConnectionError, ClientError, RuntimeError):
        await socket.close(code=why, message=why.name.lower().encode())
    late.cancel()
