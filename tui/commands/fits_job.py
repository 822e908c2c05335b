"""`kitwright fits job`: the rings a job used at a machine's positions, put on record there."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from tui.commands.fits import SCHEMA, fit_lines, fit_object
from tui.commands.job_words import job_number
from tui.commands.output import say, say_json
from tui.commands.workshop import opened
from tui.exit_codes import ExitCode
from tui.kitting import Kitting
from tui.ring_words import ring_words

if TYPE_CHECKING:
    from models.fits.fitted import Fitted


def run(arguments: argparse.Namespace) -> ExitCode:
    """Note them, or say what would be noted."""
    number = job_number(arguments.job)
    with opened(arguments) as workshop:
        kitting = Kitting(workshop)
        waiting = kitting.fitted(number)
        noted = kitting.note_fitted(number) if waiting and not arguments.dry_run else ()
    if arguments.json:
        say_json({"schema": SCHEMA, "job": number, "waiting": [_object(one) for one in waiting if not noted],
                  "fits": [fit_object(row) for row in noted]})  # fmt: skip
    elif noted:
        say("Noted. Take it back with: kitwright undo")
        for line in fit_lines(noted):
            say(line)
    elif waiting:
        for one in waiting:
            say(f"Would note {line_of(one)}")
    else:
        say(f"No ring of job {number} waits to be noted.")
    return ExitCode.FOUND if waiting else ExitCode.NOTHING


def line_of(one: Fitted) -> str:
    """One ring with what is on record in its place."""
    before = f" in place of {ring_words(one.record)}" if one.record is not None else ""
    return f"{ring_words(one.ring)} at {one.machine_name}, {one.position_name}{before}."


def _object(one: Fitted) -> dict[str, Any]:
    return {
        "machine": one.machine_name,
        "position": one.position_name,
        "size": one.ring.size_key,
        "rubber": one.ring.rubber or None,
        "hardness_shore_a": one.ring.hardness_shore_a,
        "on_record": None if one.record is None else one.record.size_key,
    }
