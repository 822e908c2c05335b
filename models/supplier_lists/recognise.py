"""What the free text of a row says: a ring with its rubber, a thread, a volume. Each with a confidence, never silently.

The confidences are our judgement of how often such a text means what it seems to (common practice, no source): they
rank readings and decide nothing. A person confirms a reading before anything is bought on it.
"""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from models.supplier_lists.read_ring import RingReading, read_ring
from models.supplier_lists.read_thread import read_thread
from models.supplier_lists.read_volume import read_volume

LONGEST: Final = 400
PPM: Final = 1_000_000
_WORTH_A_LOOK: Final = re.compile(
    r"O[\s-]?RING|\d\s*(?:MM)?\s*[X×*]\s*[\d.]|568|4518|JIS|\bM\d|\d/\d|\d-\d|\bNPT|BSP"
    r"|\d\s*(?:L|LTR|LIT\w*|ML|CC|GAL\w*|QTS?|QUARTS?|PTS?|PINTS?|FL)\b"
)


class Reading(NamedTuple):
    """One thing read: what it is about, what was understood, how sure (0 to 1), and why."""

    about: str
    text: str
    confidence: float
    why: str


class Recognised(NamedTuple):
    """All that was read. Lengths in units of 100 nm, the volume in microlitres; None and empty: nothing read."""

    size_key: str | None = None
    ring_id_100nm: int | None = None
    ring_width_100nm: int | None = None
    rubber: str = ""
    hardness_shore_a: int | None = None
    thread: str = ""
    volume_ul: int | None = None
    readings: tuple[Reading, ...] = ()

    @property
    def confidence_ppm(self) -> int | None:
        """How sure the least sure reading is, in millionths; None when there is none."""
        return min((round(one.confidence * PPM) for one in self.readings), default=None)


NOTHING: Final = Recognised()


def recognise(text: str, mark: str | None = None) -> Recognised:
    """Read a row's free text. `mark` is the decimal mark of its list, where known: it settles `24,990`."""
    said = text[:LONGEST].upper()
    if _WORTH_A_LOOK.search(said) is None:
        return NOTHING
    ring, thread, volume = read_ring(said, mark), read_thread(said), read_volume(said, mark)
    if ring is None and thread is None and volume is None:
        return NOTHING
    readings: list[Reading] = []
    found = NOTHING
    if ring is not None:
        readings += _ring(ring)
        found = found._replace(
            size_key=ring.size_key,
            ring_id_100nm=ring.id_100nm,
            ring_width_100nm=ring.width_100nm,
            rubber=ring.rubber,
            hardness_shore_a=ring.hardness_shore_a,
        )
    if thread is not None:
        readings.append(Reading("thread", *thread))
        found = found._replace(thread=thread.designation)
    if volume is not None:
        readings.append(Reading("volume", f"{volume.volume_ul / 1_000_000:.3g} L", volume.confidence, volume.why))
        found = found._replace(volume_ul=volume.volume_ul)
    return found._replace(readings=tuple(readings))


def _ring(ring: RingReading) -> list[Reading]:
    readings = [Reading("ring", ring.label, ring.confidence, ring.why)]
    if ring.rubber:
        hard = f" {ring.hardness_shore_a}" if ring.hardness_shore_a else ""
        readings.append(Reading("rubber", ring.rubber + hard, ring.rubber_confidence, ring.rubber_why))
    return readings
