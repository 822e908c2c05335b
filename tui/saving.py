"""Put bytes into a file: whole or not at all, and one sentence where it can't be done."""

from __future__ import annotations

import os
import re
import tempfile
from pathlib import Path

LONGEST_SHOWN = 100
DEVICES = re.compile(r"(con|prn|aux|nul|conin\$|conout\$|(com|lpt)[0-9¹²³])\s*(\..*|:)?", re.IGNORECASE)
"""Names that Windows takes for a device whatever comes after the dot: what is written to `nul.pdf` is gone."""


class SaveError(ValueError):
    """The file can't be written; the text is one sentence that says what to type instead."""


def save(target: str, made: bytes) -> Path:
    """Write `made` to the file that `target` names and give its full path. What was there is replaced.

    Written beside its place first, so that a full disk leaves an older file as it was. Raises `SaveError`.
    """
    name = target.strip()
    shown = "".join(letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}" for letter in name[:LONGEST_SHOWN])
    if not name or "\0" in name:
        raise SaveError("That is not a file name; type one, as job-2.pdf.")
    beside: str | None = None
    try:
        file = Path(name).expanduser()
        if file.is_dir():
            raise SaveError(f"“{shown}” is a folder; name a file in it, as job-2.pdf.")
        if os.name == "nt" and DEVICES.fullmatch(file.name):
            raise SaveError(f"“{shown}” is the name of a device on Windows; name another file, as job-2.pdf.")
        handle, beside = tempfile.mkstemp(dir=file.parent, prefix=".kitwright-", suffix=".part")
        with os.fdopen(handle, "wb") as out:
            out.write(made)
        # The file made beside is for its owner alone; the finished one follows the umask, as any other file does.
        mask = os.umask(0)
        os.umask(mask)
        Path(beside).chmod(0o666 & ~mask)
        Path(beside).replace(file)
    except (OSError, RuntimeError) as fault:
        if beside is not None:
            Path(beside).unlink(missing_ok=True)
        why = (getattr(fault, "strerror", None) or str(fault)).lower()
        raise SaveError(f"“{shown}” can't be written ({why}); name another file.") from fault
    return file.absolute()
