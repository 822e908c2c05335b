"""The joints that share threads: ports, bosses and fittings, how each seals, and which ring it takes, if any.

One thread stands in many joints: 9/16-18 is a boss whose O-ring sits in the port's chamfer, a face seal whose O-ring
sits in the fitting's own end, and a 37° flare without a ring. What is seen of the seal tells them apart; the thread
never does.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping, Sequence
from enum import StrEnum
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Final, NamedTuple

from catalog.because import Because
from catalog.fasteners.sizes import Thread, thread_named
from catalog.orings.sizes import RingSize, Series, by_key
from catalog.publications import named
from catalog.standing import Standing

TABLES: Final = Path(__file__).parent.parent / "data" / "ports"


class Seen(StrEnum):
    """What a person sees of the seal: the first question about any port or plug."""

    CHAMFER = "chamfer"
    FACE = "face"
    CONE = "cone"
    WASHER = "washer"
    THREAD = "thread"

    @property
    def words(self) -> str:
        """As it is asked."""
        return _SEEN_WORDS[self]


_SEEN_WORDS: Final = {
    Seen.CHAMFER: "a chamfer with a ring",
    Seen.FACE: "a flat face with a ring in it",
    Seen.CONE: "a cone",
    Seen.WASHER: "a washer",
    Seen.THREAD: "nothing but the thread",
}
QUESTION: Final = (
    "How does it seal: a chamfer with a ring, a flat face with a ring in it, a cone, a washer, or nothing but the "
    "thread?"
)


class PortSeal(StrEnum):
    """How a joint seals."""

    CHAMFER = "chamfer"
    FACE_RING = "face ring"
    PROFILE_RING = "profile ring"
    RETAINED_RING = "retained ring"
    CONE_24 = "24° cone"
    CONE_24_RING = "24° cone with O-ring"
    CONE_37 = "37° cone"
    CONE_45 = "45° cone"
    INVERTED_FLARE = "inverted flare"
    CONE_60 = "60° cone"
    BONDED_WASHER = "bonded washer"
    FLAT_WASHER = "flat washer"
    BANJO = "banjo"
    METAL_EDGE = "metal edge"
    THREAD = "thread"

    @property
    def words(self) -> str:
        """As a person reads it, after "sealed by"."""
        return _SEAL_WORDS[self]

    @property
    def typed(self) -> str:
        """As it is typed: `cone-24`."""
        return self.name.lower().replace("_", "-")

    @property
    def seen(self) -> tuple[Seen, ...]:
        """What of it is seen; two where people see it differently."""
        return _SEEN[self]

    @property
    def takes_washer(self) -> bool:
        """Whether a washer belongs into it."""
        return self in (PortSeal.BONDED_WASHER, PortSeal.FLAT_WASHER, PortSeal.BANJO)


_SEAL_WORDS: Final = {
    PortSeal.CHAMFER: "an O-ring in the port's chamfer",
    PortSeal.FACE_RING: "an O-ring in the fitting's flat end face",
    PortSeal.PROFILE_RING: "a profile ring under the plug's flange",
    PortSeal.RETAINED_RING: "an O-ring in a loose retaining ring under the flange",
    PortSeal.CONE_24: "a cutting ring in a 24° cone",
    PortSeal.CONE_24_RING: "an O-ring on the nose in a 24° cone",
    PortSeal.CONE_37: "a 37° flare, metal on metal",
    PortSeal.CONE_45: "a 45° flare, metal on metal",
    PortSeal.INVERTED_FLARE: "an inverted flare, metal on metal",
    PortSeal.CONE_60: "a 60° cone",
    PortSeal.BONDED_WASHER: "a bonded washer on a flat face",
    PortSeal.FLAT_WASHER: "a soft metal washer on a flat face",
    PortSeal.BANJO: "two washers, one each side of the banjo",
    PortSeal.METAL_EDGE: "a metal edge under the flange",
    PortSeal.THREAD: "the taper thread itself, with sealant",
}
_SEEN: Final = {
    PortSeal.CHAMFER: (Seen.CHAMFER,),
    PortSeal.FACE_RING: (Seen.FACE,),
    PortSeal.PROFILE_RING: (Seen.FACE,),
    PortSeal.RETAINED_RING: (Seen.WASHER, Seen.FACE),
    PortSeal.CONE_24: (Seen.CONE,),
    PortSeal.CONE_24_RING: (Seen.CONE,),
    PortSeal.CONE_37: (Seen.CONE,),
    PortSeal.CONE_45: (Seen.CONE,),
    PortSeal.INVERTED_FLARE: (Seen.CONE,),
    PortSeal.CONE_60: (Seen.CONE,),
    PortSeal.BONDED_WASHER: (Seen.WASHER,),
    PortSeal.FLAT_WASHER: (Seen.WASHER,),
    PortSeal.BANJO: (Seen.WASHER,),
    PortSeal.METAL_EDGE: (Seen.WASHER, Seen.THREAD),
    PortSeal.THREAD: (Seen.THREAD,),
}


class Port(NamedTuple):
    """One joint of one thread. `plug`: what goes into it. `ring`: its O-ring, None where it has none or none is known.

    `ring_sits`: where, in words. `tube`: the tube it is for: an outside diameter in inches (`3/8`), or mm and series
    (`10 mm L`); empty where it is named by its thread alone. `chamfer_deg`: from the axis. `note`: the row's own.
    """

    standard: str
    thread: str
    screw: Thread
    plug: str
    seal: PortSeal
    ring: RingSize | None
    ring_sits: str
    tube: str
    chamfer: Because | None
    chamfer_deg: float | None
    source: str
    standing: Standing
    note: str

    @property
    def title(self) -> str:
        """`SAE J1926-1 7/16-20`."""
        return f"{self.standard}, {self.thread}" if "," in self.standard else f"{self.standard} {self.thread}"

    @property
    def pitch_label(self) -> str:
        """`20 threads per inch (1.270 mm)` or `1.5 mm pitch`."""
        screw = self.screw
        if screw.threads_per_inch is None:
            return f"{screw.pitch_mm:g} mm pitch"
        return f"{screw.threads_per_inch:g} threads per inch ({screw.pitch_mm:.3f} mm)"

    @property
    def tube_mm(self) -> float | None:
        """The tube's outside diameter, mm; None where no tube names this joint."""
        return tube_mm(self.tube) if self.tube else None

    @property
    def because(self) -> Because:
        """The row itself, as a rule."""
        takes = f"ring {self.ring.label}" if self.ring is not None else f"no O-ring{' known' if self.ring_sits else ''}"
        rule = f"{self.title}: sealed by {self.seal.words}; {takes}."
        return Because(rule, self.standing.words if self.source == "memory" else self.source, self.standing)


def ring_words(port: Port) -> str:
    """`ring AS568-904 (8.92 × 1.83 mm)`, or why there is none."""
    if port.ring is None:
        return "a ring that the tables do not hold" if port.ring_sits else "no O-ring"
    return f"ring {port.ring.label} ({port.ring.id_mm:.2f} × {port.ring.cross_section_mm:.2f} mm)"


def tube_mm(tube: str) -> float:
    """`3/8` and `1 1/4` are inches, `10 mm L` is mm."""
    if " mm" in tube:
        return float(tube.split(" mm")[0])
    inches = 0.0
    for part in tube.split():
        top, _, bottom = part.partition("/")
        inches += int(top) / int(bottom or "1")
    return inches * 25.4


def _rows(name: str) -> list[dict[str, str]]:
    with (TABLES / name).open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def _ring(row: Mapping[str, str], title: str) -> RingSize | None:
    if row["ring_key"]:
        return by_key(row["ring_key"])
    if not row["ring_id_mm"]:
        return None
    inner, width = float(row["ring_id_mm"]), float(row["ring_section_mm"])
    return RingSize(
        Series.STOCK,
        f"{inner:g}x{width:g}",
        inner,
        float(row["ring_id_tol_mm"]),
        width,
        float(row["ring_section_tol_mm"]),
        named(row["source"]),
        Standing(row["standing"]),
        f"ring of {title}",
    )


def _chamfer(row: Mapping[str, str], title: str) -> Because | None:
    if not row["chamfer_deg"]:
        return None
    rule = f"{title}: chamfer {row['chamfer_deg']}° from the axis."
    return Because(rule, named(row["chamfer_source"]), Standing(row["chamfer_standing"]))


@cache
def ports() -> tuple[Port, ...]:
    """Every joint of every thread, in the tables' order."""
    sizes: dict[str, list[dict[str, str]]] = {}
    for row in _rows("ports.csv"):
        sizes.setdefault(row["sizes"], []).append(row)
    found = []
    for joint in _rows("joints.csv"):
        for row in sizes[joint["sizes"]]:
            title = f"{joint['standard']} {row['thread']}"
            # A joint of which nobody has seen the standard is no better known than its weaker half.
            standing = max((Standing(joint["standing"]), Standing(row["standing"])), key=lambda one: one.trust)
            sources = dict.fromkeys(
                one for one in (row["source"], joint["source"]) if one and not one.startswith("boss and stud end")
            )
            told = [one for one in sources if one != "memory"] or ["memory"]
            source = named("; ".join(told))
            found.append(
                Port(
                    joint["standard"],
                    row["thread"],
                    thread_named(row["thread"]),
                    joint["plug"],
                    PortSeal(joint["seal"]),
                    _ring(row, title),
                    joint["ring_sits"],
                    row["tube"],
                    _chamfer(row, title),
                    float(row["chamfer_deg"]) if row["chamfer_deg"] else None,
                    source,
                    standing,
                    "; ".join(note for note in (row["note"], joint["note"]) if note),
                )
            )
    return tuple(found)


@cache
def joint_notes() -> frozenset[str]:
    """What is noted of whole joints, whatever their thread."""
    return frozenset(row["note"] for row in _rows("joints.csv"))


@cache
def by_thread() -> Mapping[str, tuple[Port, ...]]:
    """The joints of each thread of our tables, by the thread's designation."""
    return by_their_threads(ports())


def by_their_threads(rows: Iterable[Port]) -> Mapping[str, tuple[Port, ...]]:
    """These joints by their thread's designation."""
    found: dict[str, list[Port]] = {}
    for port in rows:
        found.setdefault(port.screw.designation, []).append(port)
    return MappingProxyType({name: tuple(some) for name, some in found.items()})


def takes_washer(thread: Thread) -> bool:
    """Whether a plug or banjo bolt of this thread, as the tables know it, sits on a washer."""
    return any(port.seal.takes_washer for port in by_thread().get(thread.designation, ()))


# A tube measured with a caliper, and the nominal size it stands for: our choice, less than half of any step between
# sizes.
TUBE_OFF_MM: Final = 0.2


TUBE_EXACT_MM: Final = 0.01


def ports_of_tube(outside_mm: float, among: Sequence[Port] | None = None) -> tuple[Port, ...]:
    """The joints made for a tube of this outside diameter, mm, in the tables' order; empty where no row says.

    A tube named exactly (3/8 in, 8 mm) is that tube; one that was measured is every tube within `TUBE_OFF_MM`.
    `among`: these joints, those of our tables where None.
    """
    every = ports() if among is None else among
    exact = tuple(port for port in every if _off(port, outside_mm) <= TUBE_EXACT_MM)
    return exact or tuple(port for port in every if _off(port, outside_mm) <= TUBE_OFF_MM)


def tubes_near(outside_mm: float, among: Sequence[Port] | None = None) -> tuple[str, ...]:
    """Other tubes that a caliper might read so, as they are named: `5/16 in` beside 8 mm."""
    every = ports() if among is None else among
    taken = {port.tube for port in ports_of_tube(outside_mm, every)}
    near = [port.tube for port in every if _off(port, outside_mm) <= TUBE_OFF_MM and port.tube not in taken]
    return tuple(dict.fromkeys(tube.split(" mm")[0] + (" mm" if " mm" in tube else " in") for tube in near))


def _off(port: Port, outside_mm: float) -> float:
    return float("inf") if port.tube_mm is None else abs(port.tube_mm - outside_mm)
