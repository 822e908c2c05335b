"""A shop's own tables, declared once for every area that has some: loaded, listed, shared, dropped."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import models
import tui
from catalog import orings
from tui.fields.field import FieldError
from tui.fields.plain import Choice, File, Flag, Text
from tui.operations.operation import Operation

if TYPE_CHECKING:
    from types import ModuleType

    from tui.answers.answer import Answer
    from tui.answers.own_rows import RowsExported, RowsLoaded
    from tui.operations.operation import Then, Values
    from tui.workshop import Workshop

MOST_CHARACTERS = 2_000_000
SERIES = Text("series", "Series", "what the table is called", placed=True, what="what the table is called")


@dataclass(frozen=True)
class OwnRows:
    """What an area's own tables are of: `many`, as `sizes`; `like`: a file and a table's name as examples.

    `read`: the tables of a text; `rules`: the part of `models` that keeps them. `loaded`, `listed`, `dropped`,
    `exported` make the answers; `corrected`: what a yes is asked to. `about_load` and `about_drop`: more for `--help`;
    `means`: what their keys mean, of loading and of dropping.
    """

    area: str
    many: str
    like: tuple[str, str]
    read: Callable[..., tuple[Any, ...]]
    rules: Callable[[], ModuleType]
    refused: type[RowsLoaded]
    loaded: Callable[[Any], RowsLoaded]
    corrected: Callable[[Any], Any]
    listed: Callable[[Any], Answer]
    dropped: Callable[[str, int], Answer]
    exported: type[RowsExported]
    about_load: str
    about_drop: str
    means: tuple[str, str] = ("list", "drop")

    def load(self, workshop: Workshop, values: Values) -> RowsLoaded:
        """Load a file's tables, or say why not. Raises `FieldError` where it can't be read."""
        rules = self.rules()
        try:
            text = models.outside.small_text(values["file"], MOST_CHARACTERS)
            tables = self.read(
                models.own_rows.as_typed(text),
                series=values["series"], source=values["source"], unit=values["in_unit"],
            )  # fmt: skip
        except models.errors.InvalidInputError as problem:
            raise FieldError(str(problem), "-") from problem
        except orings.own_csv.OwnTableError as problem:
            return self.refused((), (), problem.problems)
        asked = () if values["yes"] else workshop.read(lambda session: rules.corrections(session, tables))
        if asked:
            return self.refused((), (), (), self.corrected(asked))
        return self.loaded(workshop.change(lambda session, act: rules.load(session, act, tables)))

    def export(self, tables: tuple[Any, ...], where: str) -> RowsExported:
        """Write the shop's own tables as CSV. Raises `FieldError` where that can't be."""
        text = self.rules().to_csv(tables)
        if where != "-":
            try:
                tui.saving.save(where, text.encode())
            except tui.saving.SaveError as fault:
                raise FieldError(str(fault), "--export") from fault
        return self.exported(len(tables), sum(len(one.rows) for one in tables), where, text)

    def own(self, workshop: Workshop, values: Values) -> Answer:
        """The tables that are loaded, or the file they were written to."""
        if values.get("export"):
            return self.export(workshop.read(self.rules().tables), values["export"])
        return self.listed(workshop.read(self.rules().listed))

    def drop(self, then: Then) -> Answer:
        """What was dropped."""
        return self.dropped(then.result.title, len(then.result.rows))


EXPORT = File("export", "Export", "write the shop's own tables as CSV; - for standard output", must=False)


def load_operation(rows: OwnRows) -> Operation:
    """Loading a table of the shop's own."""
    file, series = rows.like
    return Operation(
        area=rows.area,
        name="load",
        label=f"Load own {rows.many}",
        help=f"load a table of {rows.many} that the shop owns",
        about=rows.about_load,
        fields=(
            File("file", "File", "the CSV file; - for standard input", placed=True, what=f"a CSV file, as {file}"),
            Text(
                "series", "Series", "what the table is called (a file may have a column series instead)",
                must=False, metavar="NAME", what=f"what the table is called, as {series} or Valve list", longest=30,
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
        does=rows.load,
        key=rows.means[0],
        examples=(_load_line(rows),),
    )  # fmt: skip


def own_operation(rows: OwnRows, *, shares: bool) -> Operation:
    """Listing the shop's own tables; `shares`: it is also what writes them."""
    return Operation(
        area=rows.area,
        name="own",
        label="Own tables",
        help=f"list the shop's own tables{', or share them' if shares else ''}",
        about=f"""\
List the tables that the shop has loaded: where each is from, and how many of its rows
confirm ours, correct ours, or are new.{_SHARED if shares else ""}""",
        fields=(EXPORT,) if shares else (),
        does=rows.own,
        before=(_load_line(rows),),
        examples=(f"{rows.area} own",),
    )


_SHARED = """

With --export they are written as CSV, for another shop to load."""


def drop_operation(rows: OwnRows) -> Operation:
    """Dropping one of the shop's own tables."""
    return Operation(
        area=rows.area,
        name="drop",
        label=f"Drop own {rows.many}",
        help="drop one of the shop's own tables",
        about=rows.about_drop,
        fields=(SERIES,),
        change=lambda: rows.rules().drop,
        answer=rows.drop,
        key=rows.means[1],
        before=(_load_line(rows),),
        examples=(f'{rows.area} drop "{rows.like[1]}"',),
    )


def _load_line(rows: OwnRows) -> str:
    file, series = rows.like
    return f'{rows.area} load {file} --series "{series}" --source "the standard, 2012 edition"'
