"""The pictures of a folder, newest first."""

from __future__ import annotations

import os
from collections.abc import Iterable
from contextlib import suppress
from datetime import datetime
from itertools import islice
from pathlib import Path
from typing import Final, NamedTuple

KINDS: Final = (".jpg", ".jpeg", ".png")
UNREAD: Final = (".heic", ".heif", ".avif")
"""What telephones take instead, and nothing here reads."""
MOST: Final = 200
"""Pictures that are listed."""
MOST_SEEN: Final = 20_000
"""Files of a folder that are looked at."""


class Found(NamedTuple):
    """A picture's file, when it was written, in seconds as the system counts them, and its bytes."""

    file: Path
    written: float
    size: int

    @property
    def day(self) -> str:
        """When it was written, by the clock on the wall."""
        return f"{datetime.fromtimestamp(self.written):%Y-%m-%d %H:%M}"


class Folder(NamedTuple):
    """A folder's newest pictures. `all_of`: how many it has; `unread`: of kinds not read; `wrong`: why none."""

    path: Path
    pictures: tuple[Found, ...] = ()
    all_of: int = 0
    unread: int = 0
    wrong: str = ""


def pictures_of(path: Path) -> Folder:
    """The pictures that lie in a folder itself."""
    found, unread = [], 0
    try:
        with os.scandir(path) as files:
            for one in islice(files, MOST_SEEN):
                kind = Path(one.name).suffix.casefold()
                unread += kind in UNREAD
                if kind in KINDS:
                    with suppress(OSError):
                        if one.is_file():
                            about = one.stat()
                            found.append(Found(path / one.name, about.st_mtime, about.st_size))
    except (OSError, ValueError):
        return Folder(path, wrong="That folder can't be read. Type the name of a picture or of another folder.")
    newest = sorted(found, key=lambda one: (-one.written, one.file.name))
    return Folder(path, tuple(newest[:MOST]), len(found), unread)


def where_newest(folders: Iterable[Path]) -> Folder:
    """Of several folders the one with the newest picture; the first where none has one."""
    seen = [pictures_of(one) for one in dict.fromkeys(folders) if one.is_dir()]
    return max(seen, key=lambda one: one.pictures[0].written if one.pictures else 0.0, default=Folder(Path.cwd()))


def usual_folders() -> Iterable[Path]:
    """Where a picture of today most likely lies."""
    yield Path.cwd()
    with suppress(RuntimeError):
        home = Path.home()
        yield from (home / "Pictures", home / "Downloads")
