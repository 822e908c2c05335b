"""Who may read the shop's data: its owner, unless a person said otherwise.

Kitwright's own data folder is 700 and what lies in it 600, whatever the umask says, mended whenever it is opened. A
database elsewhere is made 600 and its folder is never touched; rights that a person gave there stay, and `told` says
them. SQLite gives its -wal, -shm and -journal the rights of the file. On Windows there are no such bits: the folder of
the person's profile is closed to others by its access list.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Final

OWNER_FOLDER: Final = 0o700
OWNER_FILE: Final = 0o600
BACKUPS: Final = "backups"
_BESIDE: Final = ("", "-wal", "-shm", "-journal")


def make_folder(folder: Path) -> None:
    """Create it for its owner only; the folders above are made with the rights any program gives. Raises OSError."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    folder.mkdir(mode=OWNER_FOLDER, exist_ok=True)


def make_file(file: Path) -> None:
    """Create an empty file that its owner alone may read, unless it is there. What can't be made, stays unmade."""
    with suppress(OSError):
        os.close(os.open(file, os.O_CREAT | os.O_EXCL | os.O_WRONLY, OWNER_FILE))


def secure(file: Path, own: Path | None) -> None:
    """Mend Kitwright's own folder, `own`, in which the file lies; None: a database elsewhere is left as it is."""
    if os.name != "posix" or own is None:
        return
    for folder in {own, file.parent}:
        if _is_ours_alone(folder):
            _close(folder, OWNER_FOLDER)
    for one in _files(file.parent):
        _close(one, OWNER_FILE)
    for one in _files(file.parent / BACKUPS):
        _close(one, OWNER_FILE)


def _is_ours_alone(folder: Path) -> bool:
    """Whether nothing but Kitwright's own lies in it: a variable may have named somebody's home."""
    try:
        return all(_is_ours(one.name) for one in folder.iterdir())
    except OSError:
        return False


def _is_ours(name: str) -> bool:
    return name in {"demo", BACKUPS} or name.startswith((".kitwright-", "workshop.", "demo."))


def _files(folder: Path) -> Iterator[Path]:
    with suppress(OSError):
        yield from (one for one in folder.iterdir() if _is_ours(one.name) and not one.is_symlink() and one.is_file())


def _close(path: Path, most: int) -> None:
    """Take away what goes beyond `most`, where the path is this user's."""
    with suppress(OSError):
        mode = stat.S_IMODE(path.stat().st_mode)
        if mode & 0o077:
            path.chmod(mode & most)


def told(file: Path) -> str:
    """Who besides the owner may read or write the database, in words; empty where nobody may."""
    if os.name != "posix":
        return ""
    bits = 0
    for ending in _BESIDE:
        with suppress(OSError):
            bits |= stat.S_IMODE(file.with_name(file.name + ending).stat().st_mode)
    who = [
        f"{name} may {'write' if bits & write else 'read'}"
        for name, read, write in (("its group", 0o040, 0o020), ("anybody on this computer", 0o004, 0o002))
        if bits & (read | write)
    ]
    return f"{' and '.join(who)} {file}" if who else ""
