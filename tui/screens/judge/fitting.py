"""What do we have that fits this housing? The shop's filters and the suppliers' rows on one sheet, best first."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar, Final

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from tui.answers.filters import GRADES
from tui.screens.closing import Sheet
from tui.screens.judge.ruling import Line, Ruling
from tui.screens.judge.why import ReasonsScreen
from tui.widgets.cells import clean
from tui.widgets.judge.marks import Mark
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from tui.answers.filters import Criterion, FilterShop, Grade, Offer

MARKS: Final[Mapping[Grade, Mark]] = MappingProxyType(
    {"fits": Mark.GOOD, "with care": Mark.CARE, "measure this": Mark.MEASURE, "does not": Mark.BAD}
)
"""The sign of each grade."""
WORDS: Final[Mapping[Grade, str]] = MappingProxyType({**GRADES, "measure this": "not known yet"})
"""The answer in a word."""
SHOWN_DOUBTS = 4


class FittingScreen(Sheet[None]):
    """One sheet: what was asked, the list, the highlighted one's doubts. Esc closes it, Enter shows every criterion."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q,ctrl+t,o", "dismiss", "Close", tooltip="Back to the fields", id="fitting.close"),
        Binding(
            "enter,question_mark,w", "why", "Why", tooltip="Every criterion of the highlighted one", id="fitting.why"
        ),
    ]

    def __init__(self, title: str, answer: FilterShop, *, unit: str, plain: bool) -> None:
        super().__init__()
        self._title = title
        self._answer = answer
        self._unit = unit
        self._plain = plain

    def compose(self) -> ComposeResult:
        """The question, the list, its doubts, what was not searched."""
        with Vertical(classes="sheet", id="fitting"):
            yield Static(Content.styled(clean(self._title), "bold $text-accent"))
            yield Static(Content(clean(_said(self._answer))))
            yield Rows(
                [
                    Column("", 14),
                    Column("Element", 22, grow=True),
                    Column("Where", 26),
                    Column("Ø × long", 17, yields=1),
                ],
                empty="Nothing to look through. Esc closes.",
                id="fitting-rows",
            )
            yield Static(id="fitting-doubts")
            yield Static(Content(clean(" ".join(self._answer.untold()))), id="fitting-untold")
        yield Static("↑ ↓ move · Enter every reason · Esc closes", classes="sheet-keys", markup=False)

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        rows = self.query_one(Rows)
        rows.show(len(self._answer.offers), self._row)
        rows.focus()

    def _row(self, index: int) -> Row:
        one = self._answer.offers[index]
        mark = MARKS[one.overall]
        sizes = " × ".join(_size(size, self._unit) for size in (one.od_mm, one.length_mm))
        word = f"{mark.glyph(plain=self._plain)} {GRADES[one.overall]}"
        return Row((word, one.name, one.place, sizes), mark.tone)

    @property
    def _chosen(self) -> Offer | None:
        index = self.query_one(Rows).cursor
        return self._answer.offers[index] if 0 <= index < len(self._answer.offers) else None

    def on_rows_highlighted(self) -> None:
        """Say what stands against the highlighted one."""
        one = self._chosen
        self.query_one("#fitting-doubts", Static).update(Content("") if one is None else self._doubts(one))

    def _doubts(self, one: Offer) -> Content:
        # How sure its text was read comes first: the rest stands on it.
        doubts = sorted(one.doubts, key=lambda criterion: criterion.name != "reading")
        lines = [Content.assemble((f" {clean(one.name)} ", "bold reverse"), f"  {clean(one.place)}")]
        lines += [
            Content(clean(f"{MARKS[doubt.grade].glyph(plain=self._plain)} {doubt.name}: {doubt.text}"))
            for doubt in doubts[:SHOWN_DOUBTS]
        ]
        if len(doubts) > SHOWN_DOUBTS:
            lines.append(Content(f"and {len(doubts) - SHOWN_DOUBTS} more: Enter"))
        return Content("\n").join(lines if doubts else [*lines, Content(one.agrees)])

    def on_rows_chosen(self) -> None:
        """A click on the highlighted one shows all reasons."""
        self.action_why()

    def action_why(self) -> None:
        """Every criterion with its source."""
        one = self._chosen
        if one is None:
            return
        lines = tuple(map(criterion_line, one.criteria))
        ruling = Ruling(MARKS[one.overall], f"{GRADES[one.overall]}: {one.name}", (), lines)
        caution = "The machine's manual has the last word. A wrong element passes unfiltered oil."
        self.app.push_screen(ReasonsScreen(ruling, caution, plain=self._plain))


def criterion_line(one: Criterion, *, soft: bool = False) -> Line:
    """A criterion as a line; `soft`: say of one that is not hard that it is soft."""
    name = f"{one.name} (soft)" if soft and not one.hard else one.name
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
