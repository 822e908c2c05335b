"""What a bin label's QR code says, and reading it back when a scanner types it.

A scanner acts as a keyboard, and the computer may take its keys for another layout. The lead word is made only of
letters that QWERTY, QWERTZ and AZERTY keep in the same place, and a space.
"""

from __future__ import annotations

from typing import Final

LEAD: Final = "KITBIN "


def bin_code(code: str) -> str:
    """What to put in the QR code of the bin `code`: `KITBIN Box 1`. Raises ValueError for an empty code."""
    plain = code.strip()
    if not plain:
        raise ValueError("A bin without a code can't have a label; give the bin a code first.")
    return LEAD + plain


def bin_scanned(typed: str) -> str | None:
    """The bin's code from what a scanner typed, or None if it was no bin label. Caps lock does not matter."""
    if typed[: len(LEAD)].upper() != LEAD:
        return None
    code = typed[len(LEAD) :].strip()
    return code or None
