"""The app's side of a browser: Textual's driver for one, that paints all again when asked, and ends with its server."""

from __future__ import annotations

import os
import threading
from typing import Any, Final

from textual import messages
from textual.app import App
from textual.drivers.web_driver import WebDriver

from tui.exit_codes import ExitCode

HANGS_SECONDS: Final = 30.0
"""How long an app may take to end once its server is gone; after that it hears nothing, and would stay for ever."""
AGAIN: Final = "again"
"""The message that asks for the whole screen: a browser came back, and its terminal is empty."""


class ServedDriver(WebDriver):
    """Reads keys from the server's pipe and writes what is painted to it."""

    def __init__(
        self, app: App[Any], *, debug: bool = False, mouse: bool = True, size: tuple[int, int] | None = None
    ) -> None:
        super().__init__(app, debug=debug, mouse=mouse, size=size)
        self._write = self._to_server  # type: ignore[assignment]  # where all of Textual's driver writes

    def _to_server(self, data: bytes) -> int:
        """Write all of it; where nobody reads any more, the app has no browser and never will."""
        try:
            left = memoryview(data)
            while left:
                left = left[os.write(self.fileno, left) :]
        except OSError:
            self._leave()
        return len(data)

    def run_input_thread(self) -> None:
        """Hand on what comes; the pipe's end is the server's end."""
        super().run_input_thread()
        self._leave()

    def _leave(self) -> None:
        if not self.exit_event.is_set():
            self.exit_event.set()
            self._app.post_message(messages.ExitApp())
            late = threading.Timer(HANGS_SECONDS, os._exit, (ExitCode.NOTHING,))
            late.daemon = True  # it keeps no app that ends by itself
            late.start()

    def on_meta(self, packet_type: str, payload: dict[str, object]) -> None:
        """Do what the server says beside the keys."""
        if packet_type == AGAIN:
            self._app.call_later(self._paint_again)
        else:
            super().on_meta(packet_type, payload)

    def _paint_again(self) -> None:
        """Set up an empty terminal as it was at the start, and paint all of the screen."""
        self.write("\x1b[?1049h\x1b[?25l")
        self._enable_mouse_support()
        self._enable_bracketed_paste()
        self._app.refresh(layout=True)
