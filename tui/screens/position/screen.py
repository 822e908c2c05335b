"""A machine's position: what fitted there, before anything is measured; and what fits now, noted for the next time."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widget import Widget
from textual.widgets import Input, Static

import tui
from catalog import orings
from tui import screens
from tui.bound import bind
from tui.fields.field import Asked
from tui.keys import key, plain
from tui.operations.registry import operation
from tui.screens.area import SHARED, Area
from tui.screens.asking import one_text
from tui.screens.measure.answer import on_shelf
from tui.screens.position.measure_session import MeasureSession, differs
from tui.screens.position.records import Head, Listed, Place
from tui.screens.position.words import BUILT, on_record, told
from tui.widgets.cells import clean
from tui.widgets.filter_input import FilterInput
from tui.widgets.rows import ANNOTATED, READING, UNREAD, Column, Row, Rows

if TYPE_CHECKING:
    from catalog.orings.evidence import Evidence
    from catalog.orings.sizes import RingSize
    from models.machines import MachineRow

# Rest of the cursor before the record is read.
REST = 0.05


class PositionFilter(FilterInput):
    """The field above the positions; the key line says what Enter does."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bind("take", "screen.accept", "Measure here", show=True, id="position.field_measure",
             tooltip="Measure a ring for the highlighted position"),
    ]  # fmt: skip


class PositionScreen(Area):
    """Opened over Measure. `size` and `evidence` are what is on the bench now; `case` takes the position picked."""

    AREA = "measure"
    LIST = "#position-rows"
    PAGE = Path(__file__).with_name("position.md")
    CSS_PATH: ClassVar = [SHARED, "position.tcss"]
    AUTO_FOCUS = "#position-filter"
    BINDINGS: ClassVar[list[BindingType]] = [
        bind("take", "accept", "Measure here", show=True, id="position.measure",
             tooltip="Measure a ring for this position: its machine and its record count"),
        bind("kit", "kit", "On a kit", show=True, id="position.kit",
             tooltip="Put the ring that fitted here on a job's kit"),
        bind("record", "note", "Record fit", show=True, id="position.note",
             tooltip="Note that the ring measured now fitted here"),
        bind("new", "new", "New position", show=True, id="position.new",
             tooltip="Name another position, or another machine"),
        bind("change", "built", "Built", id="position.built",
             tooltip="Where the machine was built: it weighs the ring standards"),
        bind("fill", "fluid", "Fluid there", id="position.fluid",
             tooltip="Which fluid a ring there meets, and the hottest it gets"),
        bind("mark", "critical", "Critical", id="position.critical",
             tooltip="Say that somebody may be hurt where this position fails, or that not"),
        bind("paper", "app.anywhere('picture', 'show')", "Picture, note", id="position.picture",
             tooltip="The picture and the note of the position and of its machine"),
        bind("end", "went", "How it went", id="position.went",
             tooltip="Say how the ring on record went after a run: dry, wept or leaked"),
        bind("machine", "back", "Ring", show=True, id="position.back",
             tooltip="Back to the ring's readings, without a position"),
    ]  # fmt: skip

    def __init__(self, case: MeasureSession, size: RingSize | None, evidence: Evidence | None) -> None:
        super().__init__()
        self._session = case
        self._ring = size
        self._evidence = evidence
        self._all: tuple[Listed, ...] | None = None
        self._unread = False
        self._machines: Mapping[int, MachineRow] = {}
        self._pictured: screens.position.records.Pictured = frozenset()
        self._found: list[Listed | Head] = []
        self._place: Place | None = None
        self._question = ""
        self._shelf = ""
        self._wanted = case.place.position_id if case.place else 0

    def body(self) -> Iterable[Widget]:
        """Positions at the left, what fitted at the right."""
        with Horizontal(id="position-desk"):
            with Vertical(id="position-left"):
                yield PositionFilter(placeholder="type a machine or a position", max_length=200, id="position-filter")
                columns = [Column("Position", 16, grow=True), Column("Fitted", 11, yields=1)]
                yield Rows(columns, id="position-rows")
            with VerticalScroll(id="position-right", can_focus=False):
                yield Static(id="position-told")

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.watch(self.app, "unit", self._show_place, init=False)
        self._show_place()

    def meant(self) -> Mapping[str, str]:
        """The highlighted machine, or that of the highlighted position with the position."""
        one = self._highlighted
        if one is None:
            return {}
        if isinstance(one, Head):
            return {"machine": one.machine.name}
        return {"machine": self._machines[one.position.machine_id].name, "position": one.position.name}

    def workshop_changed(self) -> None:
        """Read the positions again."""
        self._read()

    @work(exclusive=True, group="read")
    async def _read(self) -> None:
        workshop = self.kitwright.workshop
        await self._session.read_again(workshop)
        found = await self.ask(screens.position.records.positions, workshop)
        self._unread = found is None
        if found is None:
            self.rows.empty = UNREAD
            self.rows.refresh()
            return
        self._all, self._machines, self._pictured = found
        self._narrow(stay=True)

    def _narrow(self, *, stay: bool = False) -> None:
        """Only what the filter's words find; with `stay` the cursor stays on a machine's own line too."""
        words = self.query_one("#position-filter", Input).value.casefold().split()
        chosen, before = self.chosen, self._highlighted
        wanted = self._wanted or (chosen.position.position_id if chosen else 0)
        head = before.machine.machine_id if stay and isinstance(before, Head) and not wanted else 0
        self._found = []
        for machine in self._machines.values():
            here = [
                one
                for one in self._all or ()
                if one.position.machine_id == machine.machine_id
                and all(word in f"{machine.name} {one.position.name}".casefold() for word in words)
            ]
            if here or all(word in machine.name.casefold() for word in words):
                self._found += [Head(machine), *here]
        places = [(i, one.position.position_id) for i, one in enumerate(self._found) if isinstance(one, Listed)]
        heads = [i for i, one in enumerate(self._found) if isinstance(one, Head) and one.machine.machine_id == head]
        first = next(iter(heads), places[0][0] if places else 0)
        cursor = next((i for i, number in places if number == wanted), first)
        self.rows.empty = self._none(words)
        self.rows.show(len(self._found), self._row, cursor=cursor)
        if self._found:
            self._wanted = 0

    def _none(self, words: Sequence[str]) -> str:
        if self._all is None:
            return UNREAD if self._unread else READING
        name = plain("new") if self.rows.has_focus else f"Esc: {plain('new')}"
        return f"No match. {name} names a new position." if words and self._machines else (
            f"No machine yet. {name} adds one."
        )  # fmt: skip

    def _row(self, index: int) -> Row:
        one = self._found[index]
        annotated = ANNOTATED[self.kitwright.plain_glyphs] if one.annotated or self._has_picture(one) else ""
        if isinstance(one, Head):
            return Row((one.machine.name, ""), "head", annotated)
        fitted = "–"
        if one.record is not None:
            fitted = orings.sizes.label_of(one.record.size_key)
        mark = "!" if one.position.critical else " "
        return Row((f"{mark} {one.position.name}", fitted), "" if one.record else "dim", annotated)

    def _has_picture(self, one: Listed | Head) -> bool:
        return one.called in self._pictured

    @property
    def chosen(self) -> Listed | None:
        """The highlighted position; None on a machine's own line."""
        one = self._highlighted
        return one if isinstance(one, Listed) else None

    @property
    def _highlighted(self) -> Listed | Head | None:
        index = self.rows.cursor
        return self._found[index] if 0 <= index < len(self._found) else None

    @property
    def _machine(self) -> MachineRow | None:
        """The machine of the highlighted line."""
        one = self._highlighted
        if isinstance(one, Listed):
            return self._machines.get(one.position.machine_id)
        return one.machine if one is not None else None

    def on_rows_highlighted(self) -> None:
        """Show what fitted at the highlighted position."""
        self._open_place()

    @work(exclusive=True, group="place")
    async def _open_place(self) -> None:
        chosen = self.chosen
        if chosen is None:
            self._place, self._question, self._shelf = None, "", ""
            self._show_place()
            return
        await asyncio.sleep(REST)
        workshop = self.kitwright.workshop
        here = chosen.position
        found = await self.ask(screens.position.records.place, workshop, here.position_id, here.machine_id)
        if found is None:
            return
        self._place, self._shelf = found, ""
        groove = self._session.draft.groove
        evidence = self._evidence
        self._question = ""
        if found.record is not None and (evidence is not None or groove is not None):
            self._question = await asyncio.to_thread(differs, found, evidence, groove)
        self._show_place()
        if found.record is not None:
            rows = await self.ask(workshop.stock_of_sizes, [found.record.size_key], quiet=True)
            self._shelf = "the workshop could not be read" if rows is None else on_shelf(rows)
            self._show_place()

    def _show_place(self) -> None:
        now = f"Measured now: {self._ring.label}." if self._ring is not None else ""
        one = self._highlighted
        pictured = one is not None and self._has_picture(one)
        words = told(
            self._place, self._shelf, self._question, now, self.kitwright.unit, self._machine, pictured=pictured
        )
        self.query_one("#position-told", Static).update(words)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Follow the text as it is typed."""
        if event.input.id == "position-filter":
            self._narrow()

    def next_words(self) -> str:
        """Where Enter measures a ring for."""
        one = self.chosen
        if one is None:
            # In the field the letter would be typed.
            return f"{'' if self.rows.has_focus else 'Esc: '}{plain('new')} names a new position"
        esc = "Esc: back to the ring" if self.rows.has_focus else "Esc: to the list"
        return f"Enter measures a ring for {one.position.name}; {esc}"

    def on_rows_chosen(self) -> None:
        """Take the position."""
        self.action_accept()

    def action_leave(self) -> None:
        """From the field to the list, from the list back to the ring."""
        if self.rows.has_focus:
            self.action_back()
        else:
            self.rows.focus()

    def action_back(self) -> None:
        """Back to Measure, with the position that was picked before, if any."""
        self.dismiss()

    def action_accept(self) -> None:
        """Measure a ring for the highlighted position."""
        self._measure_here()

    @work(exclusive=True, group="go")
    async def _measure_here(self) -> None:
        chosen = self.chosen
        if chosen is None:
            self.say(f"Highlight a position first. {plain('new')} names a new one.")
            return
        here = chosen.position
        found = await self.ask(
            screens.position.records.place, self.kitwright.workshop, here.position_id, here.machine_id
        )
        if found is not None:
            self._session.place = found
            self.dismiss()

    def action_kit(self) -> None:
        """The ring on record goes on a job's kit."""
        self._take()

    @work(exclusive=True, group="accept")
    async def _take(self) -> None:
        chosen = self.chosen
        record = chosen.record if chosen else None
        if chosen is None or record is None:
            self.say("Nothing is on record here to put on a kit. Enter: measure the ring.")
            return
        here = chosen.position
        chosen_ring = tui.workshop.ChosenRing(
            orings.sizes.label_of(record.size_key), record.size_key, groove=record.groove,
            position_id=here.position_id, machine_id=here.machine_id, machine=here.machine_name,
            critical=here.critical, doubt=on_record(record) if here.critical else "",
        )  # fmt: skip
        await screens.accept.accept(self, chosen_ring)

    def action_note(self) -> None:
        """Note what fitted."""
        self._note()

    @work(exclusive=True, group="change")
    async def _note(self) -> None:
        chosen, size = self.chosen, self._ring
        if chosen is None:
            self.say(f"Highlight a position first. {plain('new')} names a new one.")
            return
        if size is None:
            self.say(f"Measure the ring first and highlight its size. Then note it here with {key('record')}.")
            return
        here, held, groove = chosen.position, chosen.record, self._session.draft.groove
        workshop = self.kitwright.workshop
        now = await self.ask(screens.position.records.place, workshop, here.position_id, here.machine_id)
        if now is None:
            return
        question = await asyncio.to_thread(differs, now, self._evidence, groove, size.key)
        title = clean(f"{size.label} fitted at {here.machine_name}, {here.name}?")
        hard = str(held.hardness_shore_a) if held and held.hardness_shore_a else ""
        same = held is not None and held.size_key == size.key
        sheet = screens.position.note_fit.NoteFit(
            title, clean(question), held.rubber if held and same else "", hard if same else ""
        )
        words = await self.app.push_screen_wait(sheet)
        if words is None:
            return
        fit = screens.position.records.Fit(
            size.key, words.rubber, words.hardness_shore_a, words.note, self._evidence, groove
        )
        noted = await self.ask(screens.position.records.record, workshop, here.position_id, fit)
        if noted is None:
            return
        self.say(f"Noted: {size.label} at {clean(here.machine_name)}, {clean(here.name)}. F9 takes it back.")
        self._read()

    def action_new(self) -> None:
        """Name a position."""
        self._new()

    @work(exclusive=True, group="change")
    async def _new(self) -> None:
        machine = self._machine.name if self._machine else ""
        hint = "The machine's name. One that is not there yet is added."
        name = await self.app.push_screen_wait(one_text("New position: on which machine?", hint, machine))
        if name is None:
            return
        spot = await self.app.push_screen_wait(
            one_text(f"Which position on “{clean(name)}”?", "For example: pump inlet flange ring.")
        )
        if spot is None:
            return
        made = await self.ask(screens.position.records.add_position, self.kitwright.workshop, name, spot)
        if made is not None:
            self._wanted = made.position_id
            self.query_one("#position-filter", Input).value = ""
            self._read()

    def action_built(self) -> None:
        """Another place of building, for the highlighted machine."""
        self._set_built()

    @work(exclusive=True, group="built")
    async def _set_built(self) -> None:
        machine = self._machine
        if machine is None:
            self.say(f"No machine is highlighted. {plain('new')} adds one.")
            return
        places = tuple(orings.prior.Built)
        built = places[(places.index(machine.built) + 1) % len(places)]
        made = await self.ask(screens.position.records.set_built, self.kitwright.workshop, machine.machine_id, built)
        if made is not None:
            self.say(f"{clean(made.name)} was built in: {BUILT[made.built.value]}.")
            self._read()

    def action_critical(self) -> None:
        """The highlighted position is critical, or is not any more."""
        self._say_critical()

    @work(exclusive=True, group="change")
    async def _say_critical(self) -> None:
        chosen, machine = self.chosen, self._machine
        if chosen is None or machine is None:
            self.say(f"Highlight a position first. {plain('new')} names a new one.")
            return
        here = chosen.position
        values = {"machine": machine, "position": here, "off": here.critical}
        done = await self.ask(operation("machine", "critical").perform, self.kitwright.workshop, values)
        if done is not None:
            self.say(
                f"{clean(here.name)} is {'not critical' if here.critical else 'a critical place'}. F9 takes it back."
            )
            self._read()

    def action_fluid(self) -> None:
        """Say which fluid a ring at the highlighted position meets."""
        self._say_fluid()

    @work(exclusive=True, group="change")
    async def _say_fluid(self) -> None:
        chosen, machine = self.chosen, self._machine
        if chosen is None or machine is None:
            self.say(f"Highlight a position first. {plain('new')} names a new one.")
            return
        meets, workshop = operation("machine", "meets"), self.kitwright.workshop
        asked = Asked(self.kitwright.units, {"machine": machine, "position": chosen.position}, workshop.read)
        title = f"Which fluid is there? {machine.name}, {chosen.position.name}"
        done = await self.app.push_screen_wait(
            screens.form.Form(meets, asked, partial(meets.perform, workshop), title=title)
        )
        if done is not None:
            self.say(clean(done.answer.words()[0]))
            self._read()

    def action_went(self) -> None:
        """Say how the ring on record at the highlighted position went."""
        self._say_went()

    @work(exclusive=True, group="change")
    async def _say_went(self) -> None:
        chosen, machine = self.chosen, self._machine
        if chosen is None or machine is None or chosen.record is None:
            self.say(f"Highlight a position with a ring on record. {key('record')} notes which ring fitted.")
            return
        said = await self.app.push_screen_wait(screens.how_it_went.how_it_went((chosen.record,)))
        for outcome in (said or {}).values():
            values = {"machine": machine, "position": chosen.position, "outcome": outcome.value}
            if await self.ask(operation("fits", "went").perform, self.kitwright.workshop, values) is not None:
                self.say(f"Noted: {clean(chosen.position.name)}: {outcome.value}. F9 takes it back.")
                self._read()
