"""Connections that say nothing, or little: how long they stay, and that no browser of the shop loses by them."""

from __future__ import annotations

import asyncio
import json
import resource
import signal
import socket
import time
from contextlib import ExitStack
from itertools import pairwise
from pathlib import Path

import pytest
from aiohttp import ClientSession, CookieJar
from hypothesis import given
from hypothesis import strategies as st

from tests.tui.serve.shop import KEY, hears, open_shop
from tests.tui.serve.test_command import below, serving
from tui.serve import connections, shop
from tui.serve.connections import MOST_OF_ONE, MOST_STRANGE, Place, Places, room

SILENT = 2000
FEW = 256
"""File descriptors of the server under test: Debian gives a program 1,024."""


async def test_two_thousand_silent_connections_stop_no_browser_that_was_let_in(tmp_path: Path) -> None:
    """From the tablet's own address, which is the worst case: none of the limits by address tells them apart."""
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    assert hard > SILENT + 200
    with ExitStack() as closing:
        resource.setrlimit(resource.RLIMIT_NOFILE, (FEW, hard))
        server, told = closing.enter_context(serving(tmp_path, "--pair"))
        resource.setrlimit(resource.RLIMIT_NOFILE, (max(soft, SILENT + 200), hard))
        closing.callback(resource.setrlimit, resource.RLIMIT_NOFILE, (soft, hard))
        assert server.stdout is not None
        address, code = told["address"], json.loads(server.stdout.readline())["code"]
        port = int(address.rpartition(":")[2])
        async with ClientSession(cookie_jar=CookieJar(unsafe=True)) as tablet:
            await tablet.post(f"{address}/enter", data={"code": code}, headers={"Origin": address})
            async with tablet.ws_connect(f"{address}/ws?width=80&height=24", headers={"Origin": address}) as painted:
                await hears(painted, b"F2")
                begins = [b"", b"G", b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-A: ", b"POST /enter HTTP/1.1\r\n"]
                for number in range(SILENT):
                    stranger = closing.enter_context(socket.create_connection(("127.0.0.1", port), timeout=10))
                    stranger.send(begins[number % 4])
                    if number % 500 == 499:  # in the middle of it, typed and looked up as ever
                        await painted.send_json(["stdin", str(number % 7)])
                        began = time.monotonic()
                        await painted.receive_bytes()
                        answer = await tablet.get(f"{address}/open")
                        assert answer.status == 204
                        assert time.monotonic() - began < 5
                held = len(list(Path(f"/proc/{server.pid}/fd").iterdir()))
                assert held < FEW - 20
            # Its socket lost, it comes back; and another is let in.
            async with tablet.ws_connect(f"{address}/ws?width=80&height=24", headers={"Origin": address}) as painted:
                await hears(painted, b"F2")
                assert len(below(server.pid)) == 1
            assert server.stdin is not None
            server.stdin.write("\n")
            server.stdin.flush()
            code = json.loads(server.stdout.readline())["code"]
            async with ClientSession(cookie_jar=CookieJar(unsafe=True)) as other:
                entered = await other.post(f"{address}/enter", data={"code": code}, headers={"Origin": address})
                assert "terminal" in await entered.text()
        server.send_signal(signal.SIGTERM)
        _, err = server.communicate(timeout=30)
        assert "Traceback" not in err
        assert len(err.splitlines()) == 2  # both browsers that were let in


async def test_headers_that_come_slowly_end_and_so_does_silence_after_an_answer(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(connections, "HEADERS_SECONDS", 0.5)
    async with open_shop() as bench:
        slow = bench.strange()
        slow.setblocking(False)
        line = f"GET / HTTP/1.1\r\nHost: {bench.host}\r\nX-Slow: ".encode()

        async def drip() -> None:
            for letter in line + b"a" * 1000:
                slow.send(bytes([letter]))
                await asyncio.sleep(0.01)

        dripping = asyncio.ensure_future(drip())
        assert await bench.ends(slow)
        dripping.cancel()
        idle = bench.strange()
        idle.setblocking(False)
        idle.send(f"GET / HTTP/1.1\r\nHost: {bench.host}\r\n\r\n".encode())
        assert await bench.ends(idle, answered=b"HTTP/1.1 200 OK")
        assert bench.places.held == (0, 0)


async def test_a_form_that_never_comes_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shop, "TYPED_SECONDS", 0.2)
    monkeypatch.setattr(connections, "LINGERING_SECONDS", 0.2)
    async with open_shop() as bench:
        stranger = bench.strange()
        stranger.setblocking(False)
        head = f"POST /enter HTTP/1.1\r\nHost: {bench.host}\r\nOrigin: {bench.origin}\r\n"
        head += "Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 100\r\n\r\ncode="
        stranger.send(head.encode())
        assert await bench.ends(stranger, answered=b"HTTP/1.1 403")


async def test_a_stranger_that_takes_nothing_in_is_cut_off_in_time(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connections, "STRANGE_SECONDS", 0.6)
    async with open_shop() as bench:
        stranger = bench.strange()
        stranger.setblocking(False)
        stranger.send(f"GET /static/terminal.js HTTP/1.1\r\nHost: {bench.host}\r\n\r\n".encode() * 20)
        await asyncio.sleep(0.2)
        assert bench.places.held == (1, 0)
        await bench.enter(KEY)  # a browser's connection is not cut for its age
        socket = await bench.socket()
        await hears(socket, b"begun ")
        await asyncio.sleep(0.8)
        assert bench.places.held[0] == 0
        await socket.send_json(["stdin", "24,9"])
        await hears(socket, b"D24,9")


async def test_the_oldest_stranger_of_an_address_makes_room_for_its_next() -> None:
    async with open_shop() as bench:
        crowd = [bench.strange() for _ in range(MOST_OF_ONE)]
        for one in crowd:
            one.setblocking(False)
        await asyncio.sleep(0.2)
        assert bench.places.held == (MOST_OF_ONE, 0)
        assert 'action="/enter"' in await (await bench.client.get("/")).text()
        assert await bench.ends(crowd[0])
        with pytest.raises(BlockingIOError):
            crowd[1].recv(1)
        for one in crowd:
            one.close()


def test_how_many_connections_there_is_room_for(monkeypatch: pytest.MonkeyPatch) -> None:
    for soft, at_once, fits in (
        (1024, 8, 928),
        (256, 8, 160),
        (64, 8, MOST_OF_ONE),
        (1024, 200, 160),
        (10**6, 8, 2048),
    ):
        monkeypatch.setattr(resource, "getrlimit", lambda _, soft=soft: (soft, soft))
        assert room(at_once) == fits
    monkeypatch.setattr(resource, "getrlimit", lambda _: (resource.RLIM_INFINITY,) * 2)
    assert room(8) == 8 * MOST_STRANGE


@given(
    st.lists(st.tuples(st.sampled_from(["take", "trust", "leave"]), st.integers(0, 3)), max_size=120),
    st.integers(2, 12), st.integers(1, 8), st.integers(1, 5),
)  # fmt: skip
def test_however_they_come_and_go_the_limits_hold_and_no_browser_is_turned_out(
    deeds: list[tuple[str, int]], most: int, strange: int, of_one: int
) -> None:
    places = Places(most, strange=strange, of_one=of_one)
    held: list[Place] = []
    trusted: list[Place] = []
    for deed, number in deeds:
        if deed == "take":
            if (place := places.take(f"10.0.0.{number}")) is None:
                assert len(trusted) == most  # only where all the room is browsers'
                continue

            def cut(place: Place = place) -> None:
                assert place not in trusted
                # The oldest of its own address, or of all.
                older = held[: held.index(place)]
                assert not older or all(one.address != place.address for one in older)
                held.remove(place)

            place.cut = cut
            held.append(place)
        elif held and deed == "trust":
            held[number % len(held)].let_in()
            trusted.append(held.pop(number % len(held)))
        elif held or trusted:
            one = (held or trusted).pop()
            one.leave()
        assert places.held == (len(held), len(trusted))
        assert len(held) <= max(1, min(strange, most // 2))
        assert len(held) + len(trusted) <= most
        for address in range(4):
            assert sum(one.address == f"10.0.0.{address}" for one in held) <= of_one
    assert all(one is not other for one, other in pairwise(held))
