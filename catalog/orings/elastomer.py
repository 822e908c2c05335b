"""Which rubber for the job: family against fluid, temperature, pressure and gap. Advice: test if in doubt."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from typing import NamedTuple

from catalog.because import Because
from catalog.compare import at_most, over, under
from catalog.orings.extrusion import HARDNESSES, allowed_gap
from catalog.orings.rubber_tables import Family, FluidRow, families, family, fluid, hard_stops, ratings, starts_at
from catalog.orings.saying import length
from catalog.publications import named
from catalog.standing import Standing

BACK_UP_FROM_BAR = 103.5
_HANDBOOK = named("S15")
_KINDS = {
    "fluid": "what the fluid does to it",
    "fluid_temperature": "a fluid hotter than its ratings reach",
    "temperature": "heat that it stands for a short time only",
}
_STATIC_ONLY = (Family.VMQ, Family.FVMQ)
_FREEZE = ("WATER", "STEAM", "HFA")


class Suitability(StrEnum):
    """May this family be used here?"""

    SUITABLE = "suitable"
    WITH_CARE = "with care"
    DOUBTFUL = "doubtful"
    NOT_KNOWN = "not known"
    UNSUITABLE = "unsuitable"

    @property
    def rank(self) -> int:
        """0 best, 4 worst. What nobody here knows is never offered."""
        return list(Suitability).index(self)

    @property
    def offered(self) -> bool:
        """Whether a ring of it may be fitted at all."""
        return self in (Suitability.SUITABLE, *_CAUTIOUS)


_CAUTIOUS = (Suitability.WITH_CARE, Suitability.DOUBTFUL)
_RATED = (
    ("good", Suitability.SUITABLE),
    ("fair", Suitability.WITH_CARE),
    ("doubtful", Suitability.DOUBTFUL),
    ("unsuitable", Suitability.UNSUITABLE),
)


class RubberReason(NamedTuple):
    """One judged point: a sentence with its figures, and the rule's source and standing."""

    about: str
    suitability: Suitability
    text: str
    source: str
    standing: Standing

    @property
    def because(self) -> Because:
        """The same as a rule that can be looked up."""
        return Because(self.text, self.source, self.standing)


class RubberVerdict(NamedTuple):
    """A family judged for a service; reasons worst first. `rating`: 1 good … 4 unsuitable, None where none is known."""

    family: Family
    suitability: Suitability
    rating: int | None
    reasons: tuple[RubberReason, ...]

    @property
    def because(self) -> tuple[Because, ...]:
        """The rules that decided: those that came out as badly as the whole."""
        return tuple(reason.because for reason in self.reasons if reason.suitability is self.suitability)


class FamilyChoice(NamedTuple):
    """The families that may be used, best first; those nobody here knows; those that never may; each with its reasons.

    `never` is in the order of the families, like `not_known`.
    """

    fluid: FluidRow
    allowed: tuple[RubberVerdict, ...]
    never: tuple[RubberVerdict, ...]
    not_known: tuple[RubberVerdict, ...] = ()

    @property
    def because(self) -> tuple[Because, ...]:
        """The rules behind the first choice, then what refused each of the others."""
        first = self.allowed[0].because if self.allowed else ()
        return (*first, *(one.because[0] for one in (*self.never, *self.not_known)))


def choice_of(fluid_row: FluidRow, judged: Iterable[RubberVerdict]) -> FamilyChoice:
    """Verdicts in one fluid, sorted into a choice: best first by verdict, rating, then as given (plainest first).

    PTFE comes after the rubbers of its verdict: it seals nothing without one.
    """
    all_of_them = tuple(judged)
    allowed = sorted(
        (one for one in all_of_them if one.suitability.offered),
        key=lambda one: (one.suitability.rank, one.family is Family.PTFE, one.rating or 4),
    )
    return FamilyChoice(
        fluid_row,
        tuple(allowed),
        tuple(one for one in all_of_them if one.suitability is Suitability.UNSUITABLE),
        tuple(one for one in all_of_them if one.suitability is Suitability.NOT_KNOWN),
    )


class LookAnswer(NamedTuple):
    """What a look at a ring tells about its rubber: nothing certain. `families`: always empty; `text`: what to do."""

    families: tuple[Family, ...]
    text: str

    @property
    def because(self) -> tuple[Because, ...]:
        """The rule behind it."""
        return (Because(self.text, Standing.PRACTICE.words, Standing.PRACTICE),)


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

    A fluid that takes over from a cooler one (steam, hot air) is never judged below where it begins. Raises ValueError
    for an unknown family or fluid, or temperatures the wrong way round.
    """
    which = code if isinstance(code, Family) else family(code)
    what = fluid(fluid_code)
    if not t_min_c <= t_max_c:
        raise ValueError(f"The lowest temperature ({t_min_c:g} °C) is above the highest ({t_max_c:g} °C); swap them.")
    # Hot water at 20 °C is not asked about: what takes over at a temperature is at least so hot.
    t_max_c = max(t_max_c, starts_at(what.code) or t_max_c)
    number, found = _chemistry(which, what, t_max_c)
    found += _temperature(which, t_min_c, t_max_c)
    found += _together(which, found)
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
    """Every family judged for a service."""
    judged = [
        rubber_verdict(
            one, fluid_code, t_min_c, t_max_c, pressure_bar=pressure_bar, gap_mm=gap_mm, shore_a=shore_a, moving=moving
        )
        for one in Family
    ]
    return choice_of(fluid(fluid_code), judged)


def at_hottest(fluid_code: str, t_max_c: float) -> FluidRow:
    """What the ring meets at its hottest: the fluid itself, or what takes over there, as steam does from water."""
    what = fluid(fluid_code)
    while what.hotter_code and what.t_max_c is not None and over(t_max_c, what.t_max_c):
        what = fluid(what.hotter_code)
    return what


def freezing(fluid_code: str, t_min_c: float) -> Because | None:
    """That water freezes, where the fluid is water and it gets so cold. No rubber helps against ice."""
    if fluid(fluid_code).code not in _FREEZE or not under(t_min_c, 0.0):
        return None
    text = f"Water freezes below 0 °C, and {t_min_c:g} °C is asked: ice can burst the joint whatever the rubber."
    return Because(text, Standing.PRACTICE.words, Standing.PRACTICE)


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
        text = f"Not known: no rating of {which} in {what.name} is in the tables. Ask the ring's maker; do not guess."
        found.append(RubberReason("fluid", Suitability.NOT_KNOWN, text, "no source known here", Standing.MEMORY))
    else:
        words, suitability = _RATED[rating.number - 1]
        text = f"{which} in {what.name} is rated {rating.number} of 4, {words}"
        text += f" ({rating.note})." if rating.note else "."
        found.append(RubberReason("fluid", suitability, text, rating.source, rating.standing))
    number = rating.number if rating is not None else None
    if what.t_max_c is None or at_most(t_max_c, what.t_max_c):
        return number, found
    if what.hotter_code:
        hotter, more = _chemistry(which, fluid(what.hotter_code), t_max_c)
        return max(number or 4, hotter or 4), found + more
    found.append(_beyond(what, what.t_max_c, t_max_c))
    return number, found


def _beyond(what: FluidRow, rated_c: float, t_max_c: float) -> RubberReason:
    """The ratings end at a temperature: above it with care, and not at all where the fluid itself gives up."""
    if what.t_end_c is not None and over(t_max_c, what.t_end_c):
        text = f"{what.name} boils, dries out or breaks down above {what.t_end_c:g} °C; {t_max_c:g} °C is asked."
        return RubberReason("fluid_temperature", Suitability.UNSUITABLE, text, Standing.MEMORY.words, Standing.MEMORY)
    text = (
        f"{what.name}: the ratings hold to {rated_c:g} °C; {t_max_c:g} °C is asked. Hotter, nobody here knows: "
        "ask the ring's maker."
    )
    standing = Standing.MEMORY if what.limit_source == Standing.MEMORY.words else Standing.PUBLISHED
    return RubberReason("fluid_temperature", Suitability.WITH_CARE, text, what.limit_source, standing)


def _together(which: Family, found: list[RubberReason]) -> list[RubberReason]:
    """Two cautions never add up to a permission: a doubtful rubber that is also too hot is known to last by nobody."""
    kinds = {reason.about for reason in found if reason.suitability in _CAUTIOUS}
    if len(kinds) < 2:
        return []
    told = " and ".join(_KINDS[kind] for kind in sorted(kinds))
    text = f"Not known: two cautions, {told}, are no permission for {which}. Ask the ring's maker; do not guess."
    return [RubberReason("together", Suitability.NOT_KNOWN, text, Standing.PRACTICE.words, Standing.PRACTICE)]


def _temperature(which: Family, t_min_c: float, t_max_c: float) -> list[RubberReason]:
    row = families()[which]
    span = f"{row.t_min_c:g} to {row.t_max_c:g} °C, {row.t_max_short_c:g} °C for a short time"
    asked = f"{t_min_c:g} to {t_max_c:g} °C is asked"
    if under(t_min_c, row.t_min_c) or over(t_max_c, row.t_max_short_c):
        text, suitability = f"{which} serves {span}; {asked}, outside it.", Suitability.UNSUITABLE
    elif over(t_max_c, row.t_max_c):
        text, suitability = f"{which} serves {span}; {asked}: only for a short time.", Suitability.WITH_CARE
    else:
        text, suitability = f"{which} serves {span}; {asked}.", Suitability.SUITABLE
    return [_row_reason(which, "temperature", suitability, text)]


def _harder(gap_mm: float, pressure_bar: float, shore_a: int, *, silicone: bool) -> str:
    """What would do where the gap is too wide: the hardness of the tables that bridges it, if any. No full stop."""
    for hardness in HARDNESSES:
        limit = allowed_gap(pressure_bar, hardness, silicone=silicone) if hardness > shore_a else None
        if limit is not None and at_most(gap_mm, limit.diametral_mm):
            return f"fit a ring of {hardness} Shore A, fit a back-up ring, or close the gap"
    return f"no hardness of the tables (to {max(HARDNESSES)} Shore A) bridges it: fit a back-up ring or close the gap"


def _pressure(which: Family, pressure_bar: float, gap_mm: float | None, shore_a: int) -> list[RubberReason]:
    found: list[RubberReason] = []
    limit = allowed_gap(pressure_bar, shore_a, silicone=which in _STATIC_ONLY)
    told = f"{shore_a} Shore A at {pressure_bar:g} bar"
    published = f"{named('S12')}; half for silicone: {_HANDBOOK}"
    if gap_mm is None:
        if over(pressure_bar, BACK_UP_FROM_BAR):
            text = f"Above {BACK_UP_FROM_BAR} bar ask whether a back-up ring is needed; {pressure_bar:g} bar is asked."
            found.append(RubberReason("extrusion", Suitability.WITH_CARE, text, _HANDBOOK, Standing.PUBLISHED))
    elif gap_mm <= 0:
        text = f"Metal meets metal, so {told} cannot push the ring into a gap."
        found.append(RubberReason("extrusion", Suitability.SUITABLE, text, _HANDBOOK, Standing.PUBLISHED))
    elif limit is None:
        help_ = _harder(gap_mm, pressure_bar, shore_a, silicone=which in _STATIC_ONLY)
        text = f"{told} is beyond the tables for a {length(gap_mm)} gap on diameter: {help_}."
        found.append(RubberReason("extrusion", Suitability.WITH_CARE, text, published, Standing.PUBLISHED))
    else:
        fits = at_most(gap_mm, limit.diametral_mm)
        bridged, asked = length(limit.diametral_mm, gap_mm), length(gap_mm, limit.diametral_mm)
        text = f"{told} bridges a gap of {bridged} on diameter; {asked} is asked"
        text += "." if fits else f": {_harder(gap_mm, pressure_bar, shore_a, silicone=which in _STATIC_ONLY)}."
        # The gap is too wide for any family of this hardness, so it never rules one family out.
        suitability = Suitability.SUITABLE if fits else Suitability.WITH_CARE
        found.append(RubberReason("extrusion", suitability, text, limit.source, limit.standing))
    return found
