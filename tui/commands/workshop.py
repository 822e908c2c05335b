"""What the commands on the workshop's database share: opening it, and saying its faults as a usage error."""

from __future__ import annotations

import argparse
import shlex
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import models
import tui
from models import storage
from tui.commands.output import Outcome, flush, talk
from tui.commands.parsing import UsageError

if TYPE_CHECKING:
    from tui.workshop import Workshop


@contextmanager
def opened(arguments: argparse.Namespace) -> Iterator[Workshop]:
    """The workshop that `--data` or `--demo` names. What goes wrong in it becomes a UsageError in its own words."""
    workshop = tui.workshop.Workshop(arguments.data, arguments.demo)
    try:
        yield workshop
        Outcome.booked = workshop.has_booked
        flush()
        _look_after(workshop)
    except models.errors.WorkshopError as problem:
        on = "" if problem.go_on is None else f" {problem.go_on[0]}: kitwright {problem.go_on[1]}"
        raise UsageError(f"{problem}{on}{same_place(arguments) if on else ''}") from problem
    except models.errors.PLAIN_FAULTS as fault:
        wrong = workshop.wrong_value() if models.errors.may_be_kept(fault) else None
        if wrong is None:
            raise
        raise UsageError(str(wrong)) from fault
    finally:
        # Whoever stops the command, or loses its answer, is told whether the change is booked.
        Outcome.booked = workshop.has_booked
        workshop.close()


def _look_after(workshop: Workshop) -> None:
    """What is to be said of names that were set right, and the day's backup, once the answer is out."""
    for said in workshop.noticed():
        talk(f"Note: {said}")
    trouble = workshop.keep_backup()
    if trouble:
        talk(f"Note: {trouble}")


def same_place(arguments: argparse.Namespace) -> str:
    """The options that name the same workshop, for a command that is proposed; an address may hold a password."""
    if arguments.demo:
        return " --demo"
    if arguments.data is None:
        return ""
    if arguments.data_from is not None:
        return f" --data-from {shlex.quote(arguments.data_from)}"

    return " --data ADDRESS" if storage.address.is_address(arguments.data) else f" --data {shlex.quote(arguments.data)}"
