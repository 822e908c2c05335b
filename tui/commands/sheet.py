"""`kitwright sheet`: the job sheet, a pick list, bin labels and ring sheets, as text or as PDF."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

from tui.commands.job_words import job_number
from tui.commands.output import say, say_bytes, talk
from tui.commands.parsing import Parser, UsageError, add_workshop_options, shown, whole
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from datetime import date

    from models.kitting.kit_view import KitView
    from models.stores.bins import BinRow
    from tui.sheets.paper import Paper
    from tui.sheets.records import BinLabel, Ring

NAME = "sheet"
HELP = "print a job sheet, a pick list, labels or ring sizes"
DESCRIPTION = """\
Print a job sheet, a pick list, bin labels or rings at true size. Text goes to
the screen; with --pdf a PDF goes to a file, or with --pdf - to a pipe.

examples:
  kitwright sheet job 2 --demo
  kitwright sheet job 2 --pdf job-2.pdf --paper Letter
  kitwright sheet pick 2 3 --pdf pick.pdf
  kitwright sheet labels --pdf labels.pdf
  kitwright sheet rings AS568-214 P22A --pdf rings.pdf
"""
EPILOG = "exit codes: 0 done, 1 there is nothing to print, 2 no such job or bin, or wrong options.\n"
MOST_BINS = 10_000
MOST_RINGS = 500


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the four sheets."""
    todo = parser.add_subparsers(title="which sheet", metavar="SHEET", dest="what", required=True, parser_class=Parser)
    job = todo.add_parser(
        "job",
        help="everything a job needs on paper",
        description="The job sheet: pick list by bin, cautions, fluid tally, what to measure again.\n\n"
        "example:\n  kitwright sheet job 2 --demo --pdf job-2.pdf\n",
    )
    job.add_argument("job", metavar="JOB", help="the job's number, as in kitwright jobs")
    pick = todo.add_parser(
        "pick",
        help="one walk along the bins for one job or several",
        description="The pick list, bin by bin in walking order.\n\nexample:\n  kitwright sheet pick 2 3 --demo\n",
    )
    pick.add_argument("jobs", nargs="+", metavar="JOB", help="jobs' numbers")
    labels = todo.add_parser(
        "labels",
        help="labels for bins, with a QR code",
        description="Labels for the bins named, or for all of them.\n\n"
        'example:\n  kitwright sheet labels "Box 1" "Box 2" --demo --pdf labels.pdf --grid "A4 21"\n',
    )
    labels.add_argument("bins", nargs="*", metavar="BIN", help="the bins' codes; all bins without")
    labels.add_argument("--grid", default=None, metavar="NAME", help='the label paper, like "A4 21" or "Letter 30"')
    labels.add_argument("--skip", default="0", metavar="N", help="leave out the first labels of the sheet, used before")
    rings = todo.add_parser(
        "rings",
        help="standard rings at true size, to lay one on",
        description="Rings at true size. Print at 100 % and check the bar with a rule.\n\n"
        "example:\n  kitwright sheet rings AS568-214 P22A --pdf rings.pdf\n",
    )
    rings.add_argument("sizes", nargs="+", metavar="SIZE", help="standard sizes, like AS568-214")
    for below, run in ((job, _job), (pick, _pick), (labels, _labels), (rings, _rings)):
        below.set_defaults(run=run, parser=below)
        below.add_argument("--pdf", metavar="FILE|-", help="write a PDF to this file, or to a pipe with -")
    for below in (job, pick):
        below.add_argument("--shop", default="", metavar="NAME", help="the shop's name, to stand on the sheet")
    for below in (job, pick, labels, rings):
        if below is not labels:
            below.add_argument("--paper", default="A4", metavar="NAME", help="A4 or Letter")
        if below is not rings:
            add_workshop_options(below)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Never reached alone: `sheet` asks for which."""
    raise UsageError(f"say which sheet: job, pick, labels or rings (got {arguments.what})")


def _job(arguments: argparse.Namespace) -> ExitCode:
    from tui.sheets import job_sheet
    from tui.sheets.from_kit import job_sheet_of
    from tui.workshop import user

    paper = _paper(arguments)
    (kit,) = _kits(arguments, [arguments.job])
    sheet = job_sheet_of(kit, who=user(), written_on=_today(), shop=arguments.shop)
    return _out(arguments, lambda: job_sheet.as_text(sheet), lambda: job_sheet.as_pdf(sheet, paper))


def _pick(arguments: argparse.Namespace) -> ExitCode:
    from tui.sheets import pick_list
    from tui.sheets.from_kit import pick_list_of
    from tui.workshop import user

    paper = _paper(arguments)
    picking = pick_list_of(
        _kits(arguments, list(dict.fromkeys(arguments.jobs))), who=user(), written_on=_today(), shop=arguments.shop
    )
    ended = _out(arguments, lambda: pick_list.as_text(picking), lambda: pick_list.as_pdf(picking, paper))
    return ended if picking.lines else ExitCode.NOTHING


def _labels(arguments: argparse.Namespace) -> ExitCode:
    from tui.commands.judging import naming
    from tui.commands.workshop import opened
    from tui.sheets import labels
    from tui.sheets.label_grids import GRIDS, grid_named

    with naming("--grid"):
        grid = GRIDS[0] if arguments.grid is None else grid_named(arguments.grid)
    skip = whole("--skip", arguments.skip, 0, grid.per_page - 1)
    with opened(arguments) as workshop:
        from models.stores import bins

        known = workshop.read(lambda session: bins.page(session, limit=MOST_BINS))
    chosen = _bins(arguments.bins, known)
    if not chosen:
        say("There is no bin to label yet.")
        return ExitCode.NOTHING
    return _out(arguments, lambda: labels.as_text(chosen), lambda: labels.as_pdf(chosen, grid, skip=skip))


def _bins(asked: list[str], known: tuple[BinRow, ...]) -> list[BinLabel]:
    """The bins named, in the order named; all of them in walking order when none is."""
    from tui.sheets.records import BinLabel

    by_code = {row.code.casefold(): row for row in known}
    found = []
    for code in asked or [row.code for row in known]:
        row = by_code.get(" ".join(code.split()).casefold())
        if row is None:
            codes = ", ".join(shown(row.code) for row in known[:12]) + (" …" if len(known) > 12 else "")
            raise UsageError(f"there is no bin {shown(code)}; there are: {codes}" if known else "there is no bin yet")
        found.append(BinLabel(row.code, row.note))
    return found


def _rings(arguments: argparse.Namespace) -> ExitCode:
    from catalog.orings.sizes import find
    from tui.sheets import ring_sheet
    from tui.sheets.records import Ring

    paper = _paper(arguments)
    if len(arguments.sizes) > MOST_RINGS:
        raise UsageError(f"{len(arguments.sizes)} sizes are too many for one sheet; give {MOST_RINGS} at most")
    rings: list[Ring] = []
    for name in dict.fromkeys(arguments.sizes):
        size = find(name)
        if size is None:
            raise UsageError(f"no standard size goes by {shown(name)}; look with: kitwright sizes")
        rings.append(Ring(size.label, size.id_mm, size.cross_section_mm))
    return _out(arguments, lambda: ring_sheet.as_text(rings, paper), lambda: ring_sheet.as_pdf(rings, paper))


def _kits(arguments: argparse.Namespace, numbers: list[str]) -> list[KitView]:
    from tui.commands.workshop import opened

    wanted = [job_number(text) for text in numbers]
    with opened(arguments) as workshop:
        return [workshop.kit(number) for number in dict.fromkeys(wanted)]


def _paper(arguments: argparse.Namespace) -> Paper:
    from tui.commands.judging import naming
    from tui.sheets.paper import paper_named

    with naming("--paper"):
        return paper_named(arguments.paper)


def _out(arguments: argparse.Namespace, text: Callable[[], str], pdf: Callable[[], bytes]) -> ExitCode:
    """Text to the screen, or the PDF to where it was asked for."""
    from tui.sheets.fonts import PrintUnavailableError

    if arguments.pdf is None:
        say(text().rstrip("\n"))
        return ExitCode.FOUND
    try:
        made = pdf()
    except PrintUnavailableError as missing:
        raise UsageError(f"{missing}; without --pdf the sheet comes as text") from missing
    _put(arguments.pdf, made)
    return ExitCode.FOUND


def _put(target: str, made: bytes) -> None:
    from tui.saving import SaveError, save

    if target == "-":
        if sys.stdout.isatty():
            raise UsageError("--pdf -: a PDF would garble this terminal; name a file, or send it on with a pipe")
        say_bytes(made)
        return
    try:
        file = save(target, made)
    except SaveError as problem:
        raise UsageError(f"--pdf: {problem}") from problem
    talk(f"Wrote {file} ({len(made) / 1000:.0f} kB).")


def _today() -> date:
    from datetime import datetime

    return datetime.now().astimezone().date()
