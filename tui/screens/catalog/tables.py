"""The tables of the Catalog: what each is called, how it is cut down, its columns, its rows, a row in full."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from textual.content import Content

import tui
from tui.screens.catalog import detail, elements, entries, fluids, grooves, joints, media, picture, threads
from tui.screens.catalog.on_shelf import RowKey, fluid_key
from tui.screens.catalog.picture import Frame
from tui.screens.catalog.reference import Entry
from tui.widgets.rows import Column, Row

if TYPE_CHECKING:
    from tui.needing import Needed
    from tui.workshop import Workshop


class Table(NamedTuple):
    """One table. `what` is counted, `one` of it.

    `groups`: a word of the choice and the group it stands for, the first is all. `kit`: whether its rows are ring
    sizes. `own`: what the shop itself adds to it; `glances`: read without the models. `key`: what a row is on the
    shelf. `needed`: what a row that is no ring asks for on a kit. `none`: what is said where nothing is known at all.
    `same`: what a row of the shop's has in common with the one of ours in whose place it stands;
    `own_table`: which of the shop's own tables it is of, "" for none.
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
    picture: Callable[[Any, Frame], list[str]]
    kit: bool = False
    own: Callable[[Workshop], Sequence[Any] | None] | None = None
    glances: bool = False
    key: Callable[[Any], RowKey] | None = None
    needed: Callable[[Any], Needed] | None = None
    none: str = ""
    same: Callable[[Any], Any] | None = None
    own_table: Callable[[Any], str] | None = None

    @property
    def on_kit(self) -> bool:
        """Whether its rows go on a kit."""
        return self.kit or self.needed is not None


ALL = ("all", "")
STANDING = Column("Source", 11, yields=1)
ON_SHELF = Column("On shelf", 8, right=True)


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
    return [Column("Class", 28), Column("What it is", 20, grow=True), STANDING, Column("Family", 28, yields=2)]


def _fluid_row(entry: Entry, unit: str) -> Row:
    return Row((entry.name, entry.figures, entry.standing, entry.family))


def _element_columns(unit: str) -> list[Column]:
    return [
        Column("Kind", 9), Column("Thread", 10, yields=1), Column(f"Ø × long, {unit}", 12, right=True),
        Column("Gasket, ends", 14, yields=2), Column("Name", 28, grow=True), Column("List price", 14, yields=3),
    ]  # fmt: skip


def _element_row(entry: elements.ElementEntry, unit: str) -> Row:
    of = entry.element
    if of is None:
        return Row(("?", "", "not measured", "", entry.name, ""))
    outline = f"{elements.size_of(of.od_mm, unit)} × {elements.size_of(of.length_mm, unit)}"
    kind = elements.SHORT_KIND.get(entry.group, entry.group)
    thread = of.thread.label if of.thread is not None else ""
    return Row((kind, thread, outline, elements.seal_cell(of, unit), entry.name, entry.price))


def _element_detail(entry: elements.ElementEntry | None, unit: str) -> Content:
    return detail.reference(None if entry is None else entry.said, unit)


def _fluid_needed(entry: Entry) -> tui.needing.Needed:
    return tui.needing.Needed("fluid", title=entry.name, spec_class=entry.name, why="picked in the Catalog")


def _thread_needed(entry: Entry) -> tui.needing.Needed:
    return tui.needing.Needed("fastener", spec_class=entry.name, why="picked in the Catalog")


def _element_needed(entry: elements.ElementEntry) -> tui.needing.Needed:
    return tui.needing.Needed("filter", title=entry.name, spec_class=entry.asked, why="picked in the Catalog")


def _medium_columns(unit: str) -> list[Column]:
    metric, inch = Column("metric", 18, right=True), Column("inch", 18, right=True)
    both = [inch, metric] if unit == "in" else [metric, inch]
    return [Column("Name", 14, grow=True), *both, STANDING, Column("Family", 24, yields=2)]


def _medium_row(entry: Entry, unit: str) -> Row:
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


def _groove_columns(unit: str) -> list[Column]:
    mm = [Column("depth mm", 14, right=True), Column("width mm", 14, right=True)]
    inch = [Column("depth in", 14, right=True, yields=2), Column("width in", 14, right=True, yields=3)]
    if unit == "in":
        inch = [Column("depth in", 14, right=True), Column("width in", 14, right=True)]
        mm = [Column("depth mm", 14, right=True, yields=2), Column("width mm", 14, right=True, yields=3)]
    both = [*inch, *mm] if unit == "in" else [*mm, *inch]
    return [Column("Ring, use", 14), *both, STANDING, Column("Table, motion", 18, grow=True)]


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
    entries.entries, _ring_columns, _ring_row, detail.ring, picture.ring, kit=True, own=entries.own_entries,
    glances=True, key=lambda entry: RowKey("ring", entry.size.key), same=lambda entry: entry.size.key,
    own_table=lambda entry: entry.size.cited.partition(":")[0] if entry.size.standing == "shop" else "",
)  # fmt: skip
FLUIDS = Table(
    "fluids", "class", "classes", "filter: utto   15w-40   wet clutch   vg 46   unchecked", (ALL, *fluids.GROUPS),
    fluids.entries, _fluid_columns, _fluid_row, detail.reference, picture.fluid,
    own=fluids.own_entries, key=lambda entry: fluid_key(entry.name), needed=_fluid_needed,
)  # fmt: skip
FILTERS = Table(
    "filters", "element", "elements", "filter: 3/4-16 93 x 142   cartridge open both   60 mesh",
    (ALL, *elements.GROUPS), elements.load, _element_columns, _element_row, _element_detail, picture.element,
    own=elements.own_entries, key=lambda entry: RowKey("filter", entry.name), needed=_element_needed,
    none="No element is known yet: load a supplier's list in Find, or receive one on the Shelf.",
)  # fmt: skip
MEDIA = Table(
    "media", "row", "rows", "filter: 60 mesh   250   beta 200   3/4-16   unchecked", (ALL, *media.GROUPS),
    media.entries, _medium_columns, _medium_row, detail.reference, picture.medium,
)  # fmt: skip
THREADS = Table(
    "threads", "thread", "threads", "filter: m12 1.5   3/8-16   20 tpi   13 mm   npt", (ALL, *threads.GROUPS),
    threads.entries, _thread_columns, _thread_row, detail.reference, picture.thread,
    key=lambda entry: RowKey("thread", entry.name), needed=_thread_needed,
)  # fmt: skip
PORTS = Table(
    "ports", "joint", "joints", "filter: 7/16-20   3/8 chamfer   m14 24°   face   g 1/2", (ALL, *joints.PORT_GROUPS),
    joints.port_entries, _port_columns, _size_row, detail.reference, picture.port,
    own=joints.own_entries, glances=True, same=joints.same_joint,
    own_table=joints.own_table,
)  # fmt: skip
SEALS = Table(
    "seals", "size", "sizes", "filter: m14   35 × 52   g 1/4 bonded   din 7603", (ALL, *joints.SEAL_GROUPS),
    joints.seal_entries, _seal_columns, _size_row, detail.reference, picture.seal,
)  # fmt: skip
GROOVES = Table(
    "grooves", "groove", "grooves", "filter: 3.53 radial   .139   face static   jis   unchecked",
    (ALL, *grooves.GROUPS), grooves.entries, _groove_columns, _size_row, detail.reference, picture.groove,
    own=grooves.own_entries, glances=True, same=grooves.same_groove, own_table=grooves.own_table,
)  # fmt: skip
TABLES = (RINGS, FLUIDS, FILTERS, MEDIA, THREADS, PORTS, SEALS, GROOVES)
