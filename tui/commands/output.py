"""Where a command's words go: data to standard output, talk to standard error."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import Any


def say(text: str = "") -> None:
    """Print one line of the answer."""
    sys.stdout.write(f"{text}\n")


def say_json(value: Any) -> None:
    """Print one JSON value on one line, at once, so that a reader of a stream need not wait."""
    import json  # 4 ms

    sys.stdout.write(json.dumps(value, allow_nan=False) + "\n")
    sys.stdout.flush()


def talk(text: str) -> None:
    """Print one line that is not part of the answer."""
    sys.stderr.write(f"{text}\n")


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
