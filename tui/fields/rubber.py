"""What is asked of a rubber beside fluid and heat (`met`): its family, the cure date on its bag, how it looks."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, ClassVar, Final, NamedTuple

import models
from catalog import orings
from tui.fields.field import Asked, Field, FieldError
from tui.fields.grooves import AtWork, GapOn, Hardness
from tui.fields.met import RubbersFluid
from tui.fields.plain import Flag, Name
from tui.fields.words import shown, unknown

if TYPE_CHECKING:
    from catalog.orings.rubber_tables import Family
    from catalog.orings.shelf_age import ShelfRule

_QUARTER: Final = re.compile(r"([1-4])q(\d{4}|\d{2})|(\d{4})-?q([1-4])", re.ASCII)
_MONTH: Final = re.compile(r"\d{4}-\d{2}", re.ASCII)
MOTIONS: Final = ("stands still", "slides")
_DATES: Final = "2019-03-14, 2019-03 or 1Q2019"


class Moving(Flag):
    """Whether the ring slides; on a screen one of two words."""

    def read(self, text: str, asked: Asked) -> bool:
        """Yes or no. Raises `FieldError`."""
        return text == MOTIONS[1] if text in MOTIONS else super().read(text, asked)


@dataclass(frozen=True)
class RubberFamily(Field["Family | None"]):
    """A family of rubbers by its code in ASTM D1418."""

    METAVAR: ClassVar[str] = "FAMILY"

    must: bool = False
    what: str = ""

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what or "such as NBR, FKM or EPDM"

    def read(self, text: str, asked: Asked) -> Family | None:
        """The family. Raises `FieldError`."""
        try:
            return orings.rubber_tables.family(Name(self.name, self.label).read(text, asked))
        except ValueError as problem:
            raise FieldError(str(problem)) from problem

    def echo(self, value: Family | None, asked: Asked) -> str:
        """Its name in full."""
        return "" if value is None else orings.rubber_tables.families()[value].name


class Printed(NamedTuple):
    """The day that a printed date stands for, and why where only a month or a quarter is printed."""

    day: date
    why: str = ""


@dataclass(frozen=True)
class BagDate(Field["Printed | None"]):
    """A date as it is printed on a bag of rings: a day, a month or a quarter.

    Of a month alone the first day counts, the strict side; of a quarter the last.
    """

    METAVAR: ClassVar[str] = "DATE"

    must: bool = False

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return f"as {_DATES}"

    def read(self, text: str, asked: Asked) -> Printed | None:
        """The day, and why. Raises `FieldError`."""
        clean = text.lower()
        try:
            if found := _QUARTER.fullmatch(clean):
                year, quarter = int(found[2] or found[3]), int(found[1] or found[4])
                last = orings.shelf_age.quarter_end(year if year > 99 else 2000 + year, quarter)
                return Printed(last, "only the quarter is printed, so its last day counts (SAE ARP5316 practice)")
            if _MONTH.fullmatch(clean):
                return Printed(date.fromisoformat(f"{clean}-01"), "only the month is printed, so its first day counts")
            return Printed(models.days.read(clean))
        except ValueError as problem:
            if hint := getattr(problem, "hint", ""):
                raise FieldError(f"{shown(text)} may be two days. {hint}") from None
            raise FieldError(f"{shown(text)} is not a date; type it like {_DATES}") from None

    def echo(self, value: Printed | None, asked: Asked) -> str:
        """The day it counts from, where that was not printed."""
        return "" if value is None or not value.why else f"{value.day}: {value.why}"


@dataclass(frozen=True)
class AgeRule(Field["ShelfRule | None"]):
    """The rule of how long rubber may lie on the shelf, with or without the name of who prints it."""

    METAVAR: ClassVar[str] = "RULE"

    must: bool = False

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "ISO 2230 or SAE ARP5316"

    def read(self, text: str, asked: Asked) -> ShelfRule | None:
        """The rule. Raises `FieldError`."""
        clean = "".join(text.casefold().replace("-", "").split())
        for rule in orings.shelf_age.ShelfRule:
            whole = "".join(rule.casefold().split())
            if clean in (whole, whole.removeprefix("sae")):
                return rule
        raise FieldError(unknown(text, [str(rule) for rule in orings.shelf_age.ShelfRule]))


FLUID = RubbersFluid("fluid", "Fluid", 'a code from --fluids, a trade word such as "DOT 4", or words of its name')
FLUIDS = Flag("fluids", "All fluids", "list the fluids")
PRESSURE = AtWork("pressure", "Pressure", "such as 160bar", what="of the oil")
GAP = GapOn(
    "gap",
    "Gap on Ø",
    "gap on diameter that pressure may push the ring into",
    what="diametral",
    zero="metal meets metal",
)
HARDNESS = Hardness("hardness", "Hardness", "Shore A hardness (70 unless you say otherwise)", what="empty: 70 Shore A")
MOVING = Moving("moving", "Motion", "the ring slides")
FAMILY = RubberFamily("family", "Rubber", "judge this family alone", metavar="CODE", what="empty: all")
AGE = RubberFamily("age", "Rubber", "the ring's rubber")
CURED = BagDate("cured", "Cure date", "cure date: 2019-03-14, 2019-03 or 1Q2019")
RULE = AgeRule("rule", "Rule", '"ISO 2230" (unless you say otherwise) or "SAE ARP5316"')
TODAY = BagDate("today", "Today", "judge for this day instead of today")
LOOK = Name("look", "Look", 'what is seen and felt: "black, soft"', must=False, metavar="WORDS")
