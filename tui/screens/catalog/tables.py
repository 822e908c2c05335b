"""The tables of the Catalog: what each is called, how it is cut down, its columns, its rows, a row in full."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from textual.content import Content

from tui.screens.catalog import detail, entries, filters, fluids, joints, threads
from tui.screens.catalog.reference import Entry
from tui.widgets.rows import Column, Row

if TYPE_CHECKING:
    from tui.workshop import Workshop


class Table(NamedTuple):
    """One table. `what` is counted, `one` of it.

    `groups`: a word of the choice and the group it stands for, the first is all. `kit`: whether its rows go
    on a kit. `own`: what the shop itself adds to it; `glances`: read without the models.
    """

    name: str
    one: str
    what: str
    hint: str
    groups: tuple[tuple[str, str], ...]
    load: Callable[[], Sequence[Any]]
    columns: Callable[[str], list[Column]]
    row: Callable[[Any, str], Row]
    detail: Callable[[Any, str], Content]
    kit: bool = False
    own: Callable[[Workshop], Sequence[Any]] | None = None
    glances: bool = False


ALL = ("all", "")
STANDING = Column("Source", 11, yields=1)


def _ring_columns(unit: str) -> list[Column]:
    mm = [Column("ID mm", 8, right=True), Column("width mm", 8, right=True)]
    inch = [Column("ID in", 7, right=True, yields=2), Column("width in", 8, right=True, yields=2)]
    dims = [*inch, *mm] if unit == "in" else [*mm, *inch]
    return [Column("Size", 15, grow=True), *dims, STANDING, Column("Series", 18, yields=3)]


def _ring_row(entry: entries.Entry, unit: str) -> Row:
    size = entry.size
    mm = [f"{size.id_mm:.2f}", f"{size.cross_section_mm:.2f}"]
    inch = [f"{size.id_mm / 25.4:.3f}", f"{size.cross_section_mm / 25.4:.3f}"]
    dims = [*inch, *mm] if unit == "in" else [*mm, *inch]
    return Row((size.label, *dims, size.standing.word, entry.title))


def _fluid_columns(unit: str) -> list[Column]:
    return [Column("Class", 18), Column("What it is", 20, grow=True), STANDING, Column("Family", 28, yields=2)]


def _fluid_row(entry: Entry, unit: str) -> Row:
    return Row((entry.name, entry.figures, entry.standing, entry.family))


def _filter_columns(unit: str) -> list[Column]:
    metric, inch = Column("metric", 18, right=True), Column("inch", 18, right=True)
    both = [inch, metric] if unit == "in" else [metric, inch]
    return [Column("Name", 14, grow=True), *both, STANDING, Column("Family", 24, yields=2)]


def _filter_row(entry: Entry, unit: str) -> Row:
    return Row((entry.name, *_both(entry, unit), entry.standing, entry.family))


def _thread_columns(unit: str) -> list[Column]:
    mm = [Column("Ø mm", 6, right=True), Column("pitch", 6, right=True), Column("mm²", 7, right=True)]
    inch = [Column("Ø in", 6, right=True), Column("tpi", 5, right=True), Column("in²", 7, right=True)]
    both = [*inch, *mm] if unit == "in" else [*mm, *inch]
    return [Column("Thread", 12, grow=True), *both, Column("Wrench", 8), STANDING, Column("Family", 16, yields=2)]


def _thread_row(entry: Entry, unit: str) -> Row:
    return Row((entry.name, *_both(entry, unit), threads.wrench(entry), entry.standing, entry.family))


def _port_columns(unit: str) -> list[Column]:
    mm, inch = Column("ring, ID × width mm", 20, right=True), Column("ring, in", 14, right=True, yields=3)
    both = [inch, mm] if unit == "in" else [mm, inch]
    return [Column("Thread, tube", 16, grow=True), *both, STANDING, Column("Joint; seal", 30, yields=2)]


def _seal_columns(unit: str) -> list[Column]:
    mm, inch = Column("mm", 22, right=True), Column("in", 22, right=True, yields=3)
    both = [inch, mm] if unit == "in" else [mm, inch]
    return [Column("Size", 22, grow=True), *both, STANDING, Column("Standard; under", 26, yields=2)]


def _size_row(entry: Entry, unit: str) -> Row:
    return Row((entry.name, *_both(entry, unit), entry.standing, entry.family))


def _both(entry: Entry, unit: str) -> tuple[str, ...]:
    return (*entry.inch, *entry.metric) if unit == "in" else (*entry.metric, *entry.inch)


RINGS = Table(
    "rings", "size", "sizes", "filter: 214   25 x 3.5   .984   jis p   unchecked",
    # Words short enough to stand side by side at 80 columns.
    (ALL, ("AS568", "as568"), ("JIS", "jis"), ("metric", "metric"), ("BS 4518", "bs4518"), ("French R", "afnor"),
     ("stock", "stock"), ("own", "own")),
    entries.entries, _ring_columns, _ring_row, detail.ring, kit=True, own=entries.own_entries, glances=True,
)  # fmt: skip
FLUIDS = Table(
    "fluids", "class", "classes", "filter: utto   15w-40   wet clutch   vg 46   unchecked", (ALL, *fluids.GROUPS),
    fluids.entries, _fluid_columns, _fluid_row, detail.reference,
    own=fluids.own_entries,
)  # fmt: skip
FILTERS = Table(
    "filters", "row", "rows", "filter: 60 mesh   250   beta 200   3/4-16   unchecked", (ALL, *filters.GROUPS),
    filters.entries, _filter_columns, _filter_row, detail.reference,
)  # fmt: skip
THREADS = Table(
    "threads", "thread", "threads", "filter: m12 1.5   3/8-16   20 tpi   13 mm   npt", (ALL, *threads.GROUPS),
    threads.entries, _thread_columns, _thread_row, detail.reference,
)  # fmt: skip
PORTS = Table(
    "ports", "joint", "joints", "filter: 7/16-20   3/8 chamfer   m14 24°   face   g 1/2", (ALL, *joints.PORT_GROUPS),
    joints.port_entries, _port_columns, _size_row, detail.reference,
)  # fmt: skip
SEALS = Table(
    "seals", "size", "sizes", "filter: m14   35 × 52   g 1/4 bonded   din 7603", (ALL, *joints.SEAL_GROUPS),
    joints.seal_entries, _seal_columns, _size_row, detail.reference,
)  # fmt: skip
TABLES = (RINGS, FLUIDS, FILTERS, THREADS, PORTS, SEALS)
