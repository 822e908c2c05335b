"""What an item is, read from its name as a supplier's list is read: its kind, size, rubber, class, what one holds."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from catalog.filters.element import Element
from catalog.fluids import classes
from catalog.orings.names import find
from catalog.orings.rubber_words import rubber_written
from catalog.orings.sizes import Series, label_of
from models.errors import InvalidInputError
from models.inventory.item_figures import ItemFigures
from models.inventory.items import NewItem
from models.supplier_lists.read_element import read_element
from models.supplier_lists.read_fluid import FluidReading, read_fluid
from models.supplier_lists.read_ring import PER_MM, RingReading, is_ring, rubber_in, without_ring_word
from models.supplier_lists.read_volume import read_volume
from models.supplier_lists.recognise import LONGEST, recognise
from models.volume import in_words
from models.words import Kind, Unit

# Words of the trade for a kind of item (common practice, no source).
_SEALANT: Final = re.compile(r"\b(?:SEALANTS?|SEALERS?|GASKET MAKER|THREAD ?LOCK(?:ER)?|RETAINING COMPOUND)\b")
_FASTENER: Final = re.compile(r"\b(?:BOLTS?|SCREWS?|CAPSCREWS?|NUTS?|WASHERS?|STUDS?|RIVETS?|CIRCLIPS?)\b")
_FILTER: Final = re.compile(r"\b(?:FILTERS?|STRAINERS?|FILTER ELEMENTS?)\b")
_FLUID: Final = re.compile(r"\b(?:OILS?|FLUIDS?|COOLANTS?|ANTIFREEZE|UTTO|STOU|ATF|HYD(?:RAULIC)?)\b|\d{1,2}W-?\d{2}")
_NAMED_RING: Final = re.compile(r"O-RINGS?|[OØ] ?RINGS?|RINGS?|SHORE ?A?|[^A-Z0-9.,]+")
"""Words and signs that a ring's usual name has anyway."""
_NOT_FLUID: Final = re.compile(r"\b(?:FILTERS?|SEALS?|RINGS?|COOLERS?|PUMPS?|HOSES?|CANS?|PANS?|GAUGES?|DRAIN)\b")

MOST_WORDS: Final = 4
"""The longest name of a size, in words."""
DASH_DIGITS: Final = 3
LEAST: Final = 0.5
"""So sure a ring must be that is named by nothing but two lengths; a rubber beside them says it, too."""
FILTER_CLASS: Final = "as spin-on 1-12 UNF, 10 µm"
"""What a filter's class looks like."""
MISSING: Final = ("kind", "size", "rubber", "class", "counted")
"""What a name may leave open, by the fields that ask for it."""


class Told(NamedTuple):
    """What a person says of a new item beside its name; it goes before what the name says. `counted`: each or ul."""

    kind: str = ""
    size_key: str = ""
    rubber: str = ""
    spec_class: str = ""
    spec_grade: str = ""
    counted: str = ""


class ReadItem(NamedTuple):
    """The item that a name makes, what was understood in words, and which of `MISSING` the name leaves open."""

    item: NewItem
    words: str
    missing: tuple[str, ...]

    @property
    def counted_in(self) -> Unit:
        """What it will be counted in."""
        return self.item.counted_in or Unit.EACH


NOTHING_TOLD: Final = Told()


def read_item(name: str, told: Told = NOTHING_TOLD) -> ReadItem:
    """The item of this name. Raises `InvalidInputError` where what is told can't be of such an item."""
    label = " ".join(name.split())
    said = label[:LONGEST].upper()
    fluid = read_fluid(label[:LONGEST])
    ring = _ring(said, told)
    kind, sure = (Kind(told.kind), True) if told.kind else _kind(said, ring, fluid)
    _refuse_class(kind, told.spec_class)
    if kind is Kind.RING:
        return _a_ring(label, ring, told)
    made = NewItem(kind, label, counted_in=_unit(kind, told))
    return _by_class(said, made, fluid, told, () if sure else ("kind",))


def _refuse_class(kind: Kind, spec_class: str) -> None:
    """Raise `InvalidInputError` where a fluid's class is said of a filter, or a filter of a fluid."""
    said = spec_class.upper()
    if kind is Kind.FILTER and classes.get(spec_class) is not None:
        raise InvalidInputError(f"{spec_class} is a class of fluid; this is a filter.", f"Type it {FILTER_CLASS}.")
    if kind is Kind.FLUID and classes.get(spec_class) is None and _FILTER.search(said):
        raise InvalidInputError(f"“{spec_class[:40]}” is a filter; this is a fluid.", "Type its class as UTTO.")


def ring_name(item: NewItem) -> str:
    """What a new ring is called on the shelf, the same whichever way it came there."""
    return " ".join(filter(None, ("O-ring", label_of(item.size_key), item.rubber, str(item.hardness_shore_a or ""))))


def _usual_name(label: str, item: NewItem) -> str:
    """A ring's usual name where what was typed says no more than it; else what was typed, of which nothing is lost."""
    if label.startswith("O-ring ") or not (item.size_key and item.rubber):
        return label
    usual = ring_name(item)
    known = _NAMED_RING.sub("", usual.upper())
    typed = _NAMED_RING.sub(" ", label.upper()).split()
    return usual if all(one in known for one in typed) else label


class _Ring(NamedTuple):
    size_key: str
    rubber: str
    hardness: int | None


def _ring(said: str, told: Told) -> _Ring | None:
    """The ring that is told or named, whatever of it is known; None where nothing says that it is one."""
    named = recognise(said).ring
    if named is not None and named.confidence < LEAST and not (named.rubber and named.rubber_why == "named"):
        named = None
    if named is not None:
        return _Ring(told.size_key or _key(named), named.rubber, named.hardness_shore_a)
    key = told.size_key or _size_first(said)
    if not key and not is_ring(said):
        return None
    return _Ring(key, *rubber_in(said)[:2])


def _size_first(said: str) -> str:
    """The size that the name begins with, by itself or with its rubber, as on a bag: "P22 NBR 70"; else ""."""
    words = without_ring_word(said).split()
    for many in range(min(len(words), MOST_WORDS), 0, -1):
        size = find(" ".join(words[:many]))
        if size is not None:
            rubber, _, _, why = rubber_in(said)
            alone = many == len(words)
            return size.key if alone or is_ring(said) or (rubber and why == "named") else ""
    if words and words[0].isdigit() and len(words[0]) == DASH_DIGITS and rubber_in(said)[3] == "named":
        size = find(f"AS568-{words[0]}")
        return size.key if size is not None else ""
    return ""


def _key(ring: RingReading) -> str:
    """Its size's key; one of no standard is the shop's own, called by its dimensions."""
    return ring.size_key or f"{Series.OWN}:{ring.id_100nm / PER_MM:g} x {ring.width_100nm / PER_MM:g} mm"


def _kind(said: str, ring: _Ring | None, fluid: FluidReading) -> tuple[Kind, bool]:
    """The kind, and whether the name says it."""
    if ring is not None:
        return Kind.RING, True
    if _SEALANT.search(said):
        return Kind.SEALANT, True
    if _FILTER.search(said) or read_element(said) is not None:
        return Kind.FILTER, True
    if fluid.named or (_FLUID.search(said) and not _NOT_FLUID.search(said)):
        # A grease is sold by weight, which is no volume: a person says how it is counted.
        return Kind.FLUID, not _is_grease(fluid)
    return (Kind.FASTENER, True) if _FASTENER.search(said) else (Kind.CONSUMABLE, False)


def _is_grease(fluid: FluidReading) -> bool:
    found = [classes.get(code) for code, _ in fluid.named]
    return any(one is not None and one.family.startswith("grease") for one in found)


def _unit(kind: Kind, told: Told) -> Unit:
    if told.counted:
        return Unit(told.counted)
    return Unit.MICROLITRE if kind is Kind.FLUID else Unit.EACH


def _a_ring(label: str, ring: _Ring | None, told: Told) -> ReadItem:
    key = told.size_key or ("" if ring is None else ring.size_key)
    rubber, hardness = ("", None) if ring is None else (ring.rubber, ring.hardness)
    if told.rubber:
        rubber, hardness = _rubber(told.rubber)
    missing = (*(() if key else ("size",)), *(() if rubber else ("rubber",)))
    own = " (no standard size)" if key.startswith(f"{Series.OWN}:") else ""
    what = " ".join(filter(None, (label_of(key) + own, rubber, str(hardness or ""))))
    made = NewItem(Kind.RING, label, key or None, rubber, hardness, counted_in=Unit.EACH)
    if not (told.rubber or told.size_key):
        made = made._replace(name=_usual_name(label, made))
    return ReadItem(made, f"a ring {what}" if what else "a ring, size not given", missing)


def _rubber(written: str) -> tuple[str, int | None]:
    try:
        found = rubber_written(written)
    except ValueError as problem:
        raise InvalidInputError(f"{str(problem)[0].upper()}{str(problem)[1:]}.") from problem
    return found.family.value, found.hardness_shore_a


def _by_class(said: str, made: NewItem, fluid: FluidReading, told: Told, missing: tuple[str, ...]) -> ReadItem:
    """A fluid with its class, grade and container, a filter with its sizes, or another thing that is counted."""
    codes = tuple(code for code, _ in fluid.named)
    holds, element = None, None
    volume = read_volume(said, None)
    if made.kind is Kind.FLUID:
        spec_class = told.spec_class or next(iter(codes), "")
        made = made._replace(spec_class=spec_class, spec_grade=told.spec_grade or fluid.grade)
        missing = (*missing, *(() if spec_class else ("class",)))
        further = tuple(code for code in codes if code != spec_class)
    else:
        made = made._replace(spec_class=told.spec_class, spec_grade=told.spec_grade)
        further = ()
        if made.kind is Kind.FILTER and not told.spec_class:
            missing = (*missing, "class")
        if volume is not None and not told.counted:
            missing = (*missing, "counted")
    if made.counted_in is Unit.MICROLITRE and volume is not None:
        holds = volume.volume_ul
    if made.kind is Kind.FILTER and (read := read_element(said)) is not None:
        element = read.element
    made = made._replace(figures=ItemFigures(further, element, holds))
    return ReadItem(made, _words(made, element), missing)


def _words(made: NewItem, element: Element | None) -> str:
    """What was understood: the kind, its class and grade or its sizes, and how it is counted."""
    sizes = "" if element is None else " × ".join(
        f"{one:g}" for one in (element.od_mm, element.length_mm) if one is not None
    )  # fmt: skip
    thread = "" if element is None or element.thread is None else element.thread.designation
    shape = "" if element is None else " ".join(filter(None, (element.kind, thread, f"{sizes} mm" if sizes else "")))
    shape = shape.replace(f"{thread} {sizes}", f"{thread}, {sizes}") if thread and sizes else shape
    what = " ".join(filter(None, (made.kind, made.spec_class, made.spec_grade, shape)))
    counted = "counted by volume" if made.counted_in is Unit.MICROLITRE else "counted in pieces"
    holds = "" if made.figures.container is None else f", {in_words(made.figures.container, Unit.MICROLITRE)} in one"
    return f"a {what}, {counted}{holds}"
