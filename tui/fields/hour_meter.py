"""What a machine's hour meter shows."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import ClassVar, Final

import models
from tui.fields.field import Asked, Field, FieldError
from tui.fields.plain import Flag
from tui.fields.words import shown

TYPED: Final = re.compile(r"([0-9]{1,6})(?:[.,]([0-9]{1,2}))?(?: ?(?:h|hours?))?", re.ASCII)


@dataclass(frozen=True)
class HourMeter(Field[int | None]):
    """Hours as the meter shows them, in hundredths of an hour."""

    METAVAR: ClassVar[str] = "HOURS"

    must: bool = False
    parameter: str = "meter_hundredths_h"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "what the hour meter shows, as 1234.5"

    def read(self, text: str, asked: Asked) -> int | None:
        """Hundredths of an hour. Raises `FieldError`."""
        found = TYPED.fullmatch(text)
        if found is None:
            raise FieldError(
                f"{shown(text)} is not {self.hint(asked)}: hours, with at most two places after the point."
            )
        whole, part = found[1], found[2] or ""
        return int(Fraction(f"{whole}.{part or 0}") * models.hours.HUNDREDTHS)


HOURS = HourMeter("hours", "Hour meter", "what the machine's hour meter shows, as 1234.5")
METER_CHANGED = Flag(
    "yes", "Meter changed", "take fewer hours than the last ones: the meter was changed", parameter="meter_changed"
)
