"""`kitwright job open`, `need` and `close`."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.fits_job import mixed_lines, mixed_objects
from tui.commands.job_needs import at_position, need_spec
from tui.commands.job_words import day, job_number, job_object, machine_named, need_lines, need_object, template_named
from tui.commands.output import say, say_json
from tui.commands.parsing import UsageError
from tui.commands.workshop import opened, same_place
from tui.exit_codes import ExitCode
from tui.kitting import Kitting

if TYPE_CHECKING:
    from sqlmodel import Session

    from models.acts import Act
    from models.jobs import JobRow
    from models.kitting.kit_view import NeedView

SCHEMA = "kitwright.job/1"


def open_(arguments: argparse.Namespace) -> ExitCode:
    """Open a job."""
    if arguments.title is None and arguments.template is None:
        raise UsageError("a job needs a --title, or a --template to take its name from")
    due_on = day(arguments.due)

    def change(session: Session, act: Act) -> JobRow:
        from models import jobs

        machine_id = machine_named(session, arguments.machine)
        if arguments.template is None:
            return jobs.open_job(session, act, title=arguments.title, machine_id=machine_id, due_on=due_on)
        template_id = template_named(session, arguments.template)
        title = arguments.title or ""
        return jobs.open_from_template(session, act, template_id, machine_id=machine_id, title=title, due_on=due_on)

    with opened(arguments) as workshop:
        job = workshop.change(change)
        needs = len(workshop.kit(job.job_id).needs)
    if arguments.json:
        say_json({"schema": SCHEMA, **job_object(job), "needs": needs})
    else:
        has = f", {needs} {'need' if needs == 1 else 'needs'}" if needs else ""
        say(f"Opened job {job.job_id}: {_named(job)}{has}.")
    return ExitCode.FOUND


def close(arguments: argparse.Namespace) -> ExitCode:
    """Close a job."""
    number = job_number(arguments.job)
    with opened(arguments) as workshop:
        job = workshop.close_job(number)
        curing = Kitting(workshop).curing(number)
        used = Kitting(workshop).used(number)
    waiting = len(used.waiting)
    if arguments.json:
        left = {"not_on_record": waiting, "mixed": mixed_objects(used)}
        say_json({"schema": SCHEMA, **job_object(job), "curing": list(curing), **left})
    else:
        for one in curing:
            say(f"! {one}")
        say(f"Closed job {job.job_id}: {_named(job)}.")
        if waiting:
            rings = "1 ring it used is" if waiting == 1 else f"{waiting} rings it used are"
            say(f"{rings} not on record; if they fitted: kitwright fits job {number}{same_place(arguments)}")
        for line in mixed_lines(arguments, used):
            say(line)
    return ExitCode.FOUND


def need(arguments: argparse.Namespace) -> ExitCode:
    """Add a need and look for it on the shelf."""
    number = job_number(arguments.job)
    spec = need_spec(arguments)

    def change(session: Session, act: Act) -> NeedView:
        from models import jobs, kits

        job = jobs.get(session, number)
        placed = at_position(session, job, spec, arguments.at)
        made = kits.add_need(session, act, number, placed)
        # Looking on the shelf is an action of its own, as adding a need and finding it are in the app.
        found = kits.resolve(session, act._replace(key=f"{act.key}/look"), number)
        return next(one for one in found.needs if one.need_id == made.need_id)

    with opened(arguments) as workshop:
        added = workshop.change(change)
    if arguments.json:
        say_json({"schema": SCHEMA, "job": number, "added": need_object(added)})
    else:
        for line in need_lines(added):
            say(line)
    return ExitCode.NOTHING if added.missing else ExitCode.FOUND


def _named(job: JobRow) -> str:
    machine = f" on {job.machine_name}" if job.machine_name else ""
    return f"{job.title}{machine}" + (f", due {job.due_on}" if job.due_on else "")
