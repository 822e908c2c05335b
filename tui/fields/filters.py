"""What is measured of a filter element and of its housing, each a field; and how the two are put together.

What is left out is unknown, and never taken as fitting. The same fields stand on the command line (`--element od=60`),
in a file, with an item or a position, and in Judge.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, ClassVar, Final, TypeVar

from catalog import filters
from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.grooves import Number
from tui.fields.plain import Choice, Count, File, Flag, Name
from tui.fields.quantities import Dimension, Pressure, typed
from tui.fields.words import shown, unknown

if TYPE_CHECKING:
    from catalog.filters.element import Element, End, Spring, ThreadSize
    from catalog.filters.housing import Housing, Seat
    from catalog.filters.media import Medium
    from catalog.filters.search import Described
    from catalog.quantity import Typed

Part = TypeVar("Part")
KINDS: Final = ("spin-on", "cartridge", "suction strainer", "in-line")
FORMS: Final = ("open", "closed", "screened", "sprung")
SEALS: Final = ("grommet", "gasket", "bare")
SEATS: Final = ("spigot", "flat", "none")
ENDS: Final = ("head", "cover")
PLACES: Final = ("housing", "element", "none")
POSITIONS: Final = ("hanging", "horizontal", "inverted")
DUTIES: Final = ("suction", "return", "pressure", "lube")
"""The words of `catalog.filters.element` and `housing`; a command's help loads no catalog."""
_ZERO: Final = re.compile(r"0(?:[.,]0*)?\s*(?:mm|in|\")?")


@dataclass(frozen=True)
class Word(Choice):
    """One word of a closed list, where anybody looked. `what`: what it is."""

    must: bool = False


@dataclass(frozen=True)
class YesNo(Field["bool | None"]):
    """Yes or no, where anybody looked. `no`: another word for no."""

    METAVAR: ClassVar[str] = "yes|no"

    must: bool = False
    no: str = "no"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "yes or no"

    def read(self, text: str, asked: Asked) -> bool | None:
        """Which of the two. Raises `FieldError`."""
        words = dict.fromkeys(("yes", "no", self.no))
        if text.lower() not in words:
            raise FieldError(unknown(text, list(words)))
        return text.lower() == "yes"


class OrNone(Dimension):
    """A length that may be none at all: 0 says that somebody looked and there is none."""

    def read(self, text: str, asked: Asked) -> Typed:
        """The length, or a plain 0. Raises `FieldError`."""
        return typed("0", "length", asked) if _ZERO.fullmatch(text) else super().read(text, asked)

    def echo(self, value: Typed, asked: Asked) -> str:
        """It in both units, where there is one."""
        return super().echo(value, asked) if value.value else "none"


@dataclass(frozen=True)
class Bar(Pressure):
    """A pressure, where anybody knows it; a bare number is in the bench's kept unit."""

    must: bool = False


@dataclass(frozen=True)
class Flow(Number):
    """A flow, L/min; above zero."""

    METAVAR: ClassVar[str] = "L/min"

    example: str = "120 L/min"

    def read(self, text: str, asked: Asked) -> float | None:
        """L/min. Raises `FieldError`."""
        value = super().read(text.lower().removesuffix("l/min").strip(), asked)
        if not value:
            raise FieldError(f"{shown(text)} must be above zero; type for example {self.example}")
        return value

    def echo(self, value: float | None, asked: Asked) -> str:
        """It with its unit."""
        return "" if value is None else f"{value:g} L/min"


@dataclass(frozen=True)
class ScrewThread(Field["ThreadSize | None"]):
    """A thread by its name."""

    METAVAR: ClassVar[str] = "THREAD"

    must: bool = False
    what: str = "M20x1.5"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> ThreadSize | None:
        """The thread. Raises `FieldError`."""
        try:
            return filters.element.thread_size(Name(self.name, self.label).read(text, asked))
        except ValueError as problem:
            raise FieldError(str(problem)) from problem

    def echo(self, value: ThreadSize | None, asked: Asked) -> str:
        """Its name in full, with its sizes."""
        return "" if value is None else f"{value.label}, {value.diameter_mm:g} × {value.pitch_mm:.3g} mm"


@dataclass(frozen=True)
class FilterMedium(Field["Medium | None"]):
    """What holds the dirt back: `60 mesh`, `10 µm beta 200`, `25 µm nominal`, `wire cloth`."""

    METAVAR: ClassVar[str] = "MEDIUM"

    must: bool = False
    what: str = "60 mesh, 10 µm beta 200"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> Medium | None:
        """The medium. Raises `FieldError`."""
        clean = Name(self.name, self.label).read(text, asked)
        found, problem = None, ""
        try:
            found = filters.describe.describe(clean, asked.units.length).medium
        except ValueError as told:
            # Its own sentence only where it is about a medium: the line it reads may hold much else.
            problem = str(told) if "mesh" in text.lower() else ""
        if found is None:
            told_how = "type it like 60 mesh, 10 µm beta 200, 25 µm nominal or wire cloth"
            raise FieldError(problem or f"{shown(text)} is not a medium; {told_how}")
        return found

    def echo(self, value: Medium | None, asked: Asked) -> str:
        """It, and the opening of what is woven."""
        if value is None:
            return ""
        return value.label + (f" = {value.size_um:g} µm" if value.woven and value.size_um else "")


@dataclass(frozen=True)
class InALine(Field["Described | None"]):
    """An element described in a line of words and measures; a bare number is a length in the session's unit."""

    LENGTHS: ClassVar[bool] = True

    must: bool = False
    what: str = "cartridge, 60 × 120, open 30 at one end"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> Described | None:
        """What is described. Raises `FieldError`."""
        try:
            return filters.describe.describe(text, asked.units.length)
        except ValueError as problem:
            raise FieldError(" ".join(str(problem).split())) from problem

    def echo(self, value: Described | None, asked: Asked) -> str:
        """What was understood."""
        if value is None:
            return ""
        sizes = [f"{size.value_mm:g}" for size in (value.od, value.length) if size]
        ends = [
            f"{end.form}" + (f" {end.id_mm:g}" if end.id_mm else "") for end in (value.first, value.second) if end.form
        ]
        parts = (
            str(value.kind) if value.kind else "",
            " × ".join(sizes) + (" mm" if sizes else ""),
            " / ".join(ends),
            value.thread.label if value.thread else "",
            value.gasket.label,
            value.medium.label if value.medium else "",
            value.bypass.label if value.bypass else "",
        )
        return ", ".join(part for part in parts if part)


ELEMENT: Final[tuple[Field[Any], ...]] = (
    Word("kind", "Kind", "spin-on, cartridge, suction strainer or in-line", choices=KINDS),
    Name("name", "Name", "what to call it", must=False, longest=120),
    Dimension("od", "Outside", "outside diameter", what="diameter"),
    Dimension("length", "Length", "over the end caps, without the spring", what="over the caps"),
    Word("first", "First end", "its first end: open, closed, screened or sprung", choices=FORMS),
    Dimension("first_id", "Its bore", "inside diameter of the opening there", what="inside"),
    Word("first_seal", "Its seal", "grommet, gasket or bare", choices=SEALS),
    Word("second", "Second end", "its second end", choices=FORMS),
    Dimension("second_id", "Its bore", "inside diameter of the opening there", what="inside"),
    Word("second_seal", "Its seal", "grommet, gasket or bare", choices=SEALS),
    YesNo("spring", "Has spring", "none, if there is none", no="none"),
    OrNone("spring_free", "Spring", "free length of its spring", what="free length"),
    OrNone("spring_compressed", "Solid", "fully compressed length of its spring", what="spring, closed up"),
    ScrewThread("thread", "Thread", "M20x1.5, 3/4-16, G 3/4"),
    Dimension("gasket_id", "Gasket in", "inside diameter of a spin-on's gasket", what="diameter"),
    Dimension("gasket_od", "Gasket out", "outside diameter of the gasket", what="diameter"),
    Dimension("gasket_thickness", "Gasket", "thickness of the gasket", what="thickness"),
    FilterMedium("medium", "Medium", "60 mesh, 10 micron beta 200, 25 micron nominal, wire cloth"),
    YesNo("bypass", "Bypass", "yes or no: has it a bypass valve?"),
    Bar("bypass_opens", "opens at", "the pressure its bypass opens at"),
    YesNo("anti_drain_back", "Anti-drain", "yes or no: has it the valve?"),
    Bar("collapse", "Collapse", "collapse rating, a pressure"),
    Flow("flow", "Flow", "rated flow in L/min", what="L/min"),
)
HOUSING: Final[tuple[Field[Any], ...]] = (
    Word("takes", "Takes", "spin-on, cartridge, suction strainer or in-line", choices=KINDS),
    Name("name", "Name", "what to call it", must=False, longest=120),
    Dimension(
        "depth", "Depth", "between the two seats, cover closed; spin-on: the room below the head", what="cover closed"
    ),
    Dimension("bore", "Bore", "inside diameter, or the room around a can", what="room around"),
    Word("head", "Head seat", "seat at the head: spigot, flat or none", choices=SEATS),
    Dimension(
        "head_diameter", "diameter", "spigot OD, or the opening in a flat seat, or a hose's bore", what="stub, opening"
    ),
    Dimension("head_land", "land", "outside diameter of a flat seat's land", what="outside"),
    Word("cover", "Cover seat", "seat at the cover: spigot, flat or none", choices=SEATS),
    Dimension(
        "cover_diameter", "diameter", "spigot OD, or the opening in a flat seat, or a hose's bore", what="stub, opening"
    ),
    Dimension("cover_land", "land", "outside diameter of a flat seat's land", what="outside"),
    Word("outlet", "Oil leaves", "the end the oil leaves the inside of the element by: head or cover", choices=ENDS),
    YesNo("spring", "Has spring", "none, if there is none", no="none"),
    OrNone("spring_free", "Spring", "free length of the housing's spring", what="free length"),
    OrNone("spring_compressed", "Solid", "its fully compressed length", what="spring, closed up"),
    ScrewThread("thread", "Thread", "the head's thread", what="of the head"),
    Dimension("land_id", "Land in", "inside diameter of the ring the gasket presses on", what="diameter"),
    Dimension("land_od", "Land out", "its outside diameter", what="diameter"),
    OrNone("groove_depth", "Groove", "depth of the groove the gasket sits in, 0 if flat", what="depth; 0 if flat"),
    FilterMedium("medium", "Medium", "the medium the machine asks for"),
    Word("bypass", "Bypass in", "where the bypass belongs: housing, element or none", choices=PLACES),
    Bar("bypass_opens", "opens at", "the bypass pressure the machine asks for"),
    Word("position", "It sits", "hanging, horizontal or inverted", choices=POSITIONS),
    Word("duty", "Line", "suction, return, pressure or lube", choices=DUTIES),
    Bar("max_differential", "Max drop", "greatest pressure across the filter", what="across it"),
    Flow("flow", "Flow", "flow of the line in L/min", what="L/min"),
)
PARTS: Final[Mapping[str, tuple[Field[Any], ...]]] = MappingProxyType({"element": ELEMENT, "housing": HOUSING})


def clean_name(name: str) -> str:
    """A field's name however it was written: `First ID` and `first_id` are `first-id`."""
    return "-".join(name.strip().lower().replace("_", " ").replace("-", " ").split())


def pairs_of(texts: Sequence[str]) -> dict[str, str]:
    """Fields from `name=value` words. Raises `FieldError`."""
    found: dict[str, str] = {}
    for text in texts:
        name, sign, value = text.partition("=")
        if not sign:
            raise FieldError(f"{shown(text)} has no =; type it like od=60 or first=open")
        clean = clean_name(name)
        if clean in found:
            raise FieldError(f"{clean} was given twice")
        found[clean] = value
    return found


def read_part(part: str, texts: Mapping[str, str], asked: Asked, called: str = "") -> dict[str, Any]:
    """The values of a part's fields by name, from what was typed; `called`: what a refusal names the part by.

    Raises `FieldError` that names the field.
    """
    called = called or part
    known = {one.name.replace("_", "-"): one for one in PARTS[part]}
    for name in texts:
        if name not in known:
            raise FieldError(f"{called}: field {unknown(name, list(known))}", "-")
    values: dict[str, Any] = {}
    for name, field in known.items():
        try:
            values[field.name] = field.from_text(texts.get(name, ""), asked)
        except FieldError as problem:
            raise FieldError(f"{called} {name}: {problem}", "-") from problem
    return values


def element_read(texts: Mapping[str, str], asked: Asked, called: str = "element") -> Element:
    """An element from what was typed of it. Raises `FieldError` that names the field."""
    values = read_part("element", texts, asked, called)
    if not values["kind"]:
        raise FieldError(f"{called} kind is missing; type one of: {', '.join(KINDS)}", "-")
    return _named(element_of, values, called)


def housing_read(texts: Mapping[str, str], asked: Asked, called: str = "housing") -> Housing:
    """A housing from what was typed of it. Raises `FieldError` that names the field."""
    return _named(housing_of, read_part("housing", texts, asked, called), called)


def _named(build: Callable[[Mapping[str, Any]], Part], values: Mapping[str, Any], called: str) -> Part:
    try:
        return build(values)
    except FieldError as problem:
        raise FieldError(f"{called} {problem.option.replace('_', '-')}: {problem}", "-") from problem


def element_of(values: Mapping[str, Any], base: Element | None = None) -> Element:
    """An element from its fields' values; where one is empty, `base` has it. `kind` must be known of one of the two.

    Raises `FieldError` with the field's name for what can't go together.
    """
    base = base or filters.element.Element(filters.element.Kind(values["kind"]))
    fitted, opens = values["bypass"], _bar(values["bypass_opens"])
    if fitted is False and opens is not None:
        raise FieldError("no, and yet it opens at a pressure; leave one of them out", "bypass")
    bypass = (
        filters.element.NO_BYPASS
        if fitted is False
        else filters.element.Bypass(True, opens)
        if fitted or opens is not None
        else None
    )
    sizes = (_mm(values[f"gasket_{name}"]) for name in ("id", "od", "thickness"))
    gasket = filters.element.Gasket(*(_or(mine, theirs) for mine, theirs in zip(sizes, base.gasket, strict=True)))
    if gasket.id_mm and gasket.od_mm and gasket.id_mm >= gasket.od_mm:
        raise FieldError("must be smaller than gasket-od", "gasket_id")
    return filters.element.Element(
        filters.element.Kind(values["kind"]) if values["kind"] else base.kind,
        values["name"] or base.name,
        _or(_mm(values["od"]), base.od_mm),
        _or(_mm(values["length"]), base.length_mm),
        _end(values, "first", base.first),
        _end(values, "second", base.second),
        _spring(values),
        values["thread"] or base.thread,
        gasket,
        values["medium"] or base.medium,
        bypass or base.bypass,
        values["anti_drain_back"],
        _bar(values["collapse"]),
        values["flow"],
    )


def housing_of(values: Mapping[str, Any]) -> Housing:
    """A housing from its fields' values. Raises `FieldError` with the field's name for what can't go together."""
    return filters.housing.Housing(
        filters.element.Kind(values["takes"]) if values["takes"] else None,
        values["name"],
        _mm(values["depth"]),
        _mm(values["bore"]),
        _seat(values, "head"),
        _seat(values, "cover"),
        filters.housing.Where(values["outlet"]) if values["outlet"] else None,
        _spring(values),
        values["thread"],
        filters.housing.GasketLand(*(_mm(values[name]) for name in ("land_id", "land_od", "groove_depth"))),
        values["medium"],
        filters.housing.BypassPlace(values["bypass"]) if values["bypass"] else None,
        _bar(values["bypass_opens"]),
        filters.housing.Position(values["position"]) if values["position"] else None,
        filters.housing.Duty(values["duty"]) if values["duty"] else None,
        _bar(values["max_differential"]),
        values["flow"],
    )


def _or(mine: float | None, theirs: float | None) -> float | None:
    return mine if mine is not None else theirs


def _mm(value: Typed | None) -> float | None:
    return None if value is None else float(value.to("mm"))


def _bar(value: Typed | None) -> float | None:
    return None if value is None else float(value.to("bar"))


def _end(values: Mapping[str, Any], end: str, base: End) -> End:
    form, seal = values[end], values[f"{end}_seal"]
    return filters.element.End(
        filters.element.EndForm(form) if form else base.form,
        _or(_mm(values[f"{end}_id"]), base.id_mm),
        filters.element.EndSeal(seal) if seal else base.seal,
    )


def _seat(values: Mapping[str, Any], end: str) -> Seat:
    form = filters.housing.SeatForm(values[end]) if values[end] else None
    return filters.housing.Seat(form, _mm(values[f"{end}_diameter"]), _mm(values[f"{end}_land"]))


def _spring(values: Mapping[str, Any]) -> Spring | None:
    free, compressed = _mm(values["spring_free"]), _mm(values["spring_compressed"])
    if values["spring"] is False and (free or compressed):
        raise FieldError("none, and yet it has a length; leave one of them out", "spring")
    if values["spring"] is False or free == 0:
        return filters.element.NO_SPRING
    return None if free is None and compressed is None else filters.element.Spring(free, compressed)


@dataclass(frozen=True)
class Pairs(Field[dict[str, str]]):
    """What is known of a part, from words like `od=60`; what each means is read with the rest of it."""

    METAVAR: ClassVar[str] = "FIELD=VALUE"
    LENGTHS: ClassVar[bool] = True

    must: bool = False

    def options(self) -> tuple[Option, ...]:
        """One option with all its words."""
        return (Option(self.name, self.flag, self.METAVAR, self.help, takes="several"),)

    def read(self, text: str, asked: Asked) -> dict[str, str]:
        """The one pair. Raises `FieldError`."""
        return pairs_of([text])

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> dict[str, str]:
        """Every pair; none where none is given. Raises `FieldError`."""
        told = words.get(self.name)
        if not told or not told.strip():
            return self.from_text("", asked)
        return pairs_of([" ".join(one.split()) for one in told.split("\n")])


@dataclass(frozen=True)
class Measured(Field[Any]):
    """A filter element or a housing as measured, from words like `od=60`. `part`: which of the two."""

    METAVAR: ClassVar[str] = "FIELD=VALUE"
    LENGTHS: ClassVar[bool] = True
    LOOKS: ClassVar[bool] = True

    part: str = "element"

    def options(self) -> tuple[Option, ...]:
        """One option with all its words."""
        return (Option(self.name, self.flag, self.METAVAR, self.help, required=True, takes="several"),)

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> Any:
        """The element or the housing. Raises `FieldError`."""
        told = pairs_of((words.get(self.name) or "").split("\n"))
        return (element_read if self.part == "element" else housing_read)(told, asked)


class Opening(Dimension):
    """The opening of a mesh; a bare number is in micrometres."""

    LENGTHS: ClassVar[bool] = False

    def read(self, text: str, asked: Asked) -> Typed:
        """The opening. Raises `FieldError`."""
        found = typed(text, "length", Asked(asked.units._replace(length="um")))
        if found.to("mm") < Fraction(1, 1000):
            raise FieldError(f"{shown(text)} must be at least 1 µm")
        return found


@dataclass(frozen=True)
class Counts(Field["tuple[float | None, ...]"]):
    """Particles per mL at 4, 6 and 14 µm; a - for what was not counted."""

    METAVAR: ClassVar[str] = "N"

    must: bool = False
    empty: tuple[float | None, ...] = ()

    def options(self) -> tuple[Option, ...]:
        """One option with its three figures."""
        return (Option(self.name, self.flag, self.METAVAR, self.help, takes="several"),)

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "three figures, as 1800 500 60"

    def read(self, text: str, asked: Asked) -> tuple[float | None, ...]:
        """The three. Raises `FieldError`."""
        words = text.split()
        if len(words) != len(SIZES):
            raise FieldError(f"that is {len(words)} of them; type {self.hint(asked)}")
        number = Number(self.name, self.label, example="1800")
        return tuple(None if one == "-" else number.read(one, asked) for one in words)

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> tuple[float | None, ...]:
        """The three. Raises `FieldError`."""
        return self.from_text((words.get(self.name) or "").replace("\n", " "), asked)


SIZES: Final = ("4", "6", "14")
"""The sizes that are counted, µm(c) (ISO 4406)."""
ELEMENT_PAIRS = Pairs("element", "Element", "the element, see --fields")
HOUSING_PAIRS = Pairs("housing", "Housing", "the housing, see --fields")
FILE = File("file", "File", "both from a JSON or CSV file", must=False)
DESCRIBE = InALine("describe", "In a line", "the element in words, in the place of --element")
FIELDS = Flag("fields", "Fields", "list the fields")
SEARCH = InALine("search", "Search", 'what was measured: "cartridge, 60 x 120, open 30 at one end"')
SHOP = Flag("shop", "Shop", "what is there that fits --housing")
LIST = File("list", "List", "look in this CSV file, not in the shop", must=False)
MISSES = Flag("misses", "Misses", "list those that do not fit too")
LIMIT = Count("limit", "At most", "how many to list (10 unless you say otherwise)", False, 10, most=1000)
MESH = Name("mesh", "Mesh", "sieve number → opening (ASTM E11)", must=False, metavar="NUMBER")
OPENING = Opening("opening", "Opening", "opening, such as 250um → nearest sieve")
BETA = Number("beta", "Beta", "beta ratio → share held back (ISO 16889)", metavar="RATIO", example="200")
COUNTS = Counts("counts", "Counts", "particles per mL at 4, 6 and 14 µm → ISO 4406 code")
CODE = Name("code", "Code", "ISO 4406 code such as 18/16/13 → particles per mL", must=False, metavar="CODE")
