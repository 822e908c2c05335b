"""What a ring meets at work: the fluid, and the hottest and coldest it gets."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Final

from catalog import orings
from tui.fields.field import Asked, Field, FieldError
from tui.fields.plain import Name
from tui.fields.quantities import Temperature
from tui.fields.words import did_you_mean, shown

if TYPE_CHECKING:
    from catalog.orings.fluid_words import Question


class SeveralFluidsError(FieldError):
    """The word means several fluids. `question`: what to ask, and the fluids."""

    def __init__(self, sentence: str, question: Question) -> None:
        super().__init__(sentence)
        self.question = question


@dataclass(frozen=True)
class RubbersFluid(Field["str | None"]):
    """The fluid that a ring meets, by a code, a word of the trade or words of its name; kept as its code.

    Words may be cut short: `hydraul mineral`.
    """

    METAVAR: ClassVar[str] = "NAME"

    must: bool = False
    what: str = "DOT 4, UTTO, diesel"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> str | None:
        """The fluid's code. Raises `SeveralFluidsError` where it could be several, `FieldError` where none is."""
        clean = Name(self.name, self.label).read(text, asked)
        try:
            return orings.fluid_words.fluid_called(clean).code
        except orings.fluid_words.WhichFluidError as problem:
            raise SeveralFluidsError(str(problem), problem.question) from None
        except orings.fluid_words.UnknownFluidError:
            # A class with another number is another fluid, so no figure is ever guessed at.
            known = [one.lower() for row in orings.rubber_tables.fluids().values() for one in (row.code, *row.words)]
            figures = any(letter.isdigit() for letter in clean)
            near = "" if figures else did_you_mean(clean.replace(" ", "_"), [one for one in known if one.isalpha()])
            raise FieldError(
                f"{shown(text)} is not in the tables{near or '.'} Type a class or a name from its can, such as DOT 4. "
                "All of them: kitwright rubber --fluids"
            ) from None

    def echo(self, value: str | None, asked: Asked) -> str:
        """Its name in full."""
        return "" if value is None else orings.rubber_tables.fluid(value).name


@dataclass(frozen=True)
class Meets(Temperature):
    """The coldest or the hottest that a ring meets; a bare number is in the bench's kept unit."""

    must: bool = False


ROOM: Final = "empty: 20 °C"
COLDEST = Meets("coldest", "Coldest", "coldest (20 °C unless you say otherwise)", option="from", what=ROOM)
HOTTEST = Meets("hottest", "Hottest", "hottest (20 °C unless you say otherwise)", option="to", what=ROOM)
