"""Measure: readings in, ranked sizes out, the chosen one accepted into a job's kit."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable
from pathlib import Path
from typing import ClassVar

from textual import work
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.events import DescendantFocus
from textual.widget import Widget
from textual.widgets import Input, Static

from catalog.orings.evidence import Condition
from catalog.orings.on_shelf import ShelfRing
from catalog.orings.size_book import SizeBook
from tui.answers.chances import short_percent as percent
from tui.fields.field import Asked
from tui.screens.area import SHARED, Area
from tui.screens.measure.answer import Candidate, answer, candidates, doubt_of, on_shelf
from tui.screens.measure.picture import BandPicture, PlanePicture, RingPicture
from tui.screens.measure.result import (
    CONDITIONS,
    EMPTY,
    JOINTS,
    SLOTS,
    TOOLS,
    Bench,
    Entry,
    MeasureResult,
    evaluate,
    warm,
)
from tui.screens.position.measure_session import MeasureSession
from tui.widgets.choice import Choice
from tui.widgets.pictures import Band, Ring, Span, Spot
from tui.widgets.reading_field import ReadingField
from tui.widgets.rows import Column, Row, Rows

# Long enough to swallow a burst of pasted keys, short enough not to be felt.
DEBOUNCE = 0.02
# Rest of the cursor before the shelf is asked: not while the list still changes under the keys.
SHELF_REST = 0.15
TABLES_REST = 0.02
PICTURES = ("bands", "plane")
SHORT_LOOKS = ("?", "new", "used", "flat", "swollen", "shrunk")


class MeasureScreen(Area):
    """Type readings; the list follows. Up and down choose, Enter accepts."""

    AREA = "measure"
    LIST = "#matches"
    PAGE = Path(__file__).with_name("measure.md")
    CSS_PATH: ClassVar = [SHARED, "measure.tcss"]
    AUTO_FOCUS = "SizeInput"
    # Enter, arrows, PgDn and ? work from inside a field, which has no other use for them.
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "accept", "Accept", key_display="Enter", id="measure.accept",
                tooltip="Put the highlighted size on a job's kit"),
        Binding("f7,t", "tool", "Tool", key_display="F7", id="measure.tool",
                tooltip="Change what the reading in the field was taken with"),
        Binding("f8,c", "condition", "Ring looks", key_display="F8", show=False, id="measure.condition",
                tooltip="Change how the ring looks: new, used, flattened, swollen, shrunk"),
        Binding("ctrl+l,s", "joint", "Sits", key_display="^L", show=False, id="measure.joint",
                tooltip="Change where the ring sits: plug, bore, cover, shaft, port"),
        Binding("pagedown,p", "picture", "Picture", key_display="PgDn", id="measure.picture",
                tooltip="Show the other picture"),
        Binding("question_mark", "why", "Why", key_display="?", priority=True, id="measure.why",
                tooltip="The reasons behind the answer"),
        Binding("w", "why", "Why", show=False, id="measure.why_letter", tooltip="The reasons behind the answer"),
        Binding("ctrl+g,alt+g,v", "groove", "Groove", key_display="^G", id="measure.groove",
                tooltip="The groove: does this ring seal there, which others do"),
        Binding("ctrl+o,alt+m,m", "positions", "Machine", key_display="^O", show=False, id="measure.positions",
                tooltip="What fitted at a machine's position; note what fits now"),
        Binding("f12,x", "clear", "New ring", show=False, id="measure.clear", tooltip="Empty every field"),
    ]  # fmt: skip

    def __init__(self) -> None:
        super().__init__()
        self._tools = [slot.tool for slot in SLOTS]
        self._field = 0
        self._result: MeasureResult = EMPTY
        self._answered: tuple[list[Entry], Condition, str, str] | None = None
        self._candidates: list[Candidate] = []
        # What the answer and the pictures show: the list says that its rows are new, and they were drawn with it.
        self._drawn: Candidate | None = None
        self._picture = 0
        self._shelf: dict[str, str] = {}
        self._rings: tuple[ShelfRing, ...] | None = None
        self._sizes: SizeBook | None = None
        self._session = MeasureSession()

    def body(self) -> Iterable[Widget]:
        """Fields and the ring at the left; answer, list and pictures at the right."""
        with Horizontal(id="desk"):
            with Vertical(id="readings"):
                yield Static("What you measured (^O: which machine)", classes="title", markup=False)
                asked = Asked(self.kitwright.units)
                for i, slot in enumerate(SLOTS):
                    yield ReadingField(slot.name, slot.field.hint(asked), slot.tool.value, id=f"slot{i}")
                yield Static("How the ring looks (F8)", classes="title", markup=False)
                yield Choice([one.words for one in CONDITIONS], short=SHORT_LOOKS, id="condition")
                yield Static("Where it sits (^L)", classes="title", markup=False)
                yield Choice([joint or "not said" for joint in JOINTS], id="joint")
                yield RingPicture(id="ring")
            with Vertical(id="result"):
                yield Static(id="answer")
                yield Rows(self._columns(), empty="Sizes appear here as you type.", id="matches")
                yield BandPicture(id="bands")
                yield PlanePicture(id="plane")

    def _columns(self) -> list[Column]:
        unit = self.kitwright.unit
        return [
            Column("Size", 12, grow=True),
            Column(f"ID × width {unit}", 13 + (unit == "in"), right=True, yields=1),
            Column("Seals", 5, right=True),
            Column("Was", 5, right=True),
        ]

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.watch(self.app, "unit", self._unit_flipped, init=False)
        self._show_picture()
        self._show(EMPTY)
        self.call_after_refresh(self._opened)

    def _opened(self) -> None:
        """The fields stand: give the first one the focus, hand over early keys, read the tables."""
        self.set_focus(self.field())
        self.kitwright.take_keys()
        self._warm()

    @work(exclusive=True, group="warm")
    async def _warm(self) -> None:
        # A key that came before this page stood may open another area: that goes first.
        await asyncio.sleep(TABLES_REST)
        if self.app.current_mode != self.AREA:
            await self.kitwright.rest()
        await asyncio.to_thread(warm)

    def _entries(self) -> list[Entry]:
        fields = self.query(ReadingField)
        return [
            Entry(slot, field.input.value, tool) for slot, field, tool in zip(SLOTS, fields, self._tools, strict=True)
        ]

    @work(exclusive=True, group="match")
    async def _match(self) -> None:
        """Rank again. A newer keystroke cancels this one before it reaches the screen."""
        await asyncio.sleep(DEBOUNCE)
        await self._evaluate()

    def _asked(self) -> tuple[list[Entry], Condition, str, str]:
        """Everything the answer depends on."""
        condition = CONDITIONS[self.query_one("#condition", Choice).index]
        joint = JOINTS[self.query_one("#joint", Choice).index]
        return self._entries(), condition, self.kitwright.unit, joint

    async def _evaluate(self) -> None:
        asked = self._asked()
        place = self._session.place
        entries, condition, unit, joint = asked
        if self._rings is None:
            self._rings = await asyncio.to_thread(self.kitwright.workshop.rings_on_shelf)
        if self._sizes is None:
            self._sizes = await asyncio.to_thread(self.kitwright.workshop.size_book)
        draft = self._session.draft
        bench = Bench(joint, draft.groove, shelf=self._rings, sizes=self._sizes, service=draft.service)
        if place is not None:
            bench = bench._replace(
                prior=place.prior, critical=place.critical, here=place.here, on_machine=place.on_machine,
                alone=place.prior_alone,
            )  # fmt: skip
        result = await asyncio.to_thread(evaluate, entries, condition, unit, bench)
        self._answered = asked
        await self._session.compare(result.ranking.evidence if result.ranking else None)
        self._show(result)

    def _show(self, result: MeasureResult) -> None:
        self._result = result
        for field, note, tool in zip(self.query(ReadingField), result.notes, self._tools, strict=True):
            field.say("typed" if note.stated else tool.value, note.echo, note.error, note.limit)
        self._candidates = candidates(result)
        self.rows.show(len(self._candidates), self._row)
        self._show_chosen()

    def _row(self, index: int) -> Row:
        found = self._candidates[index]
        size = found.size
        dims = ""
        if size is not None:
            inch = self.kitwright.unit == "in"
            dims = (
                f"{size.id_mm / 25.4:.3f} × {size.cross_section_mm / 25.4:.3f}"
                if inch
                else f"{size.id_mm:.2f} × {size.cross_section_mm:.2f}"
            )
        title = found.title + (f" +{len(found.also)}" if found.also else "")
        seals = percent(found.seals).replace(" ", "") if found.seals is not None else ""
        sure = percent(found.probability).replace(" ", "") if found.probability is not None else "near"
        return Row((title, dims, seals, sure), "" if size is not None and found.probability is not None else "dim")

    @property
    def chosen(self) -> Candidate | None:
        """The highlighted candidate."""
        index = self.rows.cursor
        return self._candidates[index] if 0 <= index < len(self._candidates) else None

    def _show_answer(self) -> None:
        chosen = self.chosen
        shelf = self._shelf.get(chosen.size.key, "") if chosen and chosen.size else ""
        said = answer(self._result, chosen, self.kitwright.unit, shelf)
        self.query_one("#answer", Static).update(self._session.above(said))

    def _show_chosen(self) -> None:
        """Redraw what depends on the highlighted size."""
        self._drawn = chosen = self.chosen
        size = chosen.size if chosen else None
        self._show_answer()
        span = self._result.span
        ring = None
        if size is not None:
            ring = Ring(size.id_mm, size.cross_section_mm)
        elif span is not None and span.id_mm is not None and span.width_mm is not None:
            ring = Ring(span.id_mm, span.width_mm)
        self.query_one("#ring", RingPicture).show(ring)
        residuals = chosen.residuals if chosen else ()
        self.query_one("#bands", BandPicture).show(
            [Band(name, value) for name, value in zip(self._result.names, residuals, strict=False)]
        )
        spots = [
            Spot(
                str(i + 1), one.size.id_mm, one.size.id_tol_mm, one.size.cross_section_mm, one.size.cross_section_tol_mm
            )
            for i, one in enumerate(found for found in self._candidates if found.size is not None)
            if one.size is not None and i < 6
        ]
        box = Span(span.id_mm, span.id_pm_mm, span.width_mm, span.width_pm_mm) if span else Span(None, 0.0, None, 0.0)
        self.query_one("#plane", PlanePicture).show(spots, box)

    def _unit_flipped(self) -> None:
        self.rows.set_columns(self._columns())
        self._match()

    def on_reading_field_edited(self) -> None:
        """Rank again."""
        self._match()

    def on_choice_changed(self) -> None:
        """Follow the choice."""
        self._match()

    def on_rows_highlighted(self) -> None:
        """Show what belongs to the highlighted row."""
        if self.chosen is not self._drawn:
            self._show_chosen()
        self._look_on_shelf()

    def on_rows_chosen(self) -> None:
        """Take the row."""
        self.action_accept()

    def on_descendant_focus(self, event: DescendantFocus) -> None:
        """Remember which field is in hand."""
        field = event.widget.parent
        if isinstance(field, ReadingField) and field.id:
            self._field = int(field.id.removeprefix("slot"))

    def field(self) -> Input:
        """The field last typed in."""
        return self.query_one(f"#slot{self._field}", ReadingField).input

    def action_tool(self) -> None:
        """The next tool, for the field in hand."""
        tools = self._tools
        tools[self._field] = TOOLS[(TOOLS.index(tools[self._field]) + 1) % len(TOOLS)]
        self._match()

    def action_condition(self) -> None:
        """The next look of the ring."""
        self.query_one("#condition", Choice).action_step(1)

    def action_joint(self) -> None:
        """The next place it may sit in."""
        self.query_one("#joint", Choice).action_step(1)

    def action_picture(self) -> None:
        """The other picture, where only one has room."""
        self._picture = (self._picture + 1) % len(PICTURES)
        self._show_picture()

    def _show_picture(self) -> None:
        for i, name in enumerate(PICTURES):
            self.query_one(f"#{name}").set_class(i != self._picture, "spare")

    def action_clear(self) -> None:
        """Empty every field for the next ring."""
        for field in self.query(ReadingField):
            field.input.value = ""
        # What was said and measured of the last ring says nothing of the next one.
        self.query_one("#condition", Choice).index = self.query_one("#joint", Choice).index = 0
        self._session.new_ring()
        self.query_one("#slot0", ReadingField).input.focus()

    def action_why(self) -> None:
        """Show the reasons."""
        from tui.screens.measure.why import why_sheet

        if self._result.ranking is not None:
            self.app.push_screen(why_sheet(self._result, self.chosen, self.kitwright.unit))

    def action_groove(self) -> None:
        """The groove the ring came from."""
        from tui.screens.groove.screen import GrooveScreen

        self.app.push_screen(GrooveScreen(self._session, self._result.ranking))

    def action_positions(self) -> None:
        """What fitted at a machine's position."""
        from tui.screens.position.screen import PositionScreen

        chosen, ranking = self.chosen, self._result.ranking
        size = chosen.size if chosen and chosen.probability is not None else None
        self.app.push_screen(PositionScreen(self._session, size, ranking.evidence if ranking else None))

    def action_accept(self) -> None:
        """Take the highlighted size to a job."""
        self._accept()

    @work(exclusive=True, group="accept")
    async def _accept(self) -> None:
        from catalog.orings.would_do import taken_of
        from tui.screens.accept import accept
        from tui.workshop import ChosenRing

        if self._asked() != self._answered:
            # Enter came before the answer to the last letters typed; take nothing older than they are.
            await self._evaluate()
        bad = next((i for i, note in enumerate(self._result.notes) if note.error), None)
        if bad is not None:
            # The list stands on the other readings alone: nobody means to take a size from that.
            self.say(f"{SLOTS[bad].name} can't be used. {self._result.notes[bad].error}", trouble=True)
            self.query_one(f"#slot{bad}", ReadingField).input.focus()
            return
        chosen = self.chosen
        if chosen is None:
            self.say("Nothing to accept yet. Type what you measured.")
        elif chosen.size is None:
            self.say("None of our sizes fits. Highlight the size below or above to take one of them.")
        else:
            ranking = self._result.ranking
            equivalents = tuple(size.key for size in chosen.also)
            evidence = ranking.evidence if ranking else None
            taken = taken_of(self._result.decision, chosen.size)
            chosen_ring = ChosenRing(
                chosen.size.label, chosen.size.key, equivalents, chosen.probability, evidence,
                doubt=doubt_of(self._result, chosen), seals=taken.seals, would_do=taken.others,
            )  # fmt: skip
            await accept(self, self._session.chosen_ring(chosen_ring))

    def workshop_changed(self) -> None:
        """Forget what lay on the shelf; ask again for what is shown."""
        self._shelf.clear()
        self._rings = self._sizes = None
        self._look_on_shelf()
        self._match()
        self._read_place()

    @work(exclusive=True, group="place")
    async def _read_place(self) -> None:
        await self._session.read_again(self.kitwright.workshop)
        if self._session.moved():
            self._match()

    @work(exclusive=True, group="shelf")
    async def _look_on_shelf(self) -> None:
        """Say where the highlighted size lies, once the cursor has rested on it."""
        chosen = self.chosen
        if chosen is None or chosen.size is None or chosen.size.key in self._shelf:
            return
        await asyncio.sleep(SHELF_REST)
        key = chosen.size.key
        rows = await self.ask(
            self.kitwright.workshop.stock_of_sizes, [key, *(size.key for size in chosen.also)], quiet=True
        )
        self._shelf[key] = "the workshop could not be read" if rows is None else on_shelf(rows)
        self._show_answer()
