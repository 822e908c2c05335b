"""The connections that come in: how many are held, how long one may say nothing, which goes where there are too many.

Whoever reaches the server can open connections and say nothing. Each costs a file descriptor, and where none is left no
browser comes in any more. So connections over which nobody was let in are few, short, and the oldest makes room for the
next; one over which a browser was let in is never cut for a stranger.
"""

from __future__ import annotations

import asyncio
import socket
import ssl
import sys
from collections.abc import Callable, Coroutine
from contextlib import suppress
from typing import TYPE_CHECKING, Any, Final

from aiohttp import web

if sys.platform != "win32":
    import resource

if TYPE_CHECKING:
    import logging

MOST_STRANGE: Final = 256
"""Connections, from all addresses, over which nobody was let in."""
MOST_OF_ONE: Final = 24
"""The same from one address. A browser opens six at once to one server."""
STRANGE_SECONDS: Final = 60.0
"""How long such a connection may stay, whatever it sends or takes in."""
HEADERS_SECONDS: Final = 20.0
"""How long one may take until a request's headers are whole, and how long a browser's may lie idle between two."""
LINGERING_SECONDS: Final = 2.0
"""How long what was answered already is still read."""
PARTING_SECONDS: Final = 2.0
"""How long the end of TLS may take."""
HELD_BACK: Final = 64
"""File descriptors that the program itself needs."""
OF_AN_APP: Final = 4
"""File descriptors of an app: three pipes and its process."""
REST_SECONDS: Final = 0.1
"""Seconds until the next connection is taken, where the system had no room for one."""
TLS_BEGINS: Final = b"\x16"
"""The first byte that a browser sends where it means https (RFC 8446, 5.1: a handshake's record)."""
_SAID: Final = b"This server speaks https alone: type https:// before its address.\n"
NOT_HTTPS: Final = (
    b"HTTP/1.1 400 Bad Request\r\nContent-Type: text/plain; charset=utf-8\r\nConnection: close\r\n"
    b"Content-Length: %d\r\n\r\n%s" % (len(_SAID), _SAID)
)


def room(at_once: int) -> int:
    """Connections that this process has file descriptors for beside so many apps."""
    limit = 1 << 16
    if sys.platform != "win32":  # which has no such limit
        soft = resource.getrlimit(resource.RLIMIT_NOFILE)[0]
        limit = soft if soft != resource.RLIM_INFINITY else limit
    return max(MOST_OF_ONE, min(8 * MOST_STRANGE, limit - HELD_BACK - OF_AN_APP * at_once))


class Place:
    """One connection as it is counted. `cut`: ends it."""

    def __init__(self, places: Places, address: str) -> None:
        self._places = places
        self.address = address
        self.cut: Callable[[], object] = lambda: None
        self.late: asyncio.TimerHandle | None = None

    def let_in(self) -> None:
        """A browser that was let in speaks over it: it is no stranger's."""
        self._places.trust(self)

    def is_late(self) -> None:
        """Nobody was let in over it in all its time."""
        self.cut()

    def leave(self) -> None:
        """It is closed."""
        self._places.forget(self)


class Places:
    """All connections: the strange ones in the order they came, and those of browsers that were let in.

    `most`: of both together; `strange`, `of_one`: of the strange ones, in all and by address.
    """

    def __init__(self, most: int, *, strange: int = MOST_STRANGE, of_one: int = MOST_OF_ONE) -> None:
        self._most = most
        self._most_strange = max(1, min(strange, most // 2))
        self._of_one = of_one
        self._strange: dict[Place, None] = {}
        self._known: set[Place] = set()

    def take(self, address: str) -> Place | None:
        """A place for a connection that came from there; None where all are held by browsers that were let in."""
        here = [one for one in self._strange if one.address == address]
        if len(here) >= self._of_one:
            self._turn_out(here[0])
        elif self._strange and (
            len(self._strange) >= self._most_strange or len(self._strange) + len(self._known) >= self._most
        ):
            self._turn_out(next(iter(self._strange)))
        if len(self._strange) + len(self._known) >= self._most:
            return None
        place = Place(self, address)
        self._strange[place] = None
        return place

    def _turn_out(self, place: Place) -> None:
        self.forget(place)
        place.cut()

    def trust(self, place: Place) -> None:
        """It is a browser's that was let in."""
        if place in self._strange:
            self.forget(place)
            self._known.add(place)

    def forget(self, place: Place) -> None:
        """It is closed, or will be at once."""
        if place.late is not None:
            place.late.cancel()
            place.late = None
        self._strange.pop(place, None)
        self._known.discard(place)

    @property
    def held(self) -> tuple[int, int]:
        """Strange connections, and those of browsers that were let in."""
        return len(self._strange), len(self._known)


class Connection(web.RequestHandler):
    """aiohttp's side of one connection, that gives its place back."""

    __slots__ = ("place",)

    def __init__(self, place: Place, server: web.Server, faults: logging.Logger) -> None:
        super().__init__(
            server, loop=asyncio.get_running_loop(), logger=faults,
            access_log=None,  # type: ignore[arg-type]  # no access log: a line would hold what stands in the address
            # Also the time to the end of the first request's headers, however slowly they come.
            keepalive_timeout=HEADERS_SECONDS, lingering_time=LINGERING_SECONDS,
        )  # fmt: skip
        self.place = place

    def connection_lost(self, exc: BaseException | None) -> None:
        """The connection is closed."""
        self.place.leave()
        super().connection_lost(exc)


def let_in(request: web.Request) -> None:
    """This request came from a browser that was let in: its connection is cut for nobody else's."""
    if isinstance(request.protocol, Connection):
        request.protocol.place.let_in()


class Gate:
    """Takes in what connects to the listening sockets, until it is closed."""

    def __init__(
        self, server: web.Server, places: Places, faults: logging.Logger, secure: ssl.SSLContext | None
    ) -> None:
        self._server = server
        self._places = places
        self._faults = faults
        self._secure = secure
        self._listeners: list[socket.socket] = []
        self._tasks: set[asyncio.Task[None]] = set()

    def open(self, listener: socket.socket) -> None:
        """Take in what connects there."""
        listener.setblocking(False)
        self._listeners.append(listener)
        self._begin(self._accept(listener))

    async def close(self) -> None:
        """Take in nothing more. What is open stays so."""
        for task in self._tasks:
            task.cancel()
        await asyncio.gather(*self._tasks, return_exceptions=True)
        for one in self._listeners:
            one.close()

    def _begin(self, what: Coroutine[Any, Any, None]) -> asyncio.Task[None]:
        task: asyncio.Task[None] = asyncio.get_running_loop().create_task(what)
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)
        return task

    async def _accept(self, listener: socket.socket) -> None:
        loop = asyncio.get_running_loop()
        while True:
            try:
                connection, peer = await loop.sock_accept(listener)
            except OSError:  # whoever came has gone, or the system has no room
                await asyncio.sleep(REST_SECONDS)
                continue
            place = self._places.take(str(peer[0]))
            if place is None:
                connection.close()
            else:
                place.cut = self._begin(self._admit(connection, place)).cancel
                place.late = loop.call_later(STRANGE_SECONDS, place.is_late)
            await asyncio.sleep(0)  # one that has to go is closed before the next is taken

    async def _admit(self, connection: socket.socket, place: Place) -> None:
        """Hand it to aiohttp, through TLS where that is spoken here."""
        secure, is_open = self._secure, False
        try:
            with suppress(OSError):  # it has gone, or what it sent is no TLS
                if secure is None or await _begins_tls(connection):
                    transport, _ = await asyncio.get_running_loop().connect_accepted_socket(
                        lambda: Connection(place, self._server, self._faults), connection, ssl=secure,
                        ssl_handshake_timeout=None if secure is None else HEADERS_SECONDS,
                        ssl_shutdown_timeout=None if secure is None else PARTING_SECONDS,
                    )  # fmt: skip
                    place.cut = transport.abort
                    is_open = True
        finally:
            if not is_open:
                connection.close()
                place.leave()


async def _begins_tls(connection: socket.socket) -> bool:
    """Whether what comes begins as TLS does; where it is plain http, the answer says what to type. Raises OSError."""
    loop = asyncio.get_running_loop()
    came = asyncio.Event()
    try:
        loop.add_reader(connection, came.set)
    except NotImplementedError:  # Windows' loop has none: what is no TLS is cut off there without a word
        return True
    try:
        async with asyncio.timeout(HEADERS_SECONDS):
            await came.wait()
    finally:
        loop.remove_reader(connection)
    first = connection.recv(1, socket.MSG_PEEK)
    if first not in (TLS_BEGINS, b""):
        connection.recv(1 << 16)  # what is not read would take the answer with it
        connection.send(NOT_HTTPS)
        connection.shutdown(socket.SHUT_WR)
    return first == TLS_BEGINS
