"""What the free text of a row says: a ring with its rubber, a thread, a volume. Each with a confidence, never silently.

The confidences are our judgement of how often such a text means what it seems to (common practice, no source): they
rank readings and decide nothing. A person confirms a reading before anything is bought on it.
"""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from models.supplier_lists.read_ring import (
    RingReading,
    is_flat,
    is_lobed,
    is_ring,
    may_name_a_ring,
    names_both,
    read_ring,
)
from models.supplier_lists.read_thread import ThreadReading, may_name_a_thread, read_thread
from models.supplier_lists.read_volume import VolumeReading, may_name_a_volume, read_volume

LONGEST: Final = 400
PPM: Final = 1_000_000
# Cheap looks that spare most texts the dear ones: a million rows are read in one import.
_DIGIT: Final = re.compile(r"\d")
_TIMES: Final = re.compile(r"[\d\"MN]\s*[X×*]\s*[\d.,]")
_MEASURE: Final = re.compile(r"\d\s*-?(?:ML|[LCGQPF])")


class Reading(NamedTuple):
    """One thing read: what it is about, what was understood, how sure (0 to 1), and why."""

    about: str
    text: str
    confidence: float
    why: str


class Recognised(NamedTuple):
    """All that was read in one text. Lengths in units of 100 nm, volumes in microlitres; None: nothing read."""

    ring: RingReading | None = None
    thread: ThreadReading | None = None
    volume: VolumeReading | None = None

    @property
    def readings(self) -> tuple[Reading, ...]:
        """Each thing read, in words."""
        found = [] if self.ring is None else _ring(self.ring)
        if self.thread is not None:
            found.append(Reading("thread", *self.thread))
        if self.volume is not None:
            litres = f"{self.volume.volume_ul / 1_000_000:.3g} L"
            found.append(Reading("volume", litres, self.volume.confidence, self.volume.why))
        return tuple(found)

    @property
    def confidence_ppm(self) -> int | None:
        """How sure the least sure reading is, in millionths; None when there is none."""
        least = 2.0
        if self.ring is not None:
            least = min(self.ring.confidence, self.ring.rubber_confidence if self.ring.rubber else 1.0)
        if self.thread is not None:
            least = min(least, self.thread.confidence)
        if self.volume is not None:
            least = min(least, self.volume.confidence)
        return None if least > 1 else round(least * PPM)

    @property
    def ring_columns(self) -> tuple[str | None, int | None, int | None, str, int | None]:
        """Size key, ID, width, rubber and hardness, as a row keeps them."""
        ring = self.ring
        if ring is None:
            return (None, None, None, "", None)
        return (ring.size_key, ring.id_100nm, ring.width_100nm, ring.rubber, ring.hardness_shore_a)


NOTHING: Final = Recognised()


def recognise(name: str, number: str = "", mark: str | None = None) -> Recognised:
    """Read a row's free text. `mark` is the decimal mark of its list, where known: it settles `24,990`.

    A part number is a code: only where the name says O-ring and no more is a ring looked for in it.
    """
    said = name[:LONGEST].upper()
    says_ring = is_ring(said)
    if _DIGIT.search(said) is None and not says_ring:
        return NOTHING
    ring = thread = volume = None
    if is_lobed(said):
        says_ring = False
    elif is_flat(said) and not says_ring:
        pass
    elif says_ring or "568" in said or "JIS" in said or "4518" in said or _has_times(said) or names_both(said):
        ring = read_ring(said, mark, said_ring=says_ring)
    if ring is None and says_ring and number:
        ring = read_ring(f"O-RING {number[:LONGEST].upper()} {said}", mark, said_ring=True)
    if "/" in said or "M" in said or "UN" in said or "NPT" in said or "BSP" in said:
        thread = read_thread(said)
    if _MEASURE.search(said):
        volume = read_volume(said, mark)
    if ring is None and thread is None and volume is None:
        return NOTHING
    return Recognised(ring, thread, volume)


def may_say(said: str) -> bool:
    """Whether `recognise` could read anything in a text in capitals that differs from this one in its digits alone.

    Not asked about what is known by its figures, `568` and `4518`.
    """
    return may_name_a_ring(said) or may_name_a_thread(said) or may_name_a_volume(said)


def _has_times(said: str) -> bool:
    return ("X" in said or "×" in said or "*" in said) and _TIMES.search(said) is not None


def _ring(ring: RingReading) -> list[Reading]:
    readings = [Reading("ring", ring.label, ring.confidence, ring.why)]
    if ring.rubber:
        hard = f" {ring.hardness_shore_a}" if ring.hardness_shore_a else ""
        readings.append(Reading("rubber", ring.rubber + hard, ring.rubber_confidence, ring.rubber_why))
    return readings
