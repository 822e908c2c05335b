"""The picture and the note of an item, a bin, a machine or a position: to see, to add, to replace, to take away."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar, Final, NamedTuple, cast

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

import models
from models import pictures
from models.errors import WorkshopError
from models.notes import What
from tui import operations, screens
from tui.bound import bind
from tui.fields.field import Asked, FieldError
from tui.fields.named import NamedRow
from tui.fields.pictured import Pictured
from tui.keys import MENU, filled, key, plain
from tui.operations.registry import operation
from tui.screens.area import in_thread
from tui.screens.closing import Sheet
from tui.widgets.cells import clean
from tui.widgets.picture_view import PictureView

if TYPE_CHECKING:
    from sqlmodel import Session

    from models.pictures.keeping import Of, PictureRow
    from models.watching.heard import Heard
    from tui.host import Host
    from tui.operations.operation import Operation
    from tui.screens.area import Area
    from tui.workshop import Workshop

ORDER: Final = (What.POSITION, What.ITEM, What.BIN, What.MACHINE)
"""Of several things that are highlighted together, the nearest first."""
NOTES: Final = {
    What.ITEM: ("item", "note"),
    What.BIN: ("bin", "note"),
    What.MACHINE: ("machine", "note"),
    What.POSITION: ("machine", "note-position"),
}


HELP: Final = filled(
    "A picture of the thing, and a note on it: which ring, which bolt, what to look at.\n\n"
    "{take} or {plain:new}: add a picture from a JPEG, PNG or WebP file on the shop's computer, in place of the one "
    "before. It is kept small, upright, without the place where it was taken.\n"
    "{plain:drop}: remove it. {plain:change}: write the note, or empty it. {undo} takes either back.\n"
    "{plain:turn}: from the item to its bin, from the position to its machine, and back.\n"
    "{menu}, Export the picture: write it to a file, to see it whole.\n\n"
    "Two points of it stand in each letter; without colours it is drawn in letters, the lighter the more ink. "
    "A job's sheet has it small, for each need's position."
)
ASK: Final = "Picture and note of what? Name one thing"
LONGEST_NAME: Final = 40
"""Letters of a file's name that is proposed."""


class Seen(NamedTuple):
    """What is known of a thing: the picture that stands, its file, its note."""

    row: PictureRow | None
    jpeg: bytes
    note: str
    wrong: str = ""


def seen(workshop: Workshop, of: Of) -> Seen:
    """Picture and note of one thing. Runs in a thread."""

    def look(session: Session) -> Seen:
        row, note = pictures.keeping.of(session, of.what, of.row_id), models.notes.of(session, of.what, of.row_id).note
        try:
            return Seen(row, b"" if row is None else pictures.keeping.jpeg_of(session, row.picture_id), note)
        except models.errors.InvalidInputError as broken:
            return Seen(row, b"", note, str(broken))

    return workshop.read(look)


def meant_by(workshop: Workshop, names: Mapping[str, str]) -> tuple[Of, ...]:
    """What the highlighted names mean: the item, the bin, the machine, its position. Runs in a thread."""
    field, asked, found = Pictured("of", "Of"), Asked(look=workshop.read), []
    words: Mapping[str, str]
    for what in ORDER:
        if not (name := names.get(what.value)):
            continue
        words = {what.value: name}
        if what is What.POSITION:
            words = {"machine": names.get("machine", ""), "position": name}
        try:
            found.append(field.from_words(words, asked))
        except FieldError:
            continue
    return tuple(found)


def _to_note(workshop: Workshop, of: Of) -> tuple[Operation, dict[str, Any], Mapping[str, str]]:
    """The operation that writes a note on it, the rows it needs, and what stands in its field."""
    one = operation(*NOTES[of.what])
    values: dict[str, Any] = {of.what.value: NamedRow(of.row_id, of.name)}
    if of.what is What.POSITION:
        place = workshop.read(lambda session: models.machines.position(session, of.row_id))
        machine = workshop.read(lambda session: models.machines.get(session, place.machine_id))
        values = {"machine": machine, "position": place}
    return one, values, one.starting(workshop, values)


class PicturePage(Sheet[None]):
    """Shows the first of several things, each with its picture and its note; T turns to the next."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bind("take", "take", "Add or close", id="picture.take",
             tooltip="Add a picture where there is none; else back to the screen"),
        bind("new", "add", "Picture from a file", id="picture.add",
             tooltip="Add a picture from a file, in place of the one before"),
        bind("change", "note", "Note", id="picture.note", tooltip="Write the note, or empty it"),
        bind("drop", "remove", "Remove the picture", id="picture.remove",
             tooltip="Remove the picture; undo puts it back"),
        bind("turn", "turn", "The next", id="picture.turn", tooltip="From the item to the bin, and back"),
        bind(MENU, "export", "Export the picture", id="picture.export", tooltip="Write the picture to a JPEG file"),
        bind("undo", "app.undo", "Undo", id="picture.undo", tooltip="Take back the last change"),
        bind("menu", "app.command_palette", "Menu", tooltip="All that can be done here, by name"),
        bind("leave", "close", "Close", id="picture.close", tooltip="Back to the screen"),
        bind("paper", "close", "Close", tooltip="Back to the screen"),
    ]  # fmt: skip

    def __init__(self, things: Sequence[Of]) -> None:
        super().__init__()
        self._things = tuple(things)
        self._at = 0
        self._seen: Seen | None = None

    @property
    def kitwright(self) -> Host:
        """The app, with its own type."""
        return cast("Host", self.app)

    @property
    def of(self) -> Of:
        """What is shown."""
        return self._things[self._at]

    @property
    def _after(self) -> Of | None:
        """What T turns to."""
        return self._things[(self._at + 1) % len(self._things)] if len(self._things) > 1 else None

    def compose(self) -> ComposeResult:
        """What it is of, its note, the picture, what is said, the keys."""
        with Vertical(id="picture-page"):
            yield Static("", id="picture-of", classes="title", markup=False)
            yield Static("", id="picture-note", markup=False)
            yield PictureView(plain=self.kitwright.plain_glyphs, id="picture")
            yield Static("", id="picture-about", classes="quiet", markup=False)
            yield Static("", id="picture-says", markup=False)
        yield Static("", id="picture-keys", classes="sheet-keys", markup=False)

    def on_mount(self) -> None:
        """Read the first thing."""
        self.workshop_changed()

    def workshop_changed(self) -> None:
        """Read it again, after an undo too."""
        self._read()

    def booked_elsewhere(self, heard: Heard) -> None:
        """Others may have changed the picture or the note."""
        self._read()

    @work(exclusive=True, group="read")
    async def _read(self) -> None:
        of = self.of
        try:
            found = await in_thread(seen, self.kitwright.workshop, of)
        except WorkshopError as refused:
            self._show(of, Seen(None, b"", "", f"{refused.title}. {refused}"))
            return
        if of == self.of and found != self._seen:
            self._show(of, found)

    def _show(self, of: Of, found: Seen) -> None:
        self._seen = found
        which = f"   {self._at + 1} of {len(self._things)}" if len(self._things) > 1 else ""
        self._put("of", f"{of.what.value.capitalize()} {of.name}{which}")
        self._put("note", f"Note: {found.note}" if found.note else f"No note; {plain('change')} writes one.")
        none = f"No picture of it yet; {key('take')} adds one from a file." if found.row is None else found.wrong
        self.query_one(PictureView).show(found.jpeg, none)
        row, about = found.row, ""
        if row is not None:
            about = f"{row.width} × {row.height} pixels, added by {row.who} on {row.at:%Y-%m-%d}"
        self._put("about", about)
        self._say_keys()

    def help_words(self) -> Content:
        """What the page is for."""
        return Content(HELP)

    def _put(self, part: str, text: str) -> None:
        self.query_one(f"#picture-{part}", Static).update(clean(text))

    def _say_keys(self) -> None:
        parts = [f"{key('take')} adds a picture"]
        if self._has_picture:
            parts = [f"{plain('new')} another picture", f"{plain('drop')} removes it"]
        parts.append(f"{plain('change')} note")
        if (after := self._after) is not None:
            parts.append(f"{plain('turn')} the {after.what.value}")
        self._put("keys", " " + " · ".join((*parts, "Esc closes")))

    @property
    def _has_picture(self) -> bool:
        return self._seen is not None and self._seen.row is not None

    def say(self, text: str) -> None:
        """What was done, until another thing is shown."""
        self._put("says", text)

    def says_itself(self, text: str) -> bool:
        """What the app tells stands where this page says what was done: a toast would lie over the keys."""
        self.say(text)
        return True

    def action_turn(self) -> None:
        """Show the next thing."""
        if self._after is not None:
            self._at = (self._at + 1) % len(self._things)
            self._seen = None
            self.say("")
            self._read()

    def action_take(self) -> None:
        """Add a picture where there is none; else close."""
        if self._seen is None:
            return
        if self._has_picture:
            self.action_close()
        else:
            self.action_add()

    @work(exclusive=True, group="change")
    async def action_add(self) -> None:
        """Ask for the file, and keep its picture."""
        await self._form(operation("picture", "add"), {"of": self.of}, f"Picture of {self.of.name}", {})

    @work(exclusive=True, group="change")
    async def action_note(self) -> None:
        """Ask for the note; the one that stands is in the field."""
        of = self.of
        try:
            one, values, start = await in_thread(_to_note, self.kitwright.workshop, of)
        except WorkshopError as refused:
            self.say(f"{refused.title}. {refused}")
            return
        await self._form(one, values, f"Note on {of.name}", start)

    async def _form(self, one: Operation, values: dict[str, Any], title: str, start: Mapping[str, str]) -> None:
        workshop = self.kitwright.workshop
        asked = Asked(self.kitwright.units, values, workshop.read)
        form = screens.form.Form(one, asked, partial(one.perform, workshop), title=title, start=start)
        done = await self.app.push_screen_wait(form)
        if done is not None:
            self._done(done.answer.words()[0])

    @work(exclusive=True, group="change")
    async def action_remove(self) -> None:
        """Take the picture away."""
        one, workshop = operation("picture", "remove"), self.kitwright.workshop
        try:
            answer = await in_thread(one.perform, workshop, {"of": self.of})
        except WorkshopError as refused:
            self.say(str(refused))
            return
        self._done(answer.words()[0])

    def _done(self, words: str) -> None:
        self.say(f"{words.removesuffix('.')}. {key('undo')} takes it back.")
        self._read()

    @work(exclusive=True, group="change")
    async def action_export(self) -> None:
        """Write the picture to a file, or hand it to the browser."""
        jpeg = self._seen.jpeg if self._seen is not None else b""
        if not jpeg:
            self.say("There is no picture to export.")
            return
        name = re.sub(r"[^\w]+", "-", self.of.name).strip("-")[:LONGEST_NAME] or "picture"
        await screens.paper.write(self, "Write the picture to which file?", f"{name}.jpg", lambda: jpeg)

    def action_close(self) -> None:
        """Back to the screen."""
        self.dismiss(None)


async def open_for(area: Area) -> None:
    """Open it for what is highlighted; where that is nothing, ask what is meant."""
    workshop = area.kitwright.workshop
    things = await area.ask(meant_by, workshop, area.meant())
    if things == ():
        one = operation("picture", "show")
        known = partial(operations.picture.known, workshop)
        form = screens.form.Form(one, Asked(area.kitwright.units, {}, workshop.read), known, title=ASK)
        done = await area.app.push_screen_wait(form)
        things = None if done is None else (done.values["of"],)
    if things:
        await area.app.push_screen_wait(PicturePage(things))
