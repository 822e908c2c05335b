"""A volume in free text. `text` is upper case throughout."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final, NamedTuple

from catalog.quantity import Kind, QuantityError, parse

_VOLUME: Final = re.compile(
    r"(?<![\w.,/-])(?:(\d{1,3})\s*[X×*]\s*)?(\d{1,5}(?:[.,]\d{1,3})?)\s*-?"
    r"(L|LTRS?|LITERS?|LITRES?|ML|CC|GALS?|GALLONS?|QTS?|QUARTS?|PTS?|PINTS?|FL\.?\s?OZ)\b(?!\s*/)"
)
_FLUID: Final = re.compile(
    r"\b(?:OIL|FLUID|COOLANT|GREASE|SEALANT|CLEANER|DEGREASER|HYD|UTTO|STOU|ATF|GEAR|ENGINE|DRUM|PAIL|CAN|BOTTLE|JUG"
    r"|[ÖO]L|OEL|HUILE|ACEITE|KANISTER|FASS)\b|\d{1,2}W-?\d{2}|\bISO VG"
)
_UNITS: Final = {"LTR": "l", "LTRS": "l", "CC": "ml"}


class VolumeReading(NamedTuple):
    """A volume as read, in microlitres, with how sure and why."""

    volume_ul: int
    confidence: float
    why: str


def read_volume(text: str, mark: str | None) -> VolumeReading | None:
    """The volume that the text names, or None. Several cans in one pack are added up."""
    match = _VOLUME.search(text)
    if match is None:
        return None
    return _volume(match[1] or "", match[2], match[3], mark, _FLUID.search(text) is not None)


def may_name_a_volume(text: str) -> bool:
    """Whether `read_volume` could find one in a text that differs from this one in its digits alone."""
    return _VOLUME.search(text) is not None


@lru_cache(maxsize=4096)
def _volume(times: str, number: str, unit: str, mark: str | None, fluid: bool) -> VolumeReading | None:
    confidence, why = (0.95, "a volume of a fluid") if fluid else (0.7, "a volume; of what is not named")
    if len(number.partition(",")[2]) == 3 and mark != ",":
        confidence, why = confidence * 0.6, f"{why}; a comma with three digits behind it may set off thousands"
    try:
        each = parse(
            f"{number.replace(',', '.')} {_UNITS.get(unit, unit.lower())}", kind=Kind.VOLUME, bare_unit="L"
        ).to("µL")
    except QuantityError:
        return None
    if unit[:1] in "GQPF":
        confidence, why = min(confidence, 0.8), f"{why}; US measure taken, not imperial"
    if unit == "CC":
        confidence, why = min(confidence, 0.5), f"{why}; cc is also a size of engines"
    if times:
        confidence, why = min(confidence, 0.8), f"{why}; {times} of them in the pack"
    volume = round(each * int(times or 1))
    return VolumeReading(volume, round(confidence, 3), why) if volume > 0 else None
