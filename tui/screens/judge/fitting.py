"""What do we have that fits this housing? The shop's filters and the suppliers' rows on one sheet, best first."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from tui.screens.closing import Sheet
from tui.screens.judge.ruling import Line, Ruling
from tui.screens.judge.why import ReasonsScreen
from tui.widgets.cells import clean
from tui.widgets.judge.marks import Mark
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from catalog.filters.grade import Criterion
    from models.elements import Answer, Ranked

SHOWN_DOUBTS = 4


class FittingScreen(Sheet[None]):
    """One sheet: what was asked, the list, the highlighted one's doubts. Esc closes it, Enter shows every criterion."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q,ctrl+t,o", "dismiss", "Close", tooltip="Back to the fields", id="fitting.close"),
        Binding(
            "enter,question_mark,w", "why", "Why", tooltip="Every criterion of the highlighted one", id="fitting.why"
        ),
    ]

    def __init__(self, title: str, answer: Answer, *, unit: str, plain: bool) -> None:
        super().__init__()
        self._title = title
        self._answer = answer
        self._unit = unit
        self._plain = plain

    def compose(self) -> ComposeResult:
        """The question, the list, its doubts, what was not searched."""
        from tui.commands.filter_shop import untold

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
            yield Static(Content(clean(" ".join(untold(self._answer)))), id="fitting-untold")
        yield Static("↑ ↓ move · Enter every reason · Esc closes", classes="sheet-keys", markup=False)

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        rows = self.query_one(Rows)
        rows.show(len(self._answer.ranked), self._row)
        rows.focus()

    def _row(self, index: int) -> Row:
        from tui.commands.filter_shop import where

        one = self._answer.ranked[index]
        mark = marks()[one.overall]
        element = one.offer.element
        sizes = " × ".join(_size(size, self._unit) for size in (element.od_mm, element.length_mm))
        return Row((f"{mark.glyph(plain=self._plain)} {one.overall}", one.offer.name, where(one), sizes), mark.tone)

    @property
    def _chosen(self) -> Ranked | None:
        index = self.query_one(Rows).cursor
        return self._answer.ranked[index] if 0 <= index < len(self._answer.ranked) else None

    def on_rows_highlighted(self) -> None:
        """Say what stands against the highlighted one."""
        one = self._chosen
        self.query_one("#fitting-doubts", Static).update(Content("") if one is None else self._doubts(one))

    def _doubts(self, one: Ranked) -> Content:
        from tui.commands.filter_shop import where

        doubts = [criterion for criterion in one.table.criteria if criterion.grade != "fits"]
        # How sure its text was read comes first: the rest stands on it.
        doubts.sort(key=lambda criterion: criterion.name != "reading")
        lines = [Content.assemble((f" {clean(one.offer.name)} ", "bold reverse"), f"  {clean(where(one))}")]
        lines += [
            Content(clean(f"{_glyph(doubt, self._plain)} {doubt.name}: {doubt.sentence}"))
            for doubt in doubts[:SHOWN_DOUBTS]
        ]
        if len(doubts) > SHOWN_DOUBTS:
            lines.append(Content(f"and {len(doubts) - SHOWN_DOUBTS} more: Enter"))
        return Content("\n").join(lines if doubts else [*lines, Content(_good(one))])

    def on_rows_chosen(self) -> None:
        """A click on the highlighted one shows all reasons."""
        self.action_why()

    def action_why(self) -> None:
        """Every criterion with its source."""
        one = self._chosen
        if one is None:
            return
        sign = marks()
        lines = tuple(
            Line(sign[each.grade], str(each.grade), each.name, each.sentence, each.source)
            for each in one.table.criteria
        )
        ruling = Ruling(sign[one.overall], f"{one.overall}: {one.offer.name}", (), lines)
        caution = "The machine's manual has the last word. A wrong element passes unfiltered oil."
        self.app.push_screen(ReasonsScreen(ruling, caution, plain=self._plain))


def marks() -> dict[str, Mark]:
    """The sign of each grade."""
    from catalog.filters.grade import Grade

    return {
        Grade.FITS: Mark.GOOD, Grade.WITH_CARE: Mark.CARE, Grade.MEASURE: Mark.MEASURE, Grade.DOES_NOT: Mark.BAD,
    }  # fmt: skip


def _glyph(criterion: Criterion, plain: bool) -> str:
    return marks()[criterion.grade].glyph(plain=plain)


def _good(one: Ranked) -> str:
    if one.fitted is None:
        return "Every measure agrees. Measure its housing too: this is found by likeness alone."
    return "Every criterion is met."


def _said(answer: Answer) -> str:
    if not answer.candidates:
        return "The shop keeps no filter whose measures are known, and no supplier lists one."
    usable = sum(one.overall in ("fits", "with care") for one in answer.ranked)
    rest = answer.candidates - answer.misses - usable
    parts = [f"{usable} fit, or fit with care"] if usable else []
    parts += [f"{rest} to be measured further first"] if rest else []
    parts += [f"{answer.misses} {'does' if answer.misses == 1 else 'do'} not fit"] if answer.misses else []
    return f"Of {answer.candidates}: {', '.join(parts)}."


def _size(value_mm: float | None, unit: str) -> str:
    if value_mm is None:
        return "?"
    return f"{value_mm / 25.4:.3f}" if unit == "in" else f"{value_mm:g}"
