"""Cells of a CSV file that no spreadsheet runs as a formula, and the same cells read back as they were."""

from __future__ import annotations

from typing import Final

# What a spreadsheet may take for the start of a formula (OWASP, "CSV Injection"), in plain and in wide forms. An
# apostrophe before it makes it text; one that stands there already gets another, so that reading back loses nothing.
_STARTS: Final = ("=", "+", "-", "@", "\t", "\r", "\n", "|", "%", "＝", "＋", "－", "＠", "'")
_BLANK: Final = " \u00a0\u200b\ufeff"


def neutral(cell: str) -> str:
    """The cell as text to write."""
    return f"'{cell}" if cell.lstrip(_BLANK).startswith(_STARTS) or cell.startswith(_STARTS) else cell


def plain(cell: str) -> str:
    """The cell as it was before `neutral`."""
    rest = cell.removeprefix("'")
    return rest if rest != cell and neutral(rest) == cell else cell
