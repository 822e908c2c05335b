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
from typing import Final, NamedTuple

import models
from models import storage

CODE_SECONDS: Final = 120
"""How long a code opens; it opens once."""
CODE_DIGITS: Final = 8
MOST_WRONG: Final = 5
"""Wrong tries of one caller within `WRONG_SECONDS`; after that none of its tries is looked at."""
MOST_IN_ALL: Final = 30
"""The same of all callers together, of codes and of keys each. Somebody with many addresses gets 60 of 100,000,000 in
the life of a code, whatever they do: one code in 1.7 million would be guessed so."""
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


class Answered(NamedTuple):
    """What became of a try. `wait`: seconds until the next is looked at; `times`: this caller's wrong ones."""

    tried: Tried
    wait: int = 0
    times: int = 0


class _Wrong:
    """The wrong tries of the last `WRONG_SECONDS`, each with its moment and who made it."""

    def __init__(self) -> None:
        self._tries: deque[tuple[float, str]] = deque(maxlen=MOST_IN_ALL)

    def note(self, caller: str, now: float) -> int:
        """One more; gives how many of this caller's there are."""
        self._tries.append((now, caller))
        return len(self._of(caller, now))

    def wait(self, caller: str, now: float) -> float:
        """Seconds until this caller's next try is looked at; 0 or less where it is at once."""
        its, alls = self._of(caller, now), [when for when, _ in self._tries]
        over = [its[-MOST_WRONG]] if len(its) >= MOST_WRONG else []
        over += [alls[-MOST_IN_ALL]] if len(alls) >= MOST_IN_ALL else []
        return max(over) + WRONG_SECONDS - now if over else 0

    def _of(self, caller: str, now: float) -> list[float]:
        return [when for when, who in self._tries if who == caller and when > now - WRONG_SECONDS]


class Pairing:
    """The code that opens now, the key that always does, and how often something else was typed.

    Codes and keys are counted apart: somebody who guesses codes from many addresses keeps the key from nobody.
    `key`: the access key, "" where there is none. `clock`: seconds that only ever rise.
    """

    def __init__(self, key: str = "", clock: Callable[[], float] = monotonic) -> None:
        self._key = _plain(key)
        self._clock = clock
        self._code = ""
        self._until = 0.0
        self._wrong_codes, self._wrong_keys = _Wrong(), _Wrong()

    def new_code(self) -> str:
        """A code that opens once from now on; the one before opens no more."""
        self._code = f"{secrets.randbelow(10**CODE_DIGITS):0{CODE_DIGITS}}"
        self._until = self._clock() + CODE_SECONDS
        return self._code

    def tries(self, typed: str, caller: str = "") -> Answered:
        """Whether what this caller typed opens. A code that did is used up."""
        text, now = _plain(typed[:LONGEST]), self._clock()
        is_key = len(text) > CODE_DIGITS
        wrong = self._wrong_keys if is_key else self._wrong_codes
        if (wait := wrong.wait(caller, now)) > 0:
            return Answered(Tried.TOO_MANY, wait=-int(-wait // 1))
        right = self._key if is_key else self._code if now < self._until else ""
        if _same(text, right) and right:
            if not is_key:
                self._code = ""
            return Answered(Tried.RIGHT)
        return Answered(Tried.WRONG, times=wrong.note(caller, now))


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
