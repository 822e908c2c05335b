"""`kitwright fits job`: the rings a job used at a machine's positions, put on record there."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from tui.commands.fits import SCHEMA, fit_lines, fit_object
from tui.commands.job_words import job_number
from tui.commands.output import say, say_json
from tui.commands.workshop import opened, same_place
from tui.exit_codes import ExitCode
from tui.kitting import Kitting
from tui.ring_words import Described, record_words, ring_words

if TYPE_CHECKING:
    from models.fits.fitted import Fitted


def run(arguments: argparse.Namespace) -> ExitCode:
    """Note them, or say what would be noted."""
    number = job_number(arguments.job)
    with opened(arguments) as workshop:
        kitting = Kitting(workshop)
        used = kitting.used(number)
        noted = kitting.note_fitted(number) if used.waiting and not arguments.dry_run else ()
    if arguments.json:
        waiting = [_object(one) for one in used.waiting if not noted]
        fits = [fit_object(row) for row in noted]
        say_json({"schema": SCHEMA, "job": number, "waiting": waiting, "mixed": list(used.mixed), "fits": fits})
        return ExitCode.FOUND if used.waiting else ExitCode.NOTHING
    if noted:
        say(f"Noted. Take it back with: kitwright undo{same_place(arguments)}")
        for line in fit_lines(noted):
            say(line)
    for one in used.waiting if not noted else ():
        before = f" in place of {record_words(one.record)}" if one.record is not None else ""
        say(f"Would note {ring_words(one.ring)} at {one.machine_name}, {one.position_name}{before}.")
    for place in used.mixed:
        say(f"Several sorts of ring went in at {place}; note which fitted with: kitwright fits add")
    if not used.waiting and not used.mixed:
        say(f"No ring of job {number} waits to be noted.")
    return ExitCode.FOUND if used.waiting else ExitCode.NOTHING


def _object(one: Fitted) -> dict[str, Any]:
    return {
        "machine": one.machine_name,
        "position": one.position_name,
        **_ring(one.ring),
        "on_record": None if one.record is None else _ring(one.record),
    }


def _ring(ring: Described) -> dict[str, Any]:
    return {"size": ring.size_key, "rubber": ring.rubber or None, "hardness_shore_a": ring.hardness_shore_a}
