"""`kitwright shelf box`: what is missing from an assortment box, and what a full one holds."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from tui.commands.amounts import named, number
from tui.commands.output import say, say_json, table
from tui.commands.parsing import UsageError, shown
from tui.commands.shelf_words import SCHEMA, bin_named, item_named
from tui.commands.workshop import opened
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from models.acts import Act
    from models.database import Session
    from models.stores.assortments import Box

MOST = 1_000_000


def run(arguments: argparse.Namespace) -> ExitCode:
    """Show boxes, or say what a full one holds."""
    if arguments.full:
        return _set(arguments)

    def look(session: Session) -> tuple[Box, ...]:
        from models.stores import assortments

        boxes = assortments.listed(session)
        if arguments.box is None:
            return boxes
        none = "No bin is a box yet; say what a full one holds with --full ITEM=N"
        return (named("BIN", arguments.box, [(box.code, box) for box in boxes], "box", none),)

    with opened(arguments) as workshop:
        boxes = workshop.read(look)
    return _tell(arguments, boxes)


def _set(arguments: argparse.Namespace) -> ExitCode:
    if arguments.box is None:
        raise UsageError('--full: name the box first, as in: kitwright shelf box "Box 1" --full "ITEM=10"')
    said = [_pair(text) for text in arguments.full]

    def change(session: Session, act: Act) -> Box:
        from models.stores import assortments

        place = bin_named(session, arguments.box, "BIN")
        box = assortments.get(session, place.bin_id)
        model = {row.item_id: row.full for row in box.rows if row.full}
        for name, pieces in said:
            model[item_named(session, name, "--full").item_id] = pieces
        kept = {item_id: pieces for item_id, pieces in model.items() if pieces}
        return assortments.set_model(session, act, place.bin_id, kept)

    with opened(arguments) as workshop:
        box = workshop.change(change)
    _tell(arguments, (box,))
    return ExitCode.FOUND


def _pair(text: str) -> tuple[str, int]:
    name, equals, pieces = text.rpartition("=")
    if not equals or not name.strip():
        raise UsageError(f'--full: {shown(text)} is not ITEM=N; type for example "O-ring AS568 214 NBR 70=10"')
    return name, number("--full", pieces, least=0, most=MOST)


def _tell(arguments: argparse.Namespace, boxes: tuple[Box, ...]) -> ExitCode:
    missing = any(box.missing for box in boxes)
    if arguments.json:
        say_json({"schema": SCHEMA, "boxes": [box_object(box) for box in boxes]})
    elif not boxes:
        say("No bin is an assortment box yet.")
    for box in () if arguments.json else boxes:
        for line in _lines(box, everything=arguments.all):
            say(line)
    return ExitCode.NOTHING if missing or not boxes else ExitCode.FOUND


def _lines(box: Box, *, everything: bool) -> list[str]:
    short = sum(row.missing for row in box.missing)
    head = f"{box.code}{f' ({box.note})' if box.note else ''}: "
    head += f"{short} missing, of {len(box.missing)} sizes" if short else "nothing is missing"
    rows = box.rows if everything else box.missing
    cells = [
        (f"  {row.item_name}", str(row.missing) if row.missing else "", str(row.on_hand), str(row.full or ""))
        for row in rows
    ]
    return [head, *(table(("  item", "missing", "there", "full"), cells, right=(1, 2, 3)) if cells else ())]


def box_object(box: Box) -> dict[str, Any]:
    """A box as JSON, in pieces; what lies in it beyond what a full one holds has `full` 0."""
    return {
        "bin": box.code,
        "note": box.note or None,
        "missing": sum(row.missing for row in box.missing),
        "rows": [
            {
                "item": row.item_name,
                "size": row.size_key,
                "full": row.full,
                "on_hand": row.on_hand,
                "free": row.free,
                "missing": row.missing,
            }
            for row in box.rows
        ],
    }
