"""What goes on paper: job sheet, pick list, bin labels, rings at true size, marks for a picture; as text or as PDF."""

from __future__ import annotations

import sys
from datetime import datetime
from typing import TYPE_CHECKING, Literal

import catalog
import tui
from catalog import orings
from models import orders, pictures
from tui import answers, sheets
from tui.answers.sheet import Printed
from tui.fields.field import FieldError
from tui.fields.kits import Job
from tui.fields.plain import Text
from tui.fields.quantities import Dimension
from tui.fields.rings import InSeries
from tui.fields.sheets import Jobs, LabelBins, LabelGrid, Language, Paper, PdfFile, RingSizes, Skipped
from tui.operations.operation import Operation
from tui.operations.own_book import own_book

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from catalog.languages.tongue import Tongue
    from catalog.orings.size_book import SizeBook
    from catalog.orings.sizes import RingSize
    from models.jobs import JobRow
    from models.pictures.at_work import Shown
    from tui.operations.operation import Bench, Values
    from tui.sheets.records import Costs
    from tui.workshop import Workshop

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
  kitwright sheet rings --series jis --width 3.5 --pdf rings.pdf
  kitwright sheet photo --pdf picture-sheet.pdf
"""
EPILOG = "exit codes: 0 done, 1 there is nothing to print, 2 no such job or bin, or wrong options.\n"
PDF = PdfFile("pdf", "PDF", "write a PDF to this file, or to a pipe with -")
PAPER = Paper("paper", "Paper", "A4 or Letter")
LANGUAGE = Language("language", "Language", "the language of the sheet: en, de, fr or es")
SAME_WIDTH_MM = 0.02
"""A width is typed as it is rounded: 0.139 in is 3.5306 mm, and 3.53, not 3.5, means it."""
SHOP = Text("shop", "Shop", "the shop's name, to stand on the sheet", must=False, metavar="NAME")


def _job(workshop: Workshop, values: Values) -> Printed:
    job: JobRow = values["job"]
    say, paper = _language(values), values["paper"]
    sheet = sheets.from_kit.job_sheet_of(
        workshop.kit(job.job_id), who=tui.workshop.user(), written_on=_today(), shop=values["shop"],
        costs=cost_of_job(workshop, job.job_id, say), pictures=pictures_of_job(workshop, job.job_id), say=say,
    )  # fmt: skip
    return _out(
        "job",
        values,
        lambda: sheets.job_sheet.as_text(sheet, say),
        lambda: sheets.job_sheet.as_pdf(sheet, paper, say),
    )


def cost_of_job(workshop: Workshop, job_id: int, say: Tongue | None = None) -> Costs:
    """What the job's parts cost, for its sheet."""
    on = workshop.today()
    found = workshop.read(lambda session: orders.costs.of_job(session, job_id, on))
    return sheets.from_cost.costs_of(answers.job_cost.cost_of(found), say or catalog.languages.tongue.ENGLISH)


def pictures_of_job(workshop: Workshop, job_id: int) -> tuple[Shown, ...]:
    """The pictures of a job's places, for its sheet."""
    return workshop.read(lambda session: pictures.at_work.of_job(session, job_id))


def _pick(workshop: Workshop, values: Values) -> Printed:
    kits = [workshop.kit(number) for number in values["jobs"]]
    say = _language(values)
    picking = sheets.from_kit.pick_list_of(
        kits, who=tui.workshop.user(), written_on=_today(), shop=values["shop"], say=say
    )
    paper, filled = values["paper"], bool(picking.lines)
    return _out(
        "pick",
        values,
        lambda: sheets.pick_list.as_text(picking, say),
        lambda: sheets.pick_list.as_pdf(picking, paper, say),
        filled=filled,
    )


def _labels(_: Workshop, values: Values) -> Printed:
    chosen = [sheets.records.BinLabel(row.code, row.note) for row in values["bins"]]
    if not chosen:
        return Printed("labels", "There is no bin to label yet.", None, None, filled=False)
    grid, skip, say = values["grid"], values["skip"], _language(values)
    return _out(
        "labels",
        values,
        lambda: sheets.labels.as_text(chosen, say),
        lambda: sheets.labels.as_pdf(chosen, grid, skip=skip, say=say),
    )


def _rings(values: Values, bench: Bench) -> Printed:
    sizes = _drawn(values, own_book(bench))
    rings = [sheets.records.Ring(size.label, size.id_mm, size.cross_section_mm) for size in sizes]
    paper = values["paper"]
    return _out(
        "rings", values, lambda: sheets.ring_sheet.as_text(rings, paper), lambda: sheets.ring_sheet.as_pdf(rings, paper)
    )


def _photo(values: Values, bench: Bench) -> Printed:
    paper = values["paper"]
    return _out("photo", values, lambda: sheets.photo_sheet.as_text(paper), lambda: sheets.photo_sheet.as_pdf(paper))


def _language(values: Values) -> Tongue:
    """The language that was asked for; English where none was."""
    return values["language"] or catalog.languages.tongue.ENGLISH


def _drawn(values: Values, book: SizeBook) -> list[RingSize]:
    """The sizes that were named, and those of the series. Raises `FieldError` where that is none."""
    series, width = values["series"], values["width"]
    if not values["sizes"] and not series:
        raise FieldError("name the sizes, as AS568-214, or a whole series, as --series jis or --series own", "-")
    if width is not None and not series:
        raise FieldError("it picks out of a series; say which with --series", "--width")

    named = [size for key in values["sizes"] if (size := book.by_key(key)) is not None]
    of_series = orings.find_sizes.picked_out("", series, book) if series else []
    if width is not None:
        wanted = float(width.to("mm"))
        of_series = [size for size in of_series if abs(size.cross_section_mm - wanted) <= SAME_WIDTH_MM]
    if series and not of_series:
        where = ", ".join(one.value for one in series)
        if width is None:
            raise FieldError(f"there is no size in {where}; load the shop's own with: kitwright sizes load", "--series")
        raise FieldError(f"no ring of {where} is {float(width.to('mm')):g} mm wide", "--width")
    return list({size.key: size for size in (*named, *of_series)}.values())


def _out(
    sheet: Literal["job", "pick", "labels", "rings", "photo"],
    values: Values,
    text: Callable[[], str],
    pdf: Callable[[], bytes],
    *,
    filled: bool = True,
) -> Printed:
    """The text, or the PDF put where it was asked for. Raises `FieldError`."""
    target: str = values["pdf"]
    if not target:
        return Printed(sheet, text(), None, None, filled)
    try:
        made = pdf()
    except sheets.fonts.PrintUnavailableError as missing:
        raise FieldError(f"{missing}; without --pdf the sheet comes as text", "-") from missing
    if target == "-":
        if sys.stdout.isatty():
            raise FieldError("a PDF would garble this terminal; name a file, or send it on with a pipe", "--pdf -")
        return Printed(sheet, None, None, len(made), filled, piped=made)
    try:
        file = tui.saving.save(target, made)
    except tui.saving.SaveError as problem:
        raise FieldError(str(problem), "--pdf") from problem
    return Printed(sheet, None, str(file), len(made), filled)


def _today() -> date:
    return datetime.now().astimezone().date()


JOB = Operation(
    area="sheet",
    name="job",
    label="Job sheet",
    help="everything a job needs on paper",
    about="The job sheet: pick list by bin, cautions, fluid tally, what to measure again.",
    fields=(Job("job", "Job"), PDF, SHOP, PAPER, LANGUAGE),
    does=_job,
    examples=("sheet job 2", "sheet job 2 --pdf job-2.pdf", "sheet job 2 --language de"),
)
PICK = Operation(
    area="sheet",
    name="pick",
    label="Pick list",
    help="one walk along the bins for one job or several",
    about="The pick list, bin by bin in walking order.",
    fields=(Jobs("jobs", "Jobs", "jobs' numbers"), PDF, SHOP, PAPER, LANGUAGE),
    does=_pick,
    examples=("sheet pick 2 3",),
)
LABELS = Operation(
    area="sheet",
    name="labels",
    label="Labels",
    help="labels for bins, with a QR code",
    about="""\
Labels for the bins named, or for all of them: on sheets of labels, on a roll of
50 x 25 mm labels, or on 62 mm paper from an endless roll.""",
    fields=(
        LabelBins("bins", "Bins", "the bins' codes; all bins without"),
        LabelGrid("grid", "Label paper", 'the label paper, like "A4 21", "Letter 30", "Roll 50x25" or "Roll 62"'),
        Skipped("skip", "Skip", "leave out the first labels of the sheet, used before"),
        PDF,
        LANGUAGE,
    ),
    does=_labels,
    examples=(
        'sheet labels "Box 1" "Box 2" --pdf labels.pdf --grid "A4 21"',
        'sheet labels --pdf labels.pdf --grid "Roll 62"',
    ),
)
RINGS = Operation(
    area="sheet",
    name="rings",
    label="Rings at true size",
    help="standard rings at true size, to lay one on",
    about="""\
Rings at true size: those named, a whole series, or the shop's own. Print at 100 %
and check both bars with a rule: 100 mm and 4 in.""",
    fields=(
        RingSizes("sizes", "Sizes", "sizes, like AS568-214; the shop's own by their whole names", must=False),
        InSeries("series", "Series", "every size of a series; own: the shop's own tables"),
        Dimension("width", "Width", "of a series only rings this wide", what="a width of the series, as 3.53 mm"),
        PDF,
        PAPER,
    ),
    answers=_rings,
    looks=True,
    lengths_only=True,
    examples=("sheet rings AS568-214 P22A --pdf rings.pdf", "sheet rings --series jis --width 3.5 --pdf rings.pdf"),
)
PHOTO = Operation(
    area="sheet",
    name="photo",
    label="Sheet for a picture",
    help="marks to lay a ring between, to measure it by a picture",
    about="""\
Marks round a white square, and a bar. Print at 100 %, lay a ring in the square, take
a picture from above, measure the bar, then: kitwright ring --photo FILE --bar 99.6mm""",
    fields=(PDF, PAPER),
    answers=_photo,
    lengths_only=True,
    examples=("sheet photo --pdf picture-sheet.pdf", "sheet photo --paper Letter --pdf picture-sheet.pdf"),
)

OPERATIONS = (JOB, PICK, LABELS, RINGS, PHOTO)
