"""A ring under pressure beside a gap: will it be pushed out, and which hardness or back-up ring would hold it?"""

from __future__ import annotations

from catalog.compare import at_most
from catalog.orings.back_up import back_ups
from catalog.orings.extrusion import HARDNESSES, GapLimit, allowed_gap, harder_that_bridges
from catalog.orings.figures import Service
from catalog.orings.groove import Groove, GrooveKind, Guiding
from catalog.orings.limits import BACK_UPS, NO_GAP
from catalog.orings.reason import Reason, Verdict
from catalog.orings.saying import length
from catalog.orings.sizes import RingSize
from catalog.publications import named
from catalog.standing import Standing, weakest

_RULE = "clearance on diameter against pressure and hardness"
_TABLE = named("S12")


def pressed_out(groove: Groove, ring: RingSize, service: Service) -> Reason | None:
    """The gap judged against the pressure; None where no pressure is given or nobody knows the gap.

    A play given without a clearance is a gap of at least that much: it can refuse the ring, never pass it.
    """
    if service.pressure_bar is None:
        return None
    gap = groove.play if groove.clearance is None and groove.guiding is Guiding.PLAY else groove.clearance
    if gap is None:
        return None
    told = f"{service.pressure_bar:g} bar and {service.shore_a} Shore A"
    share = min(1.0, groove.pushed_mm / gap) if gap > 0 else 0.0
    if groove.kind not in (GrooveKind.PISTON, GrooveKind.ROD):
        share = 1.0
    limit = allowed_gap(service.pressure_bar, service.shore_a, ring.cross_section_mm, play_share=share)
    if groove.clearance is None and limit is not None and at_most(gap, limit.diametral_mm):
        return None
    if gap <= 0:
        text = f"Metal meets metal, so {told} cannot push the ring into a gap."
        return Reason("extrusion", Verdict.SEALS, text, NO_GAP.source, NO_GAP.rule, NO_GAP.standing)
    if limit is None:
        text = f"{told} is beyond the tables for the {length(gap)} gap (on diameter): "
        text += f"{_help(groove, ring, service, gap, share)}."
        return Reason("extrusion", Verdict.WILL_NOT, text, _TABLE, _RULE, Standing.PUBLISHED, -1.0)
    allowed = _allowed(limit, gap)
    if at_most(gap, limit.diametral_mm):
        text = f"The {length(gap, limit.diametral_mm)} gap (on diameter) is within {allowed} at {told}."
        margin = max(0.0, (limit.diametral_mm - gap) / limit.diametral_mm)
        return Reason("extrusion", Verdict.SEALS, text, limit.source, _RULE, limit.standing, margin)
    text = (
        f"The {length(gap, limit.diametral_mm)} gap (on diameter) is over {allowed} at {told}: "
        f"the ring will be nibbled. {_capital(_help(groove, ring, service, gap, share))}."
    )
    margin = (limit.diametral_mm - gap) / limit.diametral_mm
    standing = weakest((limit.standing, *(() if groove.kind.is_face else (BACK_UPS.standing,))))
    return Reason("extrusion", Verdict.WILL_NOT, text, limit.source, _RULE, standing, margin)


def _allowed(limit: GapLimit, gap: float) -> str:
    words = f"the {length(limit.diametral_mm, gap)} allowed"
    return words if "diameter" in limit.printed else f"{words} (printed as {limit.printed})"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _help(groove: Groove, ring: RingSize, service: Service, gap: float, share: float) -> str:
    """What would do: a harder ring, a back-up ring with the groove it needs, or neither. No full stop."""
    assert service.pressure_bar is not None
    found = harder_that_bridges(gap, service.pressure_bar, service.shore_a, ring.cross_section_mm, play_share=share)
    if found is not None:
        hardness, limit = found
        harder = f"a ring of {hardness} Shore A bridges up to {length(limit.diametral_mm, gap)} there"
    else:
        harder = f"no hardness of the tables ({' or '.join(map(str, HARDNESSES))} Shore A) bridges it"
    if groove.kind is GrooveKind.PORT or groove.kind.is_face:
        return f"{harder}; a joint like this must meet metal to metal: close the gap"
    widths = back_ups(ring, groove)
    if widths is None:
        return f"{harder}; no table has a groove width with back-up rings for this ring: close the gap"
    ways = "fit a back-up ring on the side away from the pressure, or one on each side where the pressure changes sides"
    return f"{harder}; or {ways}: {widths.words}" if found is not None else f"{harder}: {ways}; {widths.words}"
