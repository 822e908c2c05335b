"""What is typed of a ring: what was measured and with what, how it looks, the series to look in."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, Final, NamedTuple

from catalog import orings
from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.plain import Choice
from tui.fields.quantities import Dimension
from tui.fields.words import unknown

if TYPE_CHECKING:
    from catalog.orings.sizes import Series
    from catalog.quantity import Typed
    from tui.workshop import ChosenRing


CONDITIONS = ("new", "used", "flattened", "swollen", "shrunk")
"""How a ring looks, as `catalog.orings.evidence.Condition` has it."""


class Taken(NamedTuple):
    """What readings were taken with: `general` for all that `each` does not name; "" where nobody says."""

    general: str = ""
    each: tuple[tuple[str, str], ...] = ()

    def of(self, name: str) -> str:
        """The tool of one reading; "" where nobody says."""
        return dict(self.each).get(name, self.general) if self.each else self.general


NOT_SAID = Taken()


@dataclass(frozen=True)
class TakenWith(Field[Taken]):
    """What readings were taken with: `rule` for all of them, `id=cone` for one, which wins over the general one.

    `tools`: the words there are, `readings`: the fields that one may be named for; a reading that is not given has no
    tool. `example`: of naming two.
    """

    METAVAR: ClassVar[str] = "TOOL"

    must: bool = False
    empty: Taken = NOT_SAID
    tools: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()
    only_given: bool = False
    example: str = "id=cone,width=caliper"

    def options(self) -> tuple[Option, ...]:
        """One option, as often as it is needed."""
        return (Option(self.name, self.flag, self.METAVAR, self.help or self.label.lower(), takes="many"),)

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return f"{', '.join(self.tools)}; or {self.example}"

    def read(self, text: str, asked: Asked) -> Taken:
        """The tools. Raises `FieldError`."""
        words = [word for word in re.split(r"[,\s]+", text.lower()) if word]
        general = [word for word in words if "=" not in word]
        if len(set(general)) > 1:
            raise FieldError(f"two tools for every reading; say which is which, as in --tool {self.example}")
        known = [name for name in self.readings if not self.only_given or asked.values.get(name, self) is not None]
        each = {}
        for word in words:
            name, equals, tool = word.partition("=")
            if equals:
                if name.replace("-", "_") not in known:
                    raise FieldError(unknown(name, [one.replace("_", "-") for one in known]))
                each[name.replace("-", "_")] = self._tool(tool)
        return Taken(self._tool(general[0]) if general else "", tuple(each.items()))

    def _tool(self, word: str) -> str:
        if word not in self.tools:
            raise FieldError(unknown(word, self.tools))
        return word

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> Taken:
        """All that was said. Raises `FieldError`."""
        return self.from_text(words.get(self.name) or "", asked)


@dataclass(frozen=True)
class InSeries(Field["tuple[Series, ...]"]):
    """The series to look in, each once; none means all of them."""

    METAVAR: ClassVar[str] = "NAME"

    must: bool = False
    empty: tuple[Series, ...] = ()

    def options(self) -> tuple[Option, ...]:
        """One option, as often as it is needed."""
        return (Option(self.name, self.flag, self.METAVAR, self.help or self.label.lower(), takes="many"),)

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "as568, jis, metric, bs4518, afnor, stock or own, comma between"

    def read(self, text: str, asked: Asked) -> tuple[Series, ...]:
        """The series. Raises `FieldError`."""
        words = [word for word in re.split(r"[,\s]+", text.lower()) if word]
        known = [one.value for one in orings.sizes.Series]
        for word in words:
            if word not in known:
                raise FieldError(unknown(word, known))
        return tuple(dict.fromkeys(map(orings.sizes.Series, words)))

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> tuple[Series, ...]:
        """All that was named. Raises `FieldError`."""
        return self.from_text(words.get(self.name) or "", asked)


@dataclass(frozen=True)
class Readings(Field["tuple[Typed, ...]"]):
    """A dimension of a ring, measured once, or as often as `often` says; each reading with its ± where one is typed.

    `what`: what to measure, for the field's hint.
    """

    METAVAR: ClassVar[str] = "LENGTH"
    LENGTHS: ClassVar[bool] = True

    must: bool = False
    empty: tuple[Typed, ...] = ()
    what: str = ""
    often: int = 1

    def options(self) -> tuple[Option, ...]:
        """One option, as often as it is needed."""
        return (Option(self.name, self.flag, self.METAVAR, self.help, takes="many"),)

    def hint(self, asked: Asked) -> str:
        """What to measure."""
        return self.what

    def read(self, text: str, asked: Asked) -> tuple[Typed, ...]:
        """The one reading. Raises `FieldError`."""
        return (Dimension(self.name, self.label).read(text, asked),)

    def echo(self, value: tuple[Typed, ...], asked: Asked) -> str:
        """It in both units."""
        return "; ".join(one.echo() for one in value)

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> tuple[Typed, ...]:
        """Every reading. Raises `FieldError`."""
        told = (words.get(self.name) or "").split("\n")
        if len(told) > self.often:
            most = "twice" if self.often == 2 else "once"
            raise FieldError(f"{self.flag} was given {len(told)} times; give it {most} at most", "-")
        return tuple(one for text in told for one in self.from_text(text, asked))


class ChosenRings(Field["tuple[ChosenRing, ...]"]):
    """Rings chosen of a list, with what they were measured by. A screen alone has them: those marked in its list."""

    ROW: ClassVar[str] = "rings"

    def options(self) -> tuple[Option, ...]:
        """None: no word of a command line says so much of a ring."""
        return ()

    def arguments(self, value: tuple[ChosenRing, ...]) -> dict[str, Any]:
        """The rings as they were chosen."""
        return {self.name: value}


ID = Readings("id", "ID", "inside diameter", what="inside diameter")
OD = Readings("od", "OD", "outside diameter", what="outside diameter")
WIDTH = Readings(
    "width",
    "Width",
    "width of the ring's section; give it twice for two readings, flat way and tall way",
    what="thickness of the cord",
    often=2,
)
AROUND = Readings(
    "around", "Inside tape", "length of the inside edge, by a tape laid into the ring", what="inside edge, by tape"
)
CUT_LENGTH = Readings(
    "cut_length", "Cut length", "length of the ring cut once and laid straight", what="cut once, laid straight"
)
MEASURED = (ID, OD, WIDTH, AROUND, CUT_LENGTH)
"""What can be measured of a ring, each field by the name of its dimension (`catalog.orings.evidence.Dimension`)."""
TOOL = TakenWith(
    "tool",
    "Measured with",
    "what it was measured with: TOOL, or READING=TOOL",
    tools=("caliper", "micrometer", "rule", "tape", "cone"),
    readings=tuple(one.name for one in MEASURED),
)
CONDITION = Choice(
    "condition",
    "How the ring looks",
    "how the ring looks (all looks count until you say)",
    must=False,
    choices=CONDITIONS,
    metavar="WORD",
)
JOINTS: Final = ("plug", "bore", "cover", "shaft", "port")
JOINT = Choice(
    "joint",
    "Where it sits",
    "where the ring sits (all joints count until you say)",
    must=False,
    choices=JOINTS,
    metavar="KIND",
)
