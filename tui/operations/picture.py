"""What can be done with pictures: add one to an item, a bin, a machine or its position; show, export, remove it."""

from __future__ import annotations

import sys
from dataclasses import replace
from typing import TYPE_CHECKING

import models
import tui
from models import pictures
from tui.answers.pictures import PictureKnown, picture_of
from tui.fields.field import FieldError
from tui.fields.pictured import Pictured, PictureFile
from tui.fields.plain import File
from tui.operations.operation import Operation
from tui.widgets.grey_ramp import ramp

if TYPE_CHECKING:
    from typing import Literal

    from sqlmodel import Session

    from models.pictures.keeping import Of
    from tui.operations.operation import Values
    from tui.workshop import Workshop

HELP = "a picture of an item, a bin, a machine or its position"
DESCRIPTION = """\
Add a picture to an item, a bin, a machine or a position on it; show it, export it
to a file, remove it. A JPEG, PNG or WebP of at most 8 MB is taken; it is kept
small, and without what a camera writes beside it, such as the place.

examples:
  kitwright picture add rags.jpg --item "Rags, lint-free" --demo
  kitwright picture show --item "Rags, lint-free" --demo
  kitwright picture export flange.jpg --machine "Orchard tractor 3" --position "pump inlet flange ring" --demo
  kitwright picture remove --bin "Box 2" --demo
"""
EPILOG = "exit codes: 0 done, 1 there is no picture of it, 2 wrong options or input.\n"
COLUMNS = 72
ROWS = 40
"""Pixels of a picture as letters: each letter is two high."""
OF = Pictured("of", "Picture of")
AT = 'machine "Orchard tractor 3" --position "pump inlet flange ring"'


def _known(
    workshop: Workshop, of: Of, done: Literal["shown", "added", "removed", "exported"]
) -> tuple[PictureKnown, int]:
    """What is known of it, and the picture's number; 0 for none."""

    def look(session: Session) -> tuple[PictureKnown, int]:
        row = pictures.keeping.of(session, of.what, of.row_id)
        note = models.notes.of(session, of.what, of.row_id).note
        return picture_of(of, row, note, done), 0 if row is None else row.picture_id

    return workshop.read(look)


def known(workshop: Workshop, values: Values) -> PictureKnown:
    """What is known of a thing, its picture not drawn: for that nothing has to be installed."""
    return _known(workshop, values["of"], "shown")[0]


def _add(workshop: Workshop, values: Values) -> PictureKnown:
    of: Of = values["of"]
    try:
        # Before the workshop is held: unpacking takes tenths of a second.
        taken = pictures.taking_in.from_file(values["file"])
    except models.errors.InvalidInputError as problem:
        raise FieldError(str(problem), "FILE") from problem
    workshop.change(lambda session, act: pictures.keeping.add(session, act, of.what, of.row_id, taken))
    return _known(workshop, of, "added")[0]


def _show(workshop: Workshop, values: Values) -> PictureKnown:
    known, number = _known(workshop, values["of"], "shown")
    if not number:
        return known
    jpeg = workshop.read(lambda session: pictures.keeping.jpeg_of(session, number))
    return replace(known, drawn=tuple(ramp(pictures.pixels.pixels(jpeg, COLUMNS, ROWS))))


def _export(workshop: Workshop, values: Values) -> PictureKnown:
    known, number = _known(workshop, values["of"], "exported")
    if not number:
        return known
    jpeg = workshop.read(lambda session: pictures.keeping.jpeg_of(session, number))
    if values["file"].strip() == "-":
        if sys.stdout.isatty():
            raise FieldError("a picture would garble this terminal; name a file, or send it on with a pipe", "FILE")
        return replace(known, piped=jpeg)
    try:
        return replace(known, file=str(tui.saving.save(values["file"], jpeg)))
    except tui.saving.SaveError as problem:
        raise FieldError(str(problem), "FILE") from problem


def _remove(workshop: Workshop, values: Values) -> PictureKnown:
    of: Of = values["of"]
    workshop.change(lambda session, act: pictures.keeping.remove(session, act, of.what, of.row_id))
    return _known(workshop, of, "removed")[0]


ADD = Operation(
    area="picture",
    name="add",
    label="Add a picture",
    help="add a picture from a file, in place of the one before",
    about="Add a picture from a JPEG, PNG or WebP file, in place of the one before. It is kept\n"
    "with at most 1,280 pixels a side, turned upright, without place or owner.",
    fields=(PictureFile("file", "File", "a JPEG, PNG or WebP file of at most 8 MB", placed=True, metavar="FILE",
                        what="the path of a JPEG, PNG or WebP file, on the shop's computer"), OF),
    does=_add,
    examples=("picture add rags.jpg --item \"Rags, lint-free\"", f"picture add flange.jpg --{AT}"),
)  # fmt: skip
SHOW = Operation(
    area="picture",
    name="show",
    label="Picture and note",
    help="show the picture, as letters where it is printed, and the note",
    about="Show the picture as letters, and the note on what it is of. To see it whole,\nexport it.",
    fields=(OF,),
    does=_show,
    refuse=OF.refused,
    examples=('picture show --item "Rags, lint-free"', 'picture show --bin "Box 2"', f"picture show --{AT}"),
)
EXPORT = Operation(
    area="picture",
    name="export",
    label="Export the picture",
    help="write the picture to a JPEG file, or to a pipe with -",
    fields=(File("file", "File", "the JPEG file to write, or - for a pipe", placed=True, metavar="FILE|-"), OF),
    does=_export,
    examples=('picture export rags.jpg --item "Rags, lint-free"',),
)
REMOVE = Operation(
    area="picture",
    name="remove",
    label="Remove the picture",
    help="remove the picture; undo puts it back",
    fields=(OF,),
    does=_remove,
    before=('picture add rags.jpg --bin "Box 2"',),
    examples=('picture remove --bin "Box 2"',),
)
OPERATIONS = (ADD, SHOW, EXPORT, REMOVE)
