"""What is measured of a groove, and what its ring meets at work. A length may carry its own ±."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Final, NamedTuple

from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.plain import Count
from tui.fields.quantities import Dimension, Pressure, Temperature
from tui.fields.trade import RingSize
from tui.fields.words import shown

if TYPE_CHECKING:
    from catalog.quantity import Typed

COLDEST_C: Final = -200.0
HOTTEST_C: Final = 400.0
NONSENSE: Final = 1e6
"""From here on a limit is no bound of the trade's."""
_NUMBER: Final = re.compile(r"[+-]?(?:[0-9]{1,9}(?:[.,][0-9]{0,9})?|[.,][0-9]{1,9})")


class Gap(NamedTuple):
    """A gap on diameter, mm, at its most where a ± was typed. None: there is none, for the part is held centred.

    `words`: it in both units.
    """

    mm: float | None
    words: str = ""


CENTRED: Final = Gap(None, "something holds it in the middle")


@dataclass(frozen=True)
class GapOn(Field["Gap | None"]):
    """A gap on diameter, which may be none. `zero`: what a nought means."""

    METAVAR: ClassVar[str] = "LENGTH"
    LENGTHS: ClassVar[bool] = True

    must: bool = False
    what: str = ""
    zero: str = ""

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> Gap | None:
        """The gap. Raises `FieldError`."""
        if text in ("0", "0.0", "0,0"):
            return Gap(0.0, f"0: {self.zero}")
        typed = Dimension(self.name, self.label).read(text, asked)
        return Gap(float(typed.to("mm")) + float(typed.plus_minus_in("mm") or 0), typed.echo())

    def echo(self, value: Gap | None, asked: Asked) -> str:
        """It in both units."""
        return "" if value is None else value.words


class Play(GapOn):
    """The guide clearance of a piston or rod on diameter, or that it is held centred."""

    def options(self) -> tuple[Option, ...]:
        """The play, or that something holds the part in the middle."""
        return (
            *super().options(),
            Option("centred", "--centred", "", "piston, rod: something holds the part in the middle", takes="none"),
        )

    def read(self, text: str, asked: Asked) -> Gap | None:
        """The play. Raises `FieldError`."""
        return CENTRED if text.lower() in ("centred", "centered", "c") else super().read(text, asked)

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> Gap | None:
        """The play, or that there is none. Raises `FieldError`."""
        play = super().from_words(words, asked)
        if not words.get("centred"):
            return play
        if play is not None and play.mm:
            raise FieldError("give --play, or --centred where something holds the part in the middle; not both", "-")
        return CENTRED


@dataclass(frozen=True)
class Number(Field["float | None"]):
    """A plain number with its sign (`%`, `°`) or without. `least` and `most`: its limits; `example`: one to type."""

    METAVAR: ClassVar[str] = "N"

    must: bool = False
    what: str = ""
    least: float = 0.0
    most: float = 1e9
    sign: str = ""
    example: str = "10"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> float | None:
        """The number. Raises `FieldError`."""
        clean = text.removesuffix(self.sign).strip()
        value = float(clean.replace(",", ".")) if _NUMBER.fullmatch(clean) else None
        if value is None:
            raise FieldError(f"{shown(text)} is not a number; type for example {self.example}")
        if not self.least <= value <= self.most:
            raise FieldError(f"{shown(text)} is {self._missed(value)}; type for example {self.example}")
        return value

    def _missed(self, value: float) -> str:
        """`not from 0 to 45`; a limit that only keeps nonsense out is not told."""
        if self.most < NONSENSE:
            return f"not a number from {self.least:g} to {self.most:g}"
        return (
            "too large" if value > self.most else f"less than {self.least:g}" if self.least > -NONSENSE else "too small"
        )

    def echo(self, value: float | None, asked: Asked) -> str:
        """The number with its sign."""
        return "" if value is None else f"{value:g} {self.sign}".rstrip()


@dataclass(frozen=True)
class Chamfer(Number):
    """The angle of a port's chamfer, degrees from the axis."""

    METAVAR: ClassVar[str] = "DEGREES"

    most: float = 45.0
    sign: str = "°"
    example: str = "12"

    def echo(self, value: float | None, asked: Asked) -> str:
        """The angle."""
        return "" if value is None else f"{value:g}° from the axis"


@dataclass(frozen=True)
class Swell(Number):
    """A rubber's change of volume in its fluid, percent; it may shrink."""

    METAVAR: ClassVar[str] = "PERCENT"

    least: float = -90.0
    most: float = 300.0
    sign: str = "%"
    example: str = "10 or -5"


@dataclass(frozen=True)
class Hardness(Count):
    """A rubber's hardness, Shore A."""

    METAVAR: ClassVar[str] = "SHORE"

    must: bool = False
    least: int = 50
    most: int = 95
    what: str = ""

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what or super().hint(asked)

    def read(self, text: str, asked: Asked) -> int:
        """Shore A. Raises `FieldError`."""
        try:
            return Count(self.name, self.label, least=self.least, most=self.most).read(text, asked)
        except FieldError:
            limits = f"from {self.least} to {self.most} Shore A"
            raise FieldError(f"{shown(text)} is not a whole number {limits}; type for example 70") from None

    def echo(self, value: int | None, asked: Asked) -> str:
        """It with its scale."""
        return "" if value is None else f"{value} Shore A"


@dataclass(frozen=True)
class AtWork(Pressure):
    """The pressure at work; a bare number is in the bench's kept unit."""

    must: bool = False


@dataclass(frozen=True)
class Warmth(Temperature):
    """The temperature at work; a bare number is in the bench's kept unit."""

    must: bool = False

    def read(self, text: str, asked: Asked) -> Typed:
        """The temperature. Raises `FieldError`."""
        found = super().read(text, asked)
        if not COLDEST_C <= float(found.to("°C")) <= HOTTEST_C:
            raise FieldError(f"{found.echo()} is outside what rubber meets; type a temperature such as 100 °C")
        return found


ROOT = Dimension("root", "Root", "piston: diameter of the groove's root", what="diameter, groove bottom")
BORE = Dimension("bore", "Bore", "piston: diameter of the bore it runs in", what="it runs in; or the depth")
ROD = Dimension("rod", "Rod", "rod: diameter of the rod", what="diameter")
GROOVE_DIAMETER = Dimension(
    "groove_diameter",
    "Groove diameter",
    "rod: of the groove's bottom; face: the diameter the ring rests on",
    what="of the groove, ring on it",
)
DEPTH = Dimension(
    "depth", "Depth", "groove bottom to mating surface, clearance included", what="bottom to the other part"
)
WIDTH = Dimension("width", "Width", "width of the groove", what="of the groove")
NECK = Dimension("neck", "Neck", "port: neck of the plug under the ring", what="diameter under the ring")
MOUTH = Dimension("mouth", "Mouth", "port: mouth of the chamfer", what="diameter of the chamfer")
CHAMFER = Chamfer("chamfer", "Chamfer", "port: angle of the chamfer from the axis", what="° from the axis: 12, 15")
SIZES: Final = (ROOT, BORE, ROD, GROOVE_DIAMETER, DEPTH, WIDTH, NECK, MOUTH)
"""The lengths of a groove, each measured with a tool; the chamfer is an angle."""
CLEARANCE = GapOn(
    "clearance",
    "Clearance",
    "gap on diameter that pressure may push the ring into",
    what="gap on diameter",
    zero="metal meets metal",
)
PLAY = Play(
    "play",
    "Play",
    "piston, rod: guide clearance on diameter (--clearance unless you say otherwise)",
    what="of its guide, or “centred”",
    zero="no play",
)
RING = RingSize(
    "ring", "Ring", "a standard size: AS568-214, P22A, 25x3.55", must=False, what="by name, if known: AS568-214"
)
PRESSURE = AtWork("pressure", "Pressure", "such as 160bar; needs --clearance to be judged", what="at work")
TEMPERATURE = Warmth("temperature", "Temperature", "working temperature, such as 100C", what="at work")
HARDNESS = Hardness(
    "hardness", "Hardness", "Shore A hardness (70 unless you say otherwise)", what="Shore A; 70 if empty"
)
SWELL = Swell("swell", "Swell", "change of volume in the fluid, such as 10 or -5", what="% of volume in the fluid")
