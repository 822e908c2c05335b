"""The audit's worked cases: what an engineer would expect, from where, and how near the answer must come.

One table in parts, a file a topic, in `tests/audit/cases/`. Columns:

`topic`     the file's name.
`input`     the command's words after `kitwright`. Text and JSON, command and screen share the call that is made.
`ask`       where in the answer to look: a path into the `--json` answer such as `ring.fitted.squeeze_pct.least` or
            `matches.0.size.label` (`#` at the end: how many there are; `*` for every one in a list), `exit` for the
            exit code, or `text` for what is printed without `--json` (for a refusal: what stands on standard error).
`expected`  a number, a word, `true`, `false`, `null`; for `text` a piece of it, with `!` before it one that may not
            stand there; several values of a `*` path are parted by `|`. `<`, `>`, `<=`, `>=` before a number compare.
`tolerance` how far a number may be off; empty: exact (texts: equal).
`source`    who says so: a publication by name, or "common practice, no source".
`standing`  published, checked, inferred, practice or memory (`catalog.standing`).
"""

from __future__ import annotations

import csv
from pathlib import Path
from typing import NamedTuple

from catalog.standing import Standing

FOLDER = Path(__file__).parent / "cases"


class Case(NamedTuple):
    """One row of the table, with the line it stands on."""

    topic: str
    input: str
    ask: str
    expected: str
    tolerance: str
    source: str
    standing: Standing
    line: int

    @property
    def name(self) -> str:
        """Where the case stands, and what it runs."""
        return f"{self.topic}:{self.line}: {self.input} -> {self.ask}"


def cases() -> tuple[Case, ...]:
    """Every case of every topic."""
    found = []
    for path in sorted(FOLDER.glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as handle:
            reader = csv.DictReader(handle)
            found += [
                Case(
                    *(row["topic"], row["input"], row["ask"], row["expected"], row["tolerance"], row["source"]),
                    Standing(row["standing"]),
                    reader.line_num,
                )
                for row in reader
            ]
    return tuple(found)
