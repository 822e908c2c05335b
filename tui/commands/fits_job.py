"""`kitwright fits job`: the rings a job used at a machine's positions, put on record there."""

from __future__ import annotations

import argparse
import shlex
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from tui.commands.amounts import job_number
from tui.commands.fits import SCHEMA, fit_lines, fit_object
from tui.commands.output import say, say_json
from tui.commands.workshop import opened, same_place
from tui.exit_codes import ExitCode
from tui.kitting import Kitting
from tui.ring_words import Described, record_words, ring_words

if TYPE_CHECKING:
    from models.fits.fit_records import FitRow
    from models.fits.fitted import Fitted, Used


def run(arguments: argparse.Namespace) -> ExitCode:
    """Note them, or say what would be noted."""
    number = job_number(arguments.job)
    with opened(arguments) as workshop:
        kitting = Kitting(workshop)
        used = kitting.used(number)
        noted: tuple[FitRow, ...] = ()
        if used.waiting and not arguments.dry_run:
            noted = kitting.note_fitted(number)
            used = kitting.used(number)
    if arguments.json:
        waiting = [_object(one) for one in used.waiting]
        fits = [fit_object(row) for row in noted]
        say_json({"schema": SCHEMA, "job": number, "waiting": waiting, "mixed": mixed_objects(used), "fits": fits})
    else:
        _say(arguments, used, noted)
    return ExitCode.FOUND if noted or used.waiting else ExitCode.NOTHING


def _say(arguments: argparse.Namespace, used: Used, noted: Sequence[FitRow]) -> None:
    if noted:
        say(f"Noted. Take it back with: kitwright undo{same_place(arguments)}")
        for line in fit_lines(tuple(noted)):
            say(line)
    for one in used.waiting:
        before = f" in place of {record_words(one.record)}" if one.record is not None else ""
        say(f"Would note {ring_words(one.ring)} at {one.machine_name}, {one.position_name}{before}.")
    for line in mixed_lines(arguments, used):
        say(line)
    if not (noted or used.waiting or used.mixed):
        say(f"No ring of job {arguments.job.strip()} waits to be noted.")


def mixed_lines(arguments: argparse.Namespace, used: Used) -> list[str]:
    """A line for each place where several sorts of ring went in, with the command that notes one by hand."""
    return [
        f"Several sorts of ring went in at {place.position_name}; note which fitted with: kitwright fits add "
        f"{shlex.quote(place.machine_name)} {shlex.quote(place.position_name)} SIZE{same_place(arguments)}"
        for place in used.mixed
    ]


def mixed_objects(used: Used) -> list[dict[str, str]]:
    """The same as JSON."""
    return [{"machine": place.machine_name, "position": place.position_name} for place in used.mixed]


def _object(one: Fitted) -> dict[str, Any]:
    return {
        "machine": one.machine_name,
        "position": one.position_name,
        **_ring(one.ring),
        "on_record": None if one.record is None else _ring(one.record),
    }


def _ring(ring: Described) -> dict[str, Any]:
    return {"size": ring.size_key, "rubber": ring.rubber or None, "hardness_shore_a": ring.hardness_shore_a}
