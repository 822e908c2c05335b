"""What is asked of a fluid: classes on labels and in manuals, figures that were measured, points of its viscosity."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, ClassVar, Final, NamedTuple

from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.grooves import Number
from tui.fields.plain import Choice, File, Name, Text
from tui.fields.quantities import Quantity, Temperature, typed
from tui.fields.words import shown

if TYPE_CHECKING:
    from catalog.quantity import Typed

MOST_CLASSES: Final = 12
MOST_TEMPERATURES: Final = 50
LONGEST_CELL: Final = 400
KINDS: Final = ("upgrade", "allowed", "caution", "partial", "downgrade", "lacks", "never")
"""What a rule of the shop's own may say, as `catalog.fluids.rules.RuleKind` has it."""


@dataclass(frozen=True)
class Classes(Field[tuple[str, ...]]):
    """Classes and grades, separated by commas; on the command line also the option given again and again."""

    METAVAR: ClassVar[str] = "CLASS"

    must: bool = False
    empty: tuple[str, ...] = ()
    what: str = ""

    def options(self) -> tuple[Option, ...]:
        """One option, as often as it is needed."""
        return (Option(self.name, self.flag, self.METAVAR, self.help, takes="many"),)

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> tuple[str, ...]:
        """Each of them. Raises `FieldError` for one that can't be a class, or for too many."""
        name = Name(self.name, self.label)
        parts = [" ".join(part.split()) for part in text.replace(";", ",").split(",")]
        found = tuple(name.read(part, asked) for part in parts if part)
        if len(found) > MOST_CLASSES:
            raise FieldError(f"that is {len(found)} classes; type {MOST_CLASSES} at most")
        return found

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> tuple[str, ...]:
        """Each that was given. Raises `FieldError`."""
        return self.from_text((words.get(self.name) or "").replace("\n", ","), asked)


@dataclass(frozen=True)
class Figures(Field[str]):
    """What was measured of a fluid, as `dry=232C wet=157C`; the judge it belongs to takes it apart."""

    METAVAR: ClassVar[str] = "NAME=VALUE"

    must: bool = False
    empty: str = ""
    what: str = "dry=232C wet=157C, urea=32.5, v40=52"

    def options(self) -> tuple[Option, ...]:
        """One option with all of them."""
        return (Option(self.name, self.flag, self.METAVAR, self.help, takes="several"),)

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> str:
        """The text itself."""
        return text

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> str:
        """All of them in one line."""
        return self.from_text((words.get(self.name) or "").replace("\n", " "), asked)


class Point(NamedTuple):
    """A viscosity as it was measured, mm²/s, and at what temperature, °C."""

    celsius: float
    cst: float


@dataclass(frozen=True)
class Points(Field[tuple[tuple[Point, ...], ...]]):
    """The points of one fluid, or of the two of a blend, each as VISCOSITY@TEMPERATURE.

    In a form the points of a fluid are parted by semicolons.
    """

    METAVAR: ClassVar[str] = "POINT"

    must: bool = False
    empty: tuple[tuple[Point, ...], ...] = ()

    def options(self) -> tuple[Option, ...]:
        """One option with several points, again for the second fluid."""
        return (Option(self.name, self.flag, self.METAVAR, self.help, takes="lists"),)

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "as 46@40; 6.8@100"

    def read(self, text: str, asked: Asked) -> tuple[tuple[Point, ...], ...]:
        """The points of one fluid. Raises `FieldError`."""
        return (tuple(_point(part, asked) for part in text.split(";") if part.strip()),)

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> tuple[tuple[Point, ...], ...]:
        """The points of each fluid. Raises `FieldError`."""
        lines = [line.replace("\t", ";") for line in (words.get(self.name) or "").split("\n")]
        return tuple(one for line in lines for one in self.from_text(line, asked))


def _point(text: str, asked: Asked) -> Point:
    cst, sign, temperature = text.partition("@")
    if not sign:
        raise FieldError(f"{shown(text)} is not a point; type VISCOSITY@TEMPERATURE, such as 46@40")
    celsius = float(typed(temperature, "temperature", asked).to("°C"))
    viscosity = typed(cst, "viscosity", asked)
    try:
        return Point(celsius, viscosity.viscosity_at(celsius))
    except ValueError as problem:
        raise FieldError(str(problem)) from problem


@dataclass(frozen=True)
class Viscosity(Quantity):
    """A kinematic viscosity; a bare number is in mm²/s, the same number as cSt."""

    METAVAR: ClassVar[str] = "VISC"
    KIND: ClassVar[str] = "viscosity"

    must: bool = False


@dataclass(frozen=True)
class AtDegrees(Temperature):
    """A temperature that need not be said; a bare number is in the bench's kept unit."""

    must: bool = False


@dataclass(frozen=True)
class Temperatures(Field["tuple[Typed, ...]"]):
    """Temperatures, each by itself: an option given again and again."""

    METAVAR: ClassVar[str] = "TEMP"

    must: bool = False
    empty: tuple[Typed, ...] = ()

    def options(self) -> tuple[Option, ...]:
        """One option, as often as it is needed."""
        return (Option(self.name, self.flag, self.METAVAR, self.help, takes="many"),)

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return Temperature(self.name, self.label).hint(asked)

    def read(self, text: str, asked: Asked) -> tuple[Typed, ...]:
        """The one temperature. Raises `FieldError`."""
        return (Temperature(self.name, self.label).read(text, asked),)

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> tuple[Typed, ...]:
        """Each temperature. Raises `FieldError`."""
        told = [one for one in (words.get(self.name) or "").split("\n") if one.strip()]
        if len(told) > MOST_TEMPERATURES:
            raise FieldError(f"that is {len(told)} temperatures; give {MOST_TEMPERATURES} at most")
        return tuple(one for text in told for one in self.from_text(text, asked))


@dataclass(frozen=True)
class ShareOfFirst(Field["float | None"]):
    """The share of a blend's first fluid by volume: `40%`, `40` or `0.4`; kept as a part of one."""

    METAVAR: ClassVar[str] = "SHARE"

    must: bool = False
    what: str = "% of the first"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> float | None:
        """The part of one. Raises `FieldError`."""
        number = Number(self.name, self.label, example="40% or 0.4", most=100.0)
        try:
            value = number.read(text.removesuffix("%").strip(), asked) or 0.0
        except FieldError:
            raise FieldError(f"{shown(text)} is not a share between 0 and 100 %; type for example 40% or 0.4") from None
        return value / 100 if text.endswith("%") or value > 1 else value

    def echo(self, value: float | None, asked: Asked) -> str:
        """It in percent."""
        return "" if value is None else f"{value * 100:g} % by volume"


# May it be used?
HAVE = Classes("have", "You have", "a class or grade it claims", what="what the label claims: UTTO, 10W-30")
NEED = Classes("need", "Asked for", "a class or grade asked for", what="what the manual asks: API GL-4, 80W")
RULES = File("rules", "Rules", "the shop's own stand-in rules, a CSV file", must=False)
FIGURES = Figures("figures", "Measured", "what was measured of it")

# How thick is it?
POINTS = Points("points", "Points", "two points such as 46@40 6.8@100; give the option twice for a blend")
INDEX = Number(
    "index", "or index", "viscosity index, in place of a second point at 100 °C",
    metavar="VI", what="VI", least=-1e6, most=1e6, example="100",
)  # fmt: skip
AT = Temperatures("at", "At", "the viscosity at this temperature")
LEAST = Viscosity("least", "Min", "the thinnest the pump tolerates", what="when hot")
MOST = Viscosity("most", "Max", "the thickest the pump tolerates, such as at a cold start", what="at start")
SHARE = ShareOfFirst("share", "Share", "blend: share of the first fluid by volume, such as 40%%")
LOOKUP = Name("lookup", "Class", "look up classes and grades", must=False, option="class", metavar="TEXT")

# The same of an oil's data sheet, one figure a field.
COLD = Viscosity("cold", "At 40 °C", what="or SUS")
HOT = Viscosity("hot", "At 100 °C", what="or SUS")
COLD_T = AtDegrees("cold_t", "Cold at", what="if not 40 °C")
HOT_T = AtDegrees("hot_t", "Hot at", what="if not 100 °C")
START = AtDegrees("start", "Start at", what="coldest morning")
WORK = AtDegrees("work", "Runs at", what="hottest oil")
MIX_COLD = Viscosity("mix_cold", "At 40 °C", what="second oil")
MIX_HOT = Viscosity("mix_hot", "At 100 °C", what="second oil")
SHEET: Final = (COLD, HOT, INDEX, COLD_T, HOT_T, LEAST, MOST, START, WORK, MIX_COLD, MIX_HOT, SHARE)

# What the shop says itself.
KIND = Choice("kind", "Ruling", f"one of {', '.join(KINDS)}", choices=KINDS)
CONDITION = Text(
    "condition", "Condition", "the condition, or why not", must=False, option="if", what="the condition, or why not"
)
SOURCE = Text("source", "From", "where the shop has it from", must=False, longest=200)
OWN_NEED = Text(
    "need", "Asked for", "what is asked for", parameter="required", metavar="CLASS", longest=LONGEST_CELL,
    what="UTTO, API GL-4, @engine",
)  # fmt: skip
OWN_HAVE = Text(
    "have", "You have", "what the label claims", parameter="offered", metavar="CLASS", longest=LONGEST_CELL,
    what="a class; several, ; between",
)  # fmt: skip
CODE = Text("code", "Code", "the class's code", placed=True, what="the class's code")
SAYS = Text("says", "What it is", "what it is", parameter="description", what="what it is")


class Own(NamedTuple):
    """A rule of the shop's own by its number, or a class of its own by its code."""

    number: int = 0
    code: str = ""


class RuleOrClass(Field[Own]):
    """Which of the shop's own is meant: a rule by its number in the list, or a class by its code."""

    def read(self, text: str, asked: Asked) -> Own:
        """The one that is meant."""
        numbered = text.isascii() and text.isdigit() and len(text) < 10
        return Own(int(text)) if numbered else Own(code=text)


WHICH = RuleOrClass("which", "Which", "a rule's number, or a class's code", placed=True, metavar="NUMBER|CODE")
TAKEN_IN = File("file", "File", "a CSV file; - for standard input", placed=True)
WRITTEN = replace(TAKEN_IN, help="the file to write; - for standard output")
