"""The app's side of a browser: it ends with its server, even where it hears nothing any more."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

HANGS = """
import time
from textual.app import App
from tui.serve import driver
driver.HANGS_SECONDS = 0.5
class Hanging(App):
    def on_mount(self):
        self.call_later(time.sleep, 300)
Hanging(driver_class=driver.ServedDriver).run()
"""


def test_an_app_that_hangs_ends_with_its_server() -> None:
    """The server was killed: nobody is left who would kill the app."""
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[3])}
    pipe = subprocess.PIPE
    app = subprocess.Popen([sys.executable, "-c", HANGS], stdin=pipe, stdout=pipe, stderr=pipe, env=environment)
    try:
        assert app.stdin is not None
        assert app.stdout is not None
        assert app.stdout.readline() == b"__GANGLION__\n"
        app.stdin.close()
        app.stdout.close()
        assert app.wait(30) == 1
    finally:
        app.kill()
        app.wait()
