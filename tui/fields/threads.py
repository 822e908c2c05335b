"""What is typed of a thread: its name, or what was measured of it. A length may carry its own ±."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Final, NamedTuple

import catalog
from catalog import fasteners
from tui.fields.field import Asked, Field, FieldError
from tui.fields.plain import Choice, Count, Flag
from tui.fields.quantities import Dimension, in_mm
from tui.fields.words import shown

if TYPE_CHECKING:
    from catalog.fasteners.flank import Flank
    from catalog.fasteners.sizes import Thread

LONGEST_NAME: Final = 60
DIAMETER_PLUS_MINUS_MM: Final = 0.05
PITCH_PLUS_MINUS_MM: Final = 0.03
TPI_PLUS_MINUS: Final = 0.25
OVER_PLUS_MINUS_MM: Final = 0.1
"""The ± of a reading where none was typed."""
USUAL: Final = """\
Unless you type a ±: diameter 0.05 mm, pitch 0.03 mm, threads per inch 0.25,
and 0.1 mm over several threads."""
FINEST_MM: Final = 0.3
COARSEST_MM: Final = 6.5
FEWEST_PER_INCH: Final = 4
MOST_PER_INCH: Final = 80
_PER_INCH: Final = re.compile(
    r"([0-9]{1,9}(?:[.,][0-9]{0,9})?|[.,][0-9]{1,9})\s*(t\.?p\.?i\.?|threads per inch|per inch|/\s*in)?", re.IGNORECASE
)
_ANGLE: Final = re.compile(
    r"([0-9]{1,3}(?:[.,][0-9]{1,3})?)\s*°?(?:\s*(?:±|\+/?-)\s*([0-9]{1,3}(?:[.,][0-9]{1,3})?)\s*°?)?"
)


def name_of(text: str) -> str:
    """A short name, such as a thread's or a class's. Raises `FieldError` for one that is long or has odd signs."""
    if len(text) > LONGEST_NAME or not text.isprintable():
        raise FieldError(f"{shown(text)} is not a name; type 1 to {LONGEST_NAME} letters, numbers and signs")
    return text


@dataclass(frozen=True)
class ThreadName(Field["Thread | None"]):
    """A thread by its name. `what`: an example, for the field's hint."""

    METAVAR: ClassVar[str] = "THREAD"

    must: bool = False
    what: str = "M16x2, 3/8-16, G 1/2"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> Thread | None:
        """The thread. Raises `FieldError`."""
        try:
            return fasteners.sizes.thread_named(name_of(text))
        except FieldError:
            raise
        except ValueError as problem:
            raise FieldError(str(problem)) from problem

    def echo(self, value: Thread | None, asked: Asked) -> str:
        """The thread's own name, its diameter in both units, its pitch."""
        if value is None:
            return ""
        diameter = catalog.quantity.both_units(value.diameter_mm, first=asked.units.length)
        return f"{value.designation}, {diameter}, pitch {value.pitch_text}"


class Pitch(NamedTuple):
    """The distance from crest to crest and its ±, mm. `words`: what was understood, in both ways of saying it."""

    mm: float
    plus_minus_mm: float
    words: str


@dataclass(frozen=True)
class PerInch(Field["Pitch | None"]):
    """Threads counted along one inch, as `14`, `14 tpi` or `14tpi`."""

    METAVAR: ClassVar[str] = "NUMBER"

    must: bool = False
    what: str = "threads counted"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> Pitch | None:
        """The pitch. Raises `FieldError`."""
        found = _PER_INCH.fullmatch(text)
        if found is None:
            raise FieldError(f"{shown(text)} is not a number; type for example 18 or 18 tpi")
        count = float(found[1].replace(",", "."))
        if not FEWEST_PER_INCH <= count <= MOST_PER_INCH:
            limits = f"{FEWEST_PER_INCH} to {MOST_PER_INCH}"
            raise FieldError(f"{count:g} is outside {limits}; count the threads over 25.4 mm (1 in) again")
        pitch = fasteners.thread.pitch_from_tpi(count, TPI_PLUS_MINUS)
        return Pitch(pitch.value_mm, pitch.plus_minus_mm, f"{count:g} tpi = {pitch.value_mm:.3f} mm")

    def echo(self, value: Pitch | None, asked: Asked) -> str:
        """The count, and the pitch that it makes."""
        return "" if value is None else value.words


@dataclass(frozen=True)
class CrestToCrest(Field["Pitch | None"]):
    """A pitch as a length; a count with its unit (`14tpi`) is taken too."""

    METAVAR: ClassVar[str] = "LENGTH"
    LENGTHS: ClassVar[bool] = True

    must: bool = False
    what: str = "crest to crest"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> Pitch | None:
        """The pitch. Raises `FieldError`."""
        counted = _PER_INCH.fullmatch(text)
        if counted is not None and counted[2]:
            return PerInch(self.name, self.label).read(text, asked)
        typed = Dimension(self.name, self.label).read(text, asked)
        mm, plus_minus = in_mm(typed)
        if not FINEST_MM <= mm <= COARSEST_MM:
            raise FieldError(f"{mm:g} mm is outside {FINEST_MM} to {COARSEST_MM} mm; type for example 1.5mm or 18tpi")
        return Pitch(mm, plus_minus or PITCH_PLUS_MINUS_MM, typed.echo())

    def echo(self, value: Pitch | None, asked: Asked) -> str:
        """It in both units."""
        return "" if value is None else value.words


@dataclass(frozen=True)
class FlankAngle(Field["Flank | None"]):
    """The flanks: a gauge's leaf that fits (`55`, `60°`), or a measured angle with its ± (`56±2`)."""

    METAVAR: ClassVar[str] = "DEGREES"

    must: bool = False
    what: str = "55, 60, 56±2"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> Flank | None:
        """The leaf or the angle. Raises `FieldError`."""
        found = _ANGLE.fullmatch(text)
        if found is None:
            raise FieldError(
                f"{shown(text)} is not a flank angle; type 55 or 60 for a gauge's leaf, or an angle such as 56±2"
            )
        angle, plus_minus = (None if part is None else float(part.replace(",", ".")) for part in found.groups())
        flank = fasteners.flank.Flank(angle or 0.0, plus_minus)
        try:
            flank.check()
        except ValueError as problem:
            raise FieldError(str(problem)) from problem
        return flank

    def echo(self, value: Flank | None, asked: Asked) -> str:
        """Which of the two it was taken for."""
        if value is None:
            return ""
        leaf = value.plus_minus_deg is None
        return f"{value.angle_deg:g}° leaf" if leaf else f"{value.angle_deg:g}° ± {value.plus_minus_deg:g}°"


DIAMETER = Dimension("diameter", "Diameter", "over the crests", what="over the crests")
PITCH = CrestToCrest("pitch", "Pitch", "crest to crest")
TPI = PerInch("tpi", "or TPI", "threads per inch, as 14 or 14tpi")
OVER = Dimension("over", "or over", "length over several threads, with --threads", what="several threads")
THREADS = Count("threads", "Threads", "how many threads --over spans", must=False, most=200)
FEMALE = Flag("female", "Inside", "measured inside a nut, hole or port")
WEARS: Final = ("sound", "worn", "damaged")
"""How the crests look, as `catalog.fasteners.thread.Wear` has it."""
WEAR = Choice(
    "wear",
    "Crests",
    "how the crests look: sound, worn or damaged",
    must=False,
    empty="sound",
    choices=WEARS,
    metavar="WORD",
)
TAPERED = Choice(
    "tapered", "Tapered", "does it grow along its length?", must=False, choices=("yes", "no"), metavar="YES|NO"
)
FLANK = FlankAngle("flank", "Leaf angle", "gauge leaf that fits: 55 or 60; or measured, as 56±2")
READINGS: Final = (DIAMETER, PITCH, TPI, OVER, THREADS, FEMALE, WEAR, TAPERED, FLANK)
"""What can be read of a thread, the same for a thread and for a port."""
PITCHES: Final = (PITCH, TPI, OVER)
"""The three ways to the pitch, one of which is enough."""
