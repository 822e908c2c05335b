"""The app: its areas, and where a key goes. What the areas share is in `tui/host.py`."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable
from contextlib import suppress
from functools import partial
from importlib import import_module
from time import monotonic
from typing import TYPE_CHECKING, Any, ClassVar

from textual import events
from textual.app import SystemCommand
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen
from textual.widgets import Input

import models
import tui
from models.watching.heard import Line
from tui import operations, screens
from tui.bounce import Bounce
from tui.bound import bind, bound_here, shown_of
from tui.host import Host
from tui.in_turn import InTurn
from tui.keys import meaning
from tui.screens.closing import ClosesOnce, Sheet

if TYPE_CHECKING:
    from textual.screen import Screen

    from tui.caliper import Caliper
    from tui.scanning import Wedge


# Screens are functions that reach them through a door: an area nobody opens costs nothing at start.
def _measure() -> Screen[Any]:
    return screens.measure.screen.MeasureScreen()


def _catalog() -> Screen[Any]:
    return screens.catalog.screen.CatalogScreen()


def _kits() -> Screen[Any]:
    return screens.kits.screen.KitsScreen()


def _shelf() -> Screen[Any]:
    return screens.shelf.screen.ShelfScreen()


def _judge() -> Screen[Any]:
    return screens.judge.screen.JudgeScreen()


def _buy() -> Screen[Any]:
    return screens.buy.screen.BuyScreen()


def _find() -> Screen[Any]:
    return screens.find.screen.FindScreen()


MENU_SAYS = "All that can be done here, by name"


def _opens(area: str, label: str, tooltip: str, *, priority: bool = False) -> list[BindingType]:
    """The keys that open an area: one that works in a field, and a digit where none is."""
    anywhere, digit = meaning(area).keys
    return [
        bind(area, f"area('{area}')", label, only=anywhere, priority=priority, tooltip=tooltip, id=f"area.{area}"),
        bind(area, f"digit(\"area('{area}')\")", label, only=digit, tooltip=tooltip),
    ]


DIGIT_REST = 1.0
"""Seconds after the last key in a field in which a digit opens no area: it was meant for the field."""
AWAY = "The workshop can't be reached. What you typed stays; it goes on by itself once it is back."
LONGEST_PASTE = 64_000
"""Characters. A field holds a name or a reading; a list goes in as a file."""


class KitwrightApp(Host):
    """The workshop's counter: its areas, its keys and where they go."""

    TITLE = "Kitwright"
    # With callables in MODES Textual builds each area the first time it is opened and keeps it after.
    MODES: ClassVar[dict[str, str | Callable[[], Screen[Any]]]] = {
        "measure": _measure,
        "catalog": _catalog,
        "kits": _kits,
        "shelf": _shelf,
        "judge": _judge,
        "find": _find,
        "buy": _buy,
    }
    HORIZONTAL_BREAKPOINTS: list[tuple[int, str]] | None = [(0, "-narrow"), (72, "-normal"), (110, "-wide")]  # noqa: RUF012
    VERTICAL_BREAKPOINTS: list[tuple[int, str]] | None = [(0, "-short"), (34, "-tall")]  # noqa: RUF012 - Textual types it so
    # Letters and digits reach the app only when no field takes them; function keys always do.
    BINDINGS: ClassVar[list[BindingType]] = [
        bind("help", "help", "Help", show=True, tooltip="What this screen does and its keys", id="help"),
        *_opens("measure", "Measure", "Measure a ring"),
        *_opens("catalog", "Catalog", "Every standard size"),
        *_opens("kits", "Kits", "Jobs and what they need"),
        *_opens("shelf", "Shelf", "Bins, counts, receiving"),
        *_opens("judge", "Judge", "Would this do here?"),
        *_opens("buy", "Buy", "What is short, and orders"),
        # Priority: a field would take it to delete the next word.
        *_opens("find", "Find", "Search items and suppliers' lists", priority=True),
        bind("unit", "flip_unit", "Unit", tooltip="mm or inch for a bare number", id="unit"),
        bind("undo", "undo", "Undo", tooltip="Take back the last change", id="undo"),
        # A priority key reaches the app from a field; the digit does only where no field takes it.
        bind("menu", "command_palette", "Menu", priority=True, only="ctrl+p", tooltip=MENU_SAYS),
        bind("menu", "digit('command_palette')", "Menu", only="0", tooltip=MENU_SAYS),
        # Priority, so that the focus moves before the next key is handed out: a caliper that types, or a slow line,
        # sends "24.9, Tab, 3.5" in one burst, and all of it would land in the first field.
        bind("next-field", "app.focus_next", "Next field", priority=True, system=True, tooltip="The next field"),
        bind("field-before", "app.focus_previous", "Field before", priority=True, system=True,
             tooltip="The field before"),
        bind("quit", "quit", "Quit", tooltip="Leave; everything is saved already", id="quit"),
    ]  # fmt: skip

    def __init__(self, data: str | None = None, demo: bool = False, unit: str = "mm") -> None:
        super().__init__(data, demo, unit)
        # Keys typed before the first field can take them; None once it can.
        self._early: list[events.Key | events.Paste] | None = []
        self._wedge: Wedge | None = None
        self._in_turn = InTurn(self, self._hand_out)
        self._bounce = Bounce()
        self._in_field = -DIGIT_REST
        """When the last key went to a field, on the monotonic clock."""
        self.caliper: Caliper | None = None
        self.watcher = tui.watching.Watcher(self.workshop)

    def get_default_screen(self) -> Screen[Any]:
        """An outline that paints at once."""
        return screens.opening.Opening()

    async def open_first(self) -> None:
        """Open Measure, or the area whose key came before any page; once the outline is on screen."""
        # Beside the outline, so that keys come in meanwhile (0.06 s).
        await asyncio.to_thread(import_module, "tui.screens.measure.screen")
        name = self._area_asked_for()
        self.switch_mode(name)
        if name != "measure":
            await self.parts()
            self.take_keys()

    def _area_asked_for(self) -> str:
        """The area whose key was the first to be pressed; a digit or a letter is for Measure's first field."""
        first = self._early[0] if self._early else None
        if isinstance(first, events.Key) and not first.is_printable:
            for binding in self.BINDINGS:
                assert isinstance(binding, Binding)
                if first.key in binding.key.split(",") and binding.action.startswith("area("):
                    self._early = (self._early or [])[1:]
                    return binding.action[len("area('") : -len("')")]
        return "measure"

    async def on_event(self, event: events.Event) -> None:
        """Hold keys back until there is a field for them: an early "2" must not open the Catalog. Watch for scans."""
        if isinstance(event, events.Paste):
            self._bounce.forget()
            if len(event.text) > LONGEST_PASTE:
                self.tell("That is too long to paste: a field takes 64 kB.", trouble=True)
                return
        if self._early is None:
            await self.standing(event)
        if self._early is not None and isinstance(event, (events.Key, events.Paste)):
            self._early.append(event)
        elif self._bounces(event):
            return
        elif self._wedge is not None and isinstance(event, events.Key) and not event.is_forwarded:
            await self._wedge.key(event)
        else:
            await self._deliver(event)

    def _bounces(self, event: events.Event) -> bool:
        return isinstance(event, events.Key) and not event.is_forwarded and self._bounce.is_one(event, self.screen)

    async def hand_on(self, waiting: Iterable[events.Key | events.Paste], *, anew: bool = False) -> None:
        """Deliver keys that a form kept: they are known to be no scan; a double tap is one still.

        `anew`: the form has closed since, and a scan that it would not have taken may be one for the page beneath.
        """
        wedge = self._wedge if anew else None
        if wedge is not None:
            wedge.begin_anew()
        for event in waiting:
            if self._bounces(event):
                continue
            if wedge is not None and isinstance(event, events.Key):
                await wedge.key(event)
            else:
                await self._deliver(event)

    async def _deliver(self, event: events.Event) -> None:
        """Hand an event to the page; a key in its turn."""
        if isinstance(event, (events.Key, events.Paste)) and not event.is_forwarded:
            await self._in_turn.take(event)
        else:
            await self._hand_out(event)

    async def _hand_out(self, event: events.Event) -> None:
        """Hand an event to the page now, unless that keeps it for later."""
        if isinstance(event, (events.Key, events.Paste)) and not event.is_forwarded:
            page = self.open_page()
            if isinstance(page, ClosesOnce) and page.keeps(event):
                return
            if isinstance(page, screens.area.Area) and isinstance(event, events.Key):
                page.heard()
            if isinstance(event, events.Paste):
                event = self._in_one_line(event)
            if self.focused is not None and self.focused.check_consume_key("a", "a"):
                self._in_field = monotonic()
        await super().on_event(event)

    def _in_one_line(self, event: events.Paste) -> events.Paste:
        """Several lines pasted into a field of one: they go into the form's rows, or it is said what is left out."""
        field, page = self.focused, self.open_page()
        lines = [line for line in event.text.splitlines() if line.strip()]
        if not isinstance(field, Input) or getattr(field, "TAKES_LINES", False) or "\n" not in event.text.strip():
            return event
        rows = page.takes_lines() if isinstance(page, ClosesOnce) else None
        if rows is not None:
            rows.screen.set_focus(rows)
            self.tell(f"{len(lines)} lines pasted: they are in the field for rows, not in the one you were in.")
            return event
        self.tell(f"Only the first of {len(lines)} lines pasted is in: this field takes one line.", trouble=True)
        return events.Paste(lines[0])

    @property
    def is_up(self) -> bool:
        """Whether the first page stands."""
        return self._early is None

    @property
    def fields_ready(self) -> bool:
        """Whether the first screen stands and takes keys."""
        holding = self._in_turn.holding or (self._wedge is not None and self._wedge.holding)
        return self._early is None and not holding

    def take_keys(self) -> None:
        """Hand over the keys held back: the first field has the focus."""
        self._wedge = self._wedge or tui.scanning.Wedge(self, self._deliver, self._scanned)
        early, self._early = self._early, None
        for event in early or ():
            self.post_message(event)
        if early is not None:
            self.run_worker(self._load_ahead(), group="warm")
            self.watcher.begin(self.post_message)
            if self.caliper is not None:
                self.caliper.listen(self.post_message)

    async def on_said(self, event: tui.caliper.Said) -> None:
        """The caliper sent a reading."""
        await self.parts()
        tui.caliper.put(self, event)

    def on_news(self, event: tui.watching.News) -> None:
        """Others booked something, or the workshop is away or back: each open page takes in what concerns it."""
        if self.is_going_down:
            return
        if event.heard.line is not Line.UP:
            away = event.heard.line is Line.LOST
            self.tell(AWAY if away else "The workshop can be reached again.", trouble=away)
        for page in list(self.screen_stack):
            if isinstance(page, ClosesOnce) and not page.has_closed:
                page.booked_elsewhere(event.heard)

    def on_unmount(self) -> None:
        """Listen to no port that nobody reads from, and watch nothing."""
        self.watcher.stop()
        if self.caliper is not None:
            self.caliper.stop()

    async def _load_ahead(self) -> None:
        """Load SQLAlchemy and open the database, so that Kits or Buy finds it open; once nobody waits for an area.

        Trouble is told where the database is needed.
        """
        await self.rest()
        with suppress(models.errors.WorkshopError):
            await screens.area.in_thread(self.workshop.warm)

    async def _check_bindings(self, key: str, priority: bool = False) -> bool:
        """A capital acts as its small letter where no field took it and nothing is bound to it: keys are shown so."""
        if await super()._check_bindings(key, priority):
            return True
        lead, _, letter = key.rpartition("+")
        small = f"alt+{letter}" if lead == "alt+shift" else letter.lower() if not lead and not priority else key
        if len(letter) != 1 or small == key or key in self.screen.active_bindings:
            return False
        return await super()._check_bindings(small, priority)

    def _scanned(self, text: str) -> None:
        self.run_worker(tui.scanning.arrive(self, text), group="scan")

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        """Every action of the screen beneath and of the app, so that the palette reaches all of them."""
        for node, binding in bound_here(screen):
            run = partial(self.run_action, binding.action, default_namespace=node)
            key = f" ({shown_of(binding)})" if shown_of(binding) else ""
            yield SystemCommand(binding.description, f"{binding.tooltip}{key}", run)
        guide = "the demo's day" if self.demo else "the first hour"
        turned = "End the guide" if self.guide is not None else "Guide"
        yield SystemCommand(turned, f"Step by step through {guide}, each checked off when done", self.action_guide)
        for quantity in ("torque", "pressure", "volume", "temperature"):
            unit = getattr(self.units, quantity)
            told = f"A {quantity} typed without a unit is in {unit} here: change that"
            yield SystemCommand(f"Unit of {quantity}: {unit}", told, partial(self.action_flip, quantity))
        if isinstance(screen, screens.area.Area):
            for one in screens.anywhere.offered():
                told = f"{one.help[0].upper()}{one.help[1:]}"
                yield SystemCommand(f"{one.label} …", told, partial(self.action_anywhere, one.area, one.name))
            if screen.AREA != "find":  # where it has a key of its own
                yield SystemCommand(
                    "Load a supplier's list", "Import a supplier's price list from a file", self.action_load_list
                )
        yield from super().get_system_commands(screen)

    def action_anywhere(self, area: str, name: str) -> None:
        """Do, over the open area, what every screen offers in the palette."""
        if isinstance(self.screen, screens.area.Area):
            self.screen.run_worker(
                screens.anywhere.do(self.screen, operations.registry.operation(area, name)),
                group="change",
                exclusive=True,
            )

    def action_load_list(self) -> None:
        """Take a supplier's list in over the open area, step by step, as in Find."""
        area = self.screen
        if isinstance(area, screens.area.Area):
            area.run_worker(screens.find.load.load_over(area), group="list", exclusive=True)

    def action_area(self, name: str) -> None:
        """Open one of the areas; from a page opened over an area, its own key goes back to it."""
        if isinstance(self.screen, ModalScreen):
            return
        if name != self.current_mode:
            self.switch_mode(name)
        elif len(self.screen_stack) > 1:
            self.pop_screen()

    async def action_digit(self, action: str) -> None:
        """What a digit does where no field is, unless it was meant for the field that was left just now."""
        if monotonic() - self._in_field > DIGIT_REST:
            await self.run_action(action)

    def action_help(self) -> None:
        """Show the help page of the open screen, or of the one beneath it."""
        if self.screen.name == screens.help.HELP:
            return
        if isinstance(self.screen, Sheet) and (words := self.screen.help_words()) is not None:
            self.push_screen(
                screens.asking.to_read("What this asks for", words, name=screens.help.HELP, closes="leave help take")
            )
            return
        # Any other sheet has no page of its own: what it is for stands on the page of the screen beneath.
        page = next((one for one in reversed(self.screen_stack) if isinstance(one, screens.area.Area)), None)
        if page is not None:
            self.push_screen(screens.help.help_page(page))

    def action_undo(self) -> None:
        """Take back the last change made in this session."""
        self.run_worker(screens.undo.undo_last(self), group="undo")
