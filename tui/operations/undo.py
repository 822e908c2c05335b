"""Undo: take back your last change, here or in the app, after naming it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import models
import tui
from models import undoing
from tui.answers.undone import Undone, change_of
from tui.fields.plain import Count, Flag
from tui.operations.operation import Operation, Then, Values

if TYPE_CHECKING:
    from collections.abc import Callable

    from sqlmodel import Session

    from models.acts import Act
    from models.undoing.last_change import LastChange

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


def _look() -> Callable[..., Any]:

    def look(session: Session, *, dry_run: bool, before: int | None = None) -> LastChange | None:
        """What would be undone."""
        return undoing.last_change.last_change(session, tui.workshop.user(), before)

    return look


def _undo() -> Callable[..., Any]:

    def take_back(session: Session, act: Act, *, dry_run: bool, before: int | None = None) -> LastChange | None:
        """Undo it."""
        found = undoing.last_change.last_change(session, act.who, before)
        if found is not None:
            try:
                undoing.undo.undo(session, act, found.key)
            except models.errors.CannotUndoError as refused:
                refused.go_on = "To go on to the change before it", f"undo --before {found.number}"
                raise
        return found

    return take_back


def _undone(then: Then) -> Undone:
    found: LastChange | None = then.result
    change = None if found is None else change_of(found)
    return Undone(found is not None and not then.values["dry_run"], change)


def _changes(values: Values) -> bool:
    return not values["dry_run"]


UNDO = Operation(
    area="undo",
    name="undo",
    label="Undo",
    help="take back your last change",
    about="Take back the last change that you made and that can be undone, here or in the app.\n"
    "It is named first. Nothing is removed from the record: the opposite is booked.",
    fields=(
        Flag("dry_run", "Look only", "say what would be undone and change nothing"),
        Count("before", "Before change", "pass by change N and all after it, where N can't be undone", must=False),
    ),
    change=_undo,
    question=_look,
    changes=_changes,
    answer=_undone,
    examples=("undo --dry-run", "undo", "undo --before 41 --dry-run"),
)

OPERATIONS = (UNDO,)
