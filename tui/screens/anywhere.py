"""What every screen offers by the palette: add what is missed, put a name right, ask what was done; each by a form."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any, Final

from models import upkeep
from tui import screens
from tui.fields.field import Asked, FieldError
from tui.operations.registry import operation
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from tui.operations.operation import Operation
    from tui.screens.area import Area
    from tui.workshop import Workshop

NAMED: Final = ("machine", "bin", "item", "supplier")
NOTES: Final = (("item", "note"), ("bin", "note"), ("machine", "note"), ("machine", "note-position"))
PICTURE: Final = ("picture", "show")
ANYWHERE: Final = (
    ("shelf", "receive"),
    ("machine", "add"),
    ("machine", "history"),
    ("bin", "add"),
    ("list", "add"),
    *((area, name) for area in NAMED for name in ("rename", "merge", "retire")),
    *NOTES,
    PICTURE,
)
"""By area and name. What comes in makes any item, so an item is added by receiving it."""


def offered() -> list[Operation]:
    """The operations that every screen offers."""
    return [operation(area, name) for area, name in ANYWHERE]


async def do(screen: Area, one: Operation) -> None:
    """Ask for all that the operation must know, with what is highlighted typed already, and do it."""
    if (one.area, one.name) == PICTURE:
        await screens.picture_page.open_for(screen)
        return
    workshop = screen.kitwright.workshop
    start = dict(screen.meant())
    if one.name == "merge" and (name := start.get(one.area)):
        start["into"] = await screen.ask(_likest, workshop, one.area, name) or ""
    asked = Asked(screen.kitwright.units, {}, workshop.read)
    do_it = partial(one.perform, workshop)
    form: screens.form.Form
    if one.name == "receive":
        known = await screen.ask(workshop.known)
        if known is None:
            return
        form = screens.shelf.receive.ReceiveForm(one, asked, do_it, title=one.label, names=known.items, bins=known.bins)
    elif (one.area, one.name) in NOTES:
        form = await _note_form(screen, one, asked, start)
    else:
        form = screens.form.Form(one, asked, do_it, title=one.label, start=_of_it(one, start))
    done = await screen.app.push_screen_wait(form)
    if done is not None and one.change is None:
        screen.app.push_screen(screens.asking.to_read(one.label, "\n".join(done.answer.words()), name=one.name))
    elif done is not None:
        screen.say(clean(f"{done.answer.words()[0].removesuffix('.')}. F9 takes it back."))
        screen.workshop_changed()


async def _note_form(screen: Area, one: Operation, asked: Asked, start: Mapping[str, str]) -> screens.form.Form:
    """The form for a note: of what is highlighted only the note is asked, and the one that stands is in its field."""
    do_it = partial(one.perform, screen.kitwright.workshop)
    known = await screen.ask(_known, one, asked, start)
    if not known:
        return screens.form.Form(one, asked, do_it, title=one.label, start=start)
    stands = await screen.ask(one.starting, screen.kitwright.workshop, known)
    name = start[one.fields[-2].name]
    return screens.form.Form(one, replace(asked, values=known), do_it, title=f"Note on {name}", start=stands or {})


def _known(one: Operation, asked: Asked, start: Mapping[str, str]) -> dict[str, Any]:
    """The rows that the highlighted names mean; none where one of them is not highlighted. Runs in a thread."""
    values: dict[str, Any] = {}
    for field in one.fields[:-1]:
        try:
            values[field.name] = field.from_text(start.get(field.name, ""), replace(asked, values=values))
        except FieldError:
            return {}
    return values


def _of_it(one: Operation, start: Mapping[str, str]) -> Mapping[str, str]:
    """What is highlighted fills the fields of what there is; a new name is typed by a person."""
    return {} if one.name == "add" else start


def _likest(workshop: Workshop, area: str, name: str) -> str:
    """The name most like this one; "" where there is none."""
    return next(iter(workshop.read(lambda session: upkeep.named.alike(session, upkeep.named.What(area), name))), "")
