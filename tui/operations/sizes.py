"""What can be asked of the ring sizes, and a shop's own tables of them: loaded, listed, dropped, shared."""

from __future__ import annotations

from typing import TYPE_CHECKING

import models
import tui
from catalog import orings
from tui.answers.own_sizes import (
    OwnTables,
    SizesDropped,
    SizesExported,
    SizesLoaded,
    own_table_of,
    refusal,
    sizes_loaded,
    to_confirm,
)
from tui.answers.sizes import SizeList, size_of
from tui.fields.field import FieldError
from tui.fields.plain import Choice, File, Flag, Sought, Text
from tui.fields.rings import InSeries
from tui.operations.operation import Operation
from tui.operations.own_book import own_book

if TYPE_CHECKING:
    from tui.answers.answer import Answer
    from tui.operations.operation import Bench, Then, Values
    from tui.workshop import Workshop

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
"""
EPILOG = (
    "exit codes: 0 some size listed, or a table loaded, 1 none found, 2 wrong options, or a row that can't be right.\n"
)
BARE_MEANS = "show"
MOST_CHARACTERS = 2_000_000


def _show(values: Values, bench: Bench) -> Answer:
    if values["export"]:
        if values["text"] or values["series"]:
            raise FieldError("it writes all of the shop's own tables; leave the text and --series out", "--export")
        return _export(values["export"], bench)

    return SizeList(
        tuple(map(size_of, orings.find_sizes.picked_out(values["text"], values["series"], own_book(bench))))
    )


def _export(where: str, bench: Bench) -> SizesExported:
    found = bench.look(models.own_sizes.tables)
    text = models.own_sizes.to_csv(found)
    if where != "-":
        try:
            tui.saving.save(where, text.encode())
        except tui.saving.SaveError as fault:
            raise FieldError(str(fault), "--export") from fault
    return SizesExported(len(found), sum(len(one.rows) for one in found), where, text)


def _load(workshop: Workshop, values: Values) -> SizesLoaded:
    try:
        text = models.outside.small_text(values["file"], MOST_CHARACTERS)
        tables = orings.own_table_csv.read_own_tables(
            models.own_sizes.as_typed(text), series=values["series"], source=values["source"], unit=values["in_unit"]
        )
    except models.errors.InvalidInputError as problem:
        raise FieldError(str(problem), "-") from problem
    except orings.own_table_csv.OwnTableError as problem:
        return refusal(problem.problems)
    asked = () if values["yes"] else workshop.read(lambda session: models.own_sizes.corrections(session, tables))
    if asked:
        return to_confirm(asked)
    return sizes_loaded(workshop.change(lambda session, act: models.own_sizes.load(session, act, tables)))


def _own(workshop: Workshop, _: Values) -> OwnTables:
    return OwnTables(tuple(map(own_table_of, workshop.read(models.own_sizes.listed))))


def _dropped(then: Then) -> SizesDropped:
    return SizesDropped(then.result.title, len(then.result.rows))


SHOW = Operation(
    area="sizes",
    name="show",
    label="Sizes",
    help="list ring sizes, or share the shop's own (meant without a word)",
    about="""\
List ring sizes, all of them or those that a text picks out. The shop's own tables
count too, where a workshop is there.

With --export the shop's own tables are written as CSV, for another shop to load.""",
    fields=(
        Sought("text", "Size", "a name, or a piece of one, or a dimension", must=False),
        InSeries("series", "Series", "only these series"),
        File("export", "Export", "write the shop's own tables as CSV; - for standard output", must=False),
    ),
    answers=_show,
    glances=True,
    lengths_only=True,
    examples=("sizes AS568-214", "sizes P22A --series jis", "sizes 24.99", 'sizes "5 x 5-1/2 x 1/4 in"'),
)
LOAD = Operation(
    area="sizes",
    name="load",
    label="Load own sizes",
    help="load a table of sizes that the shop owns",
    about="""\
Load a table of ring sizes that the shop owns: the priced standard, or a maker's
list, as CSV. From then on its sizes are matched beside the standard ones.

The first line names the columns: designation, id, id tolerance, cross-section,
tolerance. A unit stands in a column's name (id_mm, id_in) or is said by --unit.
Within one width IDs must rise, and no size may stand there twice: each row that
can't be right is told with its line, and then nothing is loaded.

A table named as a standard is (jis, as568, metric, bs4518) speaks of our rows: one
that says the same confirms it, one that differs corrects it, any other is a new
size. Each correction is shown first, and the table is loaded once you say --yes.
Take it back with: kitwright undo""",
    fields=(
        File("file", "File", "the CSV file; - for standard input", placed=True, what="a CSV file, as sizes.csv"),
        Text(
            "series", "Series", "what the table is called (a file may have a column series instead)",
            must=False, metavar="NAME", what="what the table is called, as jis or Valve list", longest=30,
        ),
        Text(
            "source", "Source", "where the table is from", must=False, metavar="TEXT",
            what="where it is from, as the standard, 2012 edition", longest=200,
        ),
        Choice(
            "in_unit", "Unit", "the unit of columns that don't say theirs: mm or in", must=False,
            choices=("mm", "in"), option="unit", metavar="WORD",
        ),
        Flag("yes", "Correct ours", "correct our rows where the table differs from them"),
    ),
    does=_load,
    key="list",
    examples=('sizes load bought.csv --series jis --source "the standard, 2012 edition"',),
)  # fmt: skip
OWN = Operation(
    area="sizes",
    name="own",
    label="Own tables",
    help="list the shop's own tables",
    about="""\
List the tables that the shop has loaded: where each is from, and how many of its rows
confirm ours, correct ours, or are new.""",
    fields=(),
    does=_own,
    examples=("sizes own",),
)
DROP = Operation(
    area="sizes",
    name="drop",
    label="Drop own sizes",
    help="drop one of the shop's own tables",
    about="""\
Drop a table that the shop has loaded: its sizes are matched no more, and what it said
of our rows no longer counts. It stays on record. Take it back with: kitwright undo""",
    fields=(Text("series", "Series", "what the table is called", placed=True, what="what the table is called"),),
    change=lambda: models.own_sizes.drop,
    answer=_dropped,
    key="drop",
    before=("sizes load bought.csv --series jis",),
    examples=("sizes drop jis",),
)

OPERATIONS = (SHOW, LOAD, OWN, DROP)
