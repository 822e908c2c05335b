"""A browser's app: begun, shown, left, kept, failed; played by a small program that speaks as the app does."""

from __future__ import annotations

import asyncio
import json
import os
import re
from contextlib import suppress
from http import HTTPStatus

import pytest
from aiohttp import ClientWebSocketResponse, WSMsgType, WSServerHandshakeError

from tests.tui.serve.shop import FAILS_AT_ONCE, Bench, hears, open_shop
from tui.serve import kept, shop
from tui.serve.kept import Why, within


async def page(bench: Bench) -> None:
    await bench.client.get("/")


async def number(socket: ClientWebSocketResponse) -> int:
    """The process number of the app that has just begun."""
    heard = await hears(socket, b"begun ")
    return int(heard.partition(b"begun ")[2].split(b"M")[0])


async def types(socket: ClientWebSocketResponse, keys: str) -> None:
    await socket.send_json(["stdin", keys])


async def closed_with(socket: ClientWebSocketResponse) -> int:
    """The code that the server closes it with; what comes before is passed over."""
    while (message := await socket.receive(timeout=20)).type is not WSMsgType.CLOSE:
        assert message.type is WSMsgType.BINARY
    return int(message.data)


async def ends(number: int) -> bool:
    """Whether a process is gone within some seconds."""
    for _ in range(100):
        try:
            os.kill(number, 0)
        except ProcessLookupError:
            return True
        await asyncio.sleep(0.05)
    return False


async def test_keys_and_size_reach_the_app_and_nothing_else_does() -> None:
    async with open_shop(pair=False) as bench:
        await page(bench)
        socket = await bench.socket()
        await number(socket)
        await types(socket, "24,9 ½\r")
        await hears(socket, "D24,9 ½\r".encode())
        await socket.send_json(["resize", {"width": 100000, "height": -3}])
        heard = await hears(socket, b"resize")
        assert json.loads(heard.rpartition(b"M")[2]) == {"type": "resize", "width": 400, "height": 6}
        for odd in (
            "",
            "{",
            "[" * 100_000,
            "null",
            '["stdin"]',
            '["stdin", 3]',
            '["resize", {"width": "a"}]',
            '["quit"]',
        ):
            await socket.send_str(odd)
        await socket.send_bytes(b"\x00")
        await socket.send_json(["ping", "7"])
        answer = await socket.receive(timeout=20)
        assert json.loads(answer.data) == ["pong", "7"]
        await types(socket, "end")
        assert await hears(socket, b"Dend") == b"Dend"


async def test_a_lost_browser_comes_back_to_the_same_app() -> None:
    async with open_shop(pair=False) as bench:
        await page(bench)
        first = await bench.socket()
        process = await number(first)
        await types(first, "39.3")
        await hears(first, b"D39.3")
        await first.close()
        assert (await bench.client.get("/open")).status == HTTPStatus.NO_CONTENT
        second = await bench.socket(100, 30)
        heard = await hears(second, b'"again"')
        assert b'"width": 100, "height": 30' in heard
        assert b"begun" not in heard
        # A tab more takes the app over, and the one before is told.
        third = await bench.socket()
        await hears(third, b'"again"')
        assert await closed_with(second) == Why.ELSEWHERE
        await second.close()
        await types(third, "still")
        await hears(third, b"Dstill")
        os.kill(process, 0)


async def test_two_sockets_at_once_are_one_app() -> None:
    async with open_shop(pair=False) as bench:
        await page(bench)
        first, second = await asyncio.gather(bench.socket(), bench.socket())
        heard = await asyncio.gather(*(_all(one) for one in (first, second)))
        assert len(set(re.findall(rb"begun \d+", b"".join(heard)))) == 1
        assert len(list(bench.shop.browsers.apps())) == 1


async def _all(socket: ClientWebSocketResponse) -> bytes:
    """What comes until nothing more does."""
    heard = b""
    with suppress(TimeoutError):
        while (message := await socket.receive(timeout=0.5)).type is WSMsgType.BINARY:
            heard += message.data
    return heard


async def test_a_browser_that_takes_nothing_in_any_more_holds_up_nobody(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kept, "PARTING_SECONDS", 0.1)
    async with open_shop(pair=False) as bench:
        await page(bench)
        dead = await bench.socket()
        await number(dead)
        await types(dead, "flood")
        await asyncio.sleep(0.3)  # the pipes are full: nobody reads
        (app,) = bench.shop.browsers.apps()
        alive = await bench.socket()
        async with asyncio.timeout(shop.BEAT_SECONDS / 2):  # before the dead one is found out by its silence
            while b'"again"' not in await alive.receive_bytes():
                pass
        assert list(bench.shop.browsers.apps()) == [app]


async def test_an_app_that_can_t_be_begun_is_told() -> None:
    async with open_shop(pair=False) as bench:
        bench.shop._argv = ["no such program"]
        await page(bench)
        socket = await bench.socket()
        assert await closed_with(socket) == Why.FAILED
        assert bench.said == ["The app could not be begun (no such file or directory)."]
        assert list(bench.shop.browsers.apps()) == []


async def test_an_app_that_nobody_comes_back_to_ends() -> None:
    async with open_shop(pair=False, kept_seconds=0.1) as bench:
        await page(bench)
        socket = await bench.socket()
        process = await number(socket)
        await socket.close()
        assert await ends(process)
        async with asyncio.timeout(5):  # the process is gone a moment before it is known to be
            while list(bench.shop.browsers.apps()):
                await asyncio.sleep(0.01)


@pytest.mark.parametrize(("keys", "why"), [("leave", Why.LEFT), ("fail", Why.FAILED)])
async def test_the_page_is_told_how_the_app_ended_and_may_begin_another(keys: str, why: Why) -> None:
    async with open_shop(pair=False) as bench:
        await page(bench)
        socket = await bench.socket()
        before = await number(socket)
        await types(socket, keys)
        assert await closed_with(socket) == why
        assert (bench.said == ["the last words"]) == (why is Why.FAILED)
        assert await number(await bench.socket()) != before


async def test_an_app_that_never_stands_is_told_too() -> None:
    async with open_shop(FAILS_AT_ONCE, pair=False) as bench:
        await page(bench)
        socket = await bench.socket()
        assert await closed_with(socket) == Why.FAILED
        assert bench.said == ["no such workshop"]


async def test_when_all_places_are_taken_a_clear_page_says_so() -> None:
    async with open_shop(pair=False, at_once=1) as bench, bench.another() as second:
        await page(bench)
        await second.get("/")
        socket = await bench.socket()
        await number(socket)
        full = await second.get("/")
        assert full.status == HTTPStatus.SERVICE_UNAVAILABLE
        assert "All places are taken" in await full.text()
        assert (await second.get("/open")).status == HTTPStatus.SERVICE_UNAVAILABLE
        with pytest.raises(WSServerHandshakeError) as refusal:
            await second.ws_connect("/ws", headers={"Origin": bench.origin})
        assert refusal.value.status == HTTPStatus.SERVICE_UNAVAILABLE
        assert (await bench.client.get("/")).status == HTTPStatus.OK  # whoever has a place keeps it
        await types(socket, "leave")
        assert await closed_with(socket) == Why.LEFT
        assert (await second.get("/")).status == HTTPStatus.OK


async def test_all_apps_end_with_the_server_even_one_that_hangs(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kept, "LEAVING_SECONDS", 0.2)
    monkeypatch.setattr(shop, "ANSWER_SECONDS", 0.1)
    async with open_shop(pair=False) as bench, bench.another() as second:
        await page(bench)
        await second.get("/")
        hangs, listens = await bench.socket(), await second.ws_connect("/ws", headers={"Origin": bench.origin})
        processes = [await number(hangs), await number(listens)]
        await types(hangs, "hang")
        await asyncio.sleep(0.1)  # it has taken that, and hears nothing more
        stopping = asyncio.ensure_future(bench.shop.stop())
        assert await closed_with(listens) == Why.STOPPED
        await stopping
    assert [await ends(process) for process in processes] == [True, True]


def test_a_size_is_within_what_is_sensible() -> None:
    assert [within(size, (20, 400)) for size in (80, 3, 10**9, "x", None, 2.5)] == [80, 20, 400, 20, 20, 20]
