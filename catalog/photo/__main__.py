"""A picture measured in a process of its own: `python -m catalog.photo LENGTH PLUS_MINUS < FILE`.

Lines of JSON come out: `{"step": …}` as it goes on, at last `{"measured": […]}` or `{"refused": …}`. What decoders of
pictures print meanwhile goes to standard error, and to nobody's screen; the memory is given back; it can be ended.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any, Final

import cv2

from catalog.photo import file, measure
from catalog.photo.reading import Bar, Measured
from catalog.photo.refusal import PhotoError

if sys.platform != "win32":
    import resource

MOST_MEMORY: Final = 250_000_000
"""Bytes beside what is there once all is loaded; a picture of 12 megapixels takes a third of it."""
MOST_SECONDS: Final = 30
"""Of processor; a picture of 12 megapixels takes one or two."""


def main() -> None:
    """Measure the picture on standard input."""
    cv2.setNumThreads(1)
    _limit()
    try:
        _say("measured", list(_measured(Bar(float(sys.argv[1]), float(sys.argv[2])))))
    except PhotoError as refused:
        _say("refused", str(refused))
    except MemoryError:
        _say("refused", "the picture takes too much memory: make it smaller, or save it as an ordinary JPEG")


def _measured(bar: Bar) -> Measured:
    _say("step", "reading the picture")
    opened = file.opened(sys.stdin.buffer.read(file.MOST_BYTES + 1))
    _say("step", "finding the marks, fitting the ring")
    try:
        return measure.measure(opened.picture, bar, opened.focal_as_film)
    except cv2.error as fault:
        if fault.code == cv2.Error.StsNoMem:
            raise MemoryError from fault
        raise


def _limit() -> None:
    """No picture, however it was made, takes more memory or time; where the system has such limits."""
    if sys.platform != "win32":
        _at_most(resource.RLIMIT_CPU, MOST_SECONDS)
        taken = Path("/proc/self/statm")
        if taken.exists():
            most = int(taken.read_text(encoding="ascii").split()[0]) * resource.getpagesize() + MOST_MEMORY
            _at_most(resource.RLIMIT_AS, most)


def _at_most(what: int, most: int) -> None:
    """Set a limit, unless whoever began this set a lower one, which nobody may raise."""
    if sys.platform != "win32":
        hard = resource.getrlimit(what)[1]
        most = most if hard == resource.RLIM_INFINITY else min(most, hard)
        resource.setrlimit(what, (most, most))


def _say(what: str, value: Any) -> None:
    sys.stdout.write(f"{json.dumps({what: value})}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
