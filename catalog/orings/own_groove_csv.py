"""A shop's own table of grooves as CSV, read and written.

The first line names the columns: use, section, depth and width at their least and most in every list; motion, medium,
sizes, the ring's ±, widths with back-up rings, clearance and squeeze where the list has them. `series` and `source` may
be added. Units and what parts the columns: `own_csv`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Final

from catalog.orings.groove import Motion
from catalog.orings.groove_rules import faults
from catalog.orings.own_csv import Cells, Layout, figure, lines, refuse
from catalog.orings.own_groove import OwnGrooves, called, spoken_of
from catalog.orings.size_rules import folded
from catalog.orings.span import between
from catalog.orings.standard_grooves import FACE, RADIAL, GrooveRow
from catalog.standing import Standing

_MUST: Final = {
    "use": "use",
    "section": "section",
    "depth_min": "depth min",
    "depth_max": "depth max",
    "width_min": "width min",
    "width_max": "width max",
}
_MAY: Final = {
    "section_tol": "section tolerance",
    "width_one_backup": "width with one back-up ring",
    "width_two_backups": "width with two back-up rings",
    "clearance_max": "clearance",
    "squeeze_min": "squeeze min",
    "squeeze_max": "squeeze max",
}
_LENGTHS: Final = (*(name for name in _MUST if name != "use"), *_MAY)
COLUMNS: Final = ("series", "source", "use", "motion", "medium", "sizes", *(f"{one}_mm" for one in _LENGTHS), "note")
"""The columns of a file that is written."""
LONGEST: Final[Mapping[str, int]] = MappingProxyType({"medium": 30, "sizes": 60, "note": 300})
"""The longest text in each column, in characters."""
_RING: Final = ("section", "cross section", "ring section", "ring width", "cs", "d2")
_LAYOUT: Final = Layout(
    "grooves",
    {
        "use": ("use", "where", "kind"),
        "motion": ("motion", "moves"),
        "medium": ("medium", "for"),
        "sizes": ("sizes", "for sizes", "serves"),
        "section": _RING,
        "section_tol": tuple(f"{one} {tol}" for one in _RING for tol in ("tol", "tolerance")),
        **{
            f"{what}_{end}": (f"{what} {end}", f"{end} {what}", f"groove {what} {end}", f"{end} groove {what}")
            for what in ("depth", "width")
            for end in ("min", "max")
        },
        "width_one_backup": ("width one backup", "width one back up", "width 1 backup"),
        "width_two_backups": ("width two backups", "width two back ups", "width 2 backups"),
        "clearance_max": ("clearance max", "clearance"),
        "squeeze_min": ("squeeze min",),
        "squeeze_max": ("squeeze max",),
        "note": ("note", "remark"),
    },
    _MUST,
    frozenset(_LENGTHS),
    COLUMNS,
    ("use", "motion", *(f"{one}_mm" for one in _MUST if one != "use")),
)
_LIKE: Final = ("2.65", "0.104")


def read_own_grooves(text: str, *, series: str = "", source: str = "", unit: str = "") -> tuple[OwnGrooves, ...]:
    """The tables of a file, each held to the rules of `groove_rules`.

    `series` and `source`: of rows without such a column; `unit`: `mm` or `in`, of columns that don't say. Raises
    `OwnTableError` with a sentence for every row that can't be right: then nothing of the file counts.
    """
    found, problems = lines(text, _LAYOUT, series=series, unit=unit)
    tables: dict[str, list[tuple[int, OwnGrooves]]] = {}
    for line, cells in found:
        try:
            one = _row(cells, series, source)
        except ValueError as problem:
            problems.append((line, str(problem)))
        else:
            tables.setdefault(folded(one.title), []).append((line, one))
    read: list[OwnGrooves] = []
    for of_one in tables.values():
        title = of_one[0][1].title
        rows = tuple(one.rows[0]._replace(table=title) for _, one in of_one)
        read.append(OwnGrooves(title, of_one[0][1].source, rows))
        wrong = faults(rows)
        problems += [(of_one[one.at][0], f"{called(rows[one.at])}: {one.why}") for one in wrong]
        if not wrong:
            for (line, _), row in zip(of_one, rows, strict=True):
                if len(meant := spoken_of(row)) > 1:
                    sizes = " or ".join(one.series for one in meant)
                    problems.append((line, f"{called(row)}: which sizes is it for? Type {sizes} as its sizes."))
    refuse(problems)
    return tuple(read)


def written(tables: Iterable[OwnGrooves]) -> list[tuple[str, ...]]:
    """The lines of a file with all the tables, the first line with the names of the columns."""
    return [COLUMNS, *((table.title, table.source, *_cells(row)) for table in tables for row in table.rows)]


def _cells(row: GrooveRow) -> tuple[str, ...]:
    squeeze = row.printed_squeeze_mm or (None, None)
    return (
        row.use, " or ".join(row.motions), row.medium, row.series,
        *map(figure, (
            row.section_mm, row.depth.minimum, row.depth.maximum, row.width.minimum, row.width.maximum,
            row.section_tol_mm, row.width_one_backup_mm, row.width_two_backups_mm, row.clearance_max_mm, *squeeze,
        )),
        row.note,
    )  # fmt: skip


def _row(cells: Cells, series: str, source: str) -> OwnGrooves:
    """A table of one row. Raises ValueError."""
    use = cells.text("use").casefold()
    if use not in (FACE, RADIAL):
        said = f"“{use[:24]}” is not a use" if use else "the use is empty"
        raise ValueError(f"{said}. Type radial (round a piston, plug or rod) or face (under a flat cover).")
    title, cited = cells.table(series, source, f"{use} groove")
    for what, most in LONGEST.items():
        if len(cells.text(what)) > most:
            raise ValueError(f"{use} groove: the {what} has more than {most} characters. Shorten it.")
    section = cells.length("section", f"{use} groove, section", _LIKE)
    name = f"{use} groove, ring {section:.4g} mm"
    depth, width = (_limits(cells, name, what) for what in ("depth", "width"))
    may = {
        what: cells.length(what, f"{name}, {told}", _LIKE) if cells.text(what) else None for what, told in _MAY.items()
    }
    least, most_squeezed = may["squeeze_min"], may["squeeze_max"]
    row = GrooveRow(
        title, use, _motions(cells, name), cells.text("medium"), cells.text("sizes"), section, may["section_tol"],
        between(*depth), between(*width), may["width_one_backup"], may["width_two_backups"], may["clearance_max"],
        None if least is None or most_squeezed is None else (least, most_squeezed), None, "", Standing.SHOP,
        cells.text("note"),
    )  # fmt: skip
    return OwnGrooves(title, cited, (row,))


def _limits(cells: Cells, name: str, what: str) -> tuple[float, float]:
    least, most = (cells.length(f"{what}_{end}", f"{name}, {what} {end}", _LIKE) for end in ("min", "max"))
    if most < least:
        raise ValueError(f"{name}, {what}: min {least:.4g} mm is more than max {most:.4g} mm. Swap the two.")
    return least, most


def _motions(cells: Cells, name: str) -> tuple[Motion, ...]:
    """What the groove is meant for; where nobody says, it stands still. Raises ValueError."""
    words = [word for word in re.split(r"\s+or\s+|[/,+\s]+", cells.text("motion").casefold()) if word]
    found = []
    for word in words or [str(Motion.STATIC)]:
        if word not in frozenset(Motion):
            raise ValueError(
                f"{name}: “{word[:24]}” is not a motion. Type {', '.join(Motion)}, or two with or between."
            )
        found.append(Motion(word))
    return tuple(one for one in Motion if one in found)
