"""A file's name as it is typed into a form, pasted, or dropped into a terminal."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path


def named(text: str) -> Path:
    """The file that is typed: a terminal puts quotation marks or backslashes into the name of one that is dropped."""
    text = text.strip()
    if len(text) > 1 and text[0] == text[-1] and text[0] in "'\"":
        text = text[1:-1]
    path = Path(text)
    with suppress(RuntimeError):
        path = path.expanduser()
    if os.sep == "/" and "\\" in text:
        with suppress(OSError, ValueError):
            if not path.exists():
                return Path(text.replace("\\\\", "\0").replace("\\", "").replace("\0", "\\"))
    return path
