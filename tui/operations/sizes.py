"""What can be asked of the ring sizes, and a shop's own tables of them: loaded, listed, dropped, shared."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

import models
import tui
from catalog import orings
from tui import sheets
from tui.answers.own_sizes import SizesDropped, SizesExported, SizesLoaded, corrected_by, own_tables, sizes_loaded
from tui.answers.sizes import SizeList, SizesPage, size_of
from tui.fields.field import FieldError
from tui.fields.plain import File, Sought
from tui.fields.rings import InSeries
from tui.operations.operation import Operation
from tui.operations.own_book import own_book
from tui.operations.own_rows import EXPORT, OwnRows, drop_operation, load_operation, own_operation

if TYPE_CHECKING:
    from collections.abc import Sequence

    from catalog.orings.sizes import RingSize
    from tui.answers.answer import Answer
    from tui.operations.operation import Bench, Values

HELP = "list the standard ring sizes, and load tables of the shop's own"
DESCRIPTION = """\
List ring sizes, all of them or those that a text picks out; a shop's own tables are
matched and listed beside the standard ones once they are loaded.

examples:
  kitwright sizes AS568-214
  kitwright sizes P22A --series jis
  kitwright sizes 24.99
  kitwright sizes "5 x 5-1/2 x 1/4 in"
  kitwright sizes --series bs4518 --json
  kitwright sizes load bought.csv --series jis --source "the standard, 2012 edition"
  kitwright sizes --export our-sizes.csv
  kitwright sizes --html sizes.html
"""
EPILOG = (
    "exit codes: 0 some size listed, or a table loaded, 1 none found, 2 wrong options, or a row that can't be right.\n"
)
BARE_MEANS = "show"


def _show(values: Values, bench: Bench) -> Answer:
    if values["export"]:
        if values["html"]:
            raise FieldError("one writes a page, the other a table; choose one", "--html")
        if values["text"] or values["series"]:
            raise FieldError("it writes all of the shop's own tables; leave the text and --series out", "--export")
        return OWN_ROWS.export(bench.look(models.own_sizes.tables), values["export"])

    found = orings.find_sizes.picked_out(values["text"], values["series"], own_book(bench))
    return _page(values["html"], found) if values["html"] else SizeList(tuple(map(size_of, found)))


def _page(where: str, found: Sequence[RingSize]) -> SizesPage:
    made = sheets.size_page.as_html(found, datetime.now().astimezone().date())
    if where != "-":
        try:
            tui.saving.save(where, made.encode())
        except tui.saving.SaveError as fault:
            raise FieldError(str(fault), "--html") from fault
    return SizesPage(len(found), where, len(made.encode()), made)


OWN_ROWS = OwnRows(
    area="sizes",
    many="sizes",
    like=("bought.csv", "jis"),
    read=lambda text, **said: orings.own_table_csv.read_own_tables(text, **said),
    rules=lambda: models.own_sizes,
    refused=SizesLoaded,
    loaded=sizes_loaded,
    corrected=corrected_by,
    listed=own_tables,
    dropped=SizesDropped,
    exported=SizesExported,
    about_load="""\
Load a table of ring sizes that the shop owns: the priced standard, or a
maker's list, as CSV. From then on its sizes are matched beside the standard
ones.

The first line names the columns: designation, id, id tolerance,
cross-section, tolerance. A unit stands in a column's name (id_mm, id_in) or
is said by --unit. Within one width IDs must rise, and no size may stand
there twice: each row that can't be right is told with its line, and then
nothing is loaded.

A table named as a standard is (jis, as568, metric, bs4518) speaks of our
rows: one that says the same confirms it, one that differs corrects it, any
other is a new size. Each correction is shown first, and the table is loaded
once you say --yes.
Take it back with: kitwright undo""",
    about_drop="""\
Drop a table that the shop has loaded: its sizes are matched no more, and
what it said of our rows no longer counts. It stays on record. Take it back
with: kitwright undo""",
)


SHOW = Operation(
    area="sizes",
    name="show",
    label="Sizes",
    help="list ring sizes, or share the shop's own (meant without a word)",
    about="""\
List ring sizes, all of them or those that a text picks out. The shop's own tables
count too, where a workshop is there.

With --export the shop's own tables are written as CSV, for another shop to load.
With --html the sizes are written as one page for a phone's browser, which needs no
network: all of them, or those that the text and --series pick out.""",
    fields=(
        Sought("text", "Size", "a name, or a piece of one, or a dimension", must=False),
        InSeries("series", "Series", "only these series"),
        EXPORT,
        File("html", "Page", "write the sizes as one page with search; - for standard output", must=False),
    ),
    answers=_show,
    glances=True,
    lengths_only=True,
    examples=("sizes AS568-214", "sizes P22A --series jis", "sizes 24.99", 'sizes "5 x 5-1/2 x 1/4 in"'),
)
LOAD = load_operation(OWN_ROWS)
OWN = own_operation(OWN_ROWS, shares=False)
DROP = drop_operation(OWN_ROWS)

OPERATIONS = (SHOW, LOAD, OWN, DROP)
