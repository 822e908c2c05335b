"""Cells that no spreadsheet runs, and back. What was made neutral on the way out is itself again on the way in."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

from models.supplier_lists.figures import FigureError

# A spreadsheet may run a cell that starts so (OWASP, "CSV Injection"), the wide forms included.
_FORMULA: Final = re.compile(r"'*[\s\u200b\ufeff]*[=+\-@|%\t\r\n＝＋－＠]")
_NEUTRAL: Final = re.compile(r"'+[\s\u200b\ufeff]*[=+\-@|%\t\r\n＝＋－＠]")


def neutral(cell: str) -> str:
    """The cell as text that nothing runs: an apostrophe before whatever could start a formula."""
    return f"'{cell}" if _FORMULA.match(cell) else cell


def plain(cell: str) -> str:
    """The cell without the apostrophe that `neutral`, or a spreadsheet, put before it."""
    return cell[1:] if cell[:1] == "'" and _NEUTRAL.match(cell) else cell


def text(cell: str, what: str, longest: int) -> str:
    """A cell as it is kept: trimmed, composed, neutral mark off. Raises FigureError for what can't be shown."""
    if cell.isascii() and cell.isprintable():
        kept = cell.strip()
    else:
        kept = unicodedata.normalize("NFC", " ".join(cell.split()))
        if any(unicodedata.category(letter) in {"Cc", "Cs"} for letter in kept) or "\ufffd" in kept:
            raise FigureError(f"the {what} holds a character that can't be shown")
    if kept[:1] == "'":
        kept = plain(kept)
    if len(kept) > longest:
        raise FigureError(f"the {what} has {len(kept)} characters; at most {longest} fit")
    return kept
