"""Which rubber for the job: family against fluid, temperature, pressure and gap. Advice: test if in doubt."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple

from catalog.compare import at_most
from catalog.orings.extrusion import allowed_gap
from catalog.orings.rubber_tables import Family, FluidRow, families, family, fluid, hard_stops, ratings
from catalog.orings.saying import length
from catalog.standing import Standing

BACK_UP_FROM_BAR = 103.5
_STATIC_ONLY = (Family.VMQ, Family.FVMQ)


class Suitability(StrEnum):
    """May this family be used here?"""

    SUITABLE = "suitable"
    WITH_CARE = "with care"
    UNSUITABLE = "unsuitable"

    @property
    def rank(self) -> int:
        """0 best, 2 worst."""
        return list(Suitability).index(self)


class RubberReason(NamedTuple):
    """One judged point: a sentence with its figures, and the rule's source and standing."""

    about: str
    suitability: Suitability
    text: str
    source: str
    standing: Standing


class RubberVerdict(NamedTuple):
    """A family judged for a service; reasons worst first. `rating`: 1 good … 4 unsuitable, None where none is known."""

    family: Family
    suitability: Suitability
    rating: int | None
    reasons: tuple[RubberReason, ...]


class FamilyChoice(NamedTuple):
    """The families that may be used, best first, and those that never may, each with its reasons."""

    fluid: FluidRow
    allowed: tuple[RubberVerdict, ...]
    never: tuple[RubberVerdict, ...]


class LookAnswer(NamedTuple):
    """What a look at a ring tells about its rubber: nothing certain. `families`: always empty; `text`: what to do."""

    families: tuple[Family, ...]
    text: str


def rubber_verdict(
    code: Family | str,
    fluid_code: str,
    t_min_c: float = 20.0,
    t_max_c: float = 20.0,
    *,
    pressure_bar: float | None = None,
    gap_mm: float | None = None,
    shore_a: int = 70,
    moving: bool = False,
) -> RubberVerdict:
    """One family in one fluid between two temperatures, °C; optionally with pressure (bar) and diametral gap (mm).

    Raises ValueError for an unknown family or fluid, or temperatures the wrong way round.
    """
    which = code if isinstance(code, Family) else family(code)
    what = fluid(fluid_code)
    if not t_min_c <= t_max_c:
        raise ValueError(f"The lowest temperature ({t_min_c:g} °C) is above the highest ({t_max_c:g} °C); swap them.")
    number, found = _chemistry(which, what, t_max_c)
    found += _temperature(which, t_min_c, t_max_c)
    if which is Family.PTFE:
        text = "PTFE does not spring back: it backs up or slides, and needs a rubber ring to press it."
        found.append(_row_reason(which, "recovery", Suitability.WITH_CARE, text))
    if moving and which in _STATIC_ONLY:
        text = f"{which} tears easily; it is for joints that stand still."
        found.append(_row_reason(which, "motion", Suitability.UNSUITABLE, text))
    if pressure_bar is not None:
        found += _pressure(which, pressure_bar, gap_mm, shore_a)
    found.sort(key=lambda reason: -reason.suitability.rank)
    worst = max((reason.suitability for reason in found), key=lambda one: one.rank)
    return RubberVerdict(which, worst, number, tuple(found))


def families_for(
    fluid_code: str,
    t_min_c: float = 20.0,
    t_max_c: float = 20.0,
    pressure_bar: float | None = None,
    gap_mm: float | None = None,
    *,
    shore_a: int = 70,
    moving: bool = False,
) -> FamilyChoice:
    """Every family judged for a service: allowed best first (by verdict, rating, then the plainest), and never."""
    judged = [
        rubber_verdict(
            one, fluid_code, t_min_c, t_max_c, pressure_bar=pressure_bar, gap_mm=gap_mm, shore_a=shore_a, moving=moving
        )
        for one in Family
    ]
    allowed = [one for one in judged if one.suitability is not Suitability.UNSUITABLE]
    allowed.sort(key=lambda one: (one.suitability.rank, one.rating or 4))  # stable: plainest first among equals
    never = tuple(one for one in judged if one.suitability is Suitability.UNSUITABLE)
    return FamilyChoice(fluid(fluid_code), tuple(allowed), never)


def identify_by_look(colour: str = "", feel: str = "") -> LookAnswer:
    """What "black, soft" tells: colour is a dye and softness a compound's, so no family is named."""
    seen = ", ".join(word.strip() for word in (colour, feel) if word.strip()) or "its look"
    return LookAnswer(
        (),
        f"A rubber cannot be told by {seen}: any family can be made in any colour and several hardnesses. "
        "Choose by service instead: the fluid, its temperature and its pressure. Used rings keep no proof either.",
    )


def _row_reason(which: Family, about: str, suitability: Suitability, text: str) -> RubberReason:
    row = families()[which]
    return RubberReason(about, suitability, text, row.source, row.standing)


def _chemistry(which: Family, what: FluidRow, t_max_c: float) -> tuple[int | None, list[RubberReason]]:
    """The fluid's say: a hard stop, or the rating; above the rated temperature the hotter fluid's rating counts too."""
    found: list[RubberReason] = []
    rating = ratings().get((what.code, which))
    if (stop := hard_stops().get((what.code, which))) is not None:
        text = f"Never {which} in {what.name}: {stop.why}."
        found.append(RubberReason("fluid", Suitability.UNSUITABLE, text, stop.source, stop.standing))
    elif rating is None:
        text = f"No rating is known for {which} in {what.name}, so it is not offered."
        found.append(RubberReason("fluid", Suitability.UNSUITABLE, text, "none", Standing.MEMORY))
    else:
        words = ("good", "fair", "doubtful", "unsuitable")[rating.number - 1]
        suitability = (
            Suitability.SUITABLE
            if rating.number == 1
            else Suitability.UNSUITABLE
            if rating.number == 4
            else Suitability.WITH_CARE
        )
        text = f"{which} in {what.name} is rated {rating.number} of 4, {words}"
        text += f" ({rating.note})." if rating.note else "."
        found.append(RubberReason("fluid", suitability, text, rating.source, rating.standing))
    number = rating.number if rating is not None else None
    if what.t_max_c is not None and t_max_c > what.t_max_c:
        if what.hotter_code:
            hotter, more = _chemistry(which, fluid(what.hotter_code), t_max_c)
            return max(number or 4, hotter or 4), found + more
        text = f"{what.name} is rated to {what.t_max_c:g} °C; {t_max_c:g} °C is asked."
        found.append(RubberReason("fluid_temperature", Suitability.WITH_CARE, text, "memory", Standing.MEMORY))
    return number, found


def _temperature(which: Family, t_min_c: float, t_max_c: float) -> list[RubberReason]:
    row = families()[which]
    span = f"{row.t_min_c:g} to {row.t_max_c:g} °C, {row.t_max_short_c:g} °C for a short time"
    asked = f"{t_min_c:g} to {t_max_c:g} °C is asked"
    if t_min_c < row.t_min_c or t_max_c > row.t_max_short_c:
        text, suitability = f"{which} serves {span}; {asked}, outside it.", Suitability.UNSUITABLE
    elif t_max_c > row.t_max_c:
        text, suitability = f"{which} serves {span}; {asked}: only for a short time.", Suitability.WITH_CARE
    else:
        text, suitability = f"{which} serves {span}; {asked}.", Suitability.SUITABLE
    return [_row_reason(which, "temperature", suitability, text)]


def _pressure(which: Family, pressure_bar: float, gap_mm: float | None, shore_a: int) -> list[RubberReason]:
    found: list[RubberReason] = []
    limit = allowed_gap(pressure_bar, shore_a, silicone=which in _STATIC_ONLY)
    told = f"{shore_a} Shore A at {pressure_bar:g} bar"
    published = "clearance against pressure, S12; half for silicone, S15"
    if gap_mm is None:
        if pressure_bar > BACK_UP_FROM_BAR:
            text = f"Above {BACK_UP_FROM_BAR} bar ask whether a back-up ring is needed; {pressure_bar:g} bar is asked."
            found.append(RubberReason("extrusion", Suitability.WITH_CARE, text, "S15", Standing.PUBLISHED))
    elif gap_mm <= 0:
        text = f"Metal meets metal, so {told} cannot push the ring into a gap."
        found.append(RubberReason("extrusion", Suitability.SUITABLE, text, "S15", Standing.PUBLISHED))
    elif limit is None:
        text = f"{told} is beyond the tables; a {gap_mm:g} mm gap needs a back-up ring or a harder compound."
        found.append(RubberReason("extrusion", Suitability.WITH_CARE, text, published, Standing.PUBLISHED))
    else:
        fits = at_most(gap_mm, limit.diametral_mm)
        bridged, asked = length(limit.diametral_mm, gap_mm), length(gap_mm, limit.diametral_mm)
        text = f"{told} bridges a gap of {bridged} on diameter; {asked} is asked"
        text += "." if fits else ": fit a back-up ring, a harder ring, or close the gap."
        # The gap is too wide for any family of this hardness, so it never rules one family out.
        suitability = Suitability.SUITABLE if fits else Suitability.WITH_CARE
        found.append(RubberReason("extrusion", suitability, text, limit.source, limit.standing))
    return found
