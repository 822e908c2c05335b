"""What a measuring instrument sends over its serial line, and nobody types: `01A+00024.990`.

    line   = head sign digits "." digits
    head   = "01" letter                   the letter tells the channel of a box that several instruments hang on
    fault  = "91" digit                    nothing was measured

The format is from memory: no standard of it was seen, and no instrument was tried. A line has no unit; the instrument
sends what its display shows, so the number is read in the session's unit as if it had been typed.
"""

from __future__ import annotations

import re
from typing import Final

_READING: Final = re.compile(r"01[A-Z](?P<sign>[+-])(?P<number>[0-9]{1,12}(?:\.[0-9]{0,12})?)")
_FAULT: Final = re.compile(r"91[0-9]")


def number_in(line: str) -> str | None:
    """The number that was sent, as a person would type it (`24.990`, `-0.15`); None where it is not a reading."""
    found = _READING.fullmatch(line.strip())
    if found is None:
        return None
    number = found["number"].lstrip("0") or "0"
    return ("-" if found["sign"] == "-" else "") + (f"0{number}" if number.startswith(".") else number)


def is_fault(line: str) -> bool:
    """Whether an instrument says that it has nothing to send. Asked of a serial line alone: typed, 911 is a number."""
    return _FAULT.fullmatch(line.strip()) is not None
