"""`kitwright job`: open a job, by hand or from a template; say what it needs; close it."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from tui.commands.job_needs import add_need_arguments, need_spec
from tui.commands.job_words import day, job_number, machine_named, need_lines, need_object, template_named
from tui.commands.output import say, say_json, table
from tui.commands.parsing import Parser, UsageError, add_json_option, add_workshop_options
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from sqlmodel import Session

    from models.acts import Act
    from models.jobs import JobRow
    from models.kit_view import NeedView
    from models.templates import TemplateRow

NAME = "job"
HELP = "open a job, say what it needs, close it"
DESCRIPTION = """\
Open a job, say what it needs, close it. For the list of jobs type: kitwright jobs

examples:
  kitwright job open --title "Reseal the lift valve" --machine "Row sprayer"
  kitwright job open --template "Spring service" --machine "Orchard tractor 3"
  kitwright job need 7 --ring AS568-214 --rubber NBR --count 2 --spares 1
  kitwright job need 7 --fluid UTTO --grade 10W-30 --low "11 qt" --full "12 qt"
  kitwright job keep 7 --as "Reseal a lift valve"
  kitwright job templates
  kitwright job close 7
"""
EPILOG = "exit codes: 0 done, 1 something is short or nothing is listed, 2 wrong options or input.\n"
SCHEMA = "kitwright.job/1"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the things to do with a job."""
    todo = parser.add_subparsers(title="what to do", metavar="WHAT", dest="what", required=True, parser_class=Parser)
    opening = todo.add_parser(
        "open",
        help="open a job",
        description="Open a job, empty or with what a template needs.\n\n"
        'example:\n  kitwright job open --title "Reseal the lift valve" --machine "Row sprayer" --due 2026-12-04\n',
    )
    opening.add_argument("--title", metavar="TEXT", help="what is to be done; a template's own name without it")
    opening.add_argument("--machine", metavar="NAME", help="the machine; without it the job is on the bench")
    opening.add_argument("--template", metavar="NAME", help="take over what this job template needs")
    opening.add_argument("--due", metavar="DAY", help="the day it is due, as 2026-12-04")
    need = todo.add_parser(
        "need",
        # argparse never breaks a group of choices, and this one is wider than a terminal.
        usage="kitwright job need N (--ring SIZE | --fluid CLASS | ...) [options]",
        help="say what a job needs",
        description="Add a need to a job and look for it on the shelf.\n\n"
        "examples:\n  kitwright job need 7 --ring AS568-214 --rubber NBR --count 2 --spares 1\n"
        '  kitwright job need 7 --fluid UTTO --grade 10W-30 --low "11 qt" --full "12 qt"\n',
    )
    add_need_arguments(need)
    closing = todo.add_parser(
        "close",
        help="close a job",
        description="Close a job. What is promised to it and not picked is free again.\n\n"
        "example:\n  kitwright job close 7\n",
    )
    templates = todo.add_parser(
        "templates",
        help="list the job templates",
        description="List the shop's job templates with what each needs.\n\nexample:\n  kitwright job templates\n",
    )
    keep = todo.add_parser(
        "keep",
        help="keep what a job needs as a template",
        description="Make a job template of what a job needs, for jobs that come again.\n\n"
        'example:\n  kitwright job keep 7 --as "Reseal a lift valve"\n',
    )
    keep.add_argument("--as", required=True, metavar="NAME", dest="kept_as", help="the template's name")
    for below in (need, closing, keep):
        below.add_argument("job", metavar="JOB", help="the job's number, as in kitwright jobs")
    for below, run in ((opening, _open), (need, _need), (closing, _close), (keep, _keep), (templates, _templates)):
        below.set_defaults(run=run, parser=below)
        add_json_option(below)
        add_workshop_options(below)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Never reached alone: `job` asks for what to do."""
    raise UsageError(f"say what to do: open, need, close, keep or templates (got {arguments.what})")


def _open(arguments: argparse.Namespace) -> ExitCode:
    from tui.commands.workshop import opened

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


def _close(arguments: argparse.Namespace) -> ExitCode:
    from tui.commands.workshop import opened

    number = job_number(arguments.job)
    with opened(arguments) as workshop:
        job = workshop.close_job(number)
    if arguments.json:
        say_json({"schema": SCHEMA, **job_object(job)})
    else:
        say(f"Closed job {job.job_id}: {_named(job)}.")
    return ExitCode.FOUND


def _need(arguments: argparse.Namespace) -> ExitCode:
    from tui.commands.workshop import opened

    number = job_number(arguments.job)
    spec = need_spec(arguments)

    def change(session: Session, act: Act) -> NeedView:
        from models import jobs, kits
        from tui.commands.job_needs import at_position

        job = jobs.get(session, number)
        placed = at_position(session, job, spec, arguments.at)
        made = kits.add_need(session, act, number, placed)
        # Looking on the shelf is an action of its own, as adding a need and finding it are in the app.
        found = kits.resolve(session, act._replace(key=f"{act.key}/look"), number)
        return next(need for need in found.needs if need.need_id == made.need_id)

    with opened(arguments) as workshop:
        need = workshop.change(change)
    if arguments.json:
        say_json({"schema": SCHEMA, "job": number, "added": need_object(need)})
    else:
        for line in need_lines(need):
            say(line)
    return ExitCode.NOTHING if need.missing else ExitCode.FOUND


def _keep(arguments: argparse.Namespace) -> ExitCode:
    from tui.commands.workshop import opened

    number = job_number(arguments.job)

    def change(session: Session, act: Act) -> TemplateRow:
        from models import templates

        needs = templates.from_job(session, number)
        if not needs:
            raise UsageError(f"job {number} needs nothing yet, so there is nothing to keep")
        return templates.add(session, act, arguments.kept_as, needs, note=f"from job {number}")

    with opened(arguments) as workshop:
        template = workshop.change(change)
    if arguments.json:
        say_json({"schema": SCHEMA, "templates": [template_object(template)]})
    else:
        say(f"Kept as template {template.template_id}: {template.name}, {len(template.needs)} needs.")
    return ExitCode.FOUND


def _templates(arguments: argparse.Namespace) -> ExitCode:
    from models import templates
    from tui.commands.workshop import opened

    with opened(arguments) as workshop:
        found = workshop.read(templates.listed)
    if arguments.json:
        say_json({"schema": SCHEMA, "templates": [template_object(one) for one in found]})
    elif found:
        cells = [(str(one.template_id), one.name, str(one.number), str(len(one.needs)), _asks(one)) for one in found]
        for line in table(("no", "template", "version", "needs", "what"), cells, right=(0, 2, 3)):
            say(line)
    else:
        say("There is no job template yet.")
    return ExitCode.FOUND if found else ExitCode.NOTHING


def _asks(template: TemplateRow) -> str:
    names = [need.spec.title or need.spec.size_key or need.spec.spec_class for need in template.needs]
    return ", ".join(names[:4]) + (" …" if len(names) > 4 else "")


def _named(job: JobRow) -> str:
    machine = f" on {job.machine_name}" if job.machine_name else ""
    return f"{job.title}{machine}" + (f", due {job.due_on}" if job.due_on else "")


def job_object(job: JobRow) -> dict[str, Any]:
    """A job as JSON."""
    return {
        "job": job.job_id,
        "title": job.title,
        "machine": job.machine_name or None,
        "due_on": None if job.due_on is None else job.due_on.isoformat(),
        "closed": job.closed_at is not None,
        "kit": job.state.value,
    }


def template_object(template: TemplateRow) -> dict[str, Any]:
    """A template's newest version as JSON; volumes in microlitres."""
    return {
        "template": template.template_id,
        "name": template.name,
        "version": template.number,
        "note": template.note or None,
        "needs": [
            {
                "kind": need.spec.kind.value,
                "title": need.spec.title or None,
                "position": need.place or None,
                "size": need.spec.size_key,
                "rubbers": list(need.spec.rubbers),
                "class": need.spec.spec_class or None,
                "grade": need.spec.spec_grade or None,
                "pieces": None if need.spec.low_ul is not None else need.spec.pieces,
                "spares": None if need.spec.low_ul is not None else need.spec.spares,
                "low_ul": need.spec.low_ul,
                "full_ul": need.spec.full_ul,
            }
            for need in template.needs
        ],
    }
