"""A shop's own table of ports as CSV, read and written.

The first line names the columns: thread and seal in every list; tube, ring (by its name, or its ID and width with their
tolerances), chamfer, standard, plug and note where the list has them. `series` and `source` may be added. Units and
what parts the columns: `own_csv`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Final

from catalog.fasteners.sizes import thread_named
from catalog.orings.joints import PortSeal
from catalog.orings.names import find, may_be
from catalog.orings.own_csv import Cells, Layout, figure, lines, refuse
from catalog.orings.own_port import OwnPorts, PortRow, as_port, spoken_of
from catalog.orings.port_rules import faults
from catalog.orings.size_rules import folded
from catalog.orings.sizes import by_key

COLUMNS: Final = (
    "series", "source", "standard", "thread", "tube", "seal", "ring", "ring_id_mm", "ring_id_tol_mm",
    "ring_section_mm", "ring_section_tol_mm", "chamfer_deg", "plug", "ring_sits", "note",
)  # fmt: skip
"""The columns of a file that is written."""
LONGEST: Final[Mapping[str, int]] = MappingProxyType(
    {"standard": 60, "thread": 30, "tube": 20, "plug": 120, "ring_sits": 120, "note": 300}
)
"""The longest text in each column, in characters."""
_TOLERANCE: Final = ("tolerance", "tol")
_SECTION: Final = ("section", "cross section", "width", "cs", "thickness", "d2")
_INSIDE: Final = ("id", "inside diameter", "d1")
_RING: Final = {"ring_id": "ring ID", "ring_id_tol": "ring ID tolerance", "ring_section": "ring width",
                "ring_section_tol": "ring width tolerance"}  # fmt: skip
_LAYOUT: Final = Layout(
    "ports",
    {
        "standard": ("standard", "joint"),
        "thread": ("thread", "port thread"),
        "tube": ("tube", "tube od", "for tube"),
        "seal": ("seal", "sealed by", "kind"),
        "ring": ("ring", "o ring", "ring size", "o ring size"),
        "ring_id": tuple(f"{of}{one}" for of in ("ring ", "o ring ", "") for one in _INSIDE),
        "ring_id_tol": tuple(
            f"{of}{one} {tol}" for of in ("ring ", "o ring ", "") for one in _INSIDE for tol in _TOLERANCE
        ),
        "ring_section": tuple(f"{of}{one}" for of in ("ring ", "o ring ", "") for one in _SECTION),
        "ring_section_tol": tuple(
            f"{of}{one} {tol}" for of in ("ring ", "o ring ", "") for one in _SECTION for tol in _TOLERANCE
        ),
        "chamfer": ("chamfer deg", "chamfer", "chamfer angle", "angle", "angle deg"),
        "plug": ("plug", "goes with"),
        "ring_sits": ("ring sits",),
        "note": ("note", "remark"),
    },
    {"thread": "thread", "seal": "seal"},
    frozenset(_RING),
    COLUMNS,
    ("thread", "seal", "tube", "ring", "chamfer_deg"),
)
_SEALS: Final = MappingProxyType(
    {
        **{one.typed: one for one in PortSeal},
        **{one.value: one for one in PortSeal},
        "taper": PortSeal.THREAD,
    }
)
_TUBE_MM: Final = re.compile(r"([1-9][0-9]{0,2}(?:\.[0-9]{1,2})?)\s*(?:mm)?\s*(LL|L|S)?", re.IGNORECASE)
_TUBE_IN: Final = re.compile(r"(?:[1-9][0-9]?[ -]+)?[1-9][0-9]?/[1-9][0-9]?|[1-9][0-9]?")


def read_own_ports(text: str, *, series: str = "", source: str = "", unit: str = "") -> tuple[OwnPorts, ...]:
    """The tables of a file, each held to the rules of `port_rules`.

    `series` and `source`: of rows without such a column; `unit`: `mm` or `in`, of columns that don't say. Raises
    `OwnTableError` with a sentence for every row that can't be right: then nothing of the file counts.
    """
    found, problems = lines(text, _LAYOUT, series=series, unit=unit)
    tables: dict[str, list[tuple[int, OwnPorts]]] = {}
    for line, cells in found:
        try:
            one = _row(cells, series, source, unit)
        except ValueError as problem:
            problems.append((line, str(problem)))
        else:
            tables.setdefault(folded(one.title), []).append((line, one))
    read: list[OwnPorts] = []
    for of_one in tables.values():
        table = OwnPorts(of_one[0][1].title, of_one[0][1].source, tuple(one.rows[0] for _, one in of_one))
        read.append(table)
        wrong = faults([as_port(table, row) for row in table.rows])
        problems += [(of_one[one.at][0], f"{table.rows[one.at].designation}: {one.why}") for one in wrong]
        if not wrong:
            problems += _unclear(table, [line for line, _ in of_one])
    refuse(problems)
    return tuple(read)


def written(tables: Iterable[OwnPorts]) -> list[tuple[str, ...]]:
    """The lines of a file with all the tables, the first line with the names of the columns."""
    return [COLUMNS, *((table.title, table.source, *_cells(row)) for table in tables for row in table.rows)]


def _cells(row: PortRow) -> tuple[str, ...]:
    named = by_key(row.ring_key) if row.ring_key else None
    tube = f"{row.tube} in" if row.tube.isdigit() else row.tube
    return (
        row.standard, row.thread, tube, row.seal.typed, "" if named is None else named.label,
        *(map(figure, row.ring_mm or (None,) * 4)), figure(row.chamfer_deg), row.plug, row.ring_sits, row.note,
    )  # fmt: skip


def _unclear(table: OwnPorts, at: list[int]) -> list[tuple[int, str]]:
    """Rows that may mean several of ours: which one, only the tube tells."""
    found = []
    for line, row in zip(at, table.rows, strict=True):
        meant = spoken_of(table, row)
        tubes = list(dict.fromkeys(one.tube for one in meant))
        if len(meant) > 1 and len(tubes) > 1:
            found.append((line, f"{row.designation}: which tube is it for? Type {' or '.join(tubes)}."))
    return found


def _row(cells: Cells, series: str, source: str, unit: str) -> OwnPorts:
    """A table of one row. Raises ValueError."""
    thread = cells.text("thread")
    if not thread:
        raise ValueError("the thread is empty. Type it like M14x1.5, 7/16-20 or G 1/4.")
    name = thread[: LONGEST["thread"]]
    title, cited = cells.table(series, source, name)
    for what, most in LONGEST.items():
        if len(cells.text(what)) > most:
            raise ValueError(f"{name}: the {what.replace('_', ' ')} has more than {most} characters. Shorten it.")
    thread_named(thread)  # a thread that nobody could find again is no use to a port
    seal = _SEALS.get(cells.text("seal").casefold())
    if seal is None:
        words = ", ".join(one.typed for one in PortSeal)
        said = f"“{cells.text('seal')[:24]}” is not a seal" if cells.text("seal") else "the seal is empty"
        raise ValueError(f"{name}: {said}. Type one of: {words}.")
    key, figures = _ring(cells, name)
    row = PortRow(
        thread, seal, cells.text("standard"), _tube(cells, name, unit), key, figures,
        cells.number("chamfer", f"{name}, chamfer", "15") if cells.text("chamfer") else None,
        cells.text("plug"), cells.text("ring_sits"), cells.text("note"),
    )  # fmt: skip
    return OwnPorts(title, cited, (row,))


def _ring(cells: Cells, name: str) -> tuple[str, tuple[float, float, float, float] | None]:
    """A row's ring: its key where it is named, or its four figures. Raises ValueError."""
    said = cells.text("ring")
    measured = [what for what in _RING if cells.text(what)]
    if said.casefold() in ("", "none", "-"):
        if not measured:
            return "", None
        figures = [cells.length(what, f"{name}, {_RING[what]}") for what in _RING]
        return "", (figures[0], figures[1], figures[2], figures[3])
    if measured:
        raise ValueError(f"{name}: the ring is given by its name and by {_RING[measured[0]]}. Give one of the two.")
    found = find(said)
    if found is None:
        several = " or ".join(one.label for one in may_be(said)[:3])
        more = f"Type {several}." if several else "Type it like AS568-904 or JIS P11, or give its ID and width."
        raise ValueError(f"{name}: no ring is called “{said[:24]}”. {more}")
    return found.key, None


def _tube(cells: Cells, name: str, unit: str) -> str:
    """The tube as our tables write it: `3/8` is inches, `10 mm L` is mm and series. Raises ValueError."""
    text, own_unit = cells.said.get("tube", ("", ""))
    text = " ".join(text.split())
    if not text:
        return ""
    bare = re.sub(r"\s*(?:in|\"|″)$", "", text)
    inches, metric = _TUBE_IN.fullmatch(bare), _TUBE_MM.fullmatch(text)
    says_mm = "mm" in text.casefold() or bool(metric and metric[2]) or (own_unit == "mm" and "/" not in text)
    if metric and says_mm:
        return f"{float(metric[1]):g} mm{f' {metric[2].upper()}' if metric[2] else ''}"
    if inches and (bare != text or "/" in text or own_unit == "in" or unit == "in"):
        return "-".join(bare.split()).replace("-", " ")
    raise ValueError(f"{name}: tube “{text[:20]}” is not clear. Type it like 3/8 (inches), 10 mm or 10 mm L.")
