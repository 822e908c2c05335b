"""The fields of an element and of its housing, and how they are read. Which of them show depends on the kind."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from catalog.filters.element import Kind
from catalog.filters.housing import BypassPlace, Duty, Position
from tui.screens.judge.ruling import Ask

if TYPE_CHECKING:
    from catalog.filters.element import Element, End, Spring
    from catalog.filters.housing import Housing, Seat
    from catalog.filters.search import Described
    from tui.screens.judge.reading import Reader

CAN, CARTRIDGE, STRAINER, IN_LINE = (
    str(kind) for kind in (Kind.SPIN_ON, Kind.CARTRIDGE, Kind.SUCTION_STRAINER, Kind.IN_LINE)
)
DROPPED = (CARTRIDGE, STRAINER)
ENDED = (CARTRIDGE, STRAINER, IN_LINE)
SCREWED = (CAN, STRAINER)
FORMS = ("?", "open", "closed", "screened", "sprung")
SEALS = ("?", "grommet", "gasket", "bare")
SEATS = ("?", "spigot", "flat", "none")
YES_NO = ("?", "yes", "no")

ELEMENT_ASKS = (
    Ask("kind", "Kind", words=("?", *(str(kind) for kind in Kind)), heading="The element"),
    Ask("line", "In a line", "cartridge, 60 × 120, open 30 at one end", wide=True),
    Ask("od", "Outside", "diameter"),
    Ask("length", "Length", "over the caps"),
    Ask("first", "First end", words=FORMS, when=DROPPED, heading="Its ends"),
    Ask("first_id", "Its bore", "inside", when=ENDED),
    Ask("first_seal", "Its seal", words=SEALS, when=DROPPED),
    Ask("second", "Second end", words=FORMS, when=DROPPED),
    Ask("second_id", "Its bore", "inside", when=ENDED),
    Ask("second_seal", "Its seal", words=SEALS, when=DROPPED),
    Ask("spring_free", "Spring", "free length", when=DROPPED),
    Ask("spring_solid", "pressed", "fully, solid", when=DROPPED),
    Ask("thread", "Thread", "M20x1.5", when=SCREWED),
    Ask("gasket_id", "Gasket in", "diameter", when=(CAN,)),
    Ask("gasket_od", "Gasket out", "diameter", when=(CAN,)),
    Ask("gasket_t", "Gasket", "thickness", when=(CAN,)),
    Ask("medium", "Medium", "60 mesh, 10 µm beta 200", heading="What it does", wide=True),
    Ask("bypass", "Bypass", words=("?", "none", "fitted")),
    Ask("bypass_bar", "opens at", quantity="pressure"),
    Ask("valve", "Anti-drain", words=YES_NO, when=(CAN,)),
    Ask("collapse", "Collapse", quantity="pressure"),
    Ask("flow", "Flow", "L/min"),
)
HOUSING_ASKS = (
    Ask("depth", "Depth", "cover closed", heading="The housing"),
    Ask("bore", "Bore", "room around"),
    Ask("outlet", "Oil leaves", words=("?", "head", "cover"), when=DROPPED),
    Ask("head", "Head seat", words=SEATS, when=ENDED),
    Ask("head_d", "diameter", "stub, opening", when=ENDED),
    Ask("head_land", "land", "outside", when=DROPPED),
    Ask("cover", "Cover seat", words=SEATS, when=ENDED),
    Ask("cover_d", "diameter", "stub, opening", when=ENDED),
    Ask("cover_land", "land", "outside", when=DROPPED),
    Ask("has_spring", "Has spring", words=YES_NO, when=DROPPED),
    Ask("h_spring", "Spring", "free length", when=DROPPED),
    Ask("h_solid", "pressed", "fully, solid", when=DROPPED),
    Ask("h_thread", "Thread", "of the head", when=SCREWED),
    Ask("land_id", "Land in", "diameter", when=(CAN,)),
    Ask("land_od", "Land out", "diameter", when=(CAN,)),
    Ask("groove", "Groove", "depth; 0 if flat", when=(CAN,)),
    Ask("position", "It sits", words=("?", *(str(one) for one in Position)), when=(CAN,)),
    Ask("duty", "Line", words=("?", *(str(one) for one in Duty)), heading="What the machine asks"),
    Ask("asked", "Medium", "60 mesh, 10 µm beta 200", wide=True),
    Ask("h_bypass", "Bypass in", words=("?", *(str(one) for one in BypassPlace))),
    Ask("asked_bar", "opens at", quantity="pressure"),
    Ask("most_bar", "Most drop", "across it", quantity="pressure"),
    Ask("asked_flow", "Flow", "L/min"),
)


def read_element(reader: Reader) -> Element | None:
    """The element: the line of words first, every field that is filled over it; None while its kind is not known."""
    from catalog.filters.element import Bypass, Gasket
    from catalog.filters.search import Described

    described = _line(reader)
    kind = reader.word("kind", Kind) or (described.kind if described else None)
    if kind is None:
        return None
    base: Element = (described or Described()).as_element(kind)._replace(kind=kind)
    free, solid = reader.length("spring_free", zero=True), reader.length("spring_solid", zero=True)
    fitted = {"none": False, "fitted": True}.get(reader.text("bypass"))
    opens = _bar(reader, "bypass_bar")
    gasket = Gasket(reader.length("gasket_id"), reader.length("gasket_od"), reader.length("gasket_t"))
    merged = [mine if mine is not None else theirs for mine, theirs in zip(gasket, base.gasket, strict=True)]
    return base._replace(
        od_mm=_or(reader.length("od"), base.od_mm),
        length_mm=_or(reader.length("length"), base.length_mm),
        first=_end(reader, "first", base.first),
        second=_end(reader, "second", base.second),
        spring=_spring(free, solid),
        thread=reader.thread("thread") or base.thread,
        gasket=Gasket(*merged),
        medium=reader.medium("medium") or base.medium,
        bypass=None if fitted is None else Bypass(fitted, opens if fitted else None),
        anti_drain_back=reader.yes("valve"),
        collapse_bar=_bar(reader, "collapse"),
        flow_l_min=reader.number("flow", "the rated flow in L/min", "60"),
    )


def describe_element(reader: Reader) -> Described | None:
    """The element as it is sought: what a search compares; None where nothing of that was typed."""
    from catalog.filters.search import Described, Dimension

    element = read_element(reader)
    if element is None:
        return None
    plus_minus = {key: reader.plus_minus_mm(key, 0.5) for key in ("od", "length")}
    found = Described(
        element.kind,
        None if element.od_mm is None else Dimension(element.od_mm, plus_minus["od"]),
        None if element.length_mm is None else Dimension(element.length_mm, plus_minus["length"]),
        element.first,
        element.second,
        thread=element.thread,
        gasket=element.gasket,
        medium=element.medium,
    )
    return None if found._replace(kind=None) == Described() else found


def read_housing(reader: Reader, kind: Kind | None) -> Housing:
    """The housing as far as it was measured."""
    from catalog.filters.element import NO_SPRING
    from catalog.filters.housing import GasketLand, Housing, Where

    free, solid = reader.length("h_spring", zero=True), reader.length("h_solid", zero=True)
    has = reader.yes("has_spring")
    return Housing(
        takes=kind,
        depth_mm=reader.length("depth"),
        bore_mm=reader.length("bore"),
        head=_seat(reader, "head"),
        cover=_seat(reader, "cover"),
        outlet=reader.word("outlet", Where),
        spring=NO_SPRING if has is False else _spring(free, solid),
        thread=reader.thread("h_thread"),
        gasket_land=GasketLand(reader.length("land_id"), reader.length("land_od"), reader.length("groove", zero=True)),
        medium=reader.medium("asked"),
        bypass=reader.word("h_bypass", BypassPlace),
        bypass_opens_bar=_bar(reader, "asked_bar"),
        position=reader.word("position", Position),
        duty=reader.word("duty", Duty),
        max_differential_bar=_bar(reader, "most_bar"),
        flow_l_min=reader.number("asked_flow", "the flow of the line in L/min", "60"),
    )


def _line(reader: Reader) -> Described | None:
    from catalog.filters.describe import describe

    text = reader.text("line")
    if not text:
        return None
    try:
        found = describe(text, reader.unit)
    except ValueError as problem:
        reader.refuse("line", problem)
        return None
    sizes = [f"{size.value_mm:g}" for size in (found.od, found.length) if size]
    ends = [f"{end.form}" + (f" {end.id_mm:g}" if end.id_mm else "") for end in (found.first, found.second) if end.form]
    parts = [str(found.kind) if found.kind else "", " × ".join(sizes) + (" mm" if sizes else ""), " / ".join(ends)]
    parts += [found.thread.label if found.thread else "", found.medium.label if found.medium else ""]
    reader.echo("line", ", ".join(part for part in parts if part))
    return found


def _or(mine: float | None, theirs: float | None) -> float | None:
    return mine if mine is not None else theirs


def _end(reader: Reader, key: str, base: End) -> End:
    from catalog.filters.element import EndForm, EndSeal

    form = reader.word(key, EndForm) or base.form
    seal = reader.word(f"{key}_seal", EndSeal) or base.seal
    return base._replace(form=form, id_mm=_or(reader.length(f"{key}_id"), base.id_mm), seal=seal)


def _seat(reader: Reader, key: str) -> Seat:
    from catalog.filters.housing import Seat, SeatForm

    return Seat(reader.word(key, SeatForm), reader.length(f"{key}_d"), reader.length(f"{key}_land"))


def _spring(free: float | None, solid: float | None) -> Spring | None:
    from catalog.filters.element import NO_SPRING, Spring

    if free == 0:
        return NO_SPRING
    return None if free is None and solid is None else Spring(free, solid)


def _bar(reader: Reader, key: str) -> float | None:
    from catalog.quantity import Kind as Quantity

    value = reader.quantity(key, Quantity.PRESSURE, "bar")
    return None if value is None else float(value)


EXAMPLE: Mapping[str, str] = {
    "kind": CARTRIDGE, "line": "cartridge, 60 × 120, open 30 at one end, 60 mesh", "first_seal": "grommet",
    "bypass": "none", "collapse": "10 bar", "flow": "60", "depth": "130", "bore": "75", "outlet": "head",
    "head": "spigot", "head_d": "30.5", "cover": "none", "has_spring": "yes", "h_spring": "18", "h_solid": "6",
    "duty": "return", "asked": "100 mesh", "h_bypass": "housing", "most_bar": "3 bar", "asked_flow": "60",
}  # fmt: skip
"""An invented return filter with everything measured."""
