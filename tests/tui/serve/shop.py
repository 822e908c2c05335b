"""A server with small programs in place of the app, and a browser's requests to it."""

from __future__ import annotations

import asyncio
import logging
import socket as sockets
import ssl
import sys
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass, field

from aiohttp import ClientResponse, ClientSession, ClientWebSocketResponse, CookieJar, TCPConnector, web

from tui.serve.connections import Gate, Places
from tui.serve.guard import Doors
from tui.serve.pairing import Pairing
from tui.serve.shop import Shop

KEY = "ABCDE-FGHIJ-KLMNO-PQRST"
APP = """
import json, os, sys
out, keys = sys.stdout.buffer, sys.stdin.buffer
def packet(kind, data):
    out.write(kind + len(data).to_bytes(4, "big") + data)
    out.flush()
out.write(b"__GANGLION__\\n")
packet(b"D", b"begun %d" % os.getpid())
while head := keys.read(5):
    told = keys.read(int.from_bytes(head[1:], "big"))
    if head[:1] == b"M" and json.loads(told)["type"] == "quit":
        break
    if told == b"leave":
        packet(b"M", b'{"type": "exit"}')
        break
    if told == b"fail":
        sys.exit("the last words")
    if told == b"flood":
        for _ in range(200):
            packet(b"D", os.urandom(100_000))
    if told == b"hang":
        import time; time.sleep(100)
    packet(b"D", head[:1] + told)
"""
"""Speaks as Textual's driver for a browser does: says its number, then each packet again; ends when told to."""
FAILS_AT_ONCE = "import sys; sys.exit('no such workshop')"


@dataclass
class Bench:
    """A running server: its client, who may ask anything, and what was said to whoever watches it."""

    shop: Shop
    client: ClientSession
    places: Places
    pairing: Pairing | None
    said: list[str] = field(default_factory=list)

    @property
    def host(self) -> str:
        return f"127.0.0.1:{self.shop.doors.port}"

    @property
    def origin(self) -> str:
        return f"{self.shop.doors.scheme}://{self.host}"

    async def enter(self, typed: str, **headers: str) -> ClientResponse:
        """Send what was typed into the page that asks for the code."""
        headers = {"Origin": self.origin, **headers}
        return await self.client.post("/enter", data={"code": typed}, headers=headers, allow_redirects=False)

    async def socket(self, width: int = 80, height: int = 24, **headers: str) -> ClientWebSocketResponse:
        """Open the app's socket, as the page does."""
        return await self.client.ws_connect(
            f"/ws?width={width}&height={height}", headers={"Origin": self.origin, **headers}
        )

    def another(self, here: str = "127.0.0.1") -> ClientSession:
        """A second browser, which has no cookie of the first, at an address of this computer."""
        return _browser(self.origin, local_addr=(here, 0))

    def strange(self) -> sockets.socket:
        """A connection that says nothing yet."""
        return sockets.create_connection(("127.0.0.1", self.shop.doors.port), timeout=10)

    async def ends(self, stranger: sockets.socket, answered: bytes = b"") -> bool:
        """Whether the server ends a connection within some seconds, with this answer."""
        heard = b""
        with suppress(ConnectionError):
            async with asyncio.timeout(10):
                while some := await asyncio.get_running_loop().sock_recv(stranger, 1 << 16):
                    heard += some
        stranger.close()
        await asyncio.sleep(0.05)  # the server's side of it
        return heard.startswith(answered) and bool(heard) == bool(answered)


def _browser(
    origin: str, trusts: ssl.SSLContext | None = None, local_addr: tuple[str, int] | None = None
) -> ClientSession:
    connector = TCPConnector(ssl=trusts or True, local_addr=local_addr)
    return ClientSession(origin, connector=connector, cookie_jar=CookieJar(unsafe=True))


@asynccontextmanager
async def open_shop(
    app: str = APP,
    *,
    pair: bool = True,
    at_once: int = 2,
    kept_seconds: float = 60.0,
    public: str = "",
    secure: ssl.SSLContext | None = None,
    trusts: ssl.SSLContext | None = None,
) -> AsyncIterator[Bench]:
    """A server on this computer, until the block ends. `secure`: it speaks https, and `trusts` is the client's side."""
    listener = sockets.create_server(("127.0.0.1", 0), backlog=256)
    doors = Doors(
        "https" if secure else "http", listener.getsockname()[1], frozenset({"127.0.0.1", "localhost"}), public
    )
    said: list[str] = []
    pairing = Pairing(KEY) if pair else None
    shop = Shop(
        doors, [sys.executable, "-c", app], {},
        pairing=pairing, at_once=at_once, say=said.append, kept_seconds=kept_seconds,
    )  # fmt: skip
    runner = web.AppRunner(shop.application(), shutdown_timeout=1.0)
    await runner.setup()
    assert runner.server is not None
    places = Places(500)
    gate = Gate(runner.server, places, logging.getLogger("kitwright.serve"), secure)
    gate.open(listener)
    try:
        async with _browser(f"{doors.scheme}://127.0.0.1:{doors.port}", trusts) as client:
            bench = Bench(shop, client, places, pairing, said)
            try:
                yield bench
            finally:
                await shop.stop()
    finally:
        await gate.close()
        await runner.cleanup()


async def hears(socket: ClientWebSocketResponse, text: bytes) -> bytes:
    """What comes until `text` has come."""
    heard = b""
    async with asyncio.timeout(20):
        while text not in heard:
            heard += await socket.receive_bytes()
    return heard
