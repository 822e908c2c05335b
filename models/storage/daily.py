"""A backup a day, for nobody types a command for it: beside the data, the last fourteen days kept.

Made once the first answer of the day is out, so that nobody waits for it; from SQLite's own backup, whole and of one
moment while others work. Never where it would nearly fill the disk. A server has backups of its own: for it `check`
says when `kitwright backup` last wrote one.
"""

from __future__ import annotations

import re
import shutil
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Final, NamedTuple

from sqlalchemy import func
from sqlmodel import Session, col, select

from models.actions import claim
from models.acts import by
from models.database import Workshop
from models.errors import WorkshopError
from models.storage import permissions, sqlite
from models.tables import Action

KEPT: Final = 14
WRITTEN: Final = "backup"
"""What the log says of a backup that was written from a server."""
ROOM: Final = 100_000_000
"""Bytes that stay free beside a backup and as much again for the work of the day."""


class Kept(NamedTuple):
    """A backup there is: the file, and the moment it was written."""

    file: Path
    at: datetime


def folder_of(file: Path) -> Path:
    """Where the day's backups of a database lie."""
    return file.parent / permissions.BACKUPS


def keep(file: Path, at: datetime) -> str:
    """Make today's backup of the database unless it is there. Says in a sentence why it can't be made; else nothing.

    `at`: now. The oldest go once there are more than fourteen.
    """
    folder = folder_of(file)
    target = folder / f"{file.stem}.{at:%Y-%m-%d}.sqlite3"
    try:
        if target.exists():
            return ""
        size = file.stat().st_size
        if shutil.disk_usage(file.parent).free < 2 * size + ROOM:
            return "The disk is nearly full: today's backup was not made. Make room."
        permissions.make_folder(folder)
        sqlite.back_up(file, target)
        for old in sorted(_named(file), reverse=True)[KEPT:]:
            old.unlink(missing_ok=True)
    except OSError as fault:
        return f"Today's backup was not made ({(fault.strerror or str(fault)).lower()})."
    except WorkshopError as refused:
        if target.exists():  # another program was quicker
            return ""
        return f"Today's backup was not made. {refused.happened}"
    return ""


def newest(file: Path) -> Kept | None:
    """The newest backup beside the data, made by the day or before an upgrade; None where there is none."""
    found = []
    with suppress(OSError):
        upgrades = file.parent.glob("*.before-upgrade-from-*")
        ours = [one for one in upgrades if one.name.startswith(f"{file.stem}.before-upgrade-from-")]
        for one in (*_named(file), *ours):
            found.append(Kept(one, datetime.fromtimestamp(one.stat().st_mtime).astimezone()))
    return max(found, key=lambda kept: kept.at, default=None)


def newest_of_server(session: Session) -> datetime | None:
    """When `kitwright backup` last wrote a backup of the server's workshop; None where it never did."""
    return session.exec(select(func.max(col(Action.at))).where(Action.what == WRITTEN)).one()


def note_on_server(workshop: Workshop, who: str) -> None:
    """Note in the server's own log that a backup was written, for every computer's `check`; may fail without harm."""
    with suppress(WorkshopError), workshop.write() as session:
        claim(session, by(who, clock=workshop.clock), WRITTEN)


def _named(file: Path) -> list[Path]:
    """The day's backups of this database, by name; nothing else in the folder is touched."""
    ours = re.compile(rf"{re.escape(file.stem)}\.\d{{4}}-\d\d-\d\d\.sqlite3")
    with suppress(OSError):
        return [one for one in folder_of(file).iterdir() if ours.fullmatch(one.name) and one.is_file()]
    return []
