"""Hours of an hour meter in words, for messages. No database needed to import it."""

from __future__ import annotations

from typing import Final

HUNDREDTHS: Final = 100
"""Of an hour: meters show tenths or hundredths (common practice, no source)."""


def in_words(meter_hundredths_h: int) -> str:
    """Hundredths of an hour as "1234.5 h": no digit that says nothing, and no thousands' mark."""
    whole, part = divmod(meter_hundredths_h, HUNDREDTHS)
    return (f"{whole}.{part:02}".rstrip("0").rstrip(".") if part else f"{whole}") + " h"
