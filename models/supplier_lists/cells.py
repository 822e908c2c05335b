"""Cells that no spreadsheet runs, and back. What was made neutral on the way out is itself again on the way in."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

from models.supplier_lists.figures import FigureError
from models.text import NO_CHARACTERS, PARTING, TURNING, UNSEEN

# A spreadsheet may run a cell that starts so (OWASP, "CSV Injection"), the wide forms included.
_FORMULA: Final = re.compile(r"'*[\s\u200b\ufeff]*[=+\-@|%\t\r\n＝＋－＠]")
NUMBER: Final = "part number"
_LEFT_OUT: Final = re.compile(
    "[\x00-\x1f\x7f-\x9f\ud800-\udfff]|" + "|".join(one.pattern for one in (UNSEEN, TURNING, PARTING, NO_CHARACTERS))
)
_NEUTRAL: Final = re.compile(r"'+[\s\u200b\ufeff]*[=+\-@|%\t\r\n＝＋－＠]")


def neutral(cell: str) -> str:
    """The cell as text that nothing runs: an apostrophe before whatever could start a formula."""
    return f"'{cell}" if _FORMULA.match(cell) else cell


def plain(cell: str) -> str:
    """The cell without the apostrophe that `neutral`, or a spreadsheet, put before it."""
    return cell[1:] if cell[:1] == "'" and _NEUTRAL.match(cell) else cell


def text(cell: str, what: str, longest: int) -> str:
    """A cell as it is kept: trimmed, composed, neutral mark off, and without what can't be shown: the row stays.

    Raises FigureError where it is too long, or a byte that is no letter stands in a part number.
    """
    if cell.isascii() and cell.isprintable():
        kept = cell.strip()
    else:
        kept = unicodedata.normalize("NFC", " ".join(cell.split()))
        if "\ufffd" in kept and what == NUMBER:
            raise FigureError(f"the {what} holds a character that can't be shown")
        kept = " ".join(_LEFT_OUT.sub("", kept).split())
    if kept[:1] == "'":
        kept = plain(kept)
    if len(kept) > longest:
        raise FigureError(f"the {what} has {len(kept)} characters; at most {longest} fit")
    return kept
