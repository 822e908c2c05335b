"""A threaded port or plug, measured, to the joints it can be, the ring each takes, and the look that tells them apart.

The thread is identified once, by `catalog.fasteners.thread`, and its probabilities are carried over: on the same
readings no port is surer than its thread. What is seen of the seal is weighed next, by how often people take one seal
for another. Without it
the joints of a thread are listed, and no ring is named as certain.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Final, NamedTuple

from catalog.because import Because
from catalog.chances import percent
from catalog.fasteners.sizes import System
from catalog.fasteners.thread import Identification, Measured, identify
from catalog.orings.joints import QUESTION, Port, PortSeal, Seen, by_thread, ports, ports_of_tube, ring_words
from catalog.orings.port_book import PortBook
from catalog.orings.sizes import RingSize
from catalog.standing import Standing

__all__ = ["QUESTION", "Port", "PortAnswer", "PortMatch", "PortSeal", "Seen", "ports", "ports_for", "ports_of_tube"]

# Our assumptions, no source: how often the seal is seen for what it is, of five answers and of all kinds of seal.
_SEEN_RIGHT: Final = 0.95
_KIND_RIGHT: Final = 0.9
_SAME_LOOK: Final = 0.07
CERTAIN: Final = 0.95
ALIVE: Final = 0.05
_LOOKS: Final = tuple(Seen)
_LISTED: Final = 0.005
_BARE: Final = {Seen.CHAMFER: 0.05, Seen.FACE: 0.05, Seen.CONE: 0.05, Seen.WASHER: 0.25, Seen.THREAD: 0.6}
_PRACTICE: Final = "common practice, no source"
_SEAL_RULE: Final = Because(
    "What is seen of the seal is right in 95 of 100 looks, a kind named outright in 90. The looks that a thread's "
    "joints have count alike, and the kinds of one look. A thread of no joint shows a ring or a cone in 5 of 100 each.",
    _PRACTICE,
    Standing.PRACTICE,
)
_ASK_RULE: Final = Because(
    "One thread stands in several joints with different rings or none: without a look at the seal no ring is certain.",
    _PRACTICE,
    Standing.PRACTICE,
)


class PortMatch(NamedTuple):
    """A joint that this may be: its probability, and its thread's as `thread` says it. `agrees`: with what was seen."""

    port: Port
    probability: float
    thread_probability: float
    agrees: bool


class PortAnswer(NamedTuple):
    """The thread as identified, and its joints, likeliest first.

    `other_probability`: a thread of the tables that stands in no joint of the tables. With the identification's
    `none_probability` weighed by what was seen (`none_probability` here) all sums to 1. `ring`: the ring that is
    likeliest, with its probability over all joints that take it; None where the likeliest joints have none, or nobody
    looked at the seal. `checks`: what settles the doubt, the most telling first. `sentences`: the answer for a
    person, the checks last.
    """

    identification: Identification
    seal: Seen | PortSeal | None
    candidates: tuple[PortMatch, ...]
    other_probability: float
    none_probability: float
    ring: RingSize | None
    ring_probability: float
    checks: tuple[str, ...]
    sentences: tuple[str, ...]
    because: tuple[Because, ...]

    @property
    def text(self) -> str:
        """The answer in a sentence or two, with what settles the doubt."""
        return " ".join(self.sentences)

    @property
    def settled(self) -> bool:
        """True when somebody looked at the seal and one joint is nearly certain, whatever its tube."""
        looked = self.seal is not None and bool(self.candidates) and self.candidates[0].agrees
        return looked and self.first_probability >= CERTAIN

    @property
    def first_probability(self) -> float:
        """Of the likeliest joint, over all the tubes it is made for."""
        return sum(one.probability for one in self.alike)

    @property
    def alike(self) -> tuple[PortMatch, ...]:
        """The likeliest joint, once for each tube."""
        if not self.candidates:
            return ()
        first = self.candidates[0].port
        return tuple(one for one in self.candidates if (one.port.title, one.port.seal) == (first.title, first.seal))

    @property
    def ring_certain(self) -> bool:
        """True when somebody looked at the seal and the ring is nearly certain."""
        return self.ring is not None and self.ring_probability >= CERTAIN


LOOK_FIRST: Final = "Until that is seen, no ring is certain."
OTHERWISE: Final = (
    "likeliest by its thread, but it is not sealed as you said. Look at the port's mouth again; until the two agree no "
    "ring is named."
)
"""Said in place of a ring where the thread and the seal that was seen do not go together."""


def look(seen: Seen | PortSeal, true: PortSeal) -> float:
    """How likely the seal is seen as `seen` where it is `true`."""
    if isinstance(seen, Seen):
        if seen in true.seen:
            return _SEEN_RIGHT / len(true.seen)
        return (1 - _SEEN_RIGHT) / (len(Seen) - len(true.seen))
    if seen is true:
        return _KIND_RIGHT
    alike = [kind for kind in PortSeal if kind is not true and set(kind.seen) & set(true.seen)]
    others = len(PortSeal) - 1 - len(alike)
    same_look = _SAME_LOOK if alike else 0.0
    return same_look / len(alike) if seen in alike else (1 - _KIND_RIGHT - same_look) / others


def _bare(seen: Seen | PortSeal) -> float:
    """How likely a thread that stands in no joint of the tables is seen so: a bolt has no ring and no cone."""
    if isinstance(seen, Seen):
        return _BARE[seen]
    return _BARE[seen.seen[0]] / sum(kind.seen[0] is seen.seen[0] for kind in PortSeal)


def ports_for(
    measured: Measured,
    seal: Seen | PortSeal | None = None,
    weights: Mapping[System, float] | None = None,
    own: PortBook | None = None,
) -> PortAnswer:
    """The joints that a measured thread may be, with probabilities, and what tells them apart.

    `own`: the joints there are, those of our tables where None.

    Raises ValueError in one sentence for readings that cannot be.
    """
    whole = identify(measured, weights, keep=10_000, least=0.0)
    blind = 1.0 if seal is None else 1 / (len(Seen) if isinstance(seal, Seen) else len(PortSeal))
    bare = 1.0 if seal is None else _bare(seal)
    joints_of = by_thread() if own is None else own.by_thread
    weighed: list[tuple[Port, float, float]] = []
    other = 0.0
    for candidate in whole.candidates:
        joints = joints_of.get(candidate.thread.designation, ())
        if not joints:
            other += candidate.probability * bare
            continue
        looks = Counter(kind.seen[0] for kind in {joint.seal for joint in joints})
        same = Counter(joint.seal for joint in joints)
        for joint in joints:
            share = 1 / len(looks) / looks[joint.seal.seen[0]] / same[joint.seal]
            told = 1.0 if seal is None else look(seal, joint.seal)
            weighed.append((joint, candidate.probability * share * told, candidate.probability))
    none = whole.none_probability * blind
    total = sum(weight for _, weight, _ in weighed) + other + none
    # Until somebody looked at the seal the joints stand in the order of their threads; after that in their own.
    # Ties keep the tables' order; how a row is known never counts.
    weighed.sort(key=lambda one: (-one[2], _LOOKS.index(one[0].seal.seen[0])) if seal is None else (-one[1], 0))
    found = tuple(
        PortMatch(port, weight / total, thread, seal is None or seal in (port.seal, *port.seal.seen))
        for port, weight, thread in weighed
        if weight / total >= _LISTED
    )
    identification = identify(measured, weights)
    unknown = seal is None or identification.none_probability > 0.5
    # A joint that is likeliest by its thread alone, against what was seen, names no ring.
    ring, ring_probability = (None, 0.0) if unknown or not (found and found[0].agrees) else _ring(found)
    checks = _checks(found, measured, seal, identification)
    answer = PortAnswer(
        identification, seal, found, other / total, none / total, ring, ring_probability, checks, (),
        _because(found, seal, identification),
    )  # fmt: skip
    return answer._replace(sentences=_sentences(answer))


def _ring(found: tuple[PortMatch, ...]) -> tuple[RingSize | None, float]:
    if not found or found[0].port.ring is None:
        return None, 0.0
    ring = found[0].port.ring
    same = sum(one.probability for one in found if one.port.ring is not None and one.port.ring.label == ring.label)
    return ring, same


def _names(matches: Iterable[PortMatch], most: int = 3) -> str:
    names = list(dict.fromkeys(match.port.title for match in matches))
    return " or ".join(names[:most]) + (" and others" if len(names) > most else "")


def _checks(
    found: tuple[PortMatch, ...], measured: Measured, seal: Seen | PortSeal | None, identification: Identification
) -> tuple[str, ...]:
    alive = [match for match in found if match.probability >= ALIVE]
    checks = []
    if seal is None and found:
        checks.append(QUESTION)
    if identification.settle:
        checks.append(identification.settle)
    checks += _gauge(alive or list(found[:1]), measured)
    if seal is not None:
        checks += _which_of_a_look(alive)
    return tuple(checks)


def _gauge(alive: list[PortMatch], measured: Measured) -> list[str]:
    """One thread left: still say what would unmask another of nearly its size."""
    threads = {match.port.screw.designation: match.port for match in alive}
    if len(threads) != 1:
        return []
    port = next(iter(threads.values()))
    if measured.pitch is None:
        return [f"Confirm with a thread-pitch gauge: {port.thread} has {port.pitch_label}."]
    if abs(measured.pitch.value_mm - port.screw.pitch_mm) > 0.005:
        return [f"Lay inch and metric pitch gauges on ten threads: {port.thread} has {port.pitch_label}."]
    return []


def _which_of_a_look(alive: list[PortMatch]) -> list[str]:
    """What tells apart the kinds of seal that look alike."""
    kinds = list(dict.fromkeys(match.port.seal for match in alive))
    cones = [kind for kind in kinds if Seen.CONE in kind.seen]
    checks = []
    if len({kind.value.split()[0] for kind in cones}) > 1:
        told = "; ".join(f"{kind.value}: {_names(one for one in alive if one.port.seal is kind)}" for kind in cones)
        checks.append(
            f"Lay a seat gauge on the cone (its angle is from the axis, but 24° and 60° are from side to side): {told}."
        )
    if PortSeal.CONE_24 in kinds and PortSeal.CONE_24_RING in kinds:
        checks.append("Look at the other half's nose: a groove with an O-ring, or a bare cutting ring.")
    if PortSeal.FACE_RING in kinds and PortSeal.PROFILE_RING in kinds:
        checks.append(
            "Where does the ring sit? In the fitting's end, beyond the thread: a face seal. Under the flange, "
            "behind the thread: a profile ring."
        )
    flat = [kind for kind in kinds if Seen.WASHER in kind.seen]
    if len(flat) > 1:
        told = "; ".join(kind.words for kind in flat)
        checks.append(f"Look under the flange, which is it: {told}.")
    cones_60 = {match.port.standard for match in alive if match.port.seal is PortSeal.CONE_60}
    if len(cones_60) > 1:
        checks.append("Two standards share this 60° cone; look which half carries the nose, and match the old part.")
    if any(match.port.standard == "ISO 6149-1" for match in alive) and len(alive) > 1:
        checks.append(
            "ISO 6149-1 ports are marked by a ridge around the spot face, or the letter M or the word metric."
        )
    return checks


def _sentences(answer: PortAnswer) -> tuple[str, ...]:
    threads = answer.identification.candidates
    if not threads or answer.identification.none_probability > 0.5:
        return (
            "No port in the tables has this thread. Measure the crests again and lay a thread-pitch gauge on; "
            "if it stands, the port is not one of these standards.",
        )
    if not answer.candidates:
        bare = f"{threads[0].thread.designation} ({percent(threads[0].probability)}) stands in no joint of the tables."
        return (bare, *answer.checks)
    alive = [one for one in threads if one.probability >= ALIVE]
    named = " or ".join(f"{one.thread.designation} ({percent(one.probability)})" for one in alive)
    if answer.seal is None:
        return (f"Thread {named}.", QUESTION, LOOK_FIRST)
    first = answer.candidates[0]
    sure = percent(answer.first_probability)
    if not first.agrees:
        return (f"{first.port.title} ({sure}): {OTHERWISE}", *answer.checks)
    parts = [f"{first.port.title} ({sure}): {ring_words(first.port)}, sealed by {first.port.seal.words}."]
    tubes = [one.port.tube for one in answer.alike if one.port.tube]
    if len(tubes) > 1:
        rings = {ring_words(one.port) for one in answer.alike}
        told = ""
        if first.port.ring is not None:
            told = "; the ring is the same" if len(rings) == 1 else "; each has its own ring: measure the tube"
        parts.append(f"For tube {' or '.join(tubes)}{told}.")
    if first.port.ring is not None and not answer.ring_certain:
        parts.append(f"The ring is not certain ({percent(answer.ring_probability)}); settle it first.")
    if first.port.note:
        parts.append(f"Note: {first.port.note}.")
    return (*parts, *answer.checks)


def _because(
    found: tuple[PortMatch, ...], seal: Seen | PortSeal | None, identification: Identification
) -> tuple[Because, ...]:
    if not found:
        return identification.because
    if seal is None:
        return (_ASK_RULE, *identification.because)
    first = found[0].port
    chamfer = () if first.chamfer is None else (first.chamfer,)
    return (first.because, *chamfer, _SEAL_RULE, *identification.because)
