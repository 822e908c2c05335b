"""Element: would this filter element do in this housing? Criterion by criterion, worst first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.widget import Widget

import tui
from catalog import filters
from catalog.filters.element import Kind
from tui import operations, screens
from tui.answers.filters import TURNED
from tui.fields.filters import KINDS
from tui.screens.judge.element_fields import (
    ELEMENT_ASKS,
    EXAMPLE,
    HOUSING_ASKS,
    describe_element,
    read_element,
    read_housing,
)
from tui.screens.judge.fitting import MARKS, WORDS, criterion_line
from tui.screens.judge.panel import Panel
from tui.screens.judge.ruling import Ask, Ruling, nothing
from tui.widgets.judge.element_in_housing import ElementInHousing, EndShape, InHousing, SeatShape
from tui.widgets.judge.marks import Mark

if TYPE_CHECKING:
    from catalog.filters.element import Element, End
    from catalog.filters.housing import Housing, Seat
    from catalog.filters.search import Described
    from tui.answers.filters import FilterFit
    from tui.needing import Needed
    from tui.screens.judge.reading import Reader


class ElementPanel(Panel):
    """An element and its housing as measured; what nobody measured stays unknown and is listed."""

    ASKS: ClassVar[Sequence[Ask]] = (*ELEMENT_ASKS, *HOUSING_ASKS)
    EXAMPLE: ClassVar[Mapping[str, str]] = EXAMPLE
    CAUTION = "The machine's manual has the last word. A wrong element passes unfiltered oil."
    EMPTY = "Pick the kind, or type the element in a line. Leave empty what you did not measure."

    @property
    def _kind(self) -> str:
        """The kind that is picked, or the one that the line says."""
        picked = super()._kind
        line = self.field("line").answer
        if picked in KINDS or not line:
            return picked
        described = describe_element(screens.judge.reading.Reader({"line": line}, self.unit))
        return str(described.kind) if described is not None and described.kind is not None else picked

    def drawing(self) -> Widget:
        """The element in its housing."""
        return ElementInHousing(classes="ruling-picture", plain=self.plain)

    def judge(self, values: Mapping[str, str], unit: str) -> Ruling:
        """Every criterion."""
        reader = screens.judge.reading.Reader(values, unit)
        element = read_element(reader)
        if element is None:
            return nothing(self.EMPTY, reader.notes)
        housing = read_housing(reader, element.kind)
        fit = operations.filter.fits(element, housing)
        lines = tuple(criterion_line(one, soft=True) for one in fit.criteria)
        worst = [line.name for line in lines if line.mark is MARKS[fit.overall]]
        says = ["Every hard criterion is met." if fit.overall == "fits" else f"Because of: {', '.join(worst)}."]
        if fit.way == "turned":
            says.append(TURNED)
        if reader.wrong:
            says.append("A field could not be read; it counts as not measured.")
        picture = picture_of(element, housing, fit, unit)
        return Ruling(MARKS[fit.overall], WORDS[fit.overall], tuple(says), lines, picture, reader.notes)

    def required(self, values: Mapping[str, str], unit: str) -> Needed | str:
        """Whatever element goes into the housing as it was measured."""
        reader = screens.judge.reading.Reader(values, unit)
        described = describe_element(reader)
        kind = _kind(reader, described)
        housing = read_housing(reader, kind)
        wrong = next((note.error for ask in HOUSING_ASKS if (note := reader.notes.get(ask.key)) and note.error), "")
        if wrong:
            return f"A field of the housing can't be read: {wrong}"
        if housing._replace(takes=None) == filters.housing.Housing():
            return "Measure the housing first: it sets what is needed. Kits, I adds an element by its class."
        room = f"room {_size(housing.bore_mm, unit)} × {_size(housing.depth_mm, unit)} {unit}"
        medium = f", {housing.medium.label}" if housing.medium else ""
        called = str(kind) if kind else "element"
        return tui.needing.Needed(
            "filter", title=f"{called}, {room}{medium}", spec_class=called, why="measured in Judge", housing=housing
        )

    def old(self) -> tuple[Element | None, Housing]:
        """The element that is typed, None where none is, and the housing: what others are drawn beside."""
        reader = screens.judge.reading.Reader(self.values, self.unit)
        element = read_element(reader)
        return element, read_housing(reader, None if element is None else element.kind)

    def sought(self) -> tuple[str, Described | None, Housing | None]:
        """What to look for in the shop: what goes into the housing, or, where nothing of it was measured, the like.

        The sentence says which; both None where nothing was typed.
        """
        reader = screens.judge.reading.Reader(self.values, self.unit)
        described = describe_element(reader)
        housing = read_housing(reader, _kind(reader, described))
        if housing._replace(takes=None) != filters.housing.Housing():
            return "What do we have that fits this housing?", None, housing
        return "What do we have that is like this element?", described, None


def _kind(reader: Reader, described: Described | None) -> Kind | None:
    """The kind that is picked, or the one that the line says."""
    picked = reader.text("kind")
    return Kind(picked) if picked in KINDS else described.kind if described else None


def picture_of(element: Element, housing: Housing, fit: FilterFit, unit: str) -> InHousing | None:
    """What is drawn; None while diameter or length are not known."""
    placed = element.turned() if fit.way == "turned" else element
    if placed.od_mm is None or placed.length_mm is None:
        return None
    by_name = {one.name: MARKS[one.grade] for one in fit.criteria}
    can = element.kind is Kind.SPIN_ON
    head = by_name.get("gasket" if can else "seal at the head end", by_name.get("hose at the head end"))
    cover = by_name.get("seal at the cover end", by_name.get("hose at the cover end"))
    springs = [
        spring.free_mm for spring in (placed.own_spring, housing.spring) if spring is not None and spring.free_mm
    ]
    ring, land = placed.gasket, housing.gasket_land
    return InHousing(
        placed.od_mm,
        placed.length_mm,
        _end(placed.first, head),
        _end(placed.second, cover),
        _seat(housing.head),
        _seat(housing.cover),
        housing.depth_mm,
        housing.bore_mm,
        sum(springs),
        str(housing.outlet) if housing.outlet else "",
        can,
        placed.thread.diameter_mm if placed.thread else None,
        (ring.id_mm, ring.od_mm, ring.thickness_mm or 4.0) if ring.id_mm and ring.od_mm else None,
        (land.id_mm, land.od_mm) if land.id_mm and land.od_mm else None,
        by_name.get("length"),
        f"element {_size(placed.od_mm, unit)} × {_size(placed.length_mm, unit)}, "
        f"room {_size(housing.bore_mm, unit)} × {_size(housing.depth_mm, unit)} {unit}",
    )


def _size(value_mm: float | None, unit: str) -> str:
    if value_mm is None:
        return "?"
    return f"{value_mm / 25.4:.3f}" if unit == "in" else f"{value_mm:g}"


def _end(end: End, seal: Mark | None) -> EndShape:
    return EndShape(str(end.form) if end.form else "?", end.id_mm, seal)


def _seat(seat: Seat) -> SeatShape:
    return SeatShape(str(seat.form) if seat.form else "?", seat.diameter_mm, seat.land_od_mm)
