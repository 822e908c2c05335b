"""`kitwright undo`: take back your last change, after naming it."""

from __future__ import annotations

import argparse

from tui.commands.output import say, say_json
from tui.commands.parsing import add_json_option, add_workshop_options, whole
from tui.exit_codes import ExitCode

NAME = "undo"
HELP = "take back your last change"
DESCRIPTION = """\
Take back the last change that you made and that can be undone, here or in the app:
at the shelf, in a kit, of a job, a template or an order, of what is said of items,
machines, suppliers and reorder points. It is named first. Nothing is removed from the record: the
opposite is booked.

examples:
  kitwright undo --dry-run --demo
  kitwright undo --demo
  kitwright undo --before 41 --dry-run --demo
"""
EPILOG = """\
exit codes: 0 undone, 1 there is nothing to undo, 2 it can't be undone, or wrong
options.
"""
SCHEMA = "kitwright.undo/1"
SHOWN = 10
MOST = 999_999_999


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    add_choosing(parser)
    add_json_option(parser)
    add_workshop_options(parser)


def add_choosing(parser: argparse.ArgumentParser) -> None:
    """Add the options that say which change, and whether only to look."""
    parser.add_argument("--dry-run", action="store_true", help="say what would be undone and change nothing")
    parser.add_argument("--before", metavar="N", help="pass by change N and all after it, where N can't be undone")


def run(arguments: argparse.Namespace) -> ExitCode:
    """Undo, or say what would be undone."""
    from models.errors import CannotUndoError
    from models.undoing import undo
    from models.undoing.last_change import last_change
    from models.volume import in_words
    from tui.commands.workshop import opened, same_place
    from tui.workshop import user

    before = None if arguments.before is None else whole("--before", arguments.before, 1, MOST)
    with opened(arguments) as workshop:
        found = workshop.read(lambda session: last_change(session, user(), before))
        if found is not None and not arguments.dry_run:
            key = found.key
            try:
                workshop.change(lambda session, act: undo.undo(session, act, key))
            except CannotUndoError as refused:
                on = f"To go on to the change before it: kitwright undo --before {found.number}{same_place(arguments)}"
                raise CannotUndoError(refused.happened, f"{refused.to_do} {on}".strip()) from refused
    if arguments.json:
        change = None
        if found is not None:
            change = {
                "number": found.number,
                "what": found.what,
                "about": found.about or None,
                "at": found.at.isoformat(timespec="seconds"),
                "moves": [
                    {
                        "item": one.item_name,
                        "bin": one.bin_code,
                        "counted_in": one.counted_in.value,
                        "on_hand": one.on_hand_change,
                        "promised": one.promised_change,
                    }
                    for one in found.moves
                ],
                "all_moves": found.all_moves,
            }
        say_json({"schema": SCHEMA, "undone": found is not None and not arguments.dry_run, "change": change})
    elif found is None:
        say("There is nothing of yours that can be undone.")
    else:
        word, number = ("Would undo", f", change {found.number}") if arguments.dry_run else ("Undone", "")
        about = f" ({found.about})" if found.about and not found.about.isdigit() else ""
        booked = ", which had booked" if found.moves else ""
        say(f"{word}: {found.what}{about} of {found.at.astimezone():%Y-%m-%d %H:%M}{number}{booked}")
        for one in found.moves[:SHOWN]:
            hand, kept = one.on_hand_change, one.promised_change
            went = ", ".join(
                part
                for part in (
                    hand and f"{in_words(abs(hand), one.counted_in)} {'came in' if hand > 0 else 'went out'}",
                    kept
                    and f"{in_words(abs(kept), one.counted_in)} {'promised' if kept > 0 else 'no longer promised'}",
                )
                if part
            )
            say(f"    {one.item_name}, bin {one.bin_code}: {went or 'counted as it was'}")
        if found.all_moves > SHOWN:
            say(f"    and {found.all_moves - SHOWN} more")
    return ExitCode.FOUND if found is not None else ExitCode.NOTHING
