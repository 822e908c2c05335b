"""Measure: readings in, ranked sizes out, the chosen one accepted into a job's kit."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.events import DescendantFocus
from textual.widget import Widget
from textual.widgets import Input, Static

from catalog.orings.evidence import Condition
from catalog.orings.on_shelf import ShelfRing
from catalog.orings.size_book import SizeBook
from tui.fields.field import Asked
from tui.operations.registry import operation
from tui.screens.area import SHARED, Area
from tui.screens.measure.answer import (
    Candidate,
    answer,
    candidates,
    chosen_lines,
    next_line,
    on_shelf,
)
from tui.screens.measure.band import AnswerBand
from tui.screens.measure.meets import read_meets
from tui.screens.measure.names import columns, row
from tui.screens.measure.picture import Drawing
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
from tui.screens.measure.typed import Typed, typed_of
from tui.screens.position.measure_session import MeasureSession
from tui.widgets.choice import Choice
from tui.widgets.meets_field import MeetsField
from tui.widgets.reading_field import ReadingField
from tui.widgets.rows import Row, Rows

if TYPE_CHECKING:
    from catalog.orings.sizes import RingSize
    from tui.workshop import ChosenRing

# Long enough to swallow a burst of pasted keys, short enough not to be felt.
DEBOUNCE = 0.02
# Rest of the cursor before the shelf is asked: not while the list still changes under the keys.
SHELF_REST = 0.15
TABLES_REST = 0.02
SHORT_LOOKS = ("?", "new", "used", "flat", "swollen", "shrunk")
MEETS_HINT = "it meets; the hottest it gets"


RING_LIST = operation("ring", "list")
Asking = tuple[list[Entry], Condition, str, str, tuple[str, str]]
"""The readings, how the ring looks, the unit, where it sits, and the texts of what it meets."""


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
        Binding("f12,x", "clear", "New ring", show=False, id="measure.clear",
                tooltip="Empty every field for the next ring; again brings the last one back"),
        Binding(RING_LIST.keys, "operate('list', 'ring')", RING_LIST.label, key_display="^R", show=False,
                id="ring.list", tooltip="Rings pasted or from a file, worked through, put on a kit together"),
    ]  # fmt: skip

    def __init__(self) -> None:
        super().__init__()
        self._tools = [slot.tool for slot in SLOTS]
        self._field = 0
        self._result: MeasureResult = EMPTY
        self._answered: Asking | None = None
        self._candidates: list[Candidate] = []
        # What the answer and the pictures show: the list says that its rows are new, and they were drawn with it.
        self._drawn: Candidate | None = None
        self._shelf: dict[str, str] = {}
        self._rings: tuple[ShelfRing, ...] | None = None
        self._sizes: SizeBook | None = None
        self._session = MeasureSession()
        self._emptied: Typed | None = None

    def body(self) -> Iterable[Widget]:
        """The answer; what was measured at the left, its drawing and the names at the right; what to do next."""
        yield AnswerBand(id="answer")
        with Horizontal(id="desk"):
            with Vertical(id="readings"):
                yield Static(id="place")
                asked = Asked(self.kitwright.units)
                for i, slot in enumerate(SLOTS):
                    yield ReadingField(slot.name, slot.field.hint(asked), slot.tool.value, id=f"slot{i}")
                with Horizontal(classes="picked"):
                    yield Static(" F8 Look", markup=False)
                    yield Choice([one.words for one in CONDITIONS], short=SHORT_LOOKS, id="condition")
                with Horizontal(classes="picked"):
                    yield Static(" ^L Sits", markup=False)
                    yield Choice([joint or "not said" for joint in JOINTS], short=("?", *JOINTS[1:]), id="joint")
                yield MeetsField(MEETS_HINT, id="meets")
            with Vertical(id="result"):
                yield Drawing(id="drawing")
                yield Rows(columns(self.kitwright.unit), empty="Sizes appear here as you type.", id="matches")
                yield Static(id="chosen")
        yield Static(id="next")

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.watch(self.app, "unit", self._unit_flipped, init=False)
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

    def _asked(self) -> Asking:
        """Everything the answer depends on that stands on this screen."""
        condition = CONDITIONS[self.query_one("#condition", Choice).index]
        joint = JOINTS[self.query_one("#joint", Choice).index]
        return self._entries(), condition, self.kitwright.unit, joint, self.query_one(MeetsField).texts

    async def _evaluate(self) -> None:
        asked = self._asked()
        place = self._session.place
        entries, condition, unit, joint, texts = asked
        if self._rings is None:
            self._rings = await asyncio.to_thread(self.kitwright.workshop.rings_on_shelf)
        if self._sizes is None:
            self._sizes = await asyncio.to_thread(self.kitwright.workshop.size_book)
        draft = self._session.draft
        meets = await asyncio.to_thread(read_meets, *texts, Asked(self.kitwright.units))
        bench = Bench(joint, draft.groove, shelf=self._rings, sizes=self._sizes, service=draft.service, meets=meets)
        if place is not None:
            bench = bench._replace(
                prior=place.prior, critical=place.critical, here=place.here, on_machine=place.on_machine,
                alone=place.prior_alone,
            )  # fmt: skip
        result = await asyncio.to_thread(evaluate, entries, condition, unit, bench)
        if meets.met != self._session.met:
            self._session.met = meets.met
            self._shelf.clear()
        self._answered = asked
        await self._session.compare(result.ranking.evidence if result.ranking else None)
        self._show(result)

    def _show(self, result: MeasureResult) -> None:
        self._result = result
        for field, note, tool in zip(self.query(ReadingField), result.notes, self._tools, strict=True):
            field.say("typed" if note.stated else tool.value, note.echo, note.error, note.limit)
        meets = result.service
        self.query_one(MeetsField).say(meets.echo, " ".join(meets.wrong[0]) if meets.wrong else "")
        self._candidates = candidates(result)
        self.rows.show(len(self._candidates), self._row)
        self.query_one("#place", Static).update(self._session.place_line())
        self.query_one("#next", Static).update(next_line(result))
        self._show_chosen()
        self._look_on_shelf()

    def _row(self, index: int) -> Row:
        return row(self._candidates[index], self.kitwright.unit)

    @property
    def chosen(self) -> Candidate | None:
        """The highlighted candidate."""
        index = self.rows.cursor
        return self._candidates[index] if 0 <= index < len(self._candidates) else None

    def _show_answer(self) -> None:
        chosen = self.chosen
        shelf = self._shelf.get(chosen.size.key, "") if chosen and chosen.size else ""
        lines = answer(self._result, self.kitwright.unit, shelf, self._session.above())
        self.query_one(AnswerBand).show(lines)

    def _show_chosen(self) -> None:
        """Redraw what depends on the highlighted size."""
        self._drawn = chosen = self.chosen
        self._show_answer()
        self.query_one("#chosen", Static).update(
            Content("\n").join(chosen_lines(self._result, chosen, self.kitwright.unit))
        )
        self.query_one(Drawing).show(self._result, chosen, self._candidates)

    def _unit_flipped(self) -> None:
        self.rows.set_columns(columns(self.kitwright.unit))
        self._match()

    def on_reading_field_edited(self) -> None:
        """Rank again."""
        self._match()

    def on_meets_field_edited(self) -> None:
        """Judge the rubbers again."""
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
        """The next picture in the drawing's place."""
        self.query_one(Drawing).turn()

    def _typed(self) -> Typed:
        """All that is typed and picked for this ring."""
        condition, joint = (self.query_one(f"#{name}", Choice).index for name in ("condition", "joint"))
        texts = tuple(field.input.value for field in self.query(ReadingField))
        meets = self.query_one(MeetsField).texts
        return Typed(texts, tuple(self._tools), condition, joint, meets, self._session.draft, self._session.rings.hand)

    def _put(self, typed: Typed) -> None:
        """Show another ring, or none; what was said and measured of the last one says nothing of it."""
        for field, text in zip(self.query(ReadingField), typed.texts, strict=True):
            field.input.value = text
        self._tools = list(typed.tools)
        self.query_one("#condition", Choice).index = typed.condition
        self.query_one("#joint", Choice).index = typed.joint
        self.query_one(MeetsField).fill(*typed.meets)
        self._session.new_ring(typed.draft, typed.hand)
        self.query_one("#slot0", ReadingField).input.focus()
        self._match()

    def action_clear(self) -> None:
        """Empty every field for the next ring; once they are empty, bring back what was emptied last."""
        now = self._typed()
        if not now.is_empty:
            self._emptied = now
            self._put(Typed())
            self.say("Emptied for the next ring. F12 again brings the last one back.")
        elif self._emptied is not None:
            self._put(self._emptied)
            self._emptied = None
        else:
            self._put(Typed())

    def action_operate(self, name: str, area: str) -> None:
        """The list of rings; with the one that is in hand as it is now."""
        from tui.screens.ring_list.screen import RingListScreen

        now, rings = self._typed(), self._session.rings
        if rings.hand is None:
            self._emptied = None if now.is_empty else now
        elif self._asked() == self._answered:
            self._note_in_list()
        page = RingListScreen(self._session, now.meets, JOINTS[now.joint])
        self.app.push_screen(page, lambda _: self._from_list(now))

    def _note_in_list(self) -> None:
        """The ring in hand goes back to the list with its readings and the size that was chosen here."""
        hand, chosen, decision = self._session.rings.in_hand, self.chosen, self._result.decision
        if hand is None or decision is None or chosen is None or chosen.size is None or hand.kit:
            return
        settled = decision.settled and chosen.size == (decision.best.size if decision.best else None)
        if settled or self.rows.cursor:
            hand.choose(self._ring(chosen, chosen.size), decision, by_hand=not settled)

    def _from_list(self, before: Typed) -> None:
        """A ring was picked from the list, or the one that stood here goes on."""
        rings = self._session.rings
        if rings.in_hand is not None and rings.hand is not None:
            self._put(typed_of(rings.in_hand, before.meets, rings.hand))
        else:
            self._match()

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
        from tui.screens.accept import accept

        if self._asked() != self._answered:
            # Enter came before the answer to the last letters typed; take nothing older than they are.
            await self._evaluate()
        if bad := self._first_wrong():
            # The list stands on the other readings alone: nobody means to take a size from that.
            name, error, field = bad
            self.say(f"{name} can't be used. {error}", trouble=True)
            field.focus()
            return
        chosen = self.chosen
        if chosen is None:
            self.say("Nothing to accept yet. Type what you measured.")
        elif chosen.size is None:
            self.say("None of our sizes fits. Highlight the size below or above to take one of them.")
        else:
            ring = self._ring(chosen, chosen.size)
            if why := self._session.no_rubber(ring):
                self.say(why, trouble=True)
                self.query_one(MeetsField).fluid.focus()
                return
            added = await accept(self, ring)
            if added is not None and (hand := self._session.rings.in_hand) is not None:
                hand.put(added.title, added.job_id, added.needs[0].need)

    def _ring(self, chosen: Candidate, size: RingSize) -> ChosenRing:
        """The highlighted ring with all that is known of it."""
        from tui.screens.measure.chosen import chosen_ring

        ring = chosen_ring(self._result.decision, size)._replace(
            equivalents=tuple(one.key for one in chosen.also), probability=chosen.probability
        )
        return self._session.chosen_ring(ring)

    def _first_wrong(self) -> tuple[str, str, Input] | None:
        """The first field that can't be used: its name, the sentence, the field."""
        for i, note in enumerate(self._result.notes):
            if note.error:
                return SLOTS[i].name, note.error, self.query_one(f"#slot{i}", ReadingField).input
        meets = self.query_one(MeetsField)
        for name, error in self._result.service.wrong:
            return name, error, meets.fluid if name == meets.NAMES[0] else meets.hottest
        return None

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
        met = self._result.met
        self._shelf[key] = "the workshop could not be read" if rows is None else on_shelf(rows, met)
        self._show_answer()
