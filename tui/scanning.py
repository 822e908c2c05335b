"""A keyboard-wedge scanner: told from hands by its speed, read as a bin's label or a GTIN, and never left in a field.

A scanner types a code within milliseconds and ends it with Enter. In a field it goes in as typed and is taken out again
only if it is a bin's label, or a code that checks and is known: any other digits may be a lot or a part number. A field
says by `TAKES_CODES` that it takes every code that checks for a scan (a size has no such digits), or none. Where no
field is, letters are held for a moment, for each would be a key. A code at the speed of hands is what hands typed.
"""

from __future__ import annotations

import re
from collections.abc import Awaitable, Callable
from enum import StrEnum
from typing import TYPE_CHECKING, Final, NamedTuple

from textual import events
from textual.screen import ModalScreen
from textual.widgets import Input

import catalog
import models
from models import inventory
from tui import screens, sheets

if TYPE_CHECKING:
    from textual.timer import Timer

    from models.inventory.bar_codes import BarCode
    from tui.host import Host
    from tui.workshop import Workshop

GAP: Final = 0.035
"""Seconds between two keys of a scan at most.

Scanners take 1 to 20 ms, the fastest hands 60 (common practice, no source).
"""
ENTER_GAP: Final = 0.1
HOLD: Final = 0.06
LEAST: Final = 4
"""Letters that no hand types that fast; fewer are keys."""
LONGEST: Final = 120
LEAD: Final = "KITBIN "
_COULD_BE: Final = re.compile(r"\]?|\][A-Za-z]|\][A-Za-z][0-9A-Za-z].*|\(?|\(0|\(01|\(01\).*|[0-9]+")
_LENGTHS: Final = (8, 12, 13, 14)


class Scanned(NamedTuple):
    """What a scanner typed: a bin's code, or the digits of a GTIN, or what is wrong with it."""

    text: str
    bin_code: str
    gtin: str
    wrong: str

    @property
    def words(self) -> str:
        """What it is, to begin a sentence with."""
        return f"Bin {self.bin_code}" if self.bin_code else f"Bar code {self.gtin}"


def read(text: str) -> Scanned:
    """A scan as a bin's label or a GTIN with its check digit looked at."""
    code = sheets.bin_code.bin_scanned(text)
    if code is not None:
        return Scanned(text, code, "", "")
    try:
        return Scanned(text, "", catalog.gtin.normalise(text).digits, "")
    except catalog.gtin.GtinError as problem:
        return Scanned(text, "", "", str(problem))


def could_be_code(text: str) -> bool:
    """Whether this may be the beginning of a code."""
    lead = text[: len(LEAD)].upper()
    return len(text) <= LONGEST and (lead == LEAD[: len(lead)] or _COULD_BE.fullmatch(text) is not None)


def is_code(text: str, *, in_field: bool) -> bool:
    """Whether a burst was a code; in a field only what nobody types for another purpose."""
    if not in_field:
        return len(text) >= LEAST
    if text[: len(LEAD)].upper() == LEAD:
        return len(text) > len(LEAD)
    return len(text) in _LENGTHS if text.isdigit() else len(text) > min(_LENGTHS)


class Takes(StrEnum):
    """Which codes are taken out of a field for scans; a bin's label always is."""

    KNOWN = "known"
    CHECKED = "checked"
    NONE = "none"


async def is_known(app: Host, gtin: str) -> bool:
    """Whether an item or a list's row has this bar code."""
    try:
        code = await screens.area.in_thread(looked_up, app.workshop, gtin)
    except models.errors.WorkshopError:
        return False
    return code.item_id is not None or bool(code.listed)


def looked_up(workshop: Workshop, gtin: str) -> BarCode:
    """What is known of a GTIN. Raises `WorkshopError`."""
    return workshop.read(lambda session: inventory.bar_codes.look(session, gtin))


class Wedge:
    """Stands before the app's keys. `deliver` hands a key on, `arrived` takes a scan."""

    def __init__(
        self,
        app: Host,
        deliver: Callable[[events.Event], Awaitable[None]],
        arrived: Callable[[str], None],
    ) -> None:
        self._app = app
        self._deliver = deliver
        self._arrived = arrived
        # The burst so far, or None while it can't be a code.
        self._text: str | None = ""
        self._last = 0.0
        self._held: list[events.Key] = []
        self._timer: Timer | None = None
        self._field: Input | None = None
        self._before: tuple[str, int] = ("", 0)

    @property
    def holding(self) -> bool:
        """Whether keys wait to be told from a scan."""
        return bool(self._held)

    def begin_anew(self) -> None:
        """Forget the burst so far: keys that were kept elsewhere come now, with the moments they were pressed at."""
        self._last = 0.0

    async def key(self, event: events.Key) -> None:
        """One key, in its turn."""
        if event.key in ("enter", "ctrl+j"):
            await self._end(event)
        elif event.character is None or not event.is_printable:
            await self._let_go()
            await self._deliver(event)
        else:
            await self._letter(event, event.character)

    async def _letter(self, event: events.Key, letter: str) -> None:
        if event.time - self._last > GAP:
            await self._let_go()
            self._text = ""
            focused = self._app.focused
            self._field = focused if isinstance(focused, Input) else None
        self._last = event.time
        if self._text is not None:
            begins = not self._text
            self._text += letter
            if self._field is None and len(self._text) <= LONGEST:
                self._held.append(event)
                self._wait()
                return
            if self._field is None or not could_be_code(self._text):
                await self._let_go()
            elif begins:
                # In the field's own queue, so that it sees the field as it stands before this key.
                self._field.call_later(self._remember, self._field)
        await self._deliver(event)

    async def _end(self, event: events.Key) -> None:
        text, field = self._text, self._field
        fast = event.time - self._last <= ENTER_GAP
        if text and fast and (is_code(text, in_field=False) if field is None else await self._meant(text, field)):
            self._stop()
            self._held.clear()
            self._text = None
            if field is not None:
                field.call_later(self._restore, field)
            self._arrived(text)
            return
        await self._let_go()
        await self._deliver(event)

    async def _meant(self, text: str, field: Input) -> bool:
        """Whether a code in a field is a scan, and no lot, count or part number that belongs there."""
        if not is_code(text, in_field=True):
            return False
        found = read(text)
        takes = getattr(field, "TAKES_CODES", Takes.KNOWN)
        if not found.gtin or takes is Takes.NONE:
            return bool(found.bin_code)
        return takes is Takes.CHECKED or await is_known(self._app, found.gtin)

    async def _let_go(self) -> None:
        """What was held were keys: hand them on, in order."""
        self._stop()
        self._text = None
        held, self._held = self._held, []
        for event in held:
            await self._deliver(event)

    def _wait(self) -> None:
        self._stop()
        self._timer = self._app.set_timer(HOLD, self._let_go)

    def _stop(self) -> None:
        if self._timer is not None:
            self._timer.stop()
            self._timer = None

    def _remember(self, field: Input) -> None:
        self._before = (field.value, field.cursor_position)

    def _restore(self, field: Input) -> None:
        field.value, field.cursor_position = self._before


async def arrive(app: Host, text: str) -> None:
    """Take a scan to where it belongs: to the open question if that takes one, else to the Shelf."""
    found = read(text)
    if found.wrong:
        app.tell(f"Scanned, but not read. {found.wrong}", trouble=True)
        return
    screen = app.screen
    if isinstance(screen, ModalScreen):
        taker = getattr(screen, "scanned", None)
        if taker is None or not taker(found):
            app.notify(f"{found.words} was scanned. Close this first, then scan again.", markup=False)
        return
    if app.current_mode != "shelf":
        await app.switch_mode("shelf")
    taker = getattr(app.screen, "scanned", None)
    if taker is not None:
        taker(found)
