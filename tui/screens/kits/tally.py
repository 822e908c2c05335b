"""The fluid tally of one need: type what was drained and each pour; the glass shows the level between the marks."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Input, Label, Static

from models.errors import WorkshopError
from tui.answers.kits import CALLED, books_words
from tui.bound import bind
from tui.fields.field import Asked, FieldError
from tui.fields.fills import TALLIED, Volume
from tui.screens import elsewhere
from tui.screens.area import in_thread
from tui.screens.closing import Sheet
from tui.screens.form import tell_meanwhile
from tui.screens.kits.tally_words import both, stand
from tui.widgets.cells import clean
from tui.widgets.error_line import ErrorLine
from tui.widgets.judge.ask_field import PickField
from tui.widgets.judge.sight_glass import SightGlass

if TYPE_CHECKING:
    from models.kitting.fluid_tally import Container, FluidTally, Noted
    from models.watching.heard import Heard
    from tui.fields.units import Units
    from tui.kitting import Kitting

FILLS = ("poured", "reused")
"""What goes in: it waits for what was sealed to cure."""
TAKE_BACK = "-"
"""Typed alone, it takes the last entry back."""
SHOWN = 6
SHOWN_CURING = 3


def _called(one: Container) -> str:
    """A container by its bin, and what is begun."""
    return clean(f"{one.bin_code}{', opened' if one.opened else ''}", 24)


def _bins(one: Noted) -> str:
    """The bins that an entry was taken from."""
    bins = ", ".join(dict.fromkeys(clean(from_.bin_code) for from_ in one.taken))
    return f", {bins}" if bins else ""


class VolumeInput(Input):
    """A field for a volume; the arrows go from field to field."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bind("up", "app.focus_previous", "Field above", tooltip="The field above", only="up"),
        bind("down", "app.focus_next", "Field below", tooltip="The field below", only="down"),
    ]


class TallyScreen(Sheet[None]):
    """Enter notes what was typed, a bare `-` takes the last entry back, Esc closes. Every entry is kept as typed."""

    DEFAULT_CSS = """
    TallyScreen .sheet { height: auto; }
    TallyScreen #tally-body { height: 13; }
    TallyScreen #tally-left { width: 1fr; }
    TallyScreen .tally-row { height: 1; }
    TallyScreen .tally-row Label { width: 9; }
    TallyScreen .tally-row Input { width: 1fr; margin-right: 1; }
    TallyScreen SightGlass { width: 34; height: 13; }
    TallyScreen #tally-curing { height: auto; max-height: 6; color: $text-warning; text-style: bold; }
    TallyScreen #tally-list { height: 1fr; }
    TallyScreen #tally-says { height: 2; }
    TallyScreen #tally-says.over { color: $text-error; text-style: bold; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        bind("leave", "close", "Close", tooltip="Back to the kit; all that is noted is kept", id="tally.close"),
        bind("undo", "app.undo", "Undo", tooltip="Undo the last change of this log", id="tally.undo", only="f9"),
    ]
    AUTO_FOCUS = "#poured"

    def __init__(
        self,
        kitting: Kitting,
        tally: FluidTally,
        units: Units,
        curing: Sequence[str] = (),
        containers: Sequence[Container] = (),
        *,
        plain: bool = False,
    ) -> None:
        super().__init__()
        self._kitting = kitting
        self._containers = tuple(containers)
        self._tally = tally
        self._asked = Asked(units)
        self._first = units.volume
        self._curing = curing
        self._plain = plain
        # Undo in this window takes back only what was noted in it.
        self.undo_since = kitting.done
        # One entry after the other, in the order they were typed.
        self._turn = asyncio.Lock()
        self._refusals = 0

    def compose(self) -> ComposeResult:
        """Fields and entries at the left, the glass at the right, the verdict beneath."""
        low, full = (both(mark, self._first) for mark in (self._tally.low_ul, self._tally.full_ul))
        with Vertical(classes="sheet"):
            yield Static(f"Log pours: {clean(self._tally.title)}", classes="title", markup=False)
            yield Static(f"Low {low}. Full {full}.", id="tally-marks", markup=False)
            with Horizontal(id="tally-body"):
                with Vertical(id="tally-left"):
                    for name, one in TALLIED.items():
                        with Horizontal(classes="tally-row"):
                            yield Label(one.label, markup=False)
                            yield VolumeInput(placeholder=f"{one.what}; in {self._first}", max_length=40, id=name)
                    if len(self._containers) > 1:
                        yield PickField("From", [_called(one) for one in self._containers], id="tally-from")
                    yield Static("", id="tally-curing", markup=False)
                    yield ErrorLine(id="pour-error")
                    yield Static("", id="tally-list")
                yield SightGlass(plain=self._plain)
            yield Static("", id="tally-says", markup=False)
            yield Static("", id="tally-books", markup=False)
            yield Static("", id="tally-rests", classes="quiet", markup=False)
        yield Static("Enter notes it · ↑ ↓ other field · - and Enter: undo last · Esc closes",
                     classes="sheet-keys", markup=False)  # fmt: skip

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self._show()

    def _show(self) -> None:
        entries = [(one.what, one.volume) for one in self._tally.entries]
        now = stand(self._tally.low_ul, self._tally.full_ul, entries, self._first)
        self.query_one(SightGlass).show(now.glass)
        says = self.query_one("#tally-says", Static)
        says.update(f"{'! ' if now.over else ''}{now.says}")
        says.set_class(now.over, "over")
        self.query_one("#tally-rests", Static).update(now.rests_on)
        books = self.query_one("#tally-books", Static)
        books.display = bool(self._tally.picked_ul or self._tally.poured_ul)
        books.update(books_words(self._tally.picked_ul, self._tally.poured_ul))
        shown = list(enumerate(self._tally.entries, start=1))[-(SHOWN_CURING if self._curing else SHOWN) :]
        curing = self.query_one("#tally-curing", Static)
        curing.display = bool(self._curing)
        curing.update("\n".join(clean(f"! {one}") for one in self._curing))
        lines = [f"{number:>2}. {CALLED[str(one.what)]} {clean(one.typed)}{_bins(one)}" for number, one in shown]
        if len(self._tally.entries) > len(shown):
            lines.insert(0, f"… {len(self._tally.entries) - len(shown)} before")
        lines = lines or ["Nothing noted yet."]
        self.query_one("#tally-list", Static).update(Content("\n".join(lines)))

    def _say(self, error: str, field: Input | None = None) -> None:
        self.query_one(ErrorLine).say(f"! {error}" if error else "", field)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Note what was typed."""
        if not event.value.strip():
            return
        if event.value.strip() == TAKE_BACK:
            event.input.value = ""
            self._say("")
            self._take_back()
            return
        try:
            volumes = TALLIED[event.input.id or ""].from_text(event.value, self._asked)
        except FieldError as problem:
            self._say(str(problem), event.input)
            return
        self._say("")
        typed = event.value
        event.input.value = ""
        self._note(event.input, volumes, typed)

    @work(group="tally")
    async def _note(self, field: Input, volumes: tuple[Volume, ...], typed: str) -> None:
        async with self._turn:
            note = self._kitting.note, self._tally.need_id, field.id or "poured", volumes, self._from
            if not await self._change(*note, field=field):
                # Refused: what was typed stands in its field again, unless the next is being typed there.
                field.value = field.value or typed
            elif field.id in FILLS and self._curing:
                self.notify(
                    "\n".join(clean(one) for one in self._curing),
                    title="Not cured yet",
                    severity="warning",
                    markup=False,
                )

    @property
    def _from(self) -> Container | None:
        """The container that was chosen; None for the usual one."""
        picks = self.query("#tally-from").results(PickField)
        return next((self._containers[pick.index] for pick in picks if pick.index), None)

    @work(group="tally")
    async def _take_back(self) -> None:
        """Take the last entry back."""
        async with self._turn:
            if self._tally.entries:
                await self._change(self._kitting.take_back, self._tally.need_id)

    @work(group="tally")
    async def workshop_changed(self) -> None:
        """Something was undone: read the tally again."""
        async with self._turn:
            await self._change(self._kitting.tally, self._tally.need_id)

    def booked_elsewhere(self, heard: Heard) -> None:
        """Others may have noted something in this tally: show it, and leave alone what is typed."""
        if heard.booked:
            self._take_in(elsewhere.by(heard.booked, self._kitting.who))

    @work(group="tally")
    async def _take_in(self, who: str) -> None:
        async with self._turn:
            before = self._tally
            if not await self._change(self._kitting.tally, before.need_id):
                return
            known = {one.entry_id for one in before.entries}
            there = {one.entry_id for one in self._tally.entries}
            said = [
                f"{elsewhere.named(one.who, self._kitting.who)} noted {CALLED[str(one.what)]} {one.typed} meanwhile"
                for one in self._tally.entries
                if one.entry_id not in known
            ]
            said += [
                f"{who} took {CALLED[str(one.what)]} {one.typed} back meanwhile"
                for one in before.entries
                if one.entry_id not in there
            ]
            if (before.low_ul, before.full_ul) != (self._tally.low_ul, self._tally.full_ul):
                low, full = (both(mark, self._first) for mark in (self._tally.low_ul, self._tally.full_ul))
                self.query_one("#tally-marks", Static).update(f"Low {low}. Full {full}.")
                said.append(f"{who} changed the marks meanwhile")
            if said and self.is_mounted:
                await tell_meanwhile(self, said)

    async def action_close(self) -> None:
        """Close once all that was typed is kept; what is refused meanwhile keeps the window open."""
        before = self._refusals
        async with self._turn:
            if self._refusals == before:
                self.dismiss(None)

    async def _change(self, call: Callable[..., FluidTally], *given: object, field: Input | None = None) -> bool:
        try:
            self._tally = await in_thread(call, *given)
            self._curing = await in_thread(self._kitting.curing, self._tally.job_id)
        except WorkshopError as refused:
            self._refusals += 1
            self._say(str(refused), field)
            return False
        self._say("")
        self._show()
        return True
