"""Which rings would seal in a groove, and what may stand in for a ring that is known."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from typing import NamedTuple

from catalog.orings.figures import Service, nominal_depth
from catalog.orings.gland import WINDOW, Sealing, assess, may_pass
from catalog.orings.groove import Groove, GrooveKind
from catalog.orings.limits import SMALL_SECTION, compression_rule, squeeze_rule, stretch_rule
from catalog.orings.sizes import RingSize, all_sizes
from catalog.orings.stretch import section_loss
from catalog.orings.verdict import Reason, Verdict

# How near two sizes must be to be mistaken for one another over a caliper (common practice, no source).
CLOSE_WIDTH_MM = 0.3
CLOSE_ID_MM = 0.6
CLOSE_ID_SHARE = 0.03


class LookAlike(NamedTuple):
    """A size near the one in hand that does not seal in its groove, and the first reason why."""

    sealing: Sealing
    why: Reason


class Interchange(NamedTuple):
    """A ring's own judgement, what else seals in the same groove (best first), and what only looks as if it would."""

    ring: Sealing
    seals: tuple[Sealing, ...]
    look_alikes: tuple[LookAlike, ...]


def rings_for(
    groove: Groove,
    sizes: Iterable[RingSize] | None = None,
    *,
    service: Service | None = None,
    preferred: Collection[str] = (),
) -> tuple[Sealing, ...]:
    """The rings that seal in a groove: *seals* before *marginal*, then those in `preferred`, then by margin.

    `sizes` defaults to every size of every series; `preferred` holds `RingSize.key`s, such as what is on the shelf.
    The margin is the worst case's: see `verdict.judge`. Rings that will not seal are left out.
    """
    found = [
        sealing
        for ring in _window(groove, all_sizes() if sizes is None else sizes)
        if (sealing := assess(ring, groove, service=service)).verdict is not Verdict.WILL_NOT
    ]
    return tuple(
        sorted(found, key=lambda one: (one.verdict.rank, one.ring.key not in preferred, -one.margin, one.ring.key))
    )


def _window(groove: Groove, sizes: Iterable[RingSize]) -> Iterator[RingSize]:
    """Sizes whose nominal may pass: it only drops what the nominal bands of `limits` refuse outright."""
    kind, motion = groove.kind, groove.motion
    rules = [squeeze_rule(kind, motion, section) for section in (SMALL_SECTION, SMALL_SECTION + 1)]
    low, high = min(rule.nominal[0] for rule in rules), max(rule.nominal[1] for rule in rules)
    thinnest, widest = _sections(groove, low, high)
    inner, outer = groove.inner, groove.outer
    least_id, most_id = 0.0, float("inf")
    if inner is not None and kind is not GrooveKind.ROD:
        stretches = [stretch_rule(kind, small).nominal for small in (1.0, 1000.0)]
        least_id = inner.nominal / (1 + max(band[1] for band in stretches) / 100)
        most_id = inner.nominal / (1 + min(band[0] for band in stretches) / 100)
    least_od, most_od = 0.0, float("inf")
    if kind in (GrooveKind.ROD, GrooveKind.FACE_INSIDE):
        bottom = outer.nominal if outer is not None else _outer(groove)
        bands = [compression_rule(small).nominal for small in (1.0, 1000.0)]
        least_od = bottom / (1 - min(band[0] for band in bands) / 100)
        most_od = bottom / (1 - max(band[1] for band in bands) / 100)
    # Wider by far more than float arithmetic: a size at a limit is judged, not dropped here.
    thinnest, least_id, least_od = (value * (1 - WINDOW) for value in (thinnest, least_id, least_od))
    widest, most_id, most_od = (value * (1 + WINDOW) for value in (widest, most_id, most_od))
    for ring in sizes:
        if (
            thinnest <= ring.cross_section_mm <= widest
            and least_id <= ring.id_mm <= most_id
            and least_od <= ring.od_mm <= most_od
            and may_pass(ring, groove)
        ):
            yield ring


def _outer(groove: Groove) -> float:
    assert groove.inner is not None
    assert groove.depth is not None
    return groove.inner.nominal + 2 * groove.depth.nominal


def _sections(groove: Groove, low: float, high: float) -> tuple[float, float]:
    """Thinnest and widest nominal section whose nominal squeeze can lie in the band, whatever it loses to stretch.

    Pushed over, the least is asked where the gap is open, the most with the part in the middle, as `verdict` asks.
    """
    depth, half = nominal_depth(groove), groove.pushed_mm / 2
    most_loss = section_loss(stretch_rule(GrooveKind.PORT, 1.0).nominal[1])
    return (depth + half) / (1 - low / 100), depth / (1 - high / 100) / (1 - most_loss / 100)


def interchange(
    ring: RingSize,
    groove: Groove,
    sizes: Iterable[RingSize] | None = None,
    *,
    service: Service | None = None,
    preferred: Collection[str] = (),
) -> Interchange:
    """What may replace `ring` in `groove`, of any standard, and which near sizes must not, with why.

    A near size that is only marginal counts as a look-alike: it may do, but not without thought.
    """
    known = tuple(all_sizes() if sizes is None else sizes)
    own = assess(ring, groove, service=service)
    good = rings_for(groove, known, service=service, preferred=preferred)
    seals = tuple(one for one in good if one.verdict is Verdict.SEALS and one.ring.key != ring.key)
    passed = {one.ring.key for one in seals} | {ring.key}
    near = [one for one in known if one.key not in passed and _close(one, ring)]
    near.sort(key=lambda one: _distance(one, ring))
    judged = [assess(one, groove, service=service) for one in near]
    return Interchange(own, seals, tuple(LookAlike(one, one.reasons[0]) for one in judged))


def _close(one: RingSize, ring: RingSize) -> bool:
    return abs(one.cross_section_mm - ring.cross_section_mm) <= CLOSE_WIDTH_MM and abs(one.id_mm - ring.id_mm) <= max(
        CLOSE_ID_MM, CLOSE_ID_SHARE * ring.id_mm
    )


def _distance(one: RingSize, ring: RingSize) -> float:
    reach = max(CLOSE_ID_MM, CLOSE_ID_SHARE * ring.id_mm)
    return abs(one.cross_section_mm - ring.cross_section_mm) / CLOSE_WIDTH_MM + abs(one.id_mm - ring.id_mm) / reach
