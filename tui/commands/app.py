"""`kitwright` alone: open the app, where there is a terminal to open it on."""

from __future__ import annotations

import argparse
import gc
import os
import sys

import tui
from tui.commands.output import talk
from tui.exit_codes import ExitCode

NO_TERMINAL = """\
kitwright: the app can't be drawn on this terminal.
Run it in a terminal window, or ask on the command line, as in:
  kitwright ring --id 24.9mm --width 3.5mm
All commands: kitwright --help"""

# Textual draws 60 times a second unless told otherwise. Twice that takes a third off the time from key to picture;
# over a network line the extra frames would only queue up.
LOCAL_FRAMES_PER_SECOND = "120"
SERVED_DRIVER = "tui.serve.driver:ServedDriver"
"""The driver of an app in a browser, as `TEXTUAL_DRIVER` names it."""
WEB_DRIVER = "textual.drivers.web_driver:WebDriver"
"""Textual's own, which ours is made of."""
COLLECTED = (10_000, 5, 3)
"""The collector's pace: new objects between two rounds over the youngest, and rounds between those over the older."""
SERVED_DATA = "KITWRIGHT_SERVED_DATA"
"""The variable that tells such an app where its data is: an address may hold a password, so it is no option."""


def is_served() -> bool:
    """Whether a server began this app for a browser: it reads and writes packets, and needs no terminal."""
    return os.environ.get("TEXTUAL_DRIVER", "") in (SERVED_DRIVER, WEB_DRIVER)


def is_drawable() -> bool:
    """Whether keys can be read and the screen drawn. Textual itself would paint escapes into a file and exit 0."""
    if is_served():
        return True
    return sys.stdin.isatty() and sys.stderr.isatty() and os.environ.get("TERM", "") not in ("", "dumb")


def run(arguments: argparse.Namespace) -> int:
    """Open the app and stay until it is left; the code is the app's own."""
    if not is_drawable():
        talk(NO_TERMINAL)
        return ExitCode.USAGE
    data = os.environ.pop(SERVED_DATA, None) if is_served() else None
    if not (os.environ.get("SSH_CONNECTION") or os.environ.get("SSH_TTY")):
        os.environ.setdefault("TEXTUAL_FPS", LOCAL_FRAMES_PER_SECOND)  # read when textual is imported

    # Screens make many objects and few cycles: collecting at Python's own pace takes a fifth of the app's time. Rarer
    # than this, what closed pages leave piles up, and the memory that a pile once took is never whole again: 2,500
    # random keys ended at 249 MB with (50,000, 20, 100), and the collector took no less time.
    gc.set_threshold(*COLLECTED)
    gc.enable()
    caliper = None
    if arguments.caliper is not None:
        try:
            caliper = tui.caliper.Caliper(tui.caliper.port_named(arguments.caliper))
        except tui.caliper.CaliperError as problem:
            talk(f"kitwright: --caliper: {problem}")
            return ExitCode.USAGE
    app = tui.app.KitwrightApp(data=data or arguments.data, demo=arguments.demo, unit=arguments.unit)
    app.net = True
    app.caliper = caliper
    if arguments.guide:
        app.action_guide()
    app.run()
    if app.last_words:
        talk(f"kitwright: {app.last_words}")
    # run() returns normally even after a crash; the code tells.
    return app.return_code or ExitCode.FOUND
