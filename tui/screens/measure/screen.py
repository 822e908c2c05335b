"""Measure: readings in, ranked sizes out, the chosen one accepted into a job's kit."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Input, Static

from catalog.orings.on_shelf import ShelfRing
from catalog.orings.size_book import SizeBook
from tui import screens
from tui.bound import bind
from tui.fields.field import Asked
from tui.keys import key
from tui.operations.registry import operation
from tui.screens.area import SHARED
from tui.screens.measure.answer import (
    Candidate,
    answer,
    candidates,
    chosen_lines,
    next_line,
    on_shelf,
    rubbers_there,
)
from tui.screens.measure.form import Asking, RingForm
from tui.screens.measure.meets import read_meets
from tui.screens.measure.names import columns, row
from tui.screens.measure.picture import Drawing
from tui.screens.measure.result import (
    EMPTY,
    JOINTS,
    SLOTS,
    Bench,
    MeasureResult,
    evaluate,
    warm,
)
from tui.screens.measure.typed import Typed, pictured, typed_of
from tui.widgets.answer_band import AnswerBand
from tui.widgets.cells import clean
from tui.widgets.meets_field import MeetsField
from tui.widgets.reading_field import ReadingField
from tui.widgets.rows import Row

if TYPE_CHECKING:
    from catalog.orings.sizes import RingSize
    from tui.answers.ring_photo import RingPhoto
    from tui.workshop import ChosenRing

# Long enough to swallow a burst of pasted keys, short enough not to be felt.
DEBOUNCE = 0.02
LOOKS, DEMO_LOOKS, LOOK_AGAIN = 20, 300, 0.2
"""How often, and seconds apart, a database is looked at that is just being made."""
# Rest of the cursor before the shelf is asked: not while the list still changes under the keys.
SHELF_REST = 0.15
TABLES_REST = 0.02
RING_LIST = operation("ring", "list")
PHOTO = operation("ring", "photo")


class MeasureScreen(RingForm):
    """Type readings; the list follows. Up and down choose, Enter accepts."""

    AREA = "measure"
    LIST = "#matches"
    PAGE = Path(__file__).with_name("measure.md")
    CSS_PATH: ClassVar = [SHARED, "measure.tcss"]
    AUTO_FOCUS = "SizeInput"
    # Enter, arrows, PgDn and ? work from inside a field, which has no other use for them.
    BINDINGS: ClassVar[list[BindingType]] = [
        bind("take", "accept", "Accept", show=True, id="measure.accept",
             tooltip="Put the highlighted size on a job's kit"),
        bind("tool", "tool", "Tool", show=True, id="measure.tool",
             tooltip="Change what the reading in the field was taken with"),
        bind("looks", "condition", "Ring looks", id="measure.condition",
             tooltip="Change how the ring looks: new, used, flattened, swollen, shrunk"),
        bind("sits", "joint", "Sits", id="measure.joint",
             tooltip="Change where the ring sits: plug, bore, cover, shaft, port"),
        bind("page-down", "picture", "Picture", show=True, id="measure.picture",
             tooltip="In a field: the next picture: ring, readings, sizes"),
        bind("why", "why", "Why", show=True, priority=True, id="measure.why",
             tooltip="The reasons behind the answer"),
        bind("groove", "groove", "Groove", show=True, id="measure.groove",
             tooltip="The groove the ring came from: does it seal there, which others do"),
        bind("machine", "positions", "Machine", id="measure.positions",
             tooltip="What fitted at a machine's position; note what fits now"),
        bind("clear", "clear", "New ring", id="measure.clear",
             tooltip="Empty every field for the next ring; again brings the last one back"),
        bind(RING_LIST.key, "operate('list', 'ring')", RING_LIST.label, id="ring.list",
             tooltip="A list of rings: pasted or from a file, worked through, put on a kit together"),
        bind(PHOTO.key, "by_picture", PHOTO.label, id="ring.photo",
             tooltip="Measure the ring by a picture of it on the printed sheet: ID and width with their ±"),
    ]  # fmt: skip

    def __init__(self) -> None:
        super().__init__()
        self._result: MeasureResult = EMPTY
        self._answered: Asking | None = None
        self._candidates: list[Candidate] = []
        # What the answer and the pictures show: the list says that its rows are new, and they were drawn with it.
        self._drawn: Candidate | None = None
        self._shelf: dict[str, str] = {}
        self._rings: tuple[ShelfRing, ...] | None = None
        self._is_new: bool | None = None
        self._sizes: SizeBook | None = None
        self._emptied: Typed | None = None
        # The ring that went on a kit: all that was typed of it, and the position it was for.
        self._went: tuple[Typed, int] | None = None
        self._filled = ("", "")

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

    def match(self) -> None:
        """Rank again, once the keys that come in a burst are all in."""
        self._match()

    @work(exclusive=True, group="match")
    async def _match(self) -> None:
        """Rank again. A newer keystroke cancels this one before it reaches the screen."""
        await asyncio.sleep(DEBOUNCE)
        await self._evaluate()

    async def _evaluate(self) -> None:
        asked = self._asked()
        place = self._session.place
        entries, condition, unit, joint, texts = asked
        if self._rings is None:
            self._rings = await self.in_turn(self.kitwright.workshop.rings_on_shelf)
        if self._sizes is None:
            self._sizes = await self.in_turn(self.kitwright.workshop.size_book)
        draft = self._session.draft
        meets = await asyncio.to_thread(read_meets, *texts, Asked(self.kitwright.units))
        picture = self._by_picture([one.text for one in entries])
        bench = Bench(
            joint, draft.groove, shelf=self._rings, sizes=self._sizes, service=draft.service, meets=meets,
            picture="" if picture is None else picture.words,
        )  # fmt: skip
        if place is not None:
            bench = bench._replace(
                prior=place.prior, critical=place.critical, here=place.here, on_machine=place.on_machine,
                alone=place.prior_alone,
            )  # fmt: skip
        result = await self.in_turn(evaluate, entries, condition, unit, bench)
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
        place = self.query_one("#place", Static)
        place.update(self._session.place_line(place.content_size.width), layout=False)
        self.say_next()
        self._show_chosen()

    def _row(self, index: int) -> Row:
        return row(self._candidates[index], self.kitwright.unit)

    @property
    def chosen(self) -> Candidate | None:
        """The highlighted candidate."""
        index = self.rows.cursor
        return self._candidates[index] if 0 <= index < len(self._candidates) else None

    def next_words(self) -> str | Content:
        """What would raise the chance most; not what Enter does, which the key line says."""
        return next_line(self._result, self.size.width)

    def _show_answer(self) -> None:
        chosen = self.chosen
        shelf = self._shelf.get(chosen.size.key, "") if chosen and chosen.size else ""
        rubbers = rubbers_there(self._result, chosen.size if chosen else None)
        lines = answer(
            self._result,
            self.kitwright.unit,
            shelf,
            self._session.above(),
            rubbers=rubbers,
            highlighted=chosen.size.label if chosen and chosen.size else "",
            is_new=self._is_new is True,
            demo_is_there=self._is_new is False if self.kitwright.demo else None,
        )
        self.query_one(AnswerBand).show(lines)

    def _show_chosen(self) -> None:
        """Redraw what depends on the highlighted size."""
        self._drawn = chosen = self.chosen
        self._show_answer()
        self.query_one("#chosen", Static).update(
            Content("\n").join(chosen_lines(self._result, chosen, self.kitwright.unit)), layout=False
        )
        self.query_one(Drawing).show(self._result, chosen, self._candidates)

    def _unit_flipped(self) -> None:
        self.rows.set_columns(columns(self.kitwright.unit))
        self.match()

    def on_rows_highlighted(self) -> None:
        """Show what belongs to the highlighted row."""
        if self.chosen is not self._drawn:
            self._show_chosen()
        self._look_on_shelf()

    def on_rows_chosen(self) -> None:
        """Take the row."""
        self.action_accept()

    def action_picture(self) -> None:
        """The next picture in the drawing's place."""
        self.query_one(Drawing).turn()

    def action_clear(self) -> None:
        """Empty every field for the next ring; once they are empty, bring back what was emptied last."""
        now = self._typed()
        if not now.is_empty(self._filled):
            self._empty(now)
            self.say(f"Emptied for the next ring. {key('clear')} again brings the last one back.")
        elif self._emptied is not None:
            self._put(self._emptied)
            self._emptied = None
        else:
            self._put(Typed())

    def _empty(self, now: Typed) -> None:
        """Put away what stands here, for the next ring."""
        self._emptied, self._went = now, None
        self._filled = self._session.meets_there
        self._put(Typed(meets=self._filled))

    def _empty_elsewhere(self) -> None:
        """One ring's readings are not the next position's: what went on a kit as it stands is put away."""
        place, now = self._session.place, self._typed()
        if place is not None and self._went is not None and self._went[0] == now and self._went[1] != place.position_id:
            self._empty(now)
            self.say(f"Emptied for the ring of this position. {key('clear')} brings the last one back.")
            self.field().focus()

    def action_operate(self, name: str, area: str) -> None:
        """The list of rings; with the one that is in hand as it is now."""
        now, rings = self._typed(), self._session.rings
        if rings.hand is None:
            self._emptied = None if now.is_empty(self._filled) else now
        elif self._asked() == self._answered:
            self._note_in_list()
        page = screens.ring_list.screen.RingListScreen(self._session, now.meets, JOINTS[now.joint])
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
            self.match()

    def action_by_picture(self) -> None:
        """Measure by a picture; what it gives takes the place of the readings."""
        read = [f"{slot.name} {text}" for slot, text in zip(SLOTS, self._typed().texts, strict=True) if text]
        replaces = f"It takes the place of {', '.join(clean(one, 30) for one in read)}." if read else ""
        self.app.push_screen(screens.measure.by_picture.PictureScreen(self._session, replaces), self._from_picture)

    def _from_picture(self, found: RingPhoto | None) -> None:
        """The picture's readings go into the fields; what stood there is told."""
        if found is None:
            return
        before = self._typed()
        self._put(pictured(before, found))
        stood = ", ".join(f"{slot.name} {text}" for slot, text in zip(SLOTS, before.texts, strict=True) if text)
        self.say(found.words()[0] + (f" In place of {stood}." if stood else ""))

    def action_why(self) -> None:
        """Show the reasons."""
        if self._result.ranking is not None:
            said = self.query_one(AnswerBand).lines
            self.app.push_screen(screens.measure.why.why_sheet(self._result, self.chosen, self.kitwright.unit, said))

    def action_groove(self) -> None:
        """The groove the ring came from."""
        self.app.push_screen(screens.groove.screen.GrooveScreen(self._session, self._result.ranking))

    def action_positions(self) -> None:
        """What fitted at a machine's position."""
        chosen, ranking = self.chosen, self._result.ranking
        size = chosen.size if chosen and chosen.probability is not None else None
        self.app.push_screen(
            screens.position.screen.PositionScreen(self._session, size, ranking.evidence if ranking else None)
        )

    def action_accept(self) -> None:
        """Take the highlighted size to a job."""
        self._accept()

    @work(exclusive=True, group="accept")
    async def _accept(self) -> None:
        if self._asked() != self._answered:
            # Enter came before the answer to the last letters typed; take nothing older than they are.
            await self._evaluate()
        if bad := self._first_wrong():
            # The list stands on the other readings alone: nobody means to take a size from that.
            name, error, field = bad
            self.say(f"{name} can't be used: {error}", trouble=True)
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
            added = await screens.accept.accept(self, ring)
            if added is not None and self._session.place is not None:
                self._went = (self._typed(), self._session.place.position_id)
            if added is not None and (hand := self._session.rings.in_hand) is not None:
                hand.put(added.title, added.job_id, added.needs[0].need)

    def _ring(self, chosen: Candidate, size: RingSize) -> ChosenRing:
        """The highlighted ring with all that is known of it."""
        ring = screens.measure.chosen.chosen_ring(self._result.decision, size)._replace(
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
        self.match()
        self._read_place()
        if self._is_new is not False:
            self._greet()

    @work(exclusive=True, group="greet")
    async def _greet(self) -> None:
        """Find out whether anything was ever booked; a database that is just being made is looked at again.

        The demo is being made until something was.
        """
        demo = self.kitwright.demo
        for _ in range(DEMO_LOOKS if demo else LOOKS):
            self._is_new = await asyncio.to_thread(self.kitwright.workshop.is_new)
            if self._is_new is False or (self._is_new is not None and not demo):
                break
            await asyncio.sleep(LOOK_AGAIN)
        self._show_answer()

    @work(exclusive=True, group="place")
    async def _read_place(self) -> None:
        await self._session.read_again(self.kitwright.workshop)
        if self._session.moved():
            self._empty_elsewhere()
            self._fill_meets()
            self.match()

    def _fill_meets(self) -> None:
        """The fluid on record at the place goes into its fields, unless somebody typed another."""
        field, there = self.query_one(MeetsField), self._session.meets_there
        if field.texts in (("", ""), self._filled):
            field.fill(*there)
            self._filled = there

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
