"""The server's answers: the pages, the socket that the app is shown on, and what it hands to the browser."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from functools import partial
from http import HTTPStatus
from typing import TYPE_CHECKING, Final

from aiohttp import ClientError, WSMsgType, helpers, web
from textual_serve.download_manager import DownloadManager

from tui.serve import callers, connections, pages
from tui.serve.browsers import Browser, Browsers
from tui.serve.guard import Doors, security_headers
from tui.serve.kept import COLUMNS, KEPT_SECONDS, LINES, KeptApp, Why, within
from tui.serve.pairing import MOST_WRONG, Pairing, Tried

if TYPE_CHECKING:
    from aiohttp.typedefs import Handler, Middleware

MOST_POSTED: Final = 4096
"""Bytes of what a form sends."""
TYPED_SECONDS: Final = 10.0
"""How long that may take to come."""
MOST_TOLD: Final = 1 << 20
"""Bytes of one message from a browser: a paste of 64,000 characters, each written as six."""
BEAT_SECONDS: Final = 15.0
"""How often a socket is asked whether it still lives."""
LET_IN: Final = web.RequestKey("let_in", str)
"""The host that a request named, once the guard let it in."""
ANSWER_SECONDS: Final = 1.0
"""How long a browser may take to answer that a socket is closed."""
REMEMBERED_SECONDS: Final = 30 * 24 * 3600
"""How long a browser keeps its cookie; the server knows it as long as it runs."""


class Shop:
    """What one server knows: its doors, who was let in, and how to begin an app.

    `argv` and `environment`: see `KeptApp`. `pairing`: None where every browser that reaches the server may in.
    `at_once`: so many apps run at most. `say`: is told a line for whoever watches the server.
    """

    def __init__(
        self,
        doors: Doors,
        argv: Sequence[str],
        environment: Mapping[str, str],
        *,
        pairing: Pairing | None,
        at_once: int,
        say: Callable[[str], None],
        kept_seconds: float = KEPT_SECONDS,
    ) -> None:
        self.doors = doors
        self.browsers = Browsers()
        self._argv = argv
        self._environment = environment
        self._pairing = pairing
        self._at_once = at_once
        self._say = say
        self._kept_seconds = kept_seconds
        self._downloads = DownloadManager()
        self._sockets: set[web.WebSocketResponse] = set()

    def application(self) -> web.Application:
        """The server's answers, each behind the guard."""
        app = web.Application(middlewares=[self._guard()], client_max_size=MOST_POSTED)
        app.on_response_prepare.append(self._before_answer)
        app.add_routes(
            [
                web.get("/", self._page),
                web.post("/enter", self._enter),
                web.get("/open", self._is_open),
                web.get("/ws", self._socket),
                web.get("/download/{key}", self._download),
                web.get("/static/{name}", self._file),
            ]
        )
        return app

    async def stop(self) -> None:
        """End every app, then close every socket."""
        await asyncio.gather(*(app.stop() for app in self.browsers.apps()))
        await asyncio.gather(*(one.close(code=1001) for one in list(self._sockets)), return_exceptions=True)

    @property
    def _secure(self) -> bool:
        return self.doors.scheme == "https" or self.doors.public.startswith("https:")

    @property
    def _cookie(self) -> str:
        # Browsers keep no cookies apart by port: each server has a name of its own.
        return f"{'__Host-' if self._secure else ''}kitwright-{self.doors.port}"

    def _browser(self, request: web.Request) -> Browser | None:
        found = self.browsers.known(request.cookies.get(self._cookie))
        if found is not None:
            connections.let_in(request)
        return found

    def _guard(self) -> Middleware:
        @web.middleware
        async def guard(request: web.Request, handler: Handler) -> web.StreamResponse:
            arrived = request.transport.get_extra_info("sockname") if request.transport is not None else None
            refusal = self.doors.refusal(
                request.method,
                request.headers,
                handshake=request.path == "/ws" or "upgrade" in request.headers,
                arrived_at=str(arrived[0]).partition("%")[0] if isinstance(arrived, tuple) else "",
            )
            if refusal is not None:
                return web.Response(status=refusal.status, text=refusal.why)
            request[LET_IN] = request.headers["Host"]
            return await handler(request)

        return guard

    async def _before_answer(self, request: web.Request, response: web.StreamResponse) -> None:
        host = request.get(LET_IN) or self.doors.with_port("localhost")
        response.headers.update(security_headers(host, secure=self._secure))
        response.headers.setdefault("Cache-Control", "no-store")

    def _is_full(self, browser: Browser) -> bool:
        return browser.app is None and len(list(self.browsers.apps())) >= self._at_once

    async def _page(self, request: web.Request) -> web.Response:
        """The app's page; for a browser that was not let in yet, the one that asks for the code."""
        browser, token = self._browser(request), None
        if browser is None:
            if self._pairing is not None:
                return _html(pages.ask_page())
            token = self.browsers.let_in()
            browser = self.browsers.known(token)
        assert browser is not None
        if self._is_full(browser):
            return _html(
                pages.says_page(
                    "All places are taken",
                    f"Kitwright is open in as many browsers as the shop's computer is set to: {self._at_once}.",
                    "Leave it in one of them (F10). A place that nobody uses is free after ten minutes.",
                ),
                HTTPStatus.SERVICE_UNAVAILABLE,
            )
        response = _html(pages.app_page())
        if token is not None:
            self._give(request, response, token)
        return response

    def _give(self, request: web.Request, response: web.StreamResponse, token: str) -> None:
        connections.let_in(request)
        response.set_cookie(
            self._cookie, token, path="/", httponly=True, secure=self._secure, samesite="Strict",
            max_age=REMEMBERED_SECONDS,
        )  # fmt: skip

    async def _enter(self, request: web.Request) -> web.Response:
        """A code or the access key was typed. Whoever was let in already is not asked, whatever others type."""
        if self._pairing is None or self._browser(request) is not None:
            return _to_the_page()
        typed, who = await _typed(request), self._caller(request)
        tried, wait, times = self._pairing.tries(typed, who)
        if tried is Tried.TOO_MANY:
            page = pages.ask_page(f"Too many wrong codes. Try again in {wait} seconds.")
            return _html(page, HTTPStatus.TOO_MANY_REQUESTS, {"Retry-After": str(wait)})
        if tried is Tried.WRONG:
            # Not each of them: the code would be scrolled away.
            if times == 1:
                self._say(f"A wrong code came from {who}.")
            elif times == MOST_WRONG:
                self._say(f"Wrong codes come from {who}. None of its next is looked at for a minute.")
            return _html(
                pages.ask_page("That is not the code, or it was used, or it is too old."), HTTPStatus.FORBIDDEN
            )
        self._say(f"A browser was let in from {who}.")
        response = _to_the_page()
        self._give(request, response, self.browsers.let_in())
        return response

    def _caller(self, request: web.Request) -> str:
        return callers.caller(request.remote, request.headers, behind_proxy=bool(self.doors.public))

    async def _is_open(self, request: web.Request) -> web.Response:
        """Whether the page would show the app: what a page that lost its socket asks until it would."""
        browser = self._browser(request)
        if browser is None and self._pairing is not None:
            return web.Response(status=HTTPStatus.FORBIDDEN)
        full = self._is_full(browser or Browser())
        return web.Response(status=HTTPStatus.SERVICE_UNAVAILABLE if full else HTTPStatus.NO_CONTENT)

    async def _file(self, request: web.Request) -> web.StreamResponse:
        """One of the few files that a page asks for. There is no folder to look into."""
        path, kind = pages.FILES.get(request.match_info["name"], (None, ""))
        if path is None:
            return web.Response(status=HTTPStatus.NOT_FOUND, text="There is no such file.")
        return web.FileResponse(path, headers={"Content-Type": kind, "Cache-Control": "no-cache"})

    async def _socket(self, request: web.Request) -> web.StreamResponse:
        """Show the browser's app until the socket closes."""
        browser = self._browser(request)
        if browser is None:
            return web.Response(status=HTTPStatus.FORBIDDEN, text="This browser was not let in.")
        if self._is_full(browser):
            return web.Response(status=HTTPStatus.SERVICE_UNAVAILABLE, text="All places are taken.")
        if browser.app is None:
            # Before anything is awaited: two sockets at once would begin two apps.
            browser.app = KeptApp(
                self._argv, self._environment, self._downloads, self.browsers.forget_app, self._say,
                kept_seconds=self._kept_seconds,
            )  # fmt: skip
        app = browser.app
        socket = web.WebSocketResponse(timeout=ANSWER_SECONDS, heartbeat=BEAT_SECONDS, max_msg_size=MOST_TOLD)
        await socket.prepare(request)
        self._sockets.add(socket)
        try:
            columns, lines = (_number(request.query.get(name)) for name in ("width", "height"))
            await app.show(socket, within(columns, COLUMNS), within(lines, LINES), partial(_cut, request))
            async for message in socket:
                if message.type is WSMsgType.TEXT:
                    await _hand_on(message.data, app, socket)
        except OSError as fault:
            self._say(f"The app could not be begun ({(fault.strerror or str(fault)).lower()}).")
            self.browsers.forget_app(app)
            await socket.close(code=Why.FAILED)
        finally:
            self._sockets.discard(socket)
            app.hide(socket)
        return socket

    async def _download(self, request: web.Request) -> web.StreamResponse:
        """A file that the browser's own app hands it, such as a PDF."""
        browser, key = self._browser(request), request.match_info["key"]
        try:
            found = await self._downloads.get_download_metadata(key)
        except KeyError:
            found = None
        if browser is None or browser.app is None or found is None or found.app_service is not browser.app:
            return web.Response(status=HTTPStatus.NOT_FOUND, text="There is no such file, or it was fetched already.")
        name = helpers.content_disposition_header("attachment", filename=found.file_name)
        headers = {"Content-Type": found.mime_type or "application/octet-stream", "Content-Disposition": name}
        response = web.StreamResponse(headers=headers)
        await response.prepare(request)
        async for chunk in self._downloads.download(key):
            await response.write(chunk)
        await response.write_eof()
        return response


async def _hand_on(text: str, app: KeptApp, socket: web.WebSocketResponse) -> None:
    """Do what the page's terminal says: keys, its size, whether it has the focus. What it never says is nothing."""
    try:
        told = json.loads(text)
    except (ValueError, RecursionError):
        return
    match told:
        case ["stdin", str(keys)]:
            await app.send_bytes(keys.encode("utf-8", "ignore"))
        case ["resize", {"width": int(columns), "height": int(lines)}]:
            await app.set_terminal_size(within(columns, COLUMNS), within(lines, LINES))
        case ["ping", str(when)]:
            with suppress(ConnectionError, ClientError):
                await socket.send_json(["pong", when[:40]])
        case ["focus"]:
            await app.focus()
        case ["blur"]:
            await app.blur()


async def _typed(request: web.Request) -> str:
    """What stands in the form's one field; nothing where what came is no form, whatever it says that it is."""
    try:
        async with asyncio.timeout(TYPED_SECONDS):
            typed = (await request.post()).get("code", "")
    except (ValueError, LookupError, TimeoutError):  # no text, no alphabet of that name, parts without their borders
        return ""
    return typed if isinstance(typed, str) else ""


def _cut(request: web.Request) -> None:
    if isinstance(request.transport, asyncio.Transport):
        request.transport.abort()


def _number(text: str | None) -> int:
    return int(text) if text is not None and text.isascii() and text.isdigit() and len(text) < 5 else 0


def _html(page: str, status: int = HTTPStatus.OK, headers: Mapping[str, str] | None = None) -> web.Response:
    return web.Response(text=page, content_type="text/html", status=status, headers=headers)


def _to_the_page() -> web.Response:
    return web.Response(status=HTTPStatus.SEE_OTHER, headers={"Location": "/"})
