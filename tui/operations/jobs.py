"""The jobs, open or closed, and how their kits stand."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

import models
from tui.answers.jobs import Job, JobList, fields_of
from tui.fields.plain import Flag
from tui.operations.operation import Operation, Then

if TYPE_CHECKING:
    from collections.abc import Callable

MOST_ROWS = 500
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


def _listed() -> Callable[..., Any]:
    return partial(models.jobs.listed, limit=MOST_ROWS)


def _list(then: Then) -> JobList:
    nothing = "No job was closed yet." if then.values["closed"] else "No job is open."
    return JobList(tuple(Job(**fields_of(job)) for job in then.result), nothing)


JOBS = Operation(
    area="jobs",
    name="jobs",
    label="Jobs",
    help="the open jobs and how their kits stand",
    fields=(Flag("closed", "Closed", "the closed jobs instead, latest first"),),
    question=_listed,
    answer=_list,
    examples=("jobs", "jobs --closed"),
)

OPERATIONS = (JOBS,)
