"""A shop's own table of ports: the standard it owns, or a maker's list. What does it say of our rows?

A row is one joint of one thread: how it seals, the tube it is for, its ring and its chamfer. It speaks of one of ours
where the row or its table is named as our joint's standard is (`SAE J1926-1`, `ISO 6149-1`) and thread, seal and tube
are the same; where a row leaves the tube out, and only one of ours is meant, it is that one. Then it *confirms* ours or
*corrects* it; any other row is a *new* joint, called by its table's name.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from typing import Final, NamedTuple

from catalog.because import Because
from catalog.fasteners.sizes import find_thread, thread_named
from catalog.orings.joints import Port, PortSeal, joint_notes, ports, ring_words
from catalog.orings.own_table import AS_PRINTED_MM, Word
from catalog.orings.size_rules import folded
from catalog.orings.sizes import RingSize, Series, by_key
from catalog.orings.standard_names import bare, names_of
from catalog.standing import Standing

CONFIRMED: Final = "confirmed by a table of this shop"
SAME_DEG: Final = 0.05
_PLUG: Final = "the plug or fitting of this table"


class PortRow(NamedTuple):
    """A row of a shop's own table of ports; lengths in mm, the chamfer in degrees from the axis.

    `standard`: of its joint, "" where it is the table's name. `tube`: `3/8` in inches or `10 mm L`, "" for none.
    `ring_key`: its ring where that is one of ours by name; else its figures; neither where it has none.
    """

    thread: str
    seal: PortSeal
    standard: str = ""
    tube: str = ""
    ring_key: str = ""
    ring_mm: tuple[float, float, float, float] | None = None
    chamfer_deg: float | None = None
    plug: str = ""
    ring_sits: str = ""
    note: str = ""

    @property
    def designation(self) -> str:
        """What a sentence calls it: `M14x1.5 chamfer`, with the tube where it has one."""
        return f"{self.thread} {self.seal.typed}{f', tube {self.tube}' if self.tube else ''}"

    @property
    def folded(self) -> str:
        """What no two rows of one table may have the same: joint, thread, seal, tube and plug."""
        thread = find_thread(self.thread)
        called = self.thread if thread is None else thread.designation
        return "|".join(map(folded, (self.standard, called, self.seal, self.tube, self.plug)))


class OwnPorts(NamedTuple):
    """A table of the shop's own: what it is called, where it is from, and its rows in order."""

    title: str
    source: str
    rows: tuple[PortRow, ...]


class PortTold(NamedTuple):
    """What a row says: the joint as it is matched from now on, and the one of ours that it speaks of."""

    word: Word
    port: Port
    ours: Port | None


def told(table: OwnPorts) -> tuple[PortTold, ...]:
    """What each row of a table says, in order."""
    return tuple(_told(table, row) for row in table.rows)


def as_port(table: OwnPorts, row: PortRow) -> Port:
    """A row as a joint of its own, whatever ours say. Raises ValueError for a thread that is not in the tables."""
    standard = row.standard or table.title
    cited = cited_by(table.title, table.source)
    screw = thread_named(row.thread)
    title = f"{standard} {row.thread}"
    return Port(
        standard,
        row.thread,
        screw,
        row.plug or _PLUG,
        row.seal,
        _ring(row, table, title),
        row.ring_sits or _usual_seat(row.seal),
        row.tube,
        _chamfer(row, title, cited),
        row.chamfer_deg,
        cited,
        Standing.SHOP,
        row.note,
    )


def cited_by(title: str, source: str) -> str:
    """Where a row of a shop's own table is said to be from."""
    return f"{title}: {source}" if source else title


def spoken_of(table: OwnPorts, row: PortRow) -> tuple[Port, ...]:
    """The joints of ours that a row may mean: one, none, or several where only a tube or a plug would tell."""
    standards = _standards_called(row.standard or table.title)
    thread = find_thread(row.thread)
    if not standards or thread is None:
        return ()
    found = [
        one
        for one in ports()
        if one.standard in standards and one.seal is row.seal and one.screw.designation == thread.designation
    ]
    exact = [one for one in found if folded(one.tube) == folded(row.tube)]
    return tuple(exact or (found if not row.tube else ()))


def _told(table: OwnPorts, row: PortRow) -> PortTold:
    theirs, meant = as_port(table, row), spoken_of(table, row)
    if len(meant) != 1:
        return PortTold(Word.NEW, theirs, None)
    (ours,) = meant
    kept = next((note for note in joint_notes() if note and ours.note.endswith(note)), "")
    if _same(ours, theirs):
        if ours.standing.trust < Standing.SHOP.trust and ours.standing is not Standing.INFERRED:
            return PortTold(Word.CONFIRMS, ours, ours)
        ring = ours.ring
        if ring is not None and ring.standing.trust > Standing.SHOP.trust:
            ring = ring._replace(cited=theirs.source, standing=Standing.SHOP)
        chamfer = ours.chamfer if theirs.chamfer is None else theirs.chamfer
        note = "; ".join(filter(None, (CONFIRMED, kept)))
        confirmed = ours._replace(
            ring=ring, chamfer=chamfer, source=theirs.source, standing=Standing.SHOP, note=note,
        )  # fmt: skip
        return PortTold(Word.CONFIRMS, confirmed, ours)
    was = f"corrected by a table of this shop; ours has {figures(ours)}"
    corrected = theirs._replace(
        standard=ours.standard, thread=ours.thread, plug=row.plug or ours.plug, tube=ours.tube,
        ring_sits=row.ring_sits or ours.ring_sits, chamfer=theirs.chamfer or ours.chamfer,
        chamfer_deg=ours.chamfer_deg if theirs.chamfer_deg is None else theirs.chamfer_deg,
        note="; ".join(filter(None, (was, row.note or kept))),
    )  # fmt: skip
    return PortTold(Word.CORRECTS, corrected, ours)


def own_ports(tables: Iterable[OwnPorts]) -> tuple[PortTold, ...]:
    """What all tables say; of two rows that speak of one joint the later holds.

    A confirmed row that was compared with a published table before stays as it is, and is left out.
    """
    said = {port_key(one.port): one for table in tables for one in told(table)}
    return tuple(one for one in said.values() if one.port.standing is Standing.SHOP)


def port_key(port: Port) -> tuple[str, ...]:
    """What tells a joint from every other."""
    return port.standard, port.screw.designation, port.seal, port.tube, port.plug


def figures(port: Port) -> str:
    """What a row says, for a sentence: its ring, and its chamfer where one is said."""
    ring = port.ring
    said = ring_words(port)
    if ring is not None:
        said = (
            f"ring {ring.id_mm:.4g} ± {ring.id_tol_mm:.4g} × {ring.cross_section_mm:.4g} ± "
            f"{ring.cross_section_tol_mm:.4g} mm"
        )
    return said if port.chamfer_deg is None else f"{said}, chamfer {port.chamfer_deg:g}°"


def _same(ours: Port, theirs: Port) -> bool:
    if theirs.chamfer_deg is not None and (
        ours.chamfer_deg is None or abs(ours.chamfer_deg - theirs.chamfer_deg) > SAME_DEG
    ):
        return False
    if ours.ring is None or theirs.ring is None:
        return ours.ring is theirs.ring
    return all(abs(one - other) <= AS_PRINTED_MM for one, other in zip(ours.ring[2:6], theirs.ring[2:6], strict=True))


def _ring(row: PortRow, table: OwnPorts, title: str) -> RingSize | None:
    if row.ring_key:
        return by_key(row.ring_key)
    if row.ring_mm is None:
        return None
    inner, inner_tol, width, width_tol = row.ring_mm
    return RingSize(
        Series.OWN,
        f"{table.title} {inner:g}x{width:g}",
        inner,
        inner_tol,
        width,
        width_tol,
        cited_by(table.title, table.source),
        Standing.SHOP,
        f"ring of {title}",
    )


def _chamfer(row: PortRow, title: str, cited: str) -> Because | None:
    if row.chamfer_deg is None:
        return None
    return Because(f"{title}: chamfer {row.chamfer_deg:g}° from the axis.", cited, Standing.SHOP)


@cache
def _usual_seat(seal: PortSeal) -> str:
    """Where the ring of such a joint sits, as our tables say it."""
    return next((one.ring_sits for one in ports() if one.seal is seal and one.ring_sits), "")


def _standards_called(name: str) -> frozenset[str]:
    """The standards of ours that go by this name: `SAE J1926-1`, `j1926-1`, `DIN 2353`."""
    return _standards().get(bare(name), frozenset())


@cache
def _standards() -> dict[str, frozenset[str]]:
    found: dict[str, set[str]] = {}
    for standard in dict.fromkeys(one.standard for one in ports()):
        for name in names_of(standard):
            found.setdefault(name, set()).add(standard)
    return {name: frozenset(some) for name, some in found.items()}
