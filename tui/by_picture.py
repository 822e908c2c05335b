"""A picture measured by a program of its own beside this one, which can be ended at any moment (`catalog.photo`).

So nothing that OpenCV prints reaches the screen, its memory is given back, and a picture that breaks it breaks nothing
here.
"""

from __future__ import annotations

import json
import os
import queue
import signal
import subprocess
import sys
import threading
from collections import deque
from collections.abc import Callable
from pathlib import Path
from typing import IO, Any, Final

from catalog import photo
from catalog.photo.reading import Bar, Measured

LOOK: Final = 0.1
"""Seconds between two moments at which whoever waits may end it."""
PROGRAM: Final = (sys.executable, "-P", "-m", "catalog.photo")
"""With -P no folder that one stands in is looked through for modules of ours."""
ONE_THREAD: Final = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
LONGEST_LINE: Final = 4096
TOO_LONG: Final = "the picture takes too long: make it smaller, and let the sheet fill it"
BROKE: Final = "the picture can't be measured: take it again, or save it as an ordinary JPEG"


def measured(file: Path, bar: Bar, watch: Callable[[str], None]) -> Measured:
    """The ring in a picture's file. `watch` is told ten times a second what is being done; what it raises ends it.

    Raises `PhotoError`, and `OSError` where the file can't be read.
    """
    with file.open("rb") as picture:
        try:
            child = subprocess.Popen(
                [*PROGRAM, repr(bar.length_mm), repr(bar.plus_minus_mm)],
                stdin=picture,
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                env={**os.environ, **ONE_THREAD},
            )
        except OSError as fault:
            raise photo.refusal.PhotoError(
                f"the program that measures can't be started ({fault.strerror or fault}): try it again"
            ) from fault
        try:
            return _answer(child, watch)
        finally:
            child.kill()
            child.wait()


def _answer(child: subprocess.Popen[bytes], watch: Callable[[str], None]) -> Measured:
    lines: queue.Queue[bytes] = queue.Queue()
    said: deque[bytes] = deque(maxlen=2)  # the last line, and the empty one
    assert child.stdout is not None
    assert child.stderr is not None
    aside = threading.Thread(target=_read, args=(child.stderr, said.append), daemon=True)
    aside.start()
    threading.Thread(target=_read, args=(child.stdout, lines.put), daemon=True).start()
    step = "starting"
    while True:
        watch(step)
        try:
            line = lines.get(timeout=LOOK)
        except queue.Empty:
            continue
        if not line:
            aside.join(1.0)
            raise photo.refusal.PhotoError(_why(child.wait(), said))
        if not line.startswith(b"{"):  # OpenCV's own, where its settings in the environment ask for that
            continue
        told: dict[str, Any] = json.loads(line)
        if "refused" in told:
            raise photo.refusal.PhotoError(told["refused"])
        if "measured" in told:
            return Measured(*told["measured"])
        step = told["step"]


def _read(out: IO[bytes], put: Callable[[bytes], None]) -> None:
    """Hand the lines on as they come; an empty one is the end."""
    with out:
        while line := out.readline(LONGEST_LINE):
            put(line)
    put(b"")


def _why(code: int, said: deque[bytes]) -> str:
    """Why it ended without an answer: its time was up, or what it said last."""
    if sys.platform != "win32" and -code in (signal.SIGXCPU, signal.SIGKILL):
        return TOO_LONG
    last = (said[0].decode("utf-8", "replace").strip() if said else "") or f"code {code}"
    return f"{BROKE} ({''.join(letter if letter.isprintable() else ' ' for letter in last)[:120]})"
