"""The server's answers over HTTP: each refusal and its status, the cookie, the pages, the files."""

from __future__ import annotations

import re
from http import HTTPStatus

import pytest
from aiohttp import ClientResponse, WSServerHandshakeError

from tests.tui.serve.shop import KEY, Bench, open_shop
from tui.serve import pages
from tui.serve.pairing import MOST_IN_ALL, MOST_WRONG, Tried


async def refused(bench: Bench, **headers: str) -> int:
    """The status that a socket's handshake is refused with."""
    with pytest.raises(WSServerHandshakeError) as refusal:
        await bench.socket(80, 24, **headers)
    return refusal.value.status


async def test_a_browser_is_let_in_by_a_code_and_by_nothing_else() -> None:
    async with open_shop() as bench:
        assert bench.pairing is not None
        page = await (await bench.client.get("/")).text()
        assert 'action="/enter"' in page
        assert "terminal" not in page
        assert (await bench.client.get("/open")).status == HTTPStatus.FORBIDDEN
        assert await refused(bench) == HTTPStatus.FORBIDDEN
        assert await refused(bench, Cookie=f"kitwright-{bench.shop.doors.port}=made-up") == HTTPStatus.FORBIDDEN
        assert (await bench.enter("00000000")).status == HTTPStatus.FORBIDDEN

        code = bench.pairing.new_code()
        for headers in ({"Origin": "http://stranger.example"}, {"Origin": "null"}):
            assert (await bench.enter(code, **headers)).status == HTTPStatus.FORBIDDEN
        without = await bench.client.post("/enter", data={"code": code}, allow_redirects=False)
        assert without.status == HTTPStatus.FORBIDDEN
        let_in = await bench.enter(code)
        assert let_in.status == HTTPStatus.SEE_OTHER
        assert let_in.headers["Location"] == "/"
        cookie = let_in.headers["Set-Cookie"]
        assert re.match(rf"kitwright-{bench.shop.doors.port}=[\w-]{{43}};", cookie)
        assert "HttpOnly" in cookie
        assert "SameSite=Strict" in cookie
        assert "Secure" not in cookie
        assert code not in cookie
        assert KEY not in cookie

        assert 'id="terminal"' in await (await bench.client.get("/")).text()
        assert (await bench.client.get("/open")).status == HTTPStatus.NO_CONTENT
        async with bench.another() as other:
            other_try = await other.post("/enter", data={"code": code}, headers={"Origin": bench.origin})
            assert other_try.status == HTTPStatus.FORBIDDEN  # a code opens once
        assert any("let in from 127.0.0.1" in line for line in bench.said)
        assert not any(code in line for line in bench.said)


async def test_strangers_are_refused_before_anything_is_looked_at() -> None:
    async with open_shop() as bench:
        await bench.enter(KEY)
        get = bench.client.get
        for host in ("stranger.example", f"stranger.example:{bench.shop.doors.port}", "127.0.0.1"):
            assert (await get("/", headers={"Host": host})).status == HTTPStatus.MISDIRECTED_REQUEST
            assert await refused(bench, Host=host) == HTTPStatus.MISDIRECTED_REQUEST
        for path in ("/", "/open", "/static/page.js", "/download/x", "/nowhere"):
            answer = await get(path, headers={"Sec-Fetch-Site": "cross-site"})
            assert answer.status == HTTPStatus.FORBIDDEN
        assert await refused(bench, Origin="http://stranger.example") == HTTPStatus.FORBIDDEN
        assert await refused(bench, Origin="null") == HTTPStatus.FORBIDDEN
        with pytest.raises(WSServerHandshakeError) as refusal:
            await bench.client.ws_connect("/ws")
        assert refusal.value.status == HTTPStatus.FORBIDDEN
        assert list(bench.shop.browsers.apps()) == []


async def test_who_guesses_codes_locks_out_neither_the_browser_that_is_in_nor_the_tablet_that_comes() -> None:
    async with open_shop() as bench, bench.another("127.0.0.2") as guesser, bench.another("127.0.0.3") as tablet:
        assert bench.pairing is not None
        assert (await bench.enter(KEY)).status == HTTPStatus.SEE_OTHER
        code = bench.pairing.new_code()

        async def guesses(typed: str) -> ClientResponse:
            return await guesser.post("/enter", data={"code": typed}, headers={"Origin": bench.origin})

        for _ in range(MOST_WRONG):
            assert (await guesses("1")).status == HTTPStatus.FORBIDDEN
        late = await guesses(code)
        assert late.status == HTTPStatus.TOO_MANY_REQUESTS
        assert 0 < int(late.headers["Retry-After"]) <= 60
        assert "Too many wrong codes" in await late.text()
        # Who is in is not asked, and shares no count with the guesser; nor does the tablet that has the code.
        assert (await bench.enter("anything")).status == HTTPStatus.SEE_OTHER
        assert 'id="terminal"' in await (await bench.client.get("/")).text()
        let_in = await tablet.post("/enter", data={"code": code}, headers={"Origin": bench.origin})
        assert 'id="terminal"' in await let_in.text()
        # Said once and at the last: the code that stands there is not scrolled away.
        assert bench.said[1:] == [
            "A wrong code came from 127.0.0.2.",
            "Wrong codes come from 127.0.0.2. None of its next is looked at for a minute.",
            "A browser was let in from 127.0.0.3.",
        ]


async def test_a_cookie_is_looked_for_before_any_count() -> None:
    """From the guesser's own address, and with the count of all run out."""
    async with open_shop() as bench:
        assert bench.pairing is not None
        await bench.enter(KEY)
        for number in range(MOST_IN_ALL):
            assert bench.pairing.tries("1", f"10.0.0.{number}").tried is Tried.WRONG
        async with bench.another() as guesser:
            late = await guesser.post("/enter", data={"code": "1"}, headers={"Origin": bench.origin})
            assert late.status == HTTPStatus.TOO_MANY_REQUESTS
        assert (await bench.enter("1")).status == HTTPStatus.SEE_OTHER


async def test_behind_a_proxy_each_caller_is_counted_by_what_the_proxy_says() -> None:
    async with open_shop(public="https://kit.shop.example") as bench:
        by = {"Origin": "https://kit.shop.example", "X-Forwarded-For": "192.0.2.1, 192.0.2.7"}
        for _ in range(MOST_WRONG):
            assert (await bench.enter("1", **by)).status == HTTPStatus.FORBIDDEN
        assert (await bench.enter("1", **by)).status == HTTPStatus.TOO_MANY_REQUESTS
        assert (await bench.enter("1", **{**by, "X-Forwarded-For": "192.0.2.8"})).status == HTTPStatus.FORBIDDEN
        assert bench.said[0] == "A wrong code came from 192.0.2.7."


async def test_on_this_computer_nobody_is_asked() -> None:
    async with open_shop(pair=False) as bench:
        assert await refused(bench) == HTTPStatus.FORBIDDEN  # not before the page was opened
        first = await bench.client.get("/")
        assert 'id="terminal"' in await first.text()
        assert "SameSite=Strict" in first.headers["Set-Cookie"]
        assert "Set-Cookie" not in (await bench.client.get("/")).headers
        assert (await bench.enter("x")).status == HTTPStatus.SEE_OTHER


async def test_behind_https_the_cookie_is_for_https_alone() -> None:
    async with open_shop(public="https://kit.shop.example") as bench:
        let_in = await bench.enter(KEY, Origin="https://kit.shop.example")
        assert let_in.headers["Set-Cookie"].startswith("__Host-kitwright-")
        assert "Secure" in let_in.headers["Set-Cookie"]
        assert "Domain" not in let_in.headers["Set-Cookie"]


async def test_every_answer_tells_the_browser_what_it_may() -> None:
    async with open_shop() as bench:
        for path in ("/", "/nowhere", "/static/page.js", "/static/", "/download/x", "/open"):
            answer = await bench.client.get(path)
            assert f"connect-src 'self' ws://{bench.host}" in answer.headers["Content-Security-Policy"], path
            assert answer.headers["Referrer-Policy"] == "same-origin"
            assert answer.headers["Server"] == "kitwright"
        assert (await bench.client.get("/")).headers["Cache-Control"] == "no-store"
        refusal = await bench.client.get("/", headers={"Host": "stranger.example"})
        assert "stranger" not in str(refusal.headers)


async def test_the_few_files_are_there_and_no_folder_is() -> None:
    async with open_shop() as bench:
        for name, (path, kind) in pages.FILES.items():
            answer = await bench.client.get(f"/static/{name}")
            assert answer.status == HTTPStatus.OK
            assert answer.content_type == kind
            assert await answer.read() == path.read_bytes()
        for nothing in ("/static", "/static/", "/static/../shop.py", "/static/%2e%2e%2fshop.py", "/static/js"):
            assert (await bench.client.get(nothing)).status == HTTPStatus.NOT_FOUND, nothing


def test_our_pages_ask_nobody_outside() -> None:
    ours = [pages.app_page(), pages.ask_page(), pages.says_page("No", "why")]
    ours += [path.read_text(encoding="utf-8") for path in pages.OURS.iterdir() if path.suffix != ".svg"]
    for text in ours:
        assert not re.search(r"(?<!\^)https?://|//[a-z]+\.|@import", text)
    for page in ours[:3]:
        assert "<script>" not in page
        assert not re.search(r"\son[a-z]+=|javascript:|<style", page)


def test_what_a_page_says_is_letters() -> None:
    page = pages.says_page("<b>No</b>", "<script>")
    assert "<b>No" not in page
    assert "<script>" not in page
    assert "<i>" not in pages.ask_page("<i>")


async def test_a_form_has_a_limit() -> None:
    async with open_shop() as bench:
        assert (await bench.enter("x" * 5000)).status == HTTPStatus.REQUEST_ENTITY_TOO_LARGE


@pytest.mark.parametrize(
    ("kind", "data"),
    [
        ("application/x-www-form-urlencoded; charset=nonsense", b"code=1"),
        ("application/x-www-form-urlencoded", b"code=\xff\xfe"),
        ("multipart/form-data", b"code"),
        ("multipart/form-data; boundary=a", b"code"),
    ],
)
async def test_what_is_no_form_is_a_wrong_code(kind: str, data: bytes) -> None:
    """No fault of the server's: anybody could then write lines at the shop's computer, as often as they like."""
    async with open_shop() as bench:
        headers = {"Origin": bench.origin, "Content-Type": kind}
        for status in (*[HTTPStatus.FORBIDDEN] * MOST_WRONG, HTTPStatus.TOO_MANY_REQUESTS):
            assert (await bench.client.post("/enter", data=data, headers=headers)).status == status
