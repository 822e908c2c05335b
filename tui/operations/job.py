"""What can be done with jobs: open one, say what it needs, close it; keep what comes again as a template."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any, Final

import models
from models import fits, kitting
from tui import answers, operations
from tui.answers.jobs import (
    JobClosed,
    JobDue,
    JobOpened,
    Mixed,
    NoPlace,
    Template,
    TemplateKnown,
    TemplateList,
    Version,
    asked_of,
    fields_of,
    not_done_of,
    outcomes_of,
    template_fields,
)
from tui.answers.kits import NeedAdded, need_of
from tui.fields.became import Became, WhatBecame
from tui.fields.field import FieldError, under
from tui.fields.hour_meter import HOURS, METER_CHANGED
from tui.fields.kits import Job
from tui.fields.kits import Template as TemplateField
from tui.fields.plain import Count, Day, Flag, Text
from tui.fields.rings import CONDITION, JOINT, MEASURED, TOOL
from tui.fields.rows import Machine
from tui.fields.sat import Sat
from tui.needing import Changed, Edit, Needed, NeedField, which
from tui.operations.operation import Operation, Then, Values

if TYPE_CHECKING:
    from collections.abc import Callable

    from sqlmodel import Session

    from models.acts import Act
    from models.jobs import JobRow
    from models.templates import TemplateNeedRow, TemplateRow
    from tui.workshop import Workshop

HELP = "open a job, say what it needs, close it; job templates"
DESCRIPTION = """\
Open a job, say what it needs, close it. Keep what comes again as a template. For
the list of jobs type: kitwright jobs

examples:
  kitwright job open --title "Reseal the lift valve" --machine "Row sprayer" --demo
  kitwright job open --template "Tractor, 250 h" --machine "Orchard tractor 3" --demo
  kitwright job need 4 --ring AS568-214 --rubber NBR --count 2 --spares 1 --demo
  kitwright job need 4 --id 24.9mm --width 3.5mm --rubber NBR --demo
  kitwright job need 4 --fluid UTTO --grade 10W-30 --low "11 qt" --full "12 qt" --demo
  kitwright job keep 3 --as "Rebuild a pump" --demo
  kitwright job templates --demo
  kitwright job template show "Tractor, 250 h" --demo
  kitwright job close 4 --hours 1234.5 --demo
"""
EPILOG = "exit codes: 0 done, 1 something is short or nothing is listed, 2 wrong options or input.\n"
GROUPS: Final = {
    "template": (
        "show, copy or edit a job template",
        "Show, copy or edit a job template. Each edit is a new version; a job keeps the\n"
        "version it was made from.\n\n"
        "examples:\n"
        '  kitwright job template show "Tractor, 250 h" --demo\n'
        '  kitwright job template change "Tractor, 250 h" --need "rags" --count 6 --demo\n',
    )
}
JOB = Job("job", "Job")
TEMPLATE = TemplateField("template", "Template", "the template's name or number", placed=True)
NAME = Text("as", "Name", "the template's name", what="the template's name", parameter="name")
NOTE = Text("note", "Why this version", "why this version", must=False)
WHICH = Text("need", "Need", "the need: its number or title, as shown", parameter="which")


def _open() -> Callable[..., Any]:

    def open_job(
        session: Session, act: Act, *, title: str, template: TemplateRow | None = None, **said: Any
    ) -> tuple[JobRow, int]:
        """Open a job, bare or with a template's needs, which are looked for on the shelf at once."""
        if template is None:
            return models.jobs.open_job(session, act, title=title, **said), 0
        row = models.templates.open_job(session, act, template.template_id, title=title, **said)
        kit = models.kits.allocate(session, models.acts.by(act.who, clock=lambda: act.at), row.job_id)
        return models.jobs.get(session, row.job_id), len(kit.needs)

    return open_job


def _opened(then: Then) -> JobOpened:
    job, needs = then.result
    return JobOpened(**fields_of(job), need_count=needs)


def _no_name(values: Values) -> str:
    if "template" not in values or values["title"] or values["template"]:
        return ""
    return "a job needs a --title, or a --template to take its name from"


def _need(workshop: Workshop, values: Values) -> NeedAdded:
    """The need on the job's kit, looked for on the shelf, in one action."""
    job: JobRow = values["job"]
    needed: Needed = values["needed"]
    measured = operations.measured_need.is_measured(values, needed)
    spec = operations.measured_need.spec_by_readings(workshop, job, needed, values) if measured else needed.spec()
    put_on = models.kits.put_on
    added = workshop.change(lambda session, act: put_on(session, act, job.job_id, spec, measured=measured))
    return NeedAdded(added.job_id, need_of(added))


def _differs(values: Values) -> str:
    """Where what was picked and what was poured differ, nobody can tell what became of the rest."""
    asked: WhatBecame | None = values.get("became")
    return asked.unsaid if asked is not None else ""


def _closed(then: Then) -> JobClosed:
    job: JobRow = then.result
    asked: WhatBecame | None = then.values.get("became")
    used = fits.fitted.used(then.session, job.job_id)
    return JobClosed(
        **fields_of(job),
        curing=kitting.finish.still_curing(models.kits.view(then.session, job.job_id), then.now),
        not_on_record=len(used.waiting),
        no_place=tuple(NoPlace(one.need_id, one.item_name) for one in kitting.sat.unplaced(then.session, job.job_id)),
        mixed=tuple(Mixed(place.machine_name, place.position_name) for place in used.mixed),
        to_tell=tuple(
            Mixed(row.machine_name, row.position_name) for row in fits.how_it_went.unsaid(then.session, job.job_id)
        ),
        became=outcomes_of(asked.told) if asked is not None else (),
        not_done=not_done_of(asked.closing.left) if asked is not None else (),
        as_planned=asked is not None and bool(asked.closing.lines) and not asked.lines and not asked.as_planned,
    )


def _list(then: Then) -> TemplateList:
    none = "No job template is off the list." if then.values["retired"] else "There is no job template yet."
    return TemplateList(tuple(Template(**template_fields(one)) for one in then.result), none)


def _keep() -> Callable[..., Any]:

    def keep(session: Session, act: Act, *, job_id: int, name: str, again: bool = False) -> TemplateRow:
        """What a job needs as a template or, `again`, as the next version of the one of that name."""
        needs = models.templates.from_job(session, job_id)
        if not needs:
            raise models.errors.InvalidInputError(
                f"Job {job_id} needs nothing yet, so there is nothing to keep.", "Add a need."
            )
        same = [one for one in models.templates.listed(session) if one.name.casefold() == name.casefold()]
        if again and same:
            return models.templates.edit(session, act, same[0].template_id, needs, f"from job {job_id}")
        return models.templates.add(session, act, name, needs, note=f"from job {job_id}")

    return keep


def _known(then: Then, done: str = "") -> TemplateKnown:
    row: TemplateRow = then.result
    versions = tuple(
        Version(one.number, one.note or None, len(one.needs))
        for one in models.templates.versions(then.session, row.template_id)
    )
    return TemplateKnown(**template_fields(row), versions=versions, done=done)


def _kept(then: Then) -> TemplateKnown:
    row: TemplateRow = then.result
    return _known(then, f"Kept as template {row.template_id}: {row.name}, version {row.number}.")


def _changed(then: Then) -> TemplateKnown:
    return _known(then, f"Version {then.result.number} of {then.result.name} it is now.")


def _show() -> Callable[..., Any]:

    def show(session: Session, *, template: TemplateRow, version: int | None = None) -> TemplateRow:
        """The newest version, or the one asked for."""
        return models.templates.get(session, template.template_id, version)

    return show


def _copy() -> Callable[..., Any]:

    def copy(session: Session, act: Act, *, template: TemplateRow, name: str) -> TemplateRow:
        """A template of its own."""
        return models.templates.copy(session, act, template.template_id, name)

    return copy


def _add() -> Callable[..., Any]:

    def add(session: Session, act: Act, *, template: TemplateRow, needed: Needed, note: str = "") -> TemplateRow:
        """A version with one need more."""
        needs = [*template.needs, models.templates.TemplateNeedRow(needed.spec(), needed.place)]
        return models.templates.edit(session, act, template.template_id, needs, note)

    return add


def _at(template: TemplateRow, text: str) -> int:
    titles = tuple(asked_of(at, need).title for at, need in enumerate(template.needs, 1))
    try:
        return which(template.needs, titles, text)
    except FieldError as problem:
        raise FieldError(str(problem), "--need") from problem


def _change() -> Callable[..., Any]:

    def change(
        session: Session, act: Act, *, template: TemplateRow, which: str, edit: Edit, note: str = ""
    ) -> TemplateRow:
        """A version with one need changed."""
        needs: list[TemplateNeedRow] = list(template.needs)
        at = _at(template, which)
        needs[at] = edit.of(needs[at])
        return models.templates.edit(session, act, template.template_id, needs, note)

    return change


def _drop() -> Callable[..., Any]:

    def drop(session: Session, act: Act, *, template: TemplateRow, which: str, note: str = "") -> TemplateRow:
        """A version with one need less."""
        if len(template.needs) == 1:
            raise FieldError(
                "that is the template's only need; take the template off the list with: "
                "kitwright job template retire", "-"
            )  # fmt: skip
        at = _at(template, which)
        needs = [need for place, need in enumerate(template.needs) if place != at]
        return models.templates.edit(session, act, template.template_id, needs, note)

    return drop


def _retire() -> Callable[..., Any]:

    def retire(session: Session, act: Act, *, template: TemplateRow, back: bool) -> TemplateRow:
        """Off the list, or on it again."""
        return models.templates.retire(session, act, template.template_id, back=back)

    return retire


def _retired(then: Then) -> TemplateKnown:
    done = "is on the list again" if then.values["back"] else "is off the list"
    return _known(then, f"{then.result.name} {done}.")


def _now_due(then: Then) -> JobDue:
    return JobDue(**fields_of(then.result))


OPEN = Operation(
    area="job",
    name="open",
    label="New job",
    help="open a job",
    about="Open a job, empty or with what a template needs, which is looked for on the shelf at once.",
    fields=(
        Text("title", "Title", "what is to be done; a template's own name without it", must=False),
        Machine("machine", "Machine", "the machine; without it the job is on the bench", must=False),
        TemplateField("template", "Template", "take over what this job template needs", must=False),
        Day("due", "Due", "the day it is due, as 2026-12-04", must=False, parameter="due_on"),
        HOURS,
        METER_CHANGED,
    ),
    change=_open,
    answer=_opened,
    refuse=_no_name,
    examples=(
        'job open --title "Reseal the lift valve" --machine "Row sprayer" --due 2026-12-04',
        'job open --template "Sprayer, 50 h" --machine "Row sprayer" --hours 512.5',
    ),
    key="new",
)
NEED = Operation(
    area="job",
    name="need",
    label="Into the kit",
    help="say what a job needs",
    about="""\
Add a need to a job and look for it on the shelf. A ring is needed by its size,
or by readings of the old one: then the ring that goes in is taken, as kitwright
ring says, and the need keeps how likely it seals and which others would do. With
--at the place counts: its machine, how rings went there, whether it is critical.
Where no ring is sure to seal, or the place is critical, name the ring with --ring
beside the readings.""",
    fields=(JOB, NeedField("needed", "Need"), *under("readings of the old ring", *MEASURED, TOOL, CONDITION, JOINT)),
    does=_need,
    examples=(
        "job need 4 --id 24.9mm --width 3.5mm --rubber NBR --spares 1",
        "job need 4 --ring AS568-214 --rubber NBR --count 2 --spares 1",
        'job need 4 --fluid UTTO --grade 10W-30 --low "11 qt" --full "12 qt"',
        'job need 2 --fitted --at "pump inlet flange ring" --spares 1',
        'job need 4 --sealant "oil-proof flange sealant" --asks oil --cure "24 h"',
    ),
    key="kit",
)
CLOSE = Operation(
    area="job",
    name="close",
    label="Close job",
    help="close a job",
    about="Close a job. What is promised to it and not picked is free again. Of what it picked, the\n"
    "pieces it asked for count as used and spares go back to their bins; of a fluid that was\n"
    "tallied, what was poured is used. Where that is not so, say what became of a line, by its\n"
    "number in the kit. A ring whose need names no place goes on record only where --sat says\n"
    "where it sat, by the need's number. --hours keeps what the machine's hour meter shows.",
    fields=(
        JOB,
        Became("became", "What became of it"),
        Sat("sat", "Sat", "the ring of need N, which names no place, sat at this position of the job's machine"),
        HOURS,
        METER_CHANGED,
    ),
    change=lambda: models.jobs.close,
    answer=_closed,
    refuse=_differs,
    examples=("job close 4", "job close 3 --as-planned --hours 1234.5"),
    key="end",
)
DUE = Operation(
    area="job",
    name="due",
    label="Due day",
    help="say by which day a job must be done",
    about="Say by which day a job must be done; without a day, by none.",
    fields=(JOB, Day("day", "Due", "the day it is due, as 2026-12-04", must=False, parameter="due_on",
                     what="the day it is due (empty: none),")),
    change=lambda: models.jobs.set_due,
    answer=_now_due,
    examples=("job due 4 --day 2026-12-04", "job due 4"),
    key="change",
)  # fmt: skip
COST = Operation(
    area="job",
    name="cost",
    label="Cost of parts",
    help="what a job's parts cost",
    about="What the parts cost that a job took or that are promised to it, less what went back: by\n"
    "the last order that came, else by a supplier's list. What has no price is named and in\n"
    "no sum; currencies are not exchanged, freight is apart. A part of a pack costs its share.",
    fields=(JOB,),
    question=lambda: models.orders.costs.of_job,
    answer=lambda then: answers.job_cost.cost_of(then.result),
    examples=("job cost 3", "job cost 3 --json"),
    key="cost",
    dated=True,
)
TEMPLATES = Operation(
    area="job",
    name="templates",
    label="Job templates",
    help="list the job templates",
    about="List the shop's job templates with what each needs.",
    fields=(Flag("retired", "Off the list", "those taken off the list instead"),),
    question=lambda: models.templates.listed,
    answer=_list,
    examples=("job templates", "job templates --retired"),
)
KEEP = Operation(
    area="job",
    name="keep",
    label="Keep as template",
    help="keep what a job needs as a template",
    about="Make a job template of what a job needs, for jobs that come again.",
    fields=(
        JOB,
        NAME,
        Flag("again", "The next version", "write the next version of the template of that name"),
    ),
    change=_keep,
    answer=_kept,
    examples=('job keep 3 --as "Rebuild a pump"',),
    key="in-menu",
)
SHOW = Operation(
    area="job",
    name="template show",
    label="Show a template",
    help="what a template needs, and its versions",
    about="Show what a template needs, its needs numbered, and its versions.",
    fields=(
        TemplateField("template", "Template", "the template's name or number", placed=True, off=True),
        Count("version", "Version", "an earlier version of it", must=False),
    ),
    question=_show,
    answer=_known,
    examples=('job template show "Sprayer, 50 h"', 'job template show "Sprayer, 50 h" --version 1'),
)
COPY = Operation(
    area="job",
    name="template copy",
    label="Copy a template",
    help="a template of its own from another",
    about="Make a template of its own with another's newest needs.",
    fields=(
        TemplateField("template", "Template", "the template's name or number", placed=True, off=True),
        Text("as", "Name", "the new template's name", what="the new template's name", parameter="name"),
    ),
    change=_copy,
    answer=partial(_known, done="Copied."),
    examples=('job template copy "Sprayer, 50 h" --as "Sprayer, 100 h"',),
)
ADD = Operation(
    area="job",
    name="template add",
    label="Add a need to a template",
    help="add a need, as a new version",
    about="Add a need to a template. This writes a new version; jobs made from earlier ones are\n"
    "not touched. --at is the position's name on whichever machine the job is for.",
    fields=(TEMPLATE, NeedField("needed", "Need", named=True), NOTE),
    change=_add,
    answer=_changed,
    examples=(
        'job template add "Sprayer, 50 h" --consumable "gloves" --count 2',
        'job template add "Sprayer, 50 h" --fitted --at "pump outlet flange ring"',
    ),
)
CHANGE = Operation(
    area="job",
    name="template change",
    label="Change a template's need",
    help="change a need, as a new version",
    about="Change one need of a template; what is not given stays. This writes a new version; jobs\n"
    "made from earlier ones are not touched. --rubber any allows every rubber.",
    fields=(TEMPLATE, WHICH, Changed("edit", "What is changed"), NOTE),
    change=_change,
    answer=_changed,
    examples=(
        'job template change "Tractor, 250 h" --need "rags" --count 6',
        'job template change "Tractor, 250 h" --need 1 --low "7.5 L" --full "8 L" --note "new sump"',
    ),
)
DROP = Operation(
    area="job",
    name="template drop",
    label="Drop a template's need",
    help="leave a need out, as a new version",
    about="Leave one need of a template out. This writes a new version.",
    fields=(TEMPLATE, WHICH, NOTE),
    change=_drop,
    answer=_changed,
    examples=('job template drop "Tractor, 250 h" --need "rags"',),
)
RETIRE = Operation(
    area="job",
    name="template retire",
    label="Take a template off the list",
    help="take a template off the list",
    about="Take a template off the list, or put it on again. Nothing is removed.",
    fields=(Flag("back", "Back", "put it on the list again"), TEMPLATE),
    change=_retire,
    answer=_retired,
    examples=('job template retire "Sprayer, 50 h"', 'job template retire "Sprayer, 50 h" --back'),
)

OPERATIONS = (OPEN, NEED, CLOSE, DUE, COST, TEMPLATES, KEEP, SHOW, COPY, ADD, CHANGE, DROP, RETIRE)
