"""What the commands on the workshop's database share: opening it, and saying its faults as a usage error."""

from __future__ import annotations

import argparse
import shlex
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from tui.commands.parsing import UsageError

if TYPE_CHECKING:
    from tui.workshop import Workshop


@contextmanager
def opened(arguments: argparse.Namespace) -> Iterator[Workshop]:
    """The workshop that `--data` or `--demo` names. What goes wrong in it becomes a UsageError in its own words."""
    from models.errors import WorkshopError
    from tui.workshop import Workshop

    workshop = Workshop(arguments.data, arguments.demo)
    try:
        yield workshop
    except WorkshopError as problem:
        on = "" if problem.go_on is None else f" {problem.go_on[0]}: kitwright {problem.go_on[1]}"
        raise UsageError(f"{problem}{on}{same_place(arguments) if on else ''}") from problem
    finally:
        workshop.close()


def same_place(arguments: argparse.Namespace) -> str:
    """The options that name the same workshop, for a command that is proposed; an address may hold a password."""
    if arguments.demo:
        return " --demo"
    if arguments.data is None:
        return ""
    return " --data ADDRESS" if "://" in arguments.data else f" --data {shlex.quote(arguments.data)}"
