"""What every table of ports must obey, ours and a shop's own, so that a mistyped row cannot hide.

The rules are the trade's own: an O-ring only where one seals; a ring that goes over its plug's neck and not over its
thread; a tube that is smaller than its nut's thread; within one joint a larger thread never has the smaller tube, ring
or chamfer; no joint twice. The bounds of a ring's own figures are those of `size_rules`; that of the chamfer, wide of
12° and 15°, is this project's, no source. The tests hold our own tables to the same rules.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from typing import Final

from catalog.orings import size_rules
from catalog.orings.joints import Port, PortSeal
from catalog.orings.size_rules import Fault, first_faults, folded

RINGED: Final = (PortSeal.CHAMFER, PortSeal.FACE_RING, PortSeal.CONE_24_RING)
"""The seals that are an O-ring. A retained ring may say its own; the others have none."""
NECK: Final = 0.75
"""The ring of a port sits on the plug's neck, below the thread: its ID is more than this share of the thread's diameter
(least of ours: ISO 6149-1 M8x1, 0.76), and less than all of it."""
CHAMFER_DEG: Final = (5.0, 45.0)


def faults(rows: Sequence[Port]) -> tuple[Fault, ...]:
    """The rows that break a rule, in order, each with the first rule it breaks."""
    return first_faults(rows, RULES)


def implausible(rows: Sequence[Port]) -> list[Fault]:
    """Rows with a figure that no port has, with a ring where none seals, or without one where one does."""
    return [Fault(at, why) for at, row in enumerate(rows) if (why := _implausible(row))]


def _implausible(row: Port) -> str:
    ring, major = row.ring, row.screw.diameter_mm
    if row.chamfer_deg is not None:
        if row.seal is not PortSeal.CHAMFER:
            return f"a chamfer is of a port whose O-ring sits in it; this one is sealed by {row.seal.words}."
        if not CHAMFER_DEG[0] <= row.chamfer_deg <= CHAMFER_DEG[1]:
            return (
                f"chamfer {row.chamfer_deg:g}°: ports have {CHAMFER_DEG[0]:g} to {CHAMFER_DEG[1]:g}°, measured from "
                "the axis (12 or 15 in most)."
            )
    if row.tube and row.tube_mm is not None and not row.tube_mm < major:
        return f"tube {row.tube} is no smaller than the thread, {major:.4g} mm over its crests; is its unit right?"
    if ring is None:
        return ""
    if row.seal not in (*RINGED, PortSeal.RETAINED_RING):
        return f"has a ring, but is sealed by {row.seal.words}. Leave the ring empty, or type another seal."
    if wrong := size_rules.implausible([ring]):
        return f"ring: {wrong[0].why}"
    if row.seal is PortSeal.CHAMFER and not NECK * major < ring.id_mm < major:
        return (
            f"ring ID {ring.id_mm:.4g} mm on a thread of {major:.4g} mm: it sits on the plug's neck, so it has more "
            f"than {NECK * major:.3g} mm and less than {major:.4g}. Type this thread's ring."
        )
    if row.seal is not PortSeal.CHAMFER and not ring.id_mm < major:
        return f"ring ID {ring.id_mm:.4g} mm is no smaller than the thread, {major:.4g} mm over its crests."
    return ""


def without_ring(rows: Sequence[Port]) -> list[Fault]:
    """Rows that an O-ring seals and that do not say which, nor that it is not known."""
    return [
        Fault(at, f"is sealed by {row.seal.words}, but no ring is said. Type its name, or its ID and width.")
        for at, row in enumerate(rows)
        if row.seal in RINGED and row.ring is None and "not in the tables" not in row.note
    ]


def doubles(rows: Sequence[Port]) -> list[Fault]:
    """Rows of a joint that stands there already."""
    seen: set[tuple[str, ...]] = set()
    found = []
    for at, row in enumerate(rows):
        key = (folded(row.standard), row.screw.designation, row.seal, folded(row.tube), folded(row.plug))
        if key in seen:
            found.append(Fault(at, "the joint stands there twice. Where two are for two tubes, say the tube."))
        seen.add(key)
    return found


def uneven_widths(rows: Sequence[Port]) -> list[Fault]:
    """Rows whose ring's width has another tolerance than the first ring of this width in the same joint."""
    found = []
    for run in _runs(rows):
        rings = [(at, ring) for at, row in run if (ring := row.ring) is not None]
        for place, why in size_rules.uneven_widths([ring for _, ring in rings]):
            found.append(Fault(rings[place][0], f"ring: {why}"))
    return found


def unsteady_runs(rows: Sequence[Port]) -> list[Fault]:
    """Rows of a joint whose tube, ring or chamfer is smaller than that of a smaller thread, or its ring as large."""
    found = []
    for run in _runs(rows):
        for (_, before), (at, row) in pairwise(run):
            if row.screw.diameter_mm - before.screw.diameter_mm <= size_rules.SAME_MM:
                continue
            if row.ring is not None and before.ring is not None and row.ring.id_mm < before.ring.id_mm:
                why = (
                    f"ring ID {row.ring.id_mm:.4g} mm, but the smaller thread {before.thread} has "
                    f"{before.ring.id_mm:.4g} mm."
                )
            elif (row.tube_mm or 0.0) < (before.tube_mm or 0.0) and row.tube:
                why = f"tube {row.tube}, but the smaller thread {before.thread} has {before.tube}."
            elif (row.chamfer_deg or 90.0) < (before.chamfer_deg or 0.0):
                why = (
                    f"chamfer {row.chamfer_deg:g}°, but the smaller thread {before.thread} has {before.chamfer_deg:g}°."
                )
            else:
                continue
            found.append(Fault(at, why))
    return found


def _runs(rows: Sequence[Port]) -> Iterator[list[tuple[int, Port]]]:
    """The rows of one joint, one kind of thread and one series of tubes, the smallest thread first."""
    runs: dict[tuple[str, ...], list[tuple[int, Port]]] = {}
    for at, row in enumerate(rows):
        series = row.tube.partition(" mm")[2].strip()
        key = (folded(row.standard), row.seal, folded(row.plug), row.screw.system, series)
        runs.setdefault(key, []).append((at, row))
    for run in runs.values():
        yield sorted(run, key=lambda one: one[1].screw.diameter_mm)


RULES: Final[tuple[Callable[[Sequence[Port]], list[Fault]], ...]] = (
    implausible,
    without_ring,
    doubles,
    uneven_widths,
    unsteady_runs,
)
"""Every rule, the plainest first."""
