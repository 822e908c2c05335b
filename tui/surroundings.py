"""What the workshop's program needs around it, and what is missing here: disk, clock, terminal, libraries."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from importlib.util import find_spec
from pathlib import Path
from typing import NamedTuple

LEAST_COLUMNS, LEAST_LINES = 80, 24
"""The size of a terminal that every screen is drawn for."""
ROOM_FOR_COPIES = 3
"""A backup and an upgrade each need about as much room as the workshop; one more to work with (our rule, no source)."""
LEAST_FREE = 50_000_000
"""Bytes; a list of suppliers' goods is read through files of this order (our rule, no source)."""
CLOCK_SLACK = timedelta(minutes=5)
"""Two computers' clocks may differ by so much (our rule, no source)."""
FOR_WHAT: Mapping[str, tuple[str, str]] = {
    "highspy": ("order plans", "buying"),
    "reportlab": ("PDF sheets", "print"),
    "segno": ("QR codes on labels", "print"),
    "serial": ("a caliper on a serial port", "instruments"),
    "openpyxl": ("supplier lists in XLSX", "lists"),
    "cv2": ("measuring by a picture", "photo"),
    "textual_serve": ("browsers of the shop", "serve"),
    "psycopg": ("a workshop on a PostgreSQL server", "postgresql"),
}
"""A library that is installed only when asked for: what goes without it, and the extra that brings it."""


class Surroundings(NamedTuple):
    """What is here. `free` and `size` in bytes, None without a file; `columns` and `lines` None where no terminal is.

    `newest`: when the last action in the workshop was booked; `libraries`: those of `FOR_WHAT` that are installed.
    """

    free: int | None
    size: int | None
    now: datetime
    newest: datetime | None
    columns: int | None
    lines: int | None
    kind: str
    encoding: str
    libraries: frozenset[str]


def look(file: Path | None, now: datetime, newest: datetime | None) -> Surroundings:
    """What is here, for the workshop in `file` (None: on a server)."""
    free = size = columns = lines = None
    if file is not None:
        free, size = shutil.disk_usage(file.parent).free, file.stat().st_size
    if sys.stdout is not None and sys.stdout.isatty():
        size_of = os.get_terminal_size(sys.stdout.fileno())
        if size_of.columns and size_of.lines:  # both 0 where the terminal doesn't know
            columns, lines = size_of
    encoding = getattr(sys.stdout, "encoding", "") or ""
    libraries = frozenset(name for name in FOR_WHAT if find_spec(name) is not None)
    return Surroundings(free, size, now, newest, columns, lines, os.environ.get("TERM", ""), encoding, libraries)


def advice(here: Surroundings) -> tuple[str, ...]:
    """What to do about what is missing, each a sentence with the way out; nothing where nothing is."""
    return (*_disk(here), *_clock(here), *_terminal(here), *_libraries(here))


def _disk(here: Surroundings) -> Iterator[str]:
    if here.free is None or here.size is None:
        return
    wanted = max(ROOM_FOR_COPIES * here.size, LEAST_FREE)
    if here.free < wanted:
        yield (
            f"{here.free / 1e6:.0f} MB are free where the data lies; backups and imports need {wanted / 1e6:.0f} MB. "
            "Make room, or keep the data elsewhere with --data."
        )


def _clock(here: Surroundings) -> Iterator[str]:
    if here.newest is not None and here.newest > here.now + CLOCK_SLACK:
        yield (
            f"The last booking is of {here.newest.astimezone():%Y-%m-%d %H:%M}, which this computer's clock has not "
            "reached. Set the clock before anything is booked: days of expiry and cures go by it."
        )


def _terminal(here: Surroundings) -> Iterator[str]:
    if here.columns is None or here.lines is None:
        return
    if here.columns < LEAST_COLUMNS or here.lines < LEAST_LINES:
        yield (
            f"The terminal has {here.columns} columns and {here.lines} lines; the app's pages are drawn for "
            f"{LEAST_COLUMNS} × {LEAST_LINES} and more. Enlarge the window or make its letters smaller."
        )
    if here.kind in ("", "dumb"):
        yield "The terminal doesn't say what it is (TERM is empty or dumb), so the app can't be drawn on it."
    if here.encoding.lower().replace("-", "") != "utf8":
        yield (
            f"The terminal is written to as {here.encoding or 'unknown'}; Ø, µ and ± become question marks. "
            "Set its language to one with UTF-8, such as C.UTF-8."
        )


def _libraries(here: Surroundings) -> Iterator[str]:
    extras: dict[str, list[str]] = {}
    for name, (what, extra) in FOR_WHAT.items():
        if name not in here.libraries:
            extras.setdefault(extra, []).append(what)
    for extra, missing in extras.items():
        yield f"Not installed: what {' and '.join(missing)} need. Where you want that, install the extra “{extra}”."
