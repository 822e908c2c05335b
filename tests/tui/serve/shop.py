"""A server with small programs in place of the app, and a browser's requests to it."""

from __future__ import annotations

import asyncio
import sys
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from typing import Any

from aiohttp import ClientResponse, ClientSession, ClientWebSocketResponse, CookieJar
from aiohttp.test_utils import TestClient, TestServer, unused_port

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
    client: TestClient[Any, Any]
    pairing: Pairing | None
    said: list[str] = field(default_factory=list)

    @property
    def host(self) -> str:
        return f"127.0.0.1:{self.shop.doors.port}"

    @property
    def origin(self) -> str:
        return f"http://{self.host}"

    async def enter(self, typed: str, **headers: str) -> ClientResponse:
        """Send what was typed into the page that asks for the code."""
        headers = {"Origin": self.origin, **headers}
        return await self.client.post("/enter", data={"code": typed}, headers=headers, allow_redirects=False)

    async def socket(self, width: int = 80, height: int = 24, **headers: str) -> ClientWebSocketResponse:
        """Open the app's socket, as the page does."""
        return await self.client.ws_connect(
            f"/ws?width={width}&height={height}", headers={"Origin": self.origin, **headers}
        )

    def another(self) -> ClientSession:
        """A second browser, which has no cookie of the first."""
        return ClientSession(self.origin, cookie_jar=CookieJar(unsafe=True))


@asynccontextmanager
async def open_shop(
    app: str = APP, *, pair: bool = True, at_once: int = 2, kept_seconds: float = 60.0, public: str = ""
) -> AsyncIterator[Bench]:
    """A server on this computer, until the block ends."""
    port = unused_port()
    said: list[str] = []
    pairing = Pairing(KEY) if pair else None
    shop = Shop(
        Doors("http", port, frozenset({"127.0.0.1", "localhost"}), public), [sys.executable, "-c", app], {},
        pairing=pairing, at_once=at_once, say=said.append, kept_seconds=kept_seconds,
    )  # fmt: skip
    client = TestClient(TestServer(shop.application(), port=port), cookie_jar=CookieJar(unsafe=True))
    async with client:
        try:
            yield Bench(shop, client, pairing, said)
        finally:
            await shop.stop()


async def hears(socket: ClientWebSocketResponse, text: bytes) -> bytes:
    """What comes until `text` has come."""
    heard = b""
    async with asyncio.timeout(20):
        while text not in heard:
            heard += await socket.receive_bytes()
    return heard
