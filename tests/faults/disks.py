"""Disks that are full: a small one of our own, mounted and filled to the last byte, or a limit on all writing."""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path

_MEGABYTES = 6


class Limited:
    """No file of this process may grow or be written: what a quota does. Works for everybody."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._usual = resource.getrlimit(resource.RLIMIT_FSIZE)

    def fill(self) -> None:
        """From now on nothing can be written."""
        resource.setrlimit(resource.RLIMIT_FSIZE, (0, self._usual[1]))

    def make_room(self) -> None:
        """Writing works again."""
        resource.setrlimit(resource.RLIMIT_FSIZE, self._usual)


class Small:
    """A disk of a few megabytes in memory. Only who may mount can have one."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._filler = folder / "filler"

    def fill(self) -> None:
        """Write until not one more byte goes in."""
        with self._filler.open("wb", buffering=0) as filler:
            for size in (1 << 16, 1 << 12, 1):
                try:
                    while True:
                        filler.write(b"x" * size)
                except OSError:
                    continue

    def make_room(self) -> None:
        """Writing works again."""
        self._filler.unlink(missing_ok=True)


@contextmanager
def limited(folder: Path) -> Iterator[Limited]:
    """A place under a limit, lifted at the end."""
    disk = Limited(folder)
    try:
        yield disk
    finally:
        disk.make_room()


@contextmanager
def small(folder: Path) -> Iterator[Small]:
    """A small disk, mounted in a folder of its own and taken away at the end."""
    at = folder / "disk"
    at.mkdir()
    subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={_MEGABYTES}m,mode=755", "tmpfs", str(at)], check=True)
    try:
        yield Small(at)
    finally:
        subprocess.run(["umount", "-l", str(at)], check=True)


@cache
def may_mount() -> bool:
    """Whether we may mount a disk of our own here."""
    if not sys.platform.startswith("linux") or os.geteuid() != 0:
        return False
    with tempfile.TemporaryDirectory() as folder:
        tried = subprocess.run(["mount", "-t", "tmpfs", "tmpfs", folder], capture_output=True, check=False)
        if tried.returncode == 0:
            subprocess.run(["umount", folder], check=True)
    return tried.returncode == 0
