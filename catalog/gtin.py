"""GTIN: the number under a bar code, its check digit, and what a keyboard-wedge scanner types.

GTIN-8, GTIN-12 (UPC-A), GTIN-13 (EAN-13) and GTIN-14 (on cases), GS1 General Specifications, section 7.9. The same
number may come in several lengths; `normalise` gives all 14 digits, so that they compare equal.
"""

from __future__ import annotations

import re
from typing import Final, NamedTuple

LENGTHS: Final = (8, 12, 13, 14)

# What a scanner may put before the digits to say which kind of bar code it read (ISO/IEC 15424 symbology identifiers).
_SYMBOLOGY: Final = re.compile(r"^\][A-Za-z][0-9A-Za-z]")
_WITH_ELEMENTS: Final = frozenset({"]C1", "]e0", "]d2", "]Q3", "]J1"})  # GS1-128, DataBar, DataMatrix, QR, DotCode
_GROUP_SEPARATOR: Final = "\x1d"
_GTIN_ELEMENT: Final = re.compile(r"(?:01|\(01\))([0-9]{14})")


class GtinError(ValueError):
    """Not a GTIN: the message says what was wrong and what to do."""


class Gtin(NamedTuple):
    """A checked GTIN: `digits` as read (8, 12, 13 or 14), `padded` the 14 digits that databases compare."""

    digits: str
    padded: str


def check_digit(body: str) -> int:
    """The check digit for all digits but the last: weights 3, 1, 3, … from the right, up to the next ten.

    The rule is the same for every GS1 number of fixed length (GTIN, SSCC, GLN). Raises GtinError unless all are digits.
    """
    if not _are_digits(body):
        raise GtinError(f"{_shown(body)} is not a row of digits; type digits only.")
    total = sum(int(digit) * (3 if place % 2 == 0 else 1) for place, digit in enumerate(reversed(body)))
    return -total % 10


def is_valid(digits: str) -> bool:
    """Whether it is 8, 12, 13 or 14 digits and the last one checks."""
    return len(digits) in LENGTHS and _are_digits(digits) and check_digit(digits[:-1]) == int(digits[-1])


def normalise(text: str) -> Gtin:
    """Read a GTIN as scanned or typed: spaces, hyphens, the scanner's end-of-line and symbology prefix are dropped.

    From a GS1-128, DataMatrix or QR code the element (01) is taken and what follows it is left alone. Raises GtinError.
    """
    scanned = text.strip(" \t\r\n\0")
    is_element = False
    prefix = _SYMBOLOGY.match(scanned)
    if prefix is not None:
        is_element = prefix.group() in _WITH_ELEMENTS
        scanned = scanned[prefix.end() :]
    scanned = scanned.lstrip(_GROUP_SEPARATOR)
    if is_element or scanned.startswith("(01)"):
        element = _GTIN_ELEMENT.match(scanned)
        if element is None:
            raise GtinError(f"{_shown(text)} holds no GTIN (no element 01); scan the other code on the pack.")
        return _checked(element.group(1))
    return _checked(re.sub(r"[ \u00a0-]", "", scanned))


def _checked(digits: str) -> Gtin:
    if not digits:
        raise GtinError("Nothing was scanned; scan again or type the digits under the bars.")
    if not _are_digits(digits):
        raise GtinError(f"{_shown(digits)} is not a row of digits; scan again or type the digits under the bars.")
    if len(digits) not in LENGTHS:
        raise GtinError(f"{_shown(digits)} has {len(digits)} digits; a GTIN has 8, 12, 13 or 14. Scan again.")
    wanted = check_digit(digits[:-1])
    if wanted != int(digits[-1]):
        raise GtinError(f"{digits} does not check: the last digit would be {wanted}. Scan again or look for a slip.")
    return Gtin(digits, digits.rjust(14, "0"))


def _are_digits(text: str) -> bool:
    return text.isascii() and text.isdigit()


def _shown(text: str) -> str:
    """Foreign text, cut and with anything unprintable made visible."""
    return repr(text if len(text) <= 40 else f"{text[:39]}…")
