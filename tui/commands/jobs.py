"""`kitwright jobs`: the open jobs, most urgent first."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.output import say, say_json, table
from tui.commands.parsing import add_json_option, add_workshop_options
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from models.database import Session
    from models.jobs import JobRow

NAME = "jobs"
HELP = "the open jobs and how their kits stand"
DESCRIPTION = """\
List the open jobs, most urgent first, each with how its kit stands:
draft, short, ready, picked or done.

examples:
  kitwright jobs --demo
  kitwright jobs --closed --demo
  kitwright jobs --json --demo
"""
EPILOG = "exit codes: 0 some job is listed, 1 none is, 2 wrong options or input.\n"
SCHEMA = "kitwright.jobs/1"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("--closed", action="store_true", help="the closed jobs instead, latest first")
    add_json_option(parser)
    add_workshop_options(parser)


def run(arguments: argparse.Namespace) -> ExitCode:
    """List the jobs."""
    from models import jobs as all_jobs
    from tui.commands.workshop import opened
    from tui.workshop import MOST_ROWS

    def look(session: Session) -> tuple[JobRow, ...]:
        return all_jobs.listed(session, closed=arguments.closed, limit=MOST_ROWS)

    with opened(arguments) as workshop:
        jobs = workshop.read(look)
    if arguments.json:
        rows = [
            {
                "job": job.job_id,
                "title": job.title,
                "machine": job.machine_name or None,
                "due_on": None if job.due_on is None else job.due_on.isoformat(),
                "kit": job.state.value,
            }
            for job in jobs
        ]
        say_json({"schema": SCHEMA, "jobs": rows})
    elif jobs:
        cells = [
            (
                str(job.job_id),
                job.state.value,
                job.title,
                job.machine_name,
                "" if job.due_on is None else f"{job.due_on}",
            )
            for job in jobs
        ]
        for line in table(("job", "kit", "title", "machine", "due"), cells, right=(0,)):
            say(line)
    else:
        say("No job was closed yet." if arguments.closed else "No job is open.")
    return ExitCode.FOUND if jobs else ExitCode.NOTHING
