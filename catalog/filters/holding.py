"""What an element holds back, stands and passes: medium, collapse, bypass, anti-drain-back valve, flow."""

from __future__ import annotations

from catalog.compare import at_least, at_most, over, under
from catalog.filters.element import Element
from catalog.filters.grade import COLLAPSE, E11, MULTIPASS, OUR_RULE, PRACTICE, Criterion, Grade, figure, measure
from catalog.filters.housing import BypassPlace, Duty, Housing, Position
from catalog.filters.media import Medium

# Our rules, no source.
SAME_SIZE = 0.8  # openings within a factor of 0.8 to 1.25 count as the same: one step of ASTM E11 is about 0.84
BYPASS_SHARE = 0.25
COLLAPSE_MARGIN = 1.5
SUCTION_MOST_BAR = 1.013  # a pump cannot pull more than the atmosphere pushes (standard atmosphere, ISO 2533)

COLD_PUMP = (
    "On the suction side cold oil must still get through: a finer medium starves the pump, it cavitates and howls, "
    "and the element may be sucked flat"
)


def _finer(have: Medium, need: Medium) -> bool | None:
    """Whether `have` holds back more (True), less (False), or the same or cannot be said (None)."""
    if have.size_um is None or need.size_um is None or have.woven != need.woven:
        return None
    if have.woven or have.beta == need.beta:
        ratio = have.size_um / need.size_um
        return None if _same_size(ratio) else ratio < 1
    if have.beta is None or need.beta is None:
        return None
    if at_most(have.size_um, need.size_um) and at_least(have.beta, need.beta):
        return True
    if at_least(have.size_um, need.size_um) and at_most(have.beta, need.beta):
        return False
    return None


def _same(have: Medium, need: Medium) -> bool:
    """Whether both say the same thing in the same terms, within a step."""
    if have.size_um is None or need.size_um is None or have.woven != need.woven:
        return False
    if not have.woven and (have.beta is None or have.beta != need.beta):
        return False
    return _same_size(have.size_um / need.size_um)


def _same_size(ratio: float) -> bool:
    return at_least(ratio, SAME_SIZE) and at_most(ratio, 1 / SAME_SIZE)


def medium(element: Element, housing: Housing) -> Criterion:
    """Soft: finer or coarser than asked, and what that does."""
    name, have, need = "medium", element.medium, housing.medium
    if have is None or need is None or have.size_um is None or need.size_um is None:
        what = (
            "the medium of the element" if have is None or have.size_um is None else "the medium the machine asks for"
        )
        return measure(name, what, "Count the wires over 10 mm under a glass, or read the rating.", hard=False)
    pair = f"{have.label} where {need.label} is asked"
    if have.woven:
        pair += f" ({have.size_um:g} µm)" if not need.woven else f" ({have.size_um:g} against {need.size_um:g} µm)"
    if _same(have, need):
        return Criterion(name, Grade.FITS, f"{pair}: the same.", E11 if have.woven else MULTIPASS, False)
    finer = _finer(have, need)
    if finer is None:
        sentence = (
            f"{pair}: these cannot be compared. An opening, a nominal rating and a beta rating are three different "
            "things; ask for the beta ratio at the same size."
        )
        return Criterion(name, Grade.WITH_CARE, sentence, MULTIPASS, False)
    if finer:
        if housing.duty in (Duty.SUCTION, None):
            known = "" if housing.duty else "If this is a suction filter: "
            sentence = f"{pair}: finer. {known}{COLD_PUMP}."
        else:
            sentence = f"{pair}: finer. It holds back more, fills sooner, and opens the bypass more often on cold oil."
        return Criterion(name, Grade.WITH_CARE, sentence, PRACTICE, False)
    sentence = f"{pair}: coarser. Dirt between the two sizes now reaches the machine."
    return Criterion(name, Grade.WITH_CARE, sentence, PRACTICE, False)


def collapse(element: Element, housing: Housing) -> Criterion:
    """Hard: the collapse rating must be above the greatest pressure difference, and above the bypass (ISO 2941)."""
    name, most = "collapse", housing.max_differential_bar
    if most is None and housing.duty is Duty.SUCTION:
        most = SUCTION_MOST_BAR
    if element.collapse_bar is None or most is None:
        what = (
            "the collapse rating of the element"
            if element.collapse_bar is None
            else "the greatest pressure difference across the filter"
        )
        return measure(name, what, "A crushed element opens its seams and lets everything go.", COLLAPSE)
    opens = element.bypass.opens_bar if element.bypass and element.bypass.fitted else None
    # Until the bypass opens, its own pressure stands across the element, wherever the valve sits.
    demand = max(most, opens or 0.0, housing.bypass_opens_bar or 0.0)
    figures = f"collapse rating {element.collapse_bar:g} bar against up to {demand:g} bar"
    if at_most(element.collapse_bar, demand):
        sentence = f"{figures}: it can be crushed, and then lets everything it caught go into the oil."
        return Criterion(name, Grade.DOES_NOT, sentence, COLLAPSE)
    if under(element.collapse_bar, COLLAPSE_MARGIN * demand):
        sentence = f"{figures}: little in hand on cold oil, {COLLAPSE_MARGIN * demand:.3g} bar would be good."
        return Criterion(name, Grade.WITH_CARE, sentence, OUR_RULE)
    return Criterion(name, Grade.FITS, f"{figures}.", COLLAPSE)


def bypass(element: Element, housing: Housing) -> Criterion:
    """Soft, but a bypass that belongs in the element and is not there is refused."""
    name, place, own = "bypass", housing.bypass, element.bypass
    if place is None:
        return measure(name, "has the head a bypass valve of its own", "None, or two, are both wrong.", hard=False)
    if own is None:
        return measure(name, "has the element a bypass valve", "None, or two, are both wrong.", hard=False)
    if place is BypassPlace.ELEMENT:
        if not own.fitted:
            sentence = (
                "the bypass belongs in the element, and this one has none: blocked or cold, the machine gets no oil."
            )
            return Criterion(name, Grade.DOES_NOT, sentence, PRACTICE, False)
        return _pressure(name, own.opens_bar, housing.bypass_opens_bar)
    if not own.fitted:
        where = "in the housing" if place is BypassPlace.HOUSING else "not wanted here"
        return Criterion(name, Grade.FITS, f"the bypass is {where}, and the element has none.", PRACTICE, False)
    if place is BypassPlace.HOUSING:
        sentence = "the housing has a bypass and so has the element: the weaker opens first and passes unfiltered oil."
    else:
        sentence = "the element has a bypass where none is wanted: when it opens, unfiltered oil passes."
    return Criterion(name, Grade.WITH_CARE, sentence, PRACTICE, False)


def _pressure(name: str, opens: float | None, asked: float | None) -> Criterion:
    if opens is None or asked is None:
        what = (
            "the opening pressure of the element's bypass" if opens is None else "the bypass pressure the machine asks"
        )
        why = "Too low, oil goes round unfiltered; too high, the machine starves."
        return measure(name, what, why, hard=False)
    figures = f"opens at {opens:g} bar where {asked:g} bar is asked"
    if under(opens, (1 - BYPASS_SHARE) * asked):
        low = f"{figures}, under {(1 - BYPASS_SHARE) * asked:.3g} bar"
        sentence = f"{low}: it opens early, so unfiltered oil passes on every cold start."
        return Criterion(name, Grade.WITH_CARE, sentence, PRACTICE, False)
    if over(opens, (1 + BYPASS_SHARE) * asked):
        high = f"{figures}, over {(1 + BYPASS_SHARE) * asked:.3g} bar"
        sentence = f"{high}: it opens late, so a blocked element starves the machine or is crushed first."
        return Criterion(name, Grade.WITH_CARE, sentence, PRACTICE, False)
    return Criterion(name, Grade.FITS, f"{figures}.", PRACTICE, False)


def anti_drain_back(element: Element, housing: Housing) -> Criterion:
    """Soft: a can that lies or stands on its head drains back overnight without the valve."""
    name = "anti-drain-back valve"
    if housing.position is None:
        return measure(name, "does the can hang, lie or stand on its head", "Lying or inverted it drains.", hard=False)
    if housing.position is Position.HANGING:
        return Criterion(
            name, Grade.FITS, "the can hangs below its head and stays full: no valve needed.", PRACTICE, False
        )
    if element.anti_drain_back is None:
        return measure(name, "is there a rubber flap behind the holes", f"The can is {housing.position}.", hard=False)
    if element.anti_drain_back:
        return Criterion(name, Grade.FITS, f"the can is {housing.position}, and has the valve.", PRACTICE, False)
    sentence = (
        f"the can is {housing.position} and has no valve: it drains overnight, and the next start runs dry for seconds."
    )
    return Criterion(name, Grade.WITH_CARE, sentence, PRACTICE, False)


def flow(element: Element, housing: Housing) -> Criterion:
    """Soft: rated flow against the flow of the line."""
    if element.flow_l_min is None or housing.flow_l_min is None:
        what = "the rated flow of the element" if element.flow_l_min is None else "the flow of the line"
        return measure("flow", what, "Too small an element bypasses or starves.", hard=False)
    figures = f"rated {element.flow_l_min:g} L/min for a line of {housing.flow_l_min:g} L/min"
    if at_least(element.flow_l_min, housing.flow_l_min):
        return Criterion("flow", Grade.FITS, f"{figures}.", PRACTICE, False)
    sentence = f"{figures}: {figure(100 * (1 - element.flow_l_min / housing.flow_l_min), 0, decimals=0)} % short; "
    sentence += "it starves the pump." if housing.duty is Duty.SUCTION else "the bypass opens when it should not."
    return Criterion("flow", Grade.WITH_CARE, sentence, PRACTICE, False)
