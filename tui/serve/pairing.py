"""How a browser is let in: by a code that somebody at the shop's computer reads out, or by the kept access key."""

from __future__ import annotations

import os
import re
import secrets
from collections import deque
from collections.abc import Callable
from enum import Enum
from hmac import compare_digest
from pathlib import Path
from time import monotonic
from typing import Final

import models
from models import storage

CODE_SECONDS: Final = 120
"""How long a code opens; it opens once."""
CODE_DIGITS: Final = 8
MOST_WRONG: Final = 5
"""Wrong tries within `WRONG_SECONDS`, whoever makes them; after that no try is looked at. With eight digits a guesser
gets ten of 100,000,000 in the life of a code."""
WRONG_SECONDS: Final = 60.0
KEY_FILE: Final = "serve-key.txt"
KEY_BYTES: Final = 16
LEAST_KEY: Final = 16
"""Letters of the shortest access key that is taken, for somebody may write their own into the file."""
LONGEST: Final = 200
"""Letters of what is typed that are looked at."""


class Tried(Enum):
    """What became of a try."""

    RIGHT = "right"
    WRONG = "wrong"
    TOO_MANY = "too many"


class Pairing:
    """The code that opens now, the key that always does, and how often something else was typed.

    `key`: the access key, "" where there is none. `clock`: seconds that only ever rise.
    """

    def __init__(self, key: str = "", clock: Callable[[], float] = monotonic) -> None:
        self._key = _plain(key)
        self._clock = clock
        self._code = ""
        self._until = 0.0
        self._wrong: deque[float] = deque(maxlen=MOST_WRONG)

    def new_code(self) -> str:
        """A code that opens once from now on; the one before opens no more."""
        self._code = f"{secrets.randbelow(10**CODE_DIGITS):0{CODE_DIGITS}}"
        self._until = self._clock() + CODE_SECONDS
        return self._code

    def wait(self) -> int:
        """Seconds until the next try is looked at; 0 where it is at once."""
        if len(self._wrong) < MOST_WRONG:
            return 0
        left = self._wrong[0] + WRONG_SECONDS - self._clock()
        return max(0, -int(-left // 1))

    def tries(self, typed: str) -> Tried:
        """Whether what was typed opens. A code that did is used up."""
        if self.wait():
            return Tried.TOO_MANY
        text = _plain(typed[:LONGEST])
        # Both are compared, whatever the first says, and each to its end: no time tells how near it was.
        is_code = _same(text, self._code) and bool(self._code) and self._clock() < self._until
        is_key = _same(text, self._key) and bool(self._key)
        if is_code:
            self._code = ""
        if is_code or is_key:
            return Tried.RIGHT
        self._wrong.append(self._clock())
        return Tried.WRONG


def _plain(text: str) -> str:
    """What was typed without the blanks and dashes that group it, in capitals."""
    return re.sub(r"[\s-]", "", text).upper()


def _same(one: str, other: str) -> bool:
    return compare_digest(one.encode("utf-8", "replace"), other.encode("utf-8", "replace"))


def kept_key() -> tuple[str, Path]:
    """The access key and the file it is kept in, which is made at the first call, for its owner only.

    Raises `WorkshopUnavailableError` where it can't be read or made, or is too short to be one.
    """
    folder = storage.locations.state_folder()
    file = folder / KEY_FILE
    try:
        if not file.exists():
            storage.locations.make_folder(folder)
            _make(file)
        if os.name == "posix" and file.stat().st_mode & 0o077:
            file.chmod(storage.permissions.OWNER_FILE)
        key = file.read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError) as fault:
        why = getattr(fault, "strerror", None) or str(fault)
        raise models.errors.WorkshopUnavailableError(
            f"The access key can't be read from {file} ({why.lower()}).", "See that you may read and write there."
        ) from fault
    if len(_plain(key)) < LEAST_KEY:
        raise models.errors.WorkshopUnavailableError(
            f"The access key in {file} is shorter than {LEAST_KEY} letters.",
            "Delete that file: the next start makes a new key.",
        )
    return key, file


def _make(file: Path) -> None:
    """Write a new key: groups of letters and digits that nobody mistakes for each other (RFC 4648's base 32)."""
    letters = "".join(secrets.choice("ABCDEFGHIJKLMNOPQRSTUVWXYZ234567") for _ in range(KEY_BYTES * 8 // 5 + 1))
    key = "-".join(letters[at : at + 5] for at in range(0, len(letters), 5))
    handle = os.open(file, os.O_CREAT | os.O_EXCL | os.O_WRONLY, storage.permissions.OWNER_FILE)
    with os.fdopen(handle, "w", encoding="utf-8") as out:
        out.write(key + "\n")
