"""What do we have that fits this housing? The shop's filters and the suppliers' rows on one sheet, best first."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, Final, NamedTuple

from textual.content import Content

from tui import operations
from tui.answers.filters import GRADES
from tui.screens.ask import Ask, Choices, Key, Words, gives
from tui.screens.judge.ruling import Line, Ruling
from tui.screens.judge.why import reasons_sheet
from tui.widgets.cells import clean
from tui.widgets.judge.element_in_housing import InHousing, housing_lines, pair_lines
from tui.widgets.judge.marks import Mark
from tui.widgets.rows import Column, Row

if TYPE_CHECKING:
    from textual.geometry import Size

    from catalog.filters.element import Element
    from catalog.filters.housing import Housing
    from tui.answers.filters import Criterion, FilterFit, FilterShop, Grade, Offer

MARKS: Final[Mapping[Grade, Mark]] = MappingProxyType(
    {"fits": Mark.GOOD, "with care": Mark.CARE, "measure this": Mark.MEASURE, "does not": Mark.BAD}
)
"""The sign of each grade."""
WORDS: Final[Mapping[Grade, str]] = MappingProxyType({**GRADES, "measure this": "not known yet"})
"""The answer in a word."""
SHOWN_DOUBTS = 4
AT_END: Final = re.compile(r"^(seal|hose) at the (head|cover) end$")
LINES, PICTURE = 8, 8
"""Lines of the doubts, and of the drawing."""
TALL = 36
WIDEST, AROUND = 112, 6
"""The sheet's width, and what is not the drawing's of it."""


class Beside(NamedTuple):
    """What offers are drawn beside: the element that was typed, None where none was, in its housing.

    `elements`: the offers' own, in their order; `window`: the room there is; `picture`: what is drawn of one.
    """

    old: Element | None
    housing: Housing
    elements: Sequence[Element]
    window: Size
    picture: Callable[[Element, Housing, FilterFit, str], InHousing | None]

    def drawn(self, at: int, rows: int, *, unit: str, plain: bool) -> list[str]:
        """The highlighted offer beside the old one, to one scale; alone where nothing was typed."""
        columns = min(self.window.width, WIDEST) - AROUND
        old, new = (None if one is None else self._picture(one, unit) for one in (self.old, self.elements[at]))
        if new is None:
            return ["Not drawn: its diameter or its length is not known."]
        if old is None:
            return housing_lines(new, columns, rows, plain=plain)
        return pair_lines(old, new, columns, rows, unit, plain=plain)

    def _picture(self, element: Element, unit: str) -> InHousing | None:
        judged = operations.filter.fits(element, self.housing)
        return self.picture(element, self.housing, judged, unit)


def fitting_sheet(title: str, answer: FilterShop, beside: Beside, *, unit: str, plain: bool) -> Ask[None]:
    """What was asked, the list, the highlighted one's doubts or its drawing beside the old one, by Space.

    In a tall window both stand there. Esc closes it, Enter shows every criterion over it.
    """
    offers = answer.offers
    tall = beside.window.height >= TALL
    drawn = False

    def words(at: int) -> list[str | Content]:
        told = [] if drawn and not tall else _doubts(offers[at], plain=plain)
        picture: list[str] = beside.drawn(at, PICTURE, unit=unit, plain=plain) if drawn or tall else []
        return [*told, *([""] * (LINES - len(told)) if tall else []), *(Content(line) for line in picture)]

    def turn(_: Ask[None]) -> str:
        nonlocal drawn
        drawn = not drawn
        return ""

    def row(at: int) -> Row:
        one = offers[at]
        mark = MARKS[one.overall]
        sizes = " × ".join(_size(size, unit) for size in (one.od_mm, one.length_mm))
        return Row((f"{mark.glyph(plain=plain)} {GRADES[one.overall]}", one.name, one.place, sizes), mark.tone)

    def why(ask: Ask[None]) -> str:
        if ask.at() >= 0:
            ask.app.push_screen(_every_criterion(offers[ask.at()], plain=plain))
        return ""

    return Ask(
        title,
        Words(clean(_said(answer))),
        Choices(
            [Column("", 14), Column("Element", 22, grow=True), Column("Where", 26), Column("Ø × long", 17, yields=1)],
            len(offers),
            row,
            empty="Nothing to look through. Esc closes.",
            room="rest",
            words=words,
            beneath=LINES + PICTURE if tall else LINES,
            ruled=True,
        ),
        Words(clean(" ".join(answer.untold())), id="fitting-untold", classes="quiet"),
        keys=(
            Key("leave wanted", "Close", "Back to the fields", gives(None)),
            Key("take why", "Why", "Every criterion of the highlighted one", why),
            Key("mark", "Drawing", "The highlighted one drawn beside the one you have, or its doubts", turn),
        ),
        line="↑ ↓ move · Enter every reason" + ("" if tall else " · Space: drawn beside yours") + " · Esc closes",
        name="fitting",
        looks="sheet wide whole",
    )


def _doubts(one: Offer, *, plain: bool) -> list[str | Content]:
    # How sure its text was read comes first: the rest stands on it.
    doubts = sorted(one.doubts, key=lambda criterion: criterion.name != "reading")
    lines: list[str | Content] = [
        Content.assemble((f" {clean(one.name)} ", "bold reverse"), f"  {clean(one.place)}"),
        *(f"{MARKS[doubt.grade].glyph(plain=plain)} {doubt.name}: {doubt.text}" for doubt in doubts[:SHOWN_DOUBTS]),
    ]
    if len(doubts) > SHOWN_DOUBTS:
        lines.append(f"and {len(doubts) - SHOWN_DOUBTS} more: Enter")
    return lines if doubts else [*lines, one.agrees]


def _every_criterion(one: Offer, *, plain: bool) -> Ask[None]:
    """Every criterion with its source."""
    ruling = Ruling(
        MARKS[one.overall], f"{GRADES[one.overall]}: {one.name}", (), tuple(map(criterion_line, one.criteria))
    )
    caution = "The machine's manual has the last word. A wrong element passes unfiltered oil."
    return reasons_sheet(ruling, caution, plain=plain)


def criterion_line(one: Criterion, *, soft: bool = False) -> Line:
    """A criterion as a line; `soft`: say of one that is not hard that it is soft."""
    called = AT_END.sub(r"\2-end \1", one.name)
    name = f"{called} (soft)" if soft and not one.hard else called
    return Line(MARKS[one.grade], GRADES[one.grade], name, one.text, one.source)


def _said(answer: FilterShop) -> str:
    if not answer.candidates:
        return "The shop keeps no filter whose measures are known, and no supplier lists one."
    rest = answer.candidates - answer.do_not_fit - answer.usable
    parts = [f"{answer.usable} fit, or fit with care"] if answer.usable else []
    parts += [f"{rest} to be measured further first"] if rest else []
    parts += [f"{answer.do_not_fit} {'does' if answer.do_not_fit == 1 else 'do'} not fit"] if answer.do_not_fit else []
    return f"Of {answer.candidates}: {', '.join(parts)}."


def _size(value_mm: float | None, unit: str) -> str:
    if value_mm is None:
        return "?"
    return f"{value_mm / 25.4:.3f}" if unit == "in" else f"{value_mm:g}"
