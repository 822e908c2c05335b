"""Will this ring seal in this groove? Figures, verdict and reasons in one call.

The rest of the gland: `groove` (build one), `groove_reading` (the ± of what was measured), `figures` (the arithmetic),
`limits` (the rules), `play` (a part pushed over), `pressed_out` (pressure and gap), `standard_grooves` (the published
tables), `candidates` (which rings would seal here, and what may replace what).
"""

from __future__ import annotations

from typing import NamedTuple

from catalog.because import Because
from catalog.orings.figures import Figures, Service, figures, nominal_depth
from catalog.orings.groove import Groove
from catalog.orings.limits import squeeze_rule
from catalog.orings.sizes import RingSize
from catalog.orings.span import Range
from catalog.orings.stretch import section_loss
from catalog.orings.verdict import Reason, Verdict, because, judge, verdict_alone, worst


class Sealing(NamedTuple):
    """A ring judged in a groove. `fitted`: as assembled; `served`: in service, where one was given.

    `margin`: 1 in the middle of every band, 0 at a limit, negative beyond (see `verdict.judge`).
    """

    ring: RingSize
    groove: Groove
    fitted: Figures
    served: Figures | None
    verdict: Verdict
    reasons: tuple[Reason, ...]
    margin: float

    @property
    def because(self) -> tuple[Because, ...]:
        """The rules that decided the verdict, with their sources."""
        return because(self.reasons, self.verdict)

    @property
    def squeeze(self) -> Range:
        """Percent squeeze as fitted: least and nominal where play opens the gap, most where it closes it."""
        return self.fitted.squeeze

    @property
    def stretch(self) -> Range | None:
        """Percent stretch of the ID as fitted, worst cases; None in a face groove with the pressure inside."""
        return self.fitted.stretch

    @property
    def od_compression(self) -> Range | None:
        """Percent by which the OD is held in, worst cases; None where the groove does not touch the OD."""
        return self.fitted.od_compression

    @property
    def width_loss(self) -> Range:
        """Percent of width lost to stretch, worst cases."""
        return self.fitted.width_loss

    @property
    def fill(self) -> Range | None:
        """Percent of the groove's volume as fitted, worst cases; None in a port."""
        return self.fitted.fill


def assess(ring: RingSize, groove: Groove, *, service: Service | None = None) -> Sealing:
    """Judge `ring` in `groove`, as fitted and, when a service is given, in service as well; the worse one counts."""
    fitted = figures(ring, groove)
    served = figures(ring, groove, service) if service is not None else None
    reasons, margin = judge(ring, groove, fitted, served, service)
    verdict = worst(tuple(reason.verdict for reason in reasons))
    return Sealing(ring, groove, fitted, served, verdict, reasons, margin)


def verdict_of(ring: RingSize, groove: Groove, *, service: Service | None = None) -> Verdict:
    """The verdict of `assess` alone: many rings in many grooves are judged so, and most are refused at a glance."""
    if service is not None:
        return assess(ring, groove, service=service).verdict
    return verdict_alone(ring, groove) if may_pass(ring, groove) else Verdict.WILL_NOT


# Wider by far more than float arithmetic: a size at a limit is judged, not dropped.
WINDOW = 1e-6


def may_pass(ring: RingSize, groove: Groove) -> bool:
    """Whether the nominal squeeze lies in its own rule's band, as `verdict` asks, before all the rest is reckoned."""
    low, high = squeeze_rule(groove.kind, groove.motion, ring.cross_section_mm).nominal
    lost = 0.0 if groove.inner is None else section_loss(100 * (groove.inner.nominal / ring.id_mm - 1))
    section = ring.cross_section_mm * (1 - lost / 100)
    depth, half = nominal_depth(groove), groove.pushed_mm / 2
    near = WINDOW * section
    return depth + half <= section * (1 - low / 100) + near and depth >= section * (1 - high / 100) - near
