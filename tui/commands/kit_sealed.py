"""`kitwright kit sealed`: when a joint was sealed; its cure counts from there."""

from __future__ import annotations

import argparse

from tui.commands.job_words import job_number
from tui.commands.kit_show import tell
from tui.commands.kit_words import need_of
from tui.commands.parsing import UsageError
from tui.commands.workshop import opened
from tui.exit_codes import ExitCode


def run(arguments: argparse.Namespace) -> ExitCode:
    """Note when a joint was sealed, or take the note that stands back; then say how the kit stands."""
    from models import moments
    from models.kitting import sealing
    from models.undoing import undo

    job_id = job_number(arguments.job)
    if arguments.take_back and arguments.at is not None:
        raise UsageError("--take-back stands alone: take the note back, then note the right time")
    with opened(arguments) as workshop:
        need = need_of(workshop.kit(job_id), arguments.need)
        if arguments.take_back:
            workshop.change(lambda session, act: undo.undo(session, act, sealing.last_key(session, need.need_id)))
            return tell(workshop, job_id, arguments, f"Took back the last note on {need.title}.")
        now = workshop.open().clock().astimezone(moments.WALL)
        at = moments.read(arguments.at or "now", now)
        noted = None if at == now else at
        workshop.change(lambda session, act: sealing.note(session, act, need.need_id, noted))
        return tell(workshop, job_id, arguments, f"Noted: {need.title} sealed {moments.when(at, now)}.")
