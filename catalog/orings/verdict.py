"""From figures to a verdict: seals, marginal or will not, each reason a sentence with its figures and its source.

Every limit is inclusive (`catalog.compare`). Each reason carries its own margin, made of the same comparisons as its
verdict, so that the sign never contradicts the word: 0 or more where it seals, 0 or less where it does not.

Squeeze is judged at both sides of a part that has play. On the open side it may be too little: the nominal sizes under
the rule's nominal floor will not seal, only the tolerance corner under the worst-case floor is marginal. On the closed
side it may be too much: that is marginal, for it seals, and the squeezed ring itself pushes the part back. Too much to
be used at all is what is too much with the part in the middle. So more play never makes a verdict better.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from catalog.because import Because
from catalog.compare import at_least, over, under
from catalog.orings import stretch
from catalog.orings.figures import Figures, Service, as_made, fill, od_compression, rough_sides, sides, stretch_on
from catalog.orings.groove import Groove, GrooveKind, Guiding, Motion
from catalog.orings.limits import (
    ENTRY,
    FILL,
    LEAST_SQUEEZE,
    LEAST_SQUEEZE_MM,
    Rule,
    compression_rule,
    squeeze_rule,
    stretch_rule,
)
from catalog.orings.pressed_out import pressed_out
from catalog.orings.reason import Reason, Verdict
from catalog.orings.saying import places
from catalog.orings.sizes import RingSize
from catalog.orings.span import Range

__all__ = ["Reason", "Verdict", "judge", "verdict_alone", "worst"]


def worst(verdicts: tuple[Verdict, ...]) -> Verdict:
    """The worst of several verdicts."""
    return max(verdicts, key=lambda verdict: verdict.rank)


class _Check(NamedTuple):
    """One comparison: how far the figure is on the right side of its limit, and what follows where it is not."""

    figure: float
    limit: float
    is_floor: bool
    else_: Verdict
    nominal: bool = False

    @property
    def slack(self) -> float:
        return self.figure - self.limit if self.is_floor else self.limit - self.figure

    @property
    def failed(self) -> bool:
        return under(self.figure, self.limit) if self.is_floor else over(self.figure, self.limit)


def _floors(value: Range, rule: Rule) -> list[_Check]:
    return [
        _Check(value.minimum, rule.worst[0], True, Verdict.MARGINAL),
        _Check(value.nominal, rule.nominal[0], True, Verdict.WILL_NOT, True),
        _Check(value.maximum, rule.worst[0], True, Verdict.WILL_NOT),
    ]


def _ceilings(value: Range, rule: Rule, closed: Range | None = None) -> list[_Check]:
    return [
        _Check((closed or value).maximum, rule.worst[1], False, Verdict.MARGINAL),
        _Check(value.nominal, rule.nominal[1], False, Verdict.WILL_NOT, True),
        _Check(value.minimum, rule.worst[1], False, Verdict.WILL_NOT),
    ]


def _outcome(checks: Iterable[_Check], scale: float) -> tuple[Verdict, float, list[_Check]]:
    """Verdict, margin and the checks that failed. The margin's sign is the verdict's."""
    known = list(checks)
    failed = [one for one in known if one.failed]
    verdict = worst((Verdict.SEALS, *(one.else_ for one in failed)))
    least = min((one.slack for one in failed or known), default=scale) / scale
    return verdict, least if failed else max(0.0, least), failed


def _figures(value: Range, count: int) -> str:
    return f"{value.minimum:.{count}f} / {value.nominal:.{count}f} / {value.maximum:.{count}f} %"


def _band(band: tuple[float, float]) -> str:
    return f"{band[0]:g} to {band[1]:g} %"


def _band_checks(value: _Judged, rule: Rule) -> tuple[list[_Check], tuple[_Check, _Check]]:
    """What is asked of a figure: its band, and what is only usual."""
    return [*_floors(value.opened, rule), *_ceilings(value.centred, rule, value.closed)], (
        _Check(value.opened.nominal, rule.usual[0], True, Verdict.MARGINAL),
        _Check(value.centred.nominal, rule.usual[1], False, Verdict.MARGINAL),
    )


class _Judged(NamedTuple):
    """A figure to judge: what is shown, then its sides, which differ where play opens and closes the gap."""

    shown: Range
    opened: Range
    centred: Range
    closed: Range


def _one(value: Range) -> _Judged:
    return _Judged(value, value, value, value)


def _judge(
    about: str, name: str, value: _Judged, rule: Rule, low: str, high: str, *, strict: bool = False, where: str = ""
) -> Reason:
    """One band judged. `strict`: a nominal outside the usual band is marginal, not only remarked on."""
    half = (rule.worst[1] - rule.worst[0]) / 2
    checks, usual = _band_checks(value, rule)
    state, margin, failed = _outcome(checks, half)
    count = max(
        places(value.shown, (*rule.worst, *(one.limit for one in failed))),
        places(
            (value.opened.nominal, value.centred.nominal),
            (one.limit for one in (*failed, *(usual if strict else ()))),
        ),
    )
    text = f"{name} is {_figures(value.shown, count)} (least / nominal / most){where}"
    standing = rule.nominal_standing if any(one.nominal for one in failed) else rule.standing
    said = f"{rule.what}: {_band(rule.usual)} is usual, {_band(rule.worst)} at the worst, {_band(rule.nominal)} nominal"
    missed = [one for one in usual if one.failed]
    if state is Verdict.SEALS and strict and missed:
        text += f"; {_band(rule.usual)} is usual: {low if missed[0].is_floor else high}."
        beyond = min(one.slack for one in missed) / half
        return Reason(about, Verdict.MARGINAL, text, rule.source, said, rule.standing, min(margin, beyond))
    if state is Verdict.SEALS:
        text += f", inside the {_band(rule.worst)} allowed"
        text += f", outside the usual {_band(rule.usual)}." if missed else "."
        return Reason(about, state, text, rule.source, said, rule.standing, margin)
    told = "; ".join(words for words, side in ((low, True), (high, False)) if any(f.is_floor is side for f in failed))
    text += f"; {_band(rule.worst)} is allowed"
    if nominal := [one for one in failed if one.nominal]:
        way = "under" if nominal[0].is_floor else "over"
        figure = f"{nominal[0].figure:.{count}f} % " if not nominal[0].is_floor else ""
        text += f", and the nominal {figure}is {way} {nominal[0].limit:g} %"
    return Reason(about, state, f"{text}: {told}.", rule.source, said, standing, margin)


def judge(
    ring: RingSize, groove: Groove, fitted: Figures, served: Figures | None, service: Service | None
) -> tuple[tuple[Reason, ...], float]:
    """All reasons, worst first, and the margin.

    The margin is the smallest distance of a worst case to its limit, over half the width of the allowed band: 1 in the
    middle, 0 at a limit, negative beyond it.
    """
    rule = squeeze_rule(groove.kind, groove.motion, ring.cross_section_mm)
    value = _Judged(fitted.squeeze, fitted.opened, fitted.centred, fitted.closed)
    low, high = "it may leak", "it is hard to fit and ages fast"
    reasons = [_judge("squeeze", "Squeeze", value, rule, low, high, where=_pushed(groove))]
    if (least := _least_squeeze(ring, groove, fitted)) is not None:
        reasons.append(least)
    if fitted.stretch is not None:
        on_rod = groove.kind is GrooveKind.ROD
        reasons += _rod_stretch(ring, fitted.stretch) if on_rod else _stretch(ring, groove, fitted.stretch)
    if fitted.od_compression is not None:
        rule = compression_rule(ring.od_mm)
        low, high = "it stands off the outer wall", "it may buckle when fitted"
        reasons.append(_judge("od_compression", "OD compression", _one(fitted.od_compression), rule, low, high))
    if fitted.fill is not None:
        reasons.append(_fill("fill", "Fill", fitted.fill))
    reasons += _entry(ring, groove)
    if served is not None and service is not None:
        reasons += _in_service(ring, groove, served, service)
    if service is not None and (gap := pressed_out(groove, ring, service)) is not None:
        reasons.append(gap)
    reasons.sort(key=lambda reason: -reason.verdict.rank)
    return tuple(reasons), min(1.0, *(reason.margin for reason in reasons))


def verdict_alone(ring: RingSize, groove: Groove) -> Verdict:
    """The verdict of `judge` without a service, and no words: what is reckoned quickest goes first, and what refuses
    ends it.
    """
    inside, width = as_made(ring)
    found = _entry_verdict(ring, groove)
    if found is Verdict.WILL_NOT:
        return found
    marginal = found is Verdict.MARGINAL
    for one in _quick_verdicts(ring, groove, inside, width):
        if one is Verdict.WILL_NOT:
            return one
        marginal = marginal or one is Verdict.MARGINAL
    return Verdict.MARGINAL if marginal else Verdict.SEALS


def _quick_verdicts(ring: RingSize, groove: Groove, inside: Range, width: Range) -> Iterator[Verdict]:
    stretch = None if groove.inner is None else stretch_on(inside, groove.inner)
    if stretch is not None and groove.kind is GrooveKind.ROD:
        if stretch.maximum > 0:
            rule = stretch_rule(GrooveKind.ROD, ring.id_mm)
            yield _under_ceiling(stretch, rule.usual[1], rule.nominal[1], rule.worst[1])
    elif stretch is not None:
        rule = stretch_rule(groove.kind, ring.id_mm)
        yield _within(stretch, stretch, stretch, rule)
        if under(stretch.nominal, rule.usual[0]) or over(stretch.nominal, rule.usual[1]):
            yield Verdict.MARGINAL
    if (held := od_compression(inside, width, groove)) is not None:
        yield _within(held, held, held, compression_rule(ring.od_mm))
    if (full := fill(inside, width, groove)) is not None:
        yield _under_ceiling(full, FILL.usual[1], FILL.nominal[1], FILL.worst[1])
        if _is_full(full):
            yield Verdict.MARGINAL
    rule = squeeze_rule(groove.kind, groove.motion, ring.cross_section_mm)
    roughly = groove.depth is None and stretch is not None
    opened, centred, closed = (
        rough_sides(width, groove, stretch)
        if groove.depth is None and stretch is not None
        else sides(inside, width, groove, stretch)
    )
    found = _within(opened.squeeze, centred.squeeze, closed.squeeze, rule)
    if roughly and found is not Verdict.SEALS:
        opened, centred, closed = sides(inside, width, groove, stretch)
        found = _within(opened.squeeze, centred.squeeze, closed.squeeze, rule)
    yield found
    if _short_of_squeeze(ring, groove, opened.depth.maximum) is not None:
        yield Verdict.MARGINAL


def _within(opened: Range, centred: Range, closed: Range, rule: Rule) -> Verdict:
    """As `_outcome` of the band's floors and ceilings."""
    (low, high), (least, most) = rule.worst, rule.nominal
    if (
        under(opened.nominal, least)
        or over(centred.nominal, most)
        or under(opened.maximum, low)
        or over(centred.minimum, high)
    ):
        return Verdict.WILL_NOT
    return Verdict.MARGINAL if under(opened.minimum, low) or over(closed.maximum, high) else Verdict.SEALS


def _under_ceiling(value: Range, usual: float, nominal: float, worst: float) -> Verdict:
    """As `_outcome` of the fill's checks, or of a rod's stretch."""
    if over(value.nominal, nominal) or over(value.minimum, worst):
        return Verdict.WILL_NOT
    return Verdict.MARGINAL if over(value.maximum, worst) or over(value.nominal, usual) else Verdict.SEALS


def _pushed(groove: Groove) -> str:
    pushed = groove.pushed_mm
    if pushed > 0:
        return f", the part pushed over by {pushed / 2:.3g} mm, half its play"
    return {
        Guiding.CENTRED: ", the part guided centred",
        Guiding.UNKNOWN: ", the part taken as centred",
    }.get(groove.guiding, "")


def _least_squeeze(ring: RingSize, groove: Groove, fitted: Figures) -> Reason | None:
    least = _short_of_squeeze(ring, groove, fitted.depth_mm.maximum)
    if least is None:
        return None
    shown = f"{least:.{places((least,), (LEAST_SQUEEZE_MM, 0.0), 2)}f}"
    told = (
        f"only {shown} mm of its free width is squeezed"
        if least > 0
        else f"its free width touches nothing ({shown} mm)"
    )
    text = f"At the worst {told}; {LEAST_SQUEEZE_MM} mm is the least advised."
    rule, source, standing = LEAST_SQUEEZE
    margin = (least - LEAST_SQUEEZE_MM) / LEAST_SQUEEZE_MM
    return Reason("squeeze_mm", Verdict.MARGINAL, text, source, rule, standing, margin)


def _short_of_squeeze(ring: RingSize, groove: Groove, deepest: float) -> float | None:
    """The least squeeze in mm, on the free width as the tables print it, where it is too little; else None.

    Rings in air are squeezed less on purpose.
    """
    least = ring.cross_section_mm - ring.cross_section_tol_mm - deepest
    return None if groove.motion is Motion.PNEUMATIC or at_least(least, LEAST_SQUEEZE_MM) else least


def _stretch(ring: RingSize, groove: Groove, value: Range) -> list[Reason]:
    rule = stretch_rule(groove.kind, ring.id_mm)
    reason = _judge("stretch", "Stretch", _one(value), rule, "it hangs loose", "it thins and may tire", strict=True)
    if reason.verdict is Verdict.SEALS:
        # A nominal stretch of 0 is still right, so its margin is counted from half a band below.
        half = rule.usual[1] / 2
        nominal = min(value.nominal + half / 2, rule.usual[1] - value.nominal) / half
        reason = reason._replace(margin=min(reason.margin, max(0.0, nominal)))
    found = [reason]
    if (doubt := stretch.doubt(value.minimum, value.maximum)) is not None:
        found.append(Reason("width_loss", Verdict.SEALS, doubt, stretch.SOURCE, "loss of width under stretch"))
    return found


def _rod_stretch(ring: RingSize, value: Range) -> list[Reason]:
    """A bore holds its ring by the OD, so a ring clear of the rod until it is squeezed is as meant."""
    if value.maximum <= 0:
        return []
    rule = stretch_rule(GrooveKind.ROD, ring.id_mm)
    usual, most, nominal = rule.usual[1], rule.worst[1], rule.nominal[1]
    state, margin, failed = _outcome(_rod_stretch_checks(value, rule), most)
    if state is Verdict.SEALS:
        margin = max(0.0, (most - value.maximum) / most)
    count = places(value, (usual, most, nominal))
    text = f"Over the rod the ring stretches by {_figures(value, count)} (least / nominal / most)"
    text += f"; up to {usual:g} % nominal and {most:g} % at the worst is allowed."
    standing = rule.nominal_standing if any(one.nominal for one in failed) else rule.standing
    return [Reason("stretch", state, text, rule.source, rule.what, standing, margin)]


def _rod_stretch_checks(value: Range, rule: Rule) -> tuple[_Check, ...]:
    return (
        _Check(value.maximum, rule.worst[1], False, Verdict.MARGINAL),
        _Check(value.nominal, rule.usual[1], False, Verdict.MARGINAL),
        _Check(value.nominal, rule.nominal[1], False, Verdict.WILL_NOT, True),
        _Check(value.minimum, rule.worst[1], False, Verdict.WILL_NOT),
    )


def _fill_checks(value: Range) -> tuple[_Check, ...]:
    return (
        _Check(value.maximum, FILL.worst[1], False, Verdict.MARGINAL),
        _Check(value.nominal, FILL.usual[1], False, Verdict.MARGINAL),
        _Check(value.nominal, FILL.nominal[1], False, Verdict.WILL_NOT, True),
        _Check(value.minimum, FILL.worst[1], False, Verdict.WILL_NOT),
    )


def _is_full(value: Range) -> bool:
    """Never 100 %: the one limit of a fill that is not inclusive."""
    return at_least(value.maximum, FILL.worst[1])


def _fill(about: str, name: str, value: Range) -> Reason:
    state, margin, failed = _outcome(_fill_checks(value), 12.5)
    full = _is_full(value)
    if full and state is Verdict.SEALS:
        state, margin = Verdict.MARGINAL, 0.0
    count = places(value, (FILL.usual[1], FILL.nominal[1], FILL.worst[1]))
    text = f"{name} is {_figures(value, count)} of the groove (least / nominal / most)"
    if state is Verdict.SEALS:
        text += ", which leaves room to swell."
    elif full:
        text += "; at the worst the rubber has no room and can force the joint."
    else:
        text += "; 85 % is the most advised, so there is little room to swell."
    standing = FILL.nominal_standing if any(one.nominal for one in failed) else FILL.standing
    return Reason(about, state, text, FILL.source, FILL.what, standing, margin)


def _entry_verdict(ring: RingSize, groove: Groove) -> Verdict:
    widest = ring.cross_section_mm + ring.cross_section_tol_mm
    if groove.width is None or not over(widest, groove.width.minimum):
        return Verdict.SEALS
    return Verdict.WILL_NOT if over(ring.cross_section_mm, groove.width.nominal) else Verdict.MARGINAL


def _entry(ring: RingSize, groove: Groove) -> list[Reason]:
    state = _entry_verdict(ring, groove)
    if groove.width is None or state is Verdict.SEALS:
        return []
    widest = ring.cross_section_mm + ring.cross_section_tol_mm
    count = places((widest,), (groove.width.minimum,), 2)
    text = (
        f"The ring is up to {widest:.{count}f} mm wide and the groove as narrow as {groove.width.minimum:.{count}f} mm."
    )
    margin = (groove.width.minimum - widest) / ring.cross_section_mm
    rule, source, standing = ENTRY
    return [Reason("entry", state, f"{text} It will not go in freely.", source, rule, standing, margin)]


def _in_service(ring: RingSize, groove: Groove, served: Figures, service: Service) -> list[Reason]:
    """In service only two things are asked: squeeze left, and room left. More squeeze from swell is welcome."""
    rule = squeeze_rule(groove.kind, groove.motion, ring.cross_section_mm)
    state, margin, failed = _outcome(_floors(served.opened, rule), (rule.worst[1] - rule.worst[0]) / 2)
    where = f"at {service.temperature_c:g} °C with {service.volume_swell:+g} % volume"
    count = places(served.opened, (rule.worst[0], *(one.limit for one in failed)))
    text = f"Squeeze {where} is {_figures(served.squeeze, count)} (least / nominal / most){_pushed(groove)}"
    if state is Verdict.SEALS:
        text += f", above the least of {rule.worst[0]:g} %."
    else:
        text += f"; {rule.worst[0]:g} % is the least allowed"
        text += f", {rule.nominal[0]:g} % nominal: it may leak."
    standing = rule.nominal_standing if any(one.nominal for one in failed) else rule.standing
    found = [Reason("service_squeeze", state, text, rule.source, rule.what, standing, margin)]
    if served.fill is not None:
        found.append(_fill("service_fill", f"Fill {where}", served.fill))
    return found


def because(reasons: Iterable[Reason], verdict: Verdict) -> tuple[Because, ...]:
    """The rules that decided a verdict: of what seals all of them, else those that spoke against it."""
    return tuple(
        dict.fromkeys(
            Because(one.rule, one.source, one.standing) for one in reasons if one.verdict is verdict and one.rule
        )
    )
