"""A real browser for tests: Chromium without a window, and the app's screen as it was sent to the page.

The page draws the app on a canvas, which no test can read: what came over the socket is read by pyte instead.
"""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from urllib.parse import parse_qs, urlsplit

import pyte
from playwright.sync_api import Browser, BrowserContext, Page, WebSocket, sync_playwright

from tests.end_to_end.terminal import CLOSING, PATIENCE, READING_S, UNSHOWN, _split

NAMES = ("chromium-headless-shell", "chromium", "chromium-browser", "chrome")
STRANGER = "stranger.example"
"""A name that the test's browser finds at this computer, as a stranger's own name server might say."""


def chromium() -> str:
    """Where Chromium is. Fails, and says how to get it, where it is not."""
    found = next((path for name in NAMES if (path := shutil.which(name))), None)
    path = os.environ.get("KITWRIGHT_CHROMIUM", found)
    assert path, (
        "No Chromium is here. Install one (on Debian: apt-get install chromium-headless-shell), name one with "
        "KITWRIGHT_CHROMIUM, or leave this test out by name: pytest --deselect tests/end_to_end/test_browser.py"
    )
    return path


@contextmanager
def browser() -> Iterator[Browser]:
    """Chromium, until the block ends."""
    sandbox = ["--no-sandbox"] if os.name == "posix" and os.geteuid() == 0 else []
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(
            executable_path=chromium(), args=[*sandbox, f"--host-resolver-rules=MAP {STRANGER} 127.0.0.1"]
        )
        yield opened
        opened.close()


class Tablet:
    """One page of one browser with its own cookies, and what its terminal shows."""

    def __init__(self, opened: Browser, *, touch: bool = False, size: tuple[int, int] = (1024, 768)) -> None:
        self.context: BrowserContext = opened.new_context(
            viewport={"width": size[0], "height": size[1]}, has_touch=touch
        )
        self.page: Page = self.context.new_page()
        self.asked: list[str] = []
        self.faults: list[str] = []
        self._screen = pyte.Screen(80, 24)
        self._feed = pyte.ByteStream(self._screen)
        self._cut = b""
        self._pressed = ""
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("pageerror", lambda fault: self.faults.append(str(fault)))
        self.page.on("console", lambda said: self.faults.append(said.text) if said.type == "error" else None)
        self.page.on("websocket", self._opened)
        # A page that is loaded anew shows nothing yet.
        self.page.on("domcontentloaded", lambda _: self._screen.reset())

    def _opened(self, socket: WebSocket) -> None:
        self.asked.append(socket.url)
        size = parse_qs(urlsplit(socket.url).query)
        self._screen = pyte.Screen(int(size["width"][0]), int(size["height"][0]))
        self._feed = pyte.ByteStream(self._screen)
        self._cut = b""
        socket.on("framereceived", self._received)

    def _received(self, data: bytes | str) -> None:
        if isinstance(data, bytes):
            whole, self._cut = _split(self._cut + data)
            self._feed.feed(UNSHOWN.sub(b"", whole))

    @property
    def lines(self) -> list[str]:
        """The terminal's rows as text."""
        return list(self._screen.display)

    @property
    def text(self) -> str:
        """The whole terminal as text."""
        return "\n".join(self.lines)

    def wait(self, done: Callable[[], bool], what: str) -> None:
        """Wait until `done`; fail with the screen as it stands when that does not come."""
        end = time.perf_counter() + PATIENCE
        while not done():
            assert time.perf_counter() < end, f"waited {PATIENCE} s for {what}; the screen shows:\n{self.text}"
            self.page.wait_for_timeout(20)

    def wait_for(self, *texts: str) -> None:
        """Wait until every text stands on the screen."""
        self.wait(lambda: all(text in self.text for text in texts), str(texts))

    def press(self, *keys: str) -> None:
        """Press keys by the browser's names for them; one that may close something not twice quicker than a reader."""
        for key in keys:
            if key == self._pressed and key.casefold() in CLOSING:
                self.page.wait_for_timeout(1000 * READING_S)
            self.page.keyboard.press(key)
            self._pressed = key

    def type(self, text: str) -> None:
        """Type letters, key by key."""
        self.page.keyboard.type(text)

    def tap(self, text: str, at: int | None = None) -> None:
        """Touch a text on the screen: its middle, or its letter `at`, from 0."""
        self.wait_for(text)
        row = next(number for number, line in enumerate(self.lines) if text in line)
        column = self.lines[row].index(text) + (len(text) / 2 if at is None else at + 0.5)
        box = self.page.locator(".xterm-screen").bounding_box()
        assert box is not None
        across, down = box["width"] / self._screen.columns, box["height"] / self._screen.lines
        self.page.touchscreen.tap(box["x"] + column * across, box["y"] + (row + 0.5) * down)

    def draw_up(self, lines: int) -> None:
        """Draw a finger up the middle of the screen, so many lines of it."""
        finger = self.context.new_cdp_session(self.page)
        at = {"x": 500.0, "y": 600.0}
        finger.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [at]})
        for _ in range(lines):
            at["y"] -= 21
            finger.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [at]})
        finger.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
        finger.detach()

    def enter(self, code: str) -> None:
        """Type the code into the page that asks for it."""
        self.page.fill("#code", code)
        self.page.click("text=Open")
