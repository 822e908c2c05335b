"""Where a command's words go: data to standard output, talk to standard error.

Whatever comes from a database, a backup or a file goes through here before it reaches a terminal: what could steer it,
or turn the direction of a line, becomes a sign. And here it is known whether a change was booked, for whoever loses
the answer to it.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Sequence
from typing import Any, Final

SIGN: Final = "\N{REPLACEMENT CHARACTER}"
_STEERING: Final = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f"  # control characters but tab and line feed: ESC and its eight-bit kin among them
    "\xad\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff"  # unseen, turning and parting characters
    "\ud800-\udfff\ufdd0-\ufdef\ufff9-\ufffb\ufffe\uffff"
    + "".join(f"{chr(plane << 16 | 0xFFFE)}{chr(plane << 16 | 0xFFFF)}" for plane in range(1, 17))
    + "\U000e0000-\U000e007f]"
)
_MAY_STEER: Final = re.compile(
    r"\\u(?:00[01789][0-9a-f]|00ad|061c|180e|20[0-6][0-9a-f]|f[def][0-9a-f]{2}|d[89a-f][0-9a-f]{2})|\x7f"
)
"""In JSON: some character beyond ASCII that may be one of them."""


class Outcome:
    """What a command has done so far: whether it booked a change.

    `stopped`: what to say in place of that where it is stopped, for a command that others book through.
    """

    booked = False
    stopped = ""


class OutputError(Exception):
    """The answer couldn't be written: its reader has gone, or there is no room. The cause is the OSError."""


def harmless(text: str) -> str:
    """`text` with a sign for each character that could steer a terminal or can't be seen; line feeds and tabs stay."""
    if text.isascii() and text.isprintable():
        return text
    return _STEERING.sub(SIGN, text.replace("\r\n", "\n"))


def say(text: str = "") -> None:
    """Print one line of the answer."""
    _write(f"{harmless(text)}\n")


def say_bytes(made: bytes) -> None:
    """Send a file on that is no text."""
    _write("")
    try:
        sys.stdout.flush()
        sys.stdout.buffer.write(made)
        sys.stdout.buffer.flush()
    except (OSError, ValueError) as fault:
        raise OutputError(str(fault)) from fault


def say_json(value: Any, text: str = "") -> None:
    """Print one JSON value on one line, at once, so that a reader of a stream need not wait. `text`: the value written
    out, where that is done already.
    """
    import json  # 4 ms

    text = text or json.dumps(value, allow_nan=False)
    if ("\\u" in text or "\x7f" in text) and _MAY_STEER.search(text):
        text = json.dumps(_harmless_within(json.loads(text)), allow_nan=False)
    _write(text + "\n")
    flush()


def _harmless_within(value: Any) -> Any:
    if isinstance(value, str):
        return harmless(value)
    if isinstance(value, dict):
        return {_harmless_within(key): _harmless_within(one) for key, one in value.items()}
    if isinstance(value, (list, tuple)):
        return [_harmless_within(one) for one in value]
    return value


def _write(text: str) -> None:
    if sys.stdout is None:
        raise OutputError("it is closed") from OSError(9, "it is closed")
    try:
        sys.stdout.write(text)
    except (OSError, ValueError) as fault:  # ValueError: the stream was closed
        raise OutputError(str(fault)) from fault


def flush() -> None:
    """Send on what was said so far. Raises `OutputError`."""
    if sys.stdout is None:
        return
    try:
        sys.stdout.flush()
    except (OSError, ValueError) as fault:
        raise OutputError(str(fault)) from fault


def talk(text: str) -> None:
    """Print one line that is not part of the answer; where nobody can read it, it is lost."""
    if sys.stderr is None:
        return
    try:
        sys.stderr.write(f"{harmless(text)}\n")
    except (OSError, ValueError):
        return


def table(header: Sequence[str], rows: Sequence[Sequence[str]], right: Sequence[int] = ()) -> list[str]:
    """Lay rows out in columns; `right` names the columns (from 0) that are flush right, as numbers are."""
    widths = [max(len(row[at]) for row in (header, *rows)) for at in range(len(header))]
    return [
        "  ".join(
            cell.rjust(width) if at in right else cell.ljust(width)
            for at, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in (header, *rows)
    ]
