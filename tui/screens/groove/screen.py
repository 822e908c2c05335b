"""The groove: is that the ring that was in it, and does it seal there? Which others would?"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual import work
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.events import DescendantFocus
from textual.widget import Widget
from textual.widgets import Input, Static

import tui
from catalog.orings.groove import Motion
from tui import screens
from tui.bound import bind
from tui.fields.field import Asked as Reading
from tui.keys import key
from tui.operations.groove import on_the_shelf
from tui.screens.area import SHARED, Area
from tui.screens.groove import lists
from tui.screens.groove.answer import answer, bars, mark, ruling, section
from tui.screens.groove.draft import KIND_WORDS, KINDS, MOTION_WORDS, MOTIONS, MOVING, SLOTS, TOOL_WORDS, TOOLS, Slot
from tui.screens.groove.fields import GrooveField
from tui.screens.groove.lists import INSTEAD, MEASURED, SEALS, VIEWS
from tui.screens.groove.reading import NOTHING, Asked, Judged, Line, Note, instead, judge
from tui.screens.measure.answer import on_shelf
from tui.widgets.answer_band import CUT_SHOWN_BY, Told
from tui.widgets.choice import Choice
from tui.widgets.groove.figure_bars import FigureBars
from tui.widgets.groove.groove_picture import GroovePicture
from tui.widgets.judge.ask_field import Edited, PickField
from tui.widgets.rows import Row, Rows

if TYPE_CHECKING:
    from sqlmodel import Session

    from catalog.orings.candidates import Interchange
    from catalog.orings.match import Ranking
    from catalog.orings.play import Guide
    from catalog.orings.size_book import SizeBook
    from catalog.orings.sizes import RingSize
    from tui.screens.position.measure_session import MeasureSession

Found = TypeVar("Found")

DEBOUNCE = 0.03
SHELF_REST = 0.15


class GrooveScreen(Area):
    """Opened over Measure with what the ring's readings say. The case's draft is written to as fields change."""

    AREA = "measure"
    LIST = "#groove-rows"
    PAGE = Path(__file__).with_name("groove.md")
    CSS_PATH: ClassVar = [SHARED, "groove.tcss"]
    AUTO_FOCUS = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        bind("take", "accept", "Accept", show=True, id="groove.accept",
             tooltip="Put the highlighted ring on a job's kit"),
        bind("turn", "view", "List", show=True, id="groove.view",
             tooltip="The next list: measured, seals here, replacements for the highlighted ring"),
        bind("fill", "standard", "Standard", show=True, id="groove.standard",
             tooltip="Fill in the standard groove for the highlighted ring; again brings your readings back"),
        bind("why", "why", "Why", show=True, priority=True, id="groove.why",
             tooltip="Every reason with its source; room for back-up rings"),
        bind("clear", "clear", "Empty", id="groove.clear", tooltip="Empty every field; again brings them back"),
        bind("groove", "back", "Ring", show=True, id="groove.back",
             tooltip="Back to the ring's readings; the groove stays"),
        bind("sits", "kind", "Kind", id="groove.kind", tooltip="Another kind of groove"),
        bind("change", "motion", "Motion", id="groove.motion", tooltip="Whether the ring stands still or moves"),
    ]  # fmt: skip

    def __init__(self, case: MeasureSession, ranking: Ranking | None = None) -> None:
        super().__init__()
        self._session = case
        self._draft = case.draft
        self._ranking = ranking
        self._judged: Judged = NOTHING
        self._answered: tuple[object, ...] | None = None
        self._view = MEASURED if ranking is not None and ranking.matches else SEALS
        self._lines: list[Line] = []
        self._whys: dict[str, str] = {}
        self._base: RingSize | None = None
        self._swap: Interchange | None = None
        self._shelf: dict[str, str] = {}
        self._guides: dict[str, Guide] = {}
        self._preferred: frozenset[str] = frozenset()
        self._book: SizeBook | None = None
        self._last = ""
        self._named = False

    def body(self) -> Iterable[Widget]:
        """Kind, fields and drawing at the left; answer, list and bars at the right."""
        texts = self._draft.texts
        with Horizontal(id="groove-desk"):
            with Vertical(id="groove-left"):
                yield Choice(KIND_WORDS, by_letter=True, id="groove-kind")
                yield PickField("The ring", MOTION_WORDS, id="groove-motion")
                yield PickField("Read with", TOOL_WORDS, id="groove-tool")
                with VerticalScroll(id="groove-fields", can_focus=False):
                    for slot in SLOTS:
                        if slot.key == "clearance":
                            yield Static("In service (leave empty if unknown)", classes="at-work", markup=False)
                        yield GrooveField(slot.name, self._hint(slot), "", id=f"g-{slot.key}")
                yield GroovePicture(id="groove-picture")
            with Vertical(id="groove-right"):
                yield Told(cut=CUT_SHOWN_BY, id="groove-answer")
                yield Choice(VIEWS, by_letter=True, id="groove-view")
                yield Rows(lists.columns(self._view, self.kitwright.unit), loads=False, id="groove-rows")
                yield FigureBars(id="groove-bars")
        self._start = dict(texts)

    def _hint(self, slot: Slot) -> str:
        return slot.field.hint(Reading(self.kitwright.units))

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.query_one("#groove-kind", Choice).index = KINDS.index(self._draft.kind)
        self.query_one("#groove-motion", PickField).index = MOTIONS.index(self._draft.motion)
        self.query_one("#groove-tool", PickField).index = TOOLS.index(self._draft.tool)
        self.query_one("#groove-view", Choice).index = self._view
        for slot, text in self._start.items():
            self._input(slot).value = text
        self.watch(self.app, "unit", self._unit_flipped, init=False)
        self._hide_what_does_not_apply()
        self.call_after_refresh(self._focus_first)
        self._judge_again()

    def _focus_first(self) -> None:
        field = self.field()
        if field is not None:
            field.focus()

    def _input(self, key: str) -> Input:
        return self.query_one(f"#g-{key}", GrooveField).input

    def field(self) -> Input | None:
        """The field last typed in, or the first of this kind of groove."""
        slots = self._draft.slots()
        key = self._last if any(slot.key == self._last for slot in slots) else slots[0].key
        return self._input(key)

    def on_descendant_focus(self, event: DescendantFocus) -> None:
        """Remember which field is in hand."""
        field = event.widget.parent
        if isinstance(field, GrooveField) and field.id:
            self._last = field.id.removeprefix("g-")

    # Judging

    def _asked(self) -> Asked:
        draft = self._draft
        draft.texts = {slot.key: self._input(slot.key).value for slot in SLOTS}
        motion = draft.motion if draft.kind in MOVING else Motion.STATIC
        standard = draft.standard if draft.is_standard else None
        texts = dict(draft.texts)
        unit = self.kitwright.unit
        known = (self._preferred, draft.tool, self._book, self._look)
        return Asked(draft.kind, motion, draft.slots(), texts, standard, unit, *known)

    @work(exclusive=True, group="judge")
    async def _judge_again(self) -> None:
        """A newer keystroke cancels this one before it reaches the screen."""
        await asyncio.sleep(DEBOUNCE)
        await self._evaluate()

    async def _evaluate(self) -> None:
        asked = self._asked()
        judged = await asyncio.to_thread(judge, asked, self._ranking)
        self._answered = asked
        self._judged = judged
        self._guides.clear()
        # A standard groove is no reading: neither a fit record nor a comparison may take it for one.
        self._draft.groove = judged.groove if asked.standard is None else None
        self._draft.service = judged.service
        for slot in SLOTS:
            note = judged.notes.get(slot.key, Note())
            self.query_one(f"#g-{slot.key}", GrooveField).say("", note.echo, note.error, note.limit)
        if self._ranking is None and judged.lines and not self._named:
            # A ring was just named: show how it does here.
            self._view = self.query_one("#groove-view", Choice).index = MEASURED
        self._named = bool(judged.lines)
        if self._view == INSTEAD:
            await self._find_instead()
        self._show_list()

    def _look(self, question: Callable[[Session], Found]) -> Found:
        """Into the workshop, in a thread of its own, for a size that is named."""
        tui.workshop.load()
        return self.kitwright.workshop.read(question)

    async def _find_instead(self) -> None:
        groove, base = self._judged.groove, self._base
        self._swap = None
        if groove is not None and base is not None:
            sizes = self._asked().sizes
            self._swap = await asyncio.to_thread(instead, base, groove, self._judged.service, self._preferred, sizes)

    def _show_list(self) -> None:
        kept = self.chosen
        self._lines, self._whys = lists.lines(self._view, self._judged, self._swap)
        known = {(line.ring.key, line.by_readings): i for i, line in enumerate(self._lines)}
        rows = self.rows
        rows.empty = lists.empty(self._view, self._judged)
        rows.set_columns(lists.columns(self._view, self.kitwright.unit))
        cursor = 0 if kept is None else known.get((kept.ring.key, kept.by_readings), 0)
        rows.show(len(self._lines), self._row, cursor=cursor)
        self._show_chosen()

    def _row(self, index: int) -> Row:
        app = self.kitwright
        return lists.row(
            *(self._lines[index], self._view, app.unit),
            preferred=self._preferred,
            plain=app.plain_glyphs,
            first=index == 0,
        )

    @property
    def chosen(self) -> Line | None:
        """The highlighted line."""
        index = self.rows.cursor
        return self._lines[index] if 0 <= index < len(self._lines) else None

    def _show_answer(self) -> None:
        chosen = self.chosen
        shelf = self._shelf.get(chosen.ring.key, "") if chosen else ""
        why = self._whys.get(chosen.ring.key, "") if chosen else ""
        judged = self._judged if self._view == MEASURED else self._judged._replace(told="")
        guide = self._guides.get(chosen.ring.key) if chosen else None
        said = answer(judged, chosen, shelf, why, guide, self.kitwright.unit, plain=self.kitwright.plain_glyphs)
        self.query_one("#groove-answer", Static).update(said)

    def _show_chosen(self) -> None:
        chosen = self.chosen
        sealing = chosen.sealing if chosen else None
        self._show_answer()
        drawn = None if sealing is None else section(sealing, self.kitwright.unit)
        style = "" if sealing is None else mark(sealing.verdict).style.removeprefix("bold ")
        self.query_one(GroovePicture).show(drawn, style)
        lines = [] if sealing is None else bars(sealing, plain=self.kitwright.plain_glyphs)
        self.query_one(FigureBars).show(lines, "Squeeze, stretch, fill appear here.")
        self._look_at_play()

    @work(exclusive=True, group="play")
    async def _look_at_play(self) -> None:
        """Say which play would turn the highlighted ring, once the cursor has rested on it."""
        chosen, judged = self.chosen, self._judged
        if chosen is None or chosen.sealing is None or chosen.ring.key in self._guides:
            return
        await asyncio.sleep(SHELF_REST)
        found = await asyncio.to_thread(screens.groove.answer.guide, judged, chosen.sealing)
        if self._judged is judged:
            self._guides[chosen.ring.key] = found
            self._show_answer()

    # What a person does

    def _hide_what_does_not_apply(self) -> None:
        shown = {slot.key for slot in self._draft.slots()}
        for slot in SLOTS:
            self.query_one(f"#g-{slot.key}").display = slot.key in shown
        self.query_one("#groove-motion").display = self._draft.kind in MOVING

    def on_reading_field_edited(self) -> None:
        """Judge again."""
        self._judge_again()

    def on_edited(self, message: Edited) -> None:
        """The ring stands still or moves; another tool was taken."""
        message.stop()
        self._draft.motion = MOTIONS[self.query_one("#groove-motion", PickField).index]
        self._draft.tool = TOOLS[self.query_one("#groove-tool", PickField).index]
        self._judge_again()

    async def on_choice_changed(self, message: Choice.Changed) -> None:
        """Another kind of groove, or another list."""
        if message.choice.id == "groove-kind":
            self._draft.kind = KINDS[message.choice.index]
            self._hide_what_does_not_apply()
            focused = self.focused
            if focused is None or not focused.is_on_screen:
                self._focus_first()
            self._judge_again()
        else:
            self._turn_to(message.choice.index)

    def _turn_to(self, view: int) -> None:
        if view == INSTEAD and self._view != INSTEAD and self.chosen is not None:
            self._base = self.chosen.ring
        self._view = view
        self._judge_again()

    def _unit_flipped(self) -> None:
        self._judge_again()

    def on_rows_highlighted(self) -> None:
        """Show what belongs to the highlighted ring."""
        self._show_chosen()
        self._look_on_shelf()

    def on_rows_chosen(self) -> None:
        """Take the ring."""
        self.action_accept()

    def action_leave(self) -> None:
        """From a field to the list, from the list back to the ring."""
        if self.rows.has_focus:
            self.action_back()
        else:
            self.rows.focus()

    def action_back(self) -> None:
        """Back to Measure; the groove stays as it is."""
        self._asked()
        self.dismiss()

    def action_view(self) -> None:
        """The next list."""
        self.query_one("#groove-view", Choice).action_step(1)

    def action_kind(self) -> None:
        """The next kind of groove."""
        self.query_one("#groove-kind", Choice).action_step(1)

    def action_motion(self) -> None:
        """Still, or how it moves."""
        if self._draft.kind in MOVING:
            self.query_one("#groove-motion", PickField).action_step(1)
        else:
            self.say("A ring in this kind of groove stands still.")

    def _write(self, texts: dict[str, str]) -> None:
        for slot in SLOTS:
            if slot.key in texts:
                self._input(slot.key).value = texts[slot.key]
        self._judge_again()

    def action_standard(self) -> None:
        """The standard groove for the highlighted ring, or one's own readings again."""
        self._asked()
        ring = self.chosen.ring if self.chosen is not None else None
        grooves = None if self._book is None else self._book.grooves
        filled = screens.groove.standard.fill(self._draft, ring, self.kitwright.unit, grooves)
        if filled.said:
            self.say(filled.said, trouble=filled.trouble)
        if filled.texts:
            self._write(filled.texts)

    def action_clear(self) -> None:
        """Empty every field, or bring back what was emptied."""
        self._asked()
        draft = self._draft
        if any(draft.texts.values()):
            draft.cleared = dict(draft.texts)
            self._write(dict.fromkeys(draft.texts, ""))
            self.say(f"Emptied. {key('clear')} again brings it back.")
        elif draft.cleared:
            self._write(draft.cleared)
        self._focus_first()

    def action_why(self) -> None:
        """Every reason with its source."""
        chosen = self.chosen
        if chosen is None:
            self.say(f"Nothing is judged yet. Measure the groove, or fill in a standard one with {key('fill')}.")
            return
        found = ruling(self._judged, chosen)
        self.app.push_screen(screens.judge.why.reasons_sheet(found, "", plain=self.kitwright.plain_glyphs))

    def next_words(self) -> str:
        """What Enter puts on a kit."""
        return "" if self.chosen is None else f"Enter puts {self.chosen.ring.label} on a kit"

    def action_accept(self) -> None:
        """Take the highlighted ring to a job."""
        self._accept()

    @work(exclusive=True, group="accept")
    async def _accept(self) -> None:
        if self._asked() != self._answered:
            # Enter came before the answer to the last letters typed; take nothing older than they are.
            await self._evaluate()
        bad = next((slot for slot in self._draft.slots() if self._judged.notes.get(slot.key, Note()).error), None)
        if bad is not None:
            self.say(f"Put “{bad.name}” right first. {self._judged.notes[bad.key].error}", trouble=True)
            self._input(bad.key).focus()
            return
        chosen = self.chosen
        if chosen is None:
            self.say(f"Nothing to accept yet. Measure the groove, or go back to the ring with {key('groove')}.")
            return
        evidence = self._ranking.evidence if self._ranking and chosen.by_readings is not None else None
        equivalents = tuple(size.key for size in chosen.also)
        probability = chosen.with_groove if chosen.with_groove is not None else chosen.by_readings
        sealing = chosen.sealing
        verdict = (
            None
            if sealing is None
            else {"will not": "will not seal", "marginal": "is marginal"}.get(sealing.verdict, sealing.verdict)
        )
        doubt = "" if verdict is None else f"{chosen.ring.label} {verdict} in this groove as measured, by our rules."
        chosen_ring = tui.workshop.ChosenRing(
            chosen.ring.label, chosen.ring.key, equivalents, probability, evidence, doubt=doubt
        )
        ring = self._session.chosen_ring(chosen_ring)
        if why := self._session.no_rubber(ring):
            self.say(why, trouble=True)
            return
        await screens.accept.accept(self, ring)

    # The shelf

    def workshop_changed(self) -> None:
        """Ask again what lies on the shelf."""
        self._shelf.clear()
        self._read_shelf()

    @work(exclusive=True, group="preferred")
    async def _read_shelf(self) -> None:
        await self._session.read_again(self.kitwright.workshop)
        found = await self.ask(on_the_shelf, self.kitwright.workshop.read, quiet=True)
        own = self._book.own if self._book is not None else ()
        book = await asyncio.to_thread(self.kitwright.workshop.size_book)
        self._book = book
        if (found is not None and found != self._preferred) or book.own != own:
            self._preferred = self._preferred if found is None else found
            self._judge_again()
        self._look_on_shelf()

    @work(exclusive=True, group="shelf")
    async def _look_on_shelf(self) -> None:
        """Say where the highlighted ring lies, once the cursor has rested on it."""
        chosen = self.chosen
        if chosen is None or chosen.ring.key in self._shelf:
            return
        await asyncio.sleep(SHELF_REST)
        keys = [chosen.ring.key, *(size.key for size in chosen.also)]
        rows = await self.ask(self.kitwright.workshop.stock_of_sizes, keys, quiet=True)
        self._shelf[chosen.ring.key] = "the workshop could not be read" if rows is None else on_shelf(rows)
        self._show_answer()
