"""Which joint a threaded port or plug belongs to, and the ring it takes: by its thread, or by the tube it is for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, Final, Literal

import catalog
import tui
from catalog import orings, seals
from tui.answers.advice import ADVICE, cautions
from tui.answers.answer import Answer, said
from tui.answers.chances import percent
from tui.answers.reasons import Reason, Standing, reasons_of, why_lines
from tui.answers.sizes import MM_PER_INCH, Size, size_of
from tui.answers.threads import ThreadReadings, reading_figures
from tui.answers.washers import Washer, washer_of, washers_line
from tui.commands.output import table

if TYPE_CHECKING:
    from catalog.fasteners.thread import Measured
    from catalog.orings import joints
    from catalog.orings.port import PortAnswer as Found
    from catalog.orings.port import PortMatch

Look = Literal["chamfer", "face", "cone", "washer", "thread"]
"""What is seen of a seal."""
Seal = Literal[
    "chamfer", "face ring", "profile ring", "retained ring", "24° cone", "24° cone with O-ring", "37° cone",
    "45° cone", "inverted flare", "60° cone", "bonded washer", "flat washer", "banjo", "metal edge", "thread",
]  # fmt: skip
"""A kind of seal."""
LISTED: Final = 24
LIKELY: Final = 0.05
SAY_IT: Final = "Say it with --seal chamfer, face, cone, washer or thread."
SEVERAL: Final = "several joints"
HEADER: Final = ("joint", "thread", "tube", "ring", "ID × width mm", "in", "row")


@dataclass(frozen=True)
class Joint:
    """A joint of one thread, lengths in mm. `designation`: its thread's name in `kitwright thread`.

    `plug`: what goes into it. `tube`: the tube it is for, inches as a fraction, or mm and series. `seen`: what of its
    seal is seen. `ring_sits`: where. `washers`: those it takes, the usual one first.
    """

    standard: str
    thread: str
    designation: str
    plug: str
    tube: str | None
    pitch_mm: float
    threads_per_inch: float | None
    seal: Seal
    seen: tuple[Look, ...]
    ring: Size | None
    ring_sits: str | None
    chamfer_deg: float | None
    chamfer_source: str | None
    chamfer_standing: Standing | None
    washers: tuple[Washer, ...]
    source: str
    standing: Standing
    note: str

    @property
    def title(self) -> str:
        """`SAE J1926-1 7/16-20`."""
        return f"{self.standard}, {self.thread}" if "," in self.standard else f"{self.standard} {self.thread}"

    @property
    def seal_words(self) -> str:
        """How it seals, as a person reads it after "sealed by"."""
        return orings.joints.PortSeal(self.seal).words

    @property
    def ring_words(self) -> str:
        """Its ring with its size, or why there is none."""
        if self.ring is None:
            return "a ring that the tables do not hold" if self.ring_sits else "no O-ring"
        return f"ring {self.ring.name} ({self.ring.id_mm:.2f} × {self.ring.cross_section_mm:.2f} mm)"

    @property
    def look(self) -> str:
        """What is seen of the seal."""
        return " or ".join(self.seen)

    @property
    def look_and_kind(self) -> str:
        """What is seen of the seal, and its kind where that says more: `washer: bonded washer`."""
        return self.look if self.seal == self.look else f"{self.look}: {self.seal}"

    @property
    def row(self) -> tuple[str, ...]:
        """It as a row of a table."""
        ring = self.ring
        return (
            self.standard,
            self.thread,
            self.tube or "",
            "none" if ring is None else ring.name,
            "" if ring is None else f"{ring.id_mm:.2f} × {ring.cross_section_mm:.2f}",
            "" if ring is None else f"{ring.id_mm / MM_PER_INCH:.3f} × {ring.cross_section_mm / MM_PER_INCH:.3f}",
            catalog.standing.Standing(self.standing).word,
        )

    @property
    def rule(self) -> Reason:
        """All there is to know of it, with its source."""
        parts = [f"{self.ring_words}, sealed by {self.seal_words}"]
        parts += [f"tube {self.tube}"] if self.tube else []
        parts += [f"the ring sits {self.ring_sits}"] if self.ring_sits else []
        parts.append(f"goes with: {self.plug}")
        parts += [self.note] if self.note else []
        source = catalog.standing.Standing(self.standing).words if self.source == "memory" else self.source
        return Reason(f"{'; '.join(parts)}.", source, self.standing)


def joint_figures(port: joints.Port) -> dict[str, Any]:
    """A joint of the catalog by the names that answers have for it."""
    kinds = {"bonded washer": (seals.washers.WasherKind.BONDED,), "flat washer": (seals.washers.WasherKind.FLAT,)}
    taken = kinds.get(port.seal.value, tuple(seals.washers.WasherKind))
    washers = seals.washers.washers_for(port.screw) if port.seal.takes_washer else ()
    return {
        "standard": port.standard,
        "thread": port.thread,
        "designation": port.screw.designation,
        "plug": port.plug,
        "tube": port.tube or None,
        "pitch_mm": round(port.screw.pitch_mm, 4),
        "threads_per_inch": port.screw.threads_per_inch,
        "seal": port.seal.value,
        "seen": tuple(one.value for one in port.seal.seen),
        "ring": None if port.ring is None else size_of(port.ring),
        "ring_sits": port.ring_sits or None,
        "chamfer_deg": port.chamfer_deg,
        "chamfer_source": None if port.chamfer is None else port.chamfer.source,
        "chamfer_standing": None if port.chamfer is None else port.chamfer.standing.value,
        "washers": tuple(washer_of(one) for one in washers if one.kind in taken),
        "source": port.source,
        "standing": port.standing.value,
        "note": port.note,
    }


@dataclass(frozen=True)
class PortReadings(ThreadReadings):
    """What was measured of a port's or plug's thread, and how it seals as far as somebody looked."""

    seal: Look | Seal | None


@dataclass(frozen=True)
class ThreadChance:
    """A thread that it can be, as `kitwright thread` says it."""

    designation: str
    probability: float


@dataclass(frozen=True)
class Match(Joint):
    """A joint that it can be. Without a look at the seal they stand in the order of their threads."""

    probability: float
    thread_probability: float
    agrees_with_seal: bool


@dataclass(frozen=True)
class PortAnswer(Answer):
    """The joints that a measured thread can be, likeliest first.

    `question`: the first one, how it seals. `settled`: somebody looked and one joint is nearly certain.
    `first_probability`: of the likeliest joint, over all the tubes it is made for. `other_probability`: a thread that
    stands in no joint of the tables. `checks`: what settles the doubt, the most telling first.
    """

    SCHEMA: ClassVar[str] = "kitwright.port/2"

    question: str
    readings: PortReadings
    settled: bool
    threads: tuple[ThreadChance, ...]
    threads_none_probability: float
    ports: tuple[Match, ...]
    first_probability: float
    other_probability: float
    none_probability: float
    ring: Size | None
    ring_probability: float
    ring_certain: bool
    checks: tuple[str, ...]
    text: str
    because: tuple[Reason, ...]
    caution: str
    unit: str = said("mm")
    sentences: tuple[str, ...] = said(())

    @property
    def found(self) -> bool:
        """Whether some thread of the tables stands in some joint of them."""
        return bool(self.ports) and self.threads_none_probability <= 0.5

    @property
    def seal(self) -> Look | Seal | None:
        """How it seals, as far as somebody looked."""
        return self.readings.seal

    @property
    def sure(self) -> bool:
        """Whether the joint and its ring, if it has one, are nearly certain."""
        first = self.ports[0] if self.ports else None
        return self.settled and first is not None and (first.ring is None or self.ring_certain)

    @property
    def washers(self) -> dict[str, tuple[Washer, ...]]:
        """The washers of the likely joints, by the plug's thread: soft metal first, the usual one of a kind first."""
        found: dict[str, list[Washer]] = {}
        for one in self.ports:
            if one.probability >= LIKELY and one.washers:
                known = found.setdefault(one.designation, [])
                known += [washer for washer in one.washers if washer not in known]
        return {name: tuple(sorted(some, key=lambda washer: washer.kind != "flat")) for name, some in found.items()}

    def words(self) -> list[str]:
        """The answer, the drawings of the seals until one is said, the joints, then why."""
        lines = [self.text]
        if self.seal is None and self.ports:
            lines += ["", *tui.seal_sections.sections(80), SAY_IT]
        lines += self._table() if self.ports else []
        washers = [washers_line(name, found) for name, found in self.washers.items()]
        lines += ["", *washers] if washers else []
        lines += ["", self.readings.said(self.unit, ("port", "plug")), *why_lines(self.because)]
        return [*lines, *cautions("relieve", "no-hand"), self.caution]

    def _table(self) -> list[str]:
        listed, blind = self.ports[:LISTED], self.seal is None
        rows = [
            (
                percent(one.thread_probability if blind else one.probability),
                one.look_and_kind if blind else one.seal,
                *one.row,
            )
            for one in listed
        ]
        lines = ["", *table(("chance", "if you see" if blind else "sealed by", *HEADER), rows, right=(0,))]
        # The likeliest joint's note is told with the answer.
        noted = [one for one in (listed if blind else listed[1:]) if one.ring is not None and one.note]
        lines += dict.fromkeys(f"Note on {one.title}: {one.note}." for one in noted)
        if blind:
            return [*lines, "The chance is for the thread; only the seal shows which of its joints it is."]
        if not any(one.agrees_with_seal for one in listed):
            lines.append(f"None of them is sealed by {self.seal}; look at the port's mouth again.")
        return lines


@dataclass(frozen=True)
class TubePorts(Answer):
    """The joints that are made for a tube of this outside diameter, mm; `also`: other tubes that may measure so."""

    SCHEMA: ClassVar[str] = "kitwright.port-tube/2"

    question: str
    tube_mm: float
    also: tuple[str, ...]
    seal: Look | Seal | None
    ports: tuple[Joint, ...]
    text: str
    because: tuple[Reason, ...]
    caution: str
    sentences: tuple[str, ...] = said(())

    @property
    def found(self) -> bool:
        """Whether there is any."""
        return bool(self.ports)

    @property
    def one(self) -> bool:
        """Whether they are one joint, told once for each of the tube's series."""
        return len({(port.title, port.seal) for port in self.ports}) == 1

    def words(self) -> list[str]:
        """The answer, the drawings of the seals until one is said, the joints, then why."""
        lines = [self.text]
        if self.ports and self.seal is None:
            lines += ["", *tui.seal_sections.sections(80), SAY_IT]
        if self.ports:
            rows = [(one.look_and_kind, *one.row) for one in self.ports]
            lines += ["", *table(("if you see", *HEADER), rows)]
        if self.seal is not None:
            lines += dict.fromkeys(f"Note: {one.note}." for one in self.ports if one.note)
        return [*lines, "", *why_lines(self.because), self.caution]


# From the catalog's records


def port_answer(measured: Measured, found: Found, unit: str) -> PortAnswer:
    """The joints of a measured thread as an answer."""
    identification = found.identification
    return PortAnswer(
        question=orings.joints.QUESTION,
        readings=PortReadings(**reading_figures(measured), **_seal(found)),
        settled=found.settled,
        threads=tuple(
            ThreadChance(one.thread.designation, round(one.probability, 6)) for one in identification.candidates
        ),
        threads_none_probability=round(identification.none_probability, 6),
        ports=tuple(map(_match, found.candidates)),
        first_probability=round(found.first_probability, 6),
        other_probability=round(found.other_probability, 6),
        none_probability=round(found.none_probability, 6),
        ring=None if found.ring is None else size_of(found.ring),
        ring_probability=round(found.ring_probability, 6),
        ring_certain=found.ring_certain,
        checks=found.checks,
        text=found.text,
        because=reasons_of(found.because),
        caution=ADVICE,
        unit=unit,
        sentences=found.sentences,
    )


def _seal(found: Found) -> dict[str, Any]:
    return {"seal": None if found.seal is None else found.seal.value}


def _match(match: PortMatch) -> Match:
    return Match(
        **joint_figures(match.port),
        probability=round(match.probability, 6),
        thread_probability=round(match.thread_probability, 6),
        agrees_with_seal=match.agrees,
    )


def tube_ports(
    size: str,
    mm: float,
    every: Sequence[joints.Port],
    found: Sequence[joints.Port],
    seal: Look | Seal | None,
    also: tuple[str, ...],
) -> TubePorts:
    """The joints of a tube as an answer. `size`: the tube as it was typed, `every`: whatever their seal; `also`:
    other tubes that a caliper might read so.
    """
    ports = tuple(Joint(**joint_figures(port)) for port in found)
    told = _told(every, ports, seal)
    if also:
        told = (*told, f"If it was measured, it may also be the {' or '.join(also)} tube.")
    named = f"Tube {size} ({mm:.2f} mm = {mm / MM_PER_INCH:.4g} in)"
    # A question stands by itself; what is found follows the tube's size.
    parted = ". " if found and seal is None else ": "
    rules = [rule for port in found for rule in (port.because, *((port.chamfer,) if port.chamfer else ()))]
    return TubePorts(
        question=orings.joints.QUESTION,
        tube_mm=round(mm, 4),
        also=also,
        seal=seal,
        ports=ports,
        text=f"{named}{parted}{' '.join(told)}",
        because=reasons_of(rules),
        caution=ADVICE,
        sentences=told,
    )


def _told(every: Sequence[joints.Port], ports: Sequence[Joint], seal: Look | Seal | None) -> tuple[str, ...]:
    if not every:
        return ("no joint of the tables is for this tube.", "Measure its outside, where it is round.")
    if not ports:
        return ("no joint of the tables for this tube looks like that.", "Look at the seal again.")
    if seal is None:
        return (orings.joints.QUESTION, orings.port.LOOK_FIRST)
    return (f"{'; '.join(dict.fromkeys(f'{port.title}, {port.ring_words}' for port in ports))}.",)
