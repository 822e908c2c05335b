"""The words and measures of a filter element and of its housing, as fields of a command line, a JSON or a CSV file."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType
from typing import Final, TypeVar

from catalog.filters.describe import describe
from catalog.filters.element import (
    NO_BYPASS,
    NO_SPRING,
    Bypass,
    Element,
    End,
    EndForm,
    EndSeal,
    Gasket,
    Kind,
    Spring,
    ThreadSize,
    thread_size,
)
from catalog.filters.housing import BypassPlace, Duty, GasketLand, Housing, Position, Seat, SeatForm, Where
from catalog.filters.media import Medium
from catalog.quantity import Kind as Quantity
from tui.commands.judging import length, naming, number, one_of, quantity, word
from tui.commands.parsing import UsageError, shown, unknown

Word = TypeVar("Word", bound=StrEnum)
Fields = Mapping[str, str]

ELEMENT: Final[Mapping[str, str]] = MappingProxyType(
    {
        "kind": "spin-on, cartridge, suction strainer or in-line",
        "name": "what to call it",
        "od": "outside diameter",
        "length": "over the end caps, without the spring",
        "first": "its first end: open, closed, screened or sprung",
        "first-id": "inside diameter of the opening there",
        "first-seal": "grommet, gasket or bare",
        "second": "its second end",
        "second-id": "inside diameter of the opening there",
        "second-seal": "grommet, gasket or bare",
        "spring": "none, if there is none",
        "spring-free": "free length of its spring",
        "spring-compressed": "fully compressed length of its spring",
        "thread": "M20x1.5, 3/4-16, G 3/4",
        "gasket-id": "inside diameter of a spin-on's gasket",
        "gasket-od": "outside diameter of the gasket",
        "gasket-thickness": "thickness of the gasket",
        "medium": "60 mesh, 10 micron beta 200, 25 micron nominal, wire cloth",
        "bypass": "yes or no: has it a bypass valve?",
        "bypass-opens": "the pressure its bypass opens at",
        "anti-drain-back": "yes or no: has it the valve?",
        "collapse": "collapse rating, a pressure",
        "flow": "rated flow in L/min",
    }
)
HOUSING: Final[Mapping[str, str]] = MappingProxyType(
    {
        "takes": "spin-on, cartridge, suction strainer or in-line",
        "name": "what to call it",
        "depth": "between the two seats, cover closed; spin-on: the room below the head",
        "bore": "inside diameter, or the room around a can",
        "head": "seat at the head: spigot, flat or none",
        "head-diameter": "spigot OD, or the opening in a flat seat, or a hose's bore",
        "head-land": "outside diameter of a flat seat's land",
        "cover": "seat at the cover: spigot, flat or none",
        "cover-diameter": "spigot OD, or the opening in a flat seat, or a hose's bore",
        "cover-land": "outside diameter of a flat seat's land",
        "outlet": "the end the oil leaves the inside of the element by: head or cover",
        "spring": "none, if there is none",
        "spring-free": "free length of the housing's spring",
        "spring-compressed": "its fully compressed length",
        "thread": "the head's thread",
        "land-id": "inside diameter of the ring the gasket presses on",
        "land-od": "its outside diameter",
        "groove-depth": "depth of the groove the gasket sits in, 0 if flat",
        "medium": "the medium the machine asks for",
        "bypass": "where the bypass belongs: housing, element or none",
        "bypass-opens": "the bypass pressure the machine asks for",
        "position": "hanging, horizontal or inverted",
        "duty": "suction, return, pressure or lube",
        "max-differential": "greatest pressure across the filter",
        "flow": "flow of the line in L/min",
    }
)


class _Reader:
    """Takes fields one by one; every refusal names the field."""

    def __init__(self, part: str, fields: Fields, unit: str) -> None:
        self._part, self._fields, self._unit = part, fields, unit

    def option(self, name: str) -> str:
        return f"{self._part} {name}"

    def text(self, name: str) -> str:
        return self._fields.get(name, "").strip()

    def word(self, name: str, kind: type[Word]) -> Word | None:
        text = self.text(name)
        return kind(one_of(self.option(name), text, [one.value for one in kind])) if text else None

    def length(self, name: str, *, zero: bool = False) -> float | None:
        text = self.text(name)
        if not text or (zero and text == "0"):
            return 0.0 if text else None
        return length(self.option(name), text, self._unit)[0]

    def pressure(self, name: str) -> float | None:
        text = self.text(name)
        return quantity(self.option(name), text, Quantity.PRESSURE, "bar") if text else None

    def flow(self, name: str) -> float | None:
        text = self.text(name)
        if not text:
            return None
        value = number(self.option(name), text.lower().removesuffix("l/min"), "120 L/min")
        if value <= 0:
            raise UsageError(f"{self.option(name)}: {shown(text)} must be above zero")
        return value

    def yes(self, name: str) -> bool | None:
        text = self.text(name)
        return one_of(self.option(name), text, ("yes", "no")) == "yes" if text else None

    def thread(self) -> ThreadSize | None:
        text = self.text("thread")
        if not text:
            return None
        with naming(self.option("thread")):
            return thread_size(word(self.option("thread"), text))

    def medium(self) -> Medium | None:
        text = self.text("medium")
        if not text:
            return None
        with naming(self.option("medium")):
            found = describe(word(self.option("medium"), text), self._unit).medium
        if found is None:
            raise UsageError(
                f"{self.option('medium')}: {shown(text)} is no medium; type it like 60 mesh or 10 micron beta 200"
            )
        return found

    def spring(self) -> Spring | None:
        free, compressed = self.length("spring-free"), self.length("spring-compressed")
        text = self.text("spring")
        if not text:
            return None if free is None and compressed is None else Spring(free, compressed)
        if one_of(self.option("spring"), text, ("none",)) and (free or compressed):
            raise UsageError(f"{self.option('spring')}: none, and yet it has a length; leave one of them out")
        return NO_SPRING


def element_of(fields: Fields, unit: str, part: str = "element") -> Element:
    """An element from its fields; what is left out or empty is unknown. Raises UsageError that names the field."""
    _known(part, fields, ELEMENT)
    read = _Reader(part, fields, unit)
    kind = read.word("kind", Kind)
    if kind is None:
        raise UsageError(f"{part} kind is missing; type one of: {', '.join(Kind)}")
    fitted, opens = read.yes("bypass"), read.pressure("bypass-opens")
    if fitted is False and opens is not None:
        raise UsageError(f"{part} bypass: no, and yet it opens at a pressure; leave one of them out")
    bypass = NO_BYPASS if fitted is False else Bypass(True, opens) if fitted or opens is not None else None
    gasket = Gasket(*(read.length(f"gasket-{name}") for name in ("id", "od", "thickness")))
    if gasket.id_mm and gasket.od_mm and gasket.id_mm >= gasket.od_mm:
        raise UsageError(f"{part} gasket-id must be smaller than gasket-od")
    return Element(
        kind,
        _name(read),
        read.length("od"),
        read.length("length"),
        _end(read, "first"),
        _end(read, "second"),
        read.spring(),
        read.thread(),
        gasket,
        read.medium(),
        bypass,
        read.yes("anti-drain-back"),
        read.pressure("collapse"),
        read.flow("flow"),
    )


def housing_of(fields: Fields, unit: str, part: str = "housing") -> Housing:
    """A housing from its fields; what is left out or empty is unknown. Raises UsageError that names the field."""
    _known(part, fields, HOUSING)
    read = _Reader(part, fields, unit)
    return Housing(
        read.word("takes", Kind),
        _name(read),
        read.length("depth"),
        read.length("bore"),
        _seat(read, "head"),
        _seat(read, "cover"),
        read.word("outlet", Where),
        read.spring(),
        read.thread(),
        GasketLand(read.length("land-id"), read.length("land-od"), read.length("groove-depth", zero=True)),
        read.medium(),
        read.word("bypass", BypassPlace),
        read.pressure("bypass-opens"),
        read.word("position", Position),
        read.word("duty", Duty),
        read.pressure("max-differential"),
        read.flow("flow"),
    )


def clean_name(name: str) -> str:
    """A field's name however it was written: `First ID` and `first_id` are `first-id`."""
    return "-".join(name.strip().lower().replace("_", " ").replace("-", " ").split())


def _known(part: str, fields: Fields, known: Mapping[str, str]) -> None:
    for name in fields:
        if name not in known:
            raise UsageError(f"{part}: field {unknown(name, list(known))}")


def _end(read: _Reader, end: str) -> End:
    return End(read.word(end, EndForm), read.length(f"{end}-id"), read.word(f"{end}-seal", EndSeal))


def _seat(read: _Reader, end: str) -> Seat:
    return Seat(read.word(end, SeatForm), read.length(f"{end}-diameter"), read.length(f"{end}-land"))


def _name(read: _Reader) -> str:
    text = read.text("name")
    return word(read.option("name"), text, 120) if text else ""
