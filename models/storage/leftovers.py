"""What a killed import, backup or restore left: part files and folders on the side with our names, cleared after a day.

Only what nobody has written to for a day goes, and only regular files and folders of this user's that are named as we
name them. What can't be removed stays, without a word; `beside` lists it.
"""

from __future__ import annotations

import os
import re
import shutil
import stat
import tempfile
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Final

DAY: Final = 24 * 60 * 60
"""Seconds. Every backup writes within that; a list need not, while its changes stand on screen over a weekend."""
LIST, LOOK = "kitwright-list-", "kitwright-look-"
"""How the folders on the side begin: a list as it is taken in, a backup as it is looked through."""

_PART: Final = re.compile(r"(\.kitwright-(?:[0-9a-f]{32}|[a-z0-9_]{8})\.part)(?:-wal|-shm|-journal)?")
_FOLDER: Final = re.compile(r"kitwright-(?:list|look)-(?:(\d{1,10})-)?[a-z0-9_]{8}")
_INSIDE: Final = re.compile(
    r"(?:rows|standard-input|pipe|backup[^/]*\.sqlite3|\.kitwright-[0-9a-f]{32}\.part)(?:-wal|-shm|-journal)?"
)


def beside(folder: Path) -> tuple[Path, ...]:
    """Every part file of ours in the folder, however old, by name; none where the folder can't be read."""
    return tuple(sorted(path for paths in _parts(folder).values() for path in paths))


def clear(folder: Path | None = None) -> None:
    """Remove what is over a day old: part files in `folder`, and our folders among the temporary files."""
    before = time.time() - DAY
    if folder is not None:
        for paths in _parts(folder).values():
            # A file's log is written to while the file itself looks untouched.
            if _newest(paths) < before:
                for path in paths:
                    with suppress(OSError):
                        path.unlink()
    with suppress(OSError):
        for found in _named(Path(tempfile.gettempdir()), _FOLDER, stat.S_ISDIR):
            inside = _named(found, _INSIDE, stat.S_ISREG)
            old = len(inside) == len(list(found.iterdir())) and _newest([found, *inside]) < before
            if old and not _in_use(found):
                shutil.rmtree(found, ignore_errors=True)


def _parts(folder: Path) -> dict[str, list[Path]]:
    """The part files, each with what SQLite keeps beside it."""
    parts: dict[str, list[Path]] = {}
    with suppress(OSError):
        for path in _named(folder, _PART, stat.S_ISREG):
            known = _PART.fullmatch(path.name)
            assert known is not None
            parts.setdefault(known[1], []).append(path)
    return parts


def _named(folder: Path, name: re.Pattern[str], sort: Callable[[int], bool]) -> list[Path]:
    """What is named so, is of that sort itself (no link to one), and is this user's. Raises OSError."""
    found = []
    with os.scandir(folder) as entries:
        for entry in entries:
            if name.fullmatch(entry.name) is None:
                continue
            with suppress(OSError):
                seen = entry.stat(follow_symlinks=False)
                if sort(seen.st_mode) and seen.st_uid == _user(seen.st_uid):
                    found.append(Path(entry.path))
    return found


def _in_use(folder: Path) -> bool:
    """Whether the program whose number the folder's name holds still runs, or another that has its number now."""
    known = _FOLDER.fullmatch(folder.name)
    if known is None or known[1] is None or os.name != "posix":  # elsewhere to ask a program is to end it
        return False
    try:
        os.kill(int(known[1]), 0)
    except ProcessLookupError:
        return False
    except (OSError, OverflowError):
        return True
    return True


def _user(otherwise: int) -> int:
    """Who runs this; where a system has no such numbers, every file is as good as one's own."""
    return os.geteuid() if hasattr(os, "geteuid") else otherwise


def _newest(paths: list[Path]) -> float:
    """When any of them was written to last; never, that is now, where one can't be asked."""
    try:
        return max(path.lstat().st_mtime for path in paths)
    except OSError:
        return time.time()
