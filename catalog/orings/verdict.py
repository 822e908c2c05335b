"""From figures to a verdict: seals, marginal or will not, each reason a sentence with its figures and its source."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple

from catalog.orings import stretch
from catalog.orings.extrusion import allowed_gap
from catalog.orings.figures import Figures, Service
from catalog.orings.groove import Groove, GrooveKind, Motion
from catalog.orings.limits import (
    FILL,
    LEAST_SQUEEZE_MM,
    LEAST_SQUEEZE_SOURCE,
    PRACTICE,
    Rule,
    compression_rule,
    squeeze_rule,
    stretch_rule,
)
from catalog.orings.sizes import RingSize
from catalog.orings.span import Range

# Printed limits are rounded and floats are not: a hair's breadth is no failure.
_HAIR = 1e-6


class Verdict(StrEnum):
    """Whether the ring will seal in the groove."""

    SEALS = "seals"
    MARGINAL = "marginal"
    WILL_NOT = "will not"

    @property
    def rank(self) -> int:
        """0 best, 2 worst."""
        return _RANKS[self]


_RANKS = {Verdict.SEALS: 0, Verdict.MARGINAL: 1, Verdict.WILL_NOT: 2}


class Reason(NamedTuple):
    """One judged figure. `about` names it; `text` is a sentence with the figures; `source` the rule's."""

    about: str
    verdict: Verdict
    text: str
    source: str


def worst(verdicts: tuple[Verdict, ...]) -> Verdict:
    """The worst of several verdicts."""
    return max(verdicts, key=lambda verdict: verdict.rank)


def _state(value: Range, rule: Rule) -> Verdict:
    low, high = rule.worst
    if not rule.nominal[0] - _HAIR <= value.nominal <= rule.nominal[1] + _HAIR:
        return Verdict.WILL_NOT
    if value.maximum < low - _HAIR or value.minimum > high + _HAIR:
        return Verdict.WILL_NOT
    if value.minimum < low - _HAIR or value.maximum > high + _HAIR:
        return Verdict.MARGINAL
    return Verdict.SEALS


def _figures(value: Range) -> str:
    return f"{value.minimum:.1f} / {value.nominal:.1f} / {value.maximum:.1f} %"


def _band(band: tuple[float, float]) -> str:
    return f"{band[0]:g} to {band[1]:g} %"


def _judge(about: str, name: str, value: Range, rule: Rule, low: str, high: str, *, strict: bool = False) -> Reason:
    """One band judged. `strict`: a nominal outside the usual band is marginal, not only remarked on."""
    state = _state(value, rule)
    text = f"{name} is {_figures(value)} (least / nominal / most)"
    below, above = value.nominal < rule.usual[0] - _HAIR, value.nominal > rule.usual[1] + _HAIR
    if state is Verdict.SEALS and strict and (below or above):
        text += f"; {_band(rule.usual)} is usual: {low if below else high}."
        return Reason(about, Verdict.MARGINAL, text, rule.source)
    if state is Verdict.SEALS:
        text += f", inside the {_band(rule.worst)} allowed"
        text += f", outside the usual {_band(rule.usual)}." if below or above else "."
        return Reason(about, state, text, rule.source)
    too_low = value.minimum < rule.worst[0] - _HAIR or value.nominal < rule.nominal[0]
    too_high = value.maximum > rule.worst[1] + _HAIR or value.nominal > rule.nominal[1]
    told = "; ".join(words for words, said in ((low, too_low), (high, too_high)) if said)
    return Reason(about, state, f"{text}; {_band(rule.worst)} is allowed: {told}.", rule.source)


def judge(
    ring: RingSize, groove: Groove, fitted: Figures, served: Figures | None, service: Service | None
) -> tuple[tuple[Reason, ...], float]:
    """All reasons, worst first, and the margin.

    The margin is the smallest distance of a worst case to its limit, over half the width of the allowed band: 1 in the
    middle, 0 at a limit, negative beyond it.
    """
    rule = squeeze_rule(groove.kind, groove.motion, ring.cross_section_mm)
    reasons = [_judge("squeeze", "Squeeze", fitted.squeeze, rule, "it may leak", "it is hard to fit and ages fast")]
    margins = [_margin(fitted.squeeze, rule.worst)]
    if (least := _least_squeeze(ring, groove, fitted)) is not None:
        reasons.append(least)
    if fitted.stretch is not None:
        on_rod = groove.kind is GrooveKind.ROD
        found, margin = _rod_stretch(ring, fitted.stretch) if on_rod else _stretch(ring, groove, fitted.stretch)
        reasons += found
        margins.append(margin)
    if fitted.od_compression is not None:
        rule = compression_rule(ring.od_mm)
        low, high = "it stands off the outer wall", "it may buckle when fitted"
        reasons.append(_judge("od_compression", "OD compression", fitted.od_compression, rule, low, high))
        margins.append(_margin(fitted.od_compression, rule.worst))
    if fitted.fill is not None:
        reasons.append(_fill("fill", "Fill", fitted.fill))
        margins.append(min((85 - fitted.fill.nominal) / 12.5, (100 - fitted.fill.maximum) / 12.5))
    reasons += _entry(ring, groove)
    if served is not None and service is not None:
        reasons += _in_service(ring, groove, served, service)
    if (gap := _gap(groove, ring, service)) is not None:
        reasons.append(gap)
    reasons.sort(key=lambda reason: -reason.verdict.rank)
    return tuple(reasons), min(1.0, *margins)


def _least_squeeze(ring: RingSize, groove: Groove, fitted: Figures) -> Reason | None:
    """The rule in mm, on the free width as the tables print it. Rings in air are squeezed less on purpose."""
    least = ring.cross_section_mm - ring.cross_section_tol_mm - fitted.depth_mm.maximum
    if groove.motion is Motion.PNEUMATIC or least >= LEAST_SQUEEZE_MM - _HAIR:
        return None
    text = (
        f"At the worst only {least:.2f} mm of its free width is squeezed; {LEAST_SQUEEZE_MM} mm is the least advised."
    )
    return Reason("squeeze_mm", Verdict.MARGINAL, text, LEAST_SQUEEZE_SOURCE)


def _margin(value: Range, band: tuple[float, float]) -> float:
    half = (band[1] - band[0]) / 2
    return min(value.minimum - band[0], band[1] - value.maximum) / half


def _stretch(ring: RingSize, groove: Groove, value: Range) -> tuple[list[Reason], float]:
    rule = stretch_rule(groove.kind, ring.id_mm)
    found = [_judge("stretch", "Stretch", value, rule, "it hangs loose", "it thins and may tire", strict=True)]
    if (doubt := stretch.doubt(value.minimum, value.maximum)) is not None:
        found.append(Reason("width_loss", Verdict.SEALS, doubt, stretch.SOURCE))
    # A nominal stretch of 0 is still right, so its margin is counted from half a band below.
    half = rule.usual[1] / 2
    nominal = min(value.nominal + half / 2, rule.usual[1] - value.nominal) / half
    return found, min(_margin(value, rule.worst), nominal)


def _rod_stretch(ring: RingSize, value: Range) -> tuple[list[Reason], float]:
    """A bore holds its ring by the OD, so a ring clear of the rod until it is squeezed is as meant."""
    if value.maximum <= 0:
        return [], 1.0
    rule = stretch_rule(GrooveKind.ROD, ring.id_mm)
    usual, most, nominal = rule.usual[1], rule.worst[1], rule.nominal[1]
    text = f"Over the rod the ring stretches by {_figures(value)} (least / nominal / most)"
    state = Verdict.SEALS
    if value.nominal > nominal or value.minimum > most + _HAIR:
        state = Verdict.WILL_NOT
    elif value.nominal > usual + _HAIR or value.maximum > most + _HAIR:
        state = Verdict.MARGINAL
    text += f"; up to {usual:g} % nominal and {most:g} % at the worst is allowed."
    return [Reason("stretch", state, text, rule.source)], (most - value.maximum) / most


def _fill(about: str, name: str, value: Range) -> Reason:
    state = _state(value, FILL)
    if value.maximum >= 100 and value.nominal > FILL.nominal[1]:
        state = Verdict.WILL_NOT
    elif state is Verdict.SEALS and value.nominal > FILL.usual[1] + _HAIR:
        state = Verdict.MARGINAL
    text = f"{name} is {_figures(value)} of the groove (least / nominal / most)"
    if state is Verdict.SEALS:
        text += ", which leaves room to swell."
    elif value.maximum >= 100:
        text += "; at the worst the rubber has no room and can force the joint."
    else:
        text += "; 85 % is the most advised, so there is little room to swell."
    return Reason(about, state, text, FILL.source)


def _entry(ring: RingSize, groove: Groove) -> list[Reason]:
    if groove.width is None or ring.cross_section_mm + ring.cross_section_tol_mm <= groove.width.minimum + _HAIR:
        return []
    widest = ring.cross_section_mm + ring.cross_section_tol_mm
    state = Verdict.WILL_NOT if ring.cross_section_mm > groove.width.nominal else Verdict.MARGINAL
    text = f"The ring is up to {widest:.2f} mm wide and the groove as narrow as {groove.width.minimum:.2f} mm."
    return [Reason("entry", state, text + " It will not go in freely.", PRACTICE)]


def _in_service(ring: RingSize, groove: Groove, served: Figures, service: Service) -> list[Reason]:
    """In service only two things are asked: squeeze left, and room left. More squeeze from swell is welcome."""
    rule = squeeze_rule(groove.kind, groove.motion, ring.cross_section_mm)
    rule = rule._replace(worst=(rule.worst[0], 100.0), nominal=(rule.nominal[0], 100.0), usual=(rule.usual[0], 100.0))
    where = f"at {service.temperature_c:g} °C with {service.volume_swell:+g} % volume"
    found = [_judge("service_squeeze", f"Squeeze {where}", served.squeeze, rule, "it may leak", "")]
    if served.fill is not None:
        found.append(_fill("service_fill", f"Fill {where}", served.fill))
    return found


def _gap(groove: Groove, ring: RingSize, service: Service | None) -> Reason | None:
    if service is None or service.pressure_bar is None or groove.clearance is None:
        return None
    limit = allowed_gap(service.pressure_bar, service.shore_a, ring.cross_section_mm)
    gap = groove.clearance
    told = f"{service.pressure_bar:g} bar and {service.shore_a} Shore A"
    if gap <= 0:
        text = f"Metal meets metal, so {told} cannot push the ring into a gap."
        return Reason("extrusion", Verdict.SEALS, text, "no gap, no extrusion, S15")
    if limit is None:
        text = f"{told} is beyond the tables; the {gap:g} mm gap needs a back-up ring or a harder compound."
        return Reason("extrusion", Verdict.WILL_NOT, text, "clearance against pressure, S12")
    if gap <= limit.diametral_mm + _HAIR:
        text = f"The {gap:g} mm gap (on diameter) is within the {limit.diametral_mm:.2f} mm allowed at {told}."
        return Reason("extrusion", Verdict.SEALS, text, limit.source)
    text = (
        f"The {gap:g} mm gap (on diameter) is over the {limit.diametral_mm:.2f} mm allowed at {told}; "
        "the ring will be nibbled. Fit a back-up ring, a harder ring, or close the gap."
    )
    return Reason("extrusion", Verdict.WILL_NOT, text, limit.source)
