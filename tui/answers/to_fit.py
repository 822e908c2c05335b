"""Which ring to put in, and what to do where that is not sure: one set of words for the command and the screen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

from catalog import orings
from tui import answers
from tui.answers.chances import percent
from tui.answers.reasons import Reason, Standing, Suitability, reasons_of
from tui.answers.sizes import UNCHECKED, Standard, size_dimensions

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

    from catalog.orings.by_look import Waits
    from catalog.orings.decide import Decision
    from catalog.orings.decide import ToFit as Fitting
    from catalog.orings.elastomer import RubberVerdict
    from catalog.orings.evidence import Condition
    from catalog.orings.next_step import NextStep
    from catalog.orings.on_shelf import ShelfRing

JointKind = Literal["plug", "bore", "cover", "shaft", "port"]
Step = Literal["read", "read-across", "look", "joint", "groove"]
HALF: Final = 0.5
BEST: Final = 1
"""The rating that is called good."""
SURE: Final = 0.9
"""From this chance on a ring is said to seal whichever size the old one was."""
SHELF_NOT_SEEN = "Shelf not looked at."
RUBBER_NOT_JUDGED = "Rubber not judged: which fluid?"


@dataclass(frozen=True)
class RubberInService:
    """A rubber, with its hardness (Shore A) where it is said, in what it meets. `source`: of the rule that decided."""

    rubber: str
    hardness_shore_a: int | None
    suitability: Suitability
    verdict: str
    source: str
    standing: Standing

    @property
    def words(self) -> str:
        """The verdict with its source."""
        return f"{self.verdict} [{self.sourced}]"

    @property
    def sourced(self) -> str:
        """The source by its publication's name, and how far that is trusted where it does not say so itself."""
        return Reason(self.verdict, self.source, self.standing).sourced


@dataclass(frozen=True)
class Met:
    """What the ring meets at work: a fluid of the rubber tables, and the hottest it gets, °C."""

    fluid: str
    hottest_c: float

    def suits(self, rubber: str) -> bool:
        """Whether a ring of this rubber may go in; one of a rubber not stated may not."""
        try:
            return orings.elastomer.rubber_verdict(
                rubber, self.fluid, min(self.hottest_c, 20.0), self.hottest_c
            ).suitability.offered
        except ValueError:
            return False

    def rubbers(self, lying: Collection[str] = ()) -> tuple[str, ...]:
        """The rubbers that may go in, best first; of equally good ones those that lie on the shelf (`lying`)."""
        allowed = orings.elastomer.families_for(self.fluid, min(self.hottest_c, 20.0), self.hottest_c).allowed
        ranked = sorted(allowed, key=lambda one: (one.suitability.rank, one.family.value not in lying))
        return tuple(one.family.value for one in ranked)

    @property
    def none_may(self) -> str:
        """What to say where no rubber of the tables may go in."""
        return (
            f"No rubber in our tables suits that fluid {self.hottest_words}. "
            "Correct the fluid and the temperature, or clear both."
        )

    @property
    def judged_for(self) -> str:
        """By what the rubbers on the shelf were judged."""
        return f"Rubber judged for {orings.elastomer.at_hottest(self.fluid, self.hottest_c).name} {self.hottest_words}"

    @property
    def hottest_words(self) -> str:
        """`to 100 °C = 212 °F`."""
        return to_heat(self.hottest_c)

    def in_service(self, rows: Iterable[OnShelf]) -> tuple[RubberInService, ...]:
        """The verdict on each rubber that lies there."""
        return in_service_of(((one.elastomer, one.hardness_shore_a) for one in rows), self.fluid, self.hottest_c)

    def words(self, rings: Sequence[ToFit]) -> str:
        """By what the rubbers on the shelf were judged, and what may not go in."""
        if all(one.on_shelf is None for one in rings):
            return "Rubber not judged: the shelf was not looked at. kitwright rubber says which may go in."
        left = "; ".join(
            f"{one.name}: {', '.join(row.words() for row in one.left_out)}"
            for one in rings
            if one.left_out and one.seals >= HALF
        )
        return f"{self.judged_for}; not counted: {left}." if left else f"{self.judged_for}."

    def verdicts(self, rings: Sequence[ToFit]) -> tuple[RubberInService, ...]:
        """The verdict on each rubber in which the rings that likely seal lie on the shelf."""
        likely = [one for one in rings if one.seals >= HALF]
        return self.in_service(row for one in likely for row in (*(one.on_shelf or ()), *one.left_out))


@dataclass(frozen=True)
class OnShelf:
    """Where such a ring lies: pieces free, its rubber ("" where nobody said) and hardness (Shore A)."""

    bin: str
    free: int
    elastomer: str
    hardness_shore_a: int | None
    item: int

    def words(self) -> str:
        """`11 in Box 1 (NBR 70)`."""
        rubber = " ".join(str(part) for part in (self.elastomer, self.hardness_shore_a) if part)
        return f"{self.free} in {self.bin}" + (f" ({rubber})" if rubber else "")


@dataclass(frozen=True)
class ToFit:
    """A ring that could go in; lengths in mm.

    `seals`, `marginal`: the chance that it seals as well as the right ring would, and that it is marginal there; the
    rest is that it will not. `on_shelf`: null where the shelf was not looked at; `left_out`: what lies there in a
    rubber that may not go in.
    """

    standard: Standard
    designation: str
    name: str
    id_mm: float
    cross_section_mm: float
    seals: float
    marginal: float
    why: str
    standing: Standing
    on_shelf: tuple[OnShelf, ...] | None
    left_out: tuple[OnShelf, ...]

    def size_words(self, unit: str) -> str:
        """What it measures, in both units, and whether its row is unchecked."""
        unchecked = f" [{UNCHECKED}]" if self.standing == "memory" else ""
        return f"{size_dimensions(self.id_mm, self.cross_section_mm, unit)}{unchecked}"

    def shelf_words(self) -> str:
        """Where it lies, in a sentence."""
        if self.on_shelf is None:
            return SHELF_NOT_SEEN
        if not self.on_shelf:
            return "None suitable on the shelf." if self.left_out else "None on the shelf."
        return f"{', '.join(row.words() for row in self.on_shelf[:3])}."


@dataclass(frozen=True)
class Next:
    """What to do next. `what`: the reading, where it is one. `now`, `then`: the chance to seal, before and expected."""

    step: Step
    what: Literal["id", "od", "width", "around", "cut_length"] | None
    tool: Literal["caliper", "micrometer", "rule", "tape", "cone", "stated"] | None
    why: str
    now: float
    then: float


@dataclass(frozen=True)
class ToDo:
    """The first line of the answer: the ring to fit and how likely it seals, or that none is sure. `settled`: a ring is
    named to be fitted.
    """

    words: str
    settled: bool


def to_heat(hottest_c: float) -> str:
    """`to 100 °C (212 °F)`."""
    return f"to {answers.viscosity.both(hottest_c, whole=True)}"


def in_service(rubber: str, hardness: int | None, fluid: str, hottest_c: float) -> RubberInService:
    """The verdict on a rubber in a fluid of the tables up to a heat, °C; one that is not said is not judged."""
    where = f"{_short(fluid, hottest_c)} {to_heat(hottest_c)}"
    try:
        found = orings.elastomer.rubber_verdict(rubber, fluid, min(hottest_c, 20.0), hottest_c)
    except ValueError:
        name = rubber or "a rubber not stated"
        said = f"{name}: not judged in {where}; ask the ring's maker"
        return RubberInService(rubber, hardness, "not known", said, "", "practice")
    called = f"{rubber} {hardness}" if hardness else rubber
    reason = reasons_of(found.because)[0]
    told = _told(found, where, reason.rule)
    return RubberInService(
        rubber, hardness, found.suitability.value, f"{called}: {told}", reason.source, reason.standing
    )


def in_service_of(
    rubbers: Iterable[tuple[str, int | None]], fluid: str, hottest_c: float
) -> tuple[RubberInService, ...]:
    """The verdicts on each of these rubbers, each once, in their order."""
    return tuple(in_service(rubber, hardness, fluid, hottest_c) for rubber, hardness in dict.fromkeys(rubbers))


def _told(found: RubberVerdict, where: str, rule: str) -> str:
    suitability = orings.elastomer.Suitability
    why = _bare(rule)
    if found.suitability is suitability.SUITABLE:
        return f"{'good' if found.rating == BEST else 'will do'} in {where}"
    if found.suitability is suitability.WITH_CARE:
        return f"with care in {where} – {why}"
    if found.suitability is suitability.DOUBTFUL:
        return f"doubtful in {where} – {why}"
    if found.suitability is suitability.NOT_KNOWN:
        return f"not known in {where}; ask the ring's maker"
    return f"will not do in {where} – {why}"


def _bare(rule: str) -> str:
    """The rule without what the sentence says already: "Never EPDM in UTTO: "."""
    head, sign, rest = rule.partition(": ")
    return (rest if sign and head.startswith("Never") else rule).rstrip(".")


def _short(fluid: str, hottest_c: float) -> str:
    """The name of what is met at the hottest; its code where the name begins with that, as UTTO's does."""
    try:
        row = orings.elastomer.at_hottest(fluid, hottest_c)
    except ValueError:
        return "a fluid that our tables do not know"
    return row.code if row.name.startswith(f"{row.code} ") else row.name


def to_do_of(decision: Decision, following: NextStep | None = None) -> ToDo | None:
    """What to do, in one line; None where there is no ring to name. `following`: the next step, said where no ring
    seals in half of the joints that it may have come from.
    """
    best = decision.best
    if best is None:
        return None
    name, seals = best.size.label, percent(best.chance.seals)
    if decision.waits is not None:
        place = f"{CRITICAL}: not yet" if decision.wanted.critical else "Not yet"
        return ToDo(f"{place}: say how it looks. {by_look(decision.waits)}", False)
    if decision.wanted.critical:
        return _critical(decision, best, following)
    if decision.wanted.groove is not None:
        if decision.settled:
            return ToDo(f"Fit {name}: it seals in this groove", True)
        return ToDo(f"No ring is sure to seal in this groove; {name} {_in_the_groove(best)}", False)
    if not decision.settled:
        return ToDo(_undecided(decision, best, following), False)
    if best.match >= 0.9:
        return ToDo(f"Fit {name}: it seals ({seals})", True)
    return ToDo(f"Fit {name}: {_whichever(best)} ({seals})", True)


def _undecided(decision: Decision, best: Fitting, following: NextStep | None) -> str:
    """That no ring is named to be fitted, and what decides: a ring that seals in less than half is no answer."""
    is_port = decision.wanted.joint == "port"
    if best.chance.seals >= HALF:
        said = "Not sure: the port's thread tells its ring" if is_port else "Not sure which ring seals"
        return f"{said}; {nearest(decision, best)}"
    if is_port:
        return "Not decided: the port's thread tells its ring"
    if following is None:
        return "Not decided: no ring seals in half of the joints that it may have come from"
    does = following._replace(hint="").to_do
    return f"Not decided: {does[0].lower()}{does[1:]}"


def nearest(decision: Decision, best: Fitting) -> str:
    """`AS568-214 comes nearest (80 %)`; where it leads as what most likely was in, and another seals better, that."""
    name, seals = best.size.label, percent(best.chance.seals)
    if any(one.chance.seals > best.chance.seals + LEADS_BY for one in decision.to_fit):
        return f"it was most likely {name}, which seals in {seals}"
    return f"{name} comes nearest ({seals})"


LEADS_BY: Final = 0.01
"""A ring that seals better by less is no better."""


def by_look(waits: Waits) -> str:
    """Which ring goes in with which look, no full stop: `Swollen: AS568-214 (93 %); else 26 × 4 (84 %)`."""
    parts = [f"{looks_words(one.looks)}: {one.ring.label} ({percent(one.seals)})" for one in waits.others[:MOST_LOOKS]]
    if len(waits.others) > MOST_LOOKS:
        rest = [look for one in waits.others[1:] for look in one.looks]
        parts = [parts[0], f"{looks_words(rest)}: others"]
    if waits.else_seals:
        parts.append(f"else {waits.ring.label} ({percent(waits.else_seals)})")
    said = "; ".join(parts)
    return f"{said[0].upper()}{said[1:]}"


MOST_LOOKS: Final = 2
"""Rings that the first line has room for, beside the one that goes in otherwise."""


def looks_words(looks: Sequence[Condition]) -> str:
    """`swollen or shrunk`."""
    names = [look.value for look in looks]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"


def _whichever(best: Fitting) -> str:
    """How good the ring to fit is, over all that the old one may have been."""
    return "seals whichever of these it was" if best.chance.seals >= SURE else "the surest of these"


def _in_the_groove(best: Fitting) -> str:
    """How the best ring does in a measured groove that it is not sure to seal in."""
    if best.chance.seals:
        return "would, but such a ring leaked or wept here"
    return "is marginal" if best.chance.marginal else "comes nearest and will not seal"


CRITICAL: Final = "Critical place"


def _critical(decision: Decision, best: Fitting, following: NextStep | None) -> ToDo:
    """The same where somebody may be hurt: a marginal ring is not named to be fitted."""
    name, seals = best.size.label, percent(best.chance.seals)
    if decision.wanted.groove is not None:
        if decision.settled:
            return ToDo(f"{CRITICAL}: fit {name}: it seals in this groove", True)
        return ToDo(f"{CRITICAL}: no ring is sure to seal in this groove; {name} {_in_the_groove(best)}", False)
    if not decision.settled:
        said = _undecided(decision, best, following)
        return ToDo(f"{CRITICAL}: {said[0].lower()}{said[1:]}", False)
    of = "it seals" if best.match >= 0.9 else _whichever(best)
    return ToDo(f"{CRITICAL}: fit {name}: {of} ({seals})", True)


def sure_of_critical(one: Fitting) -> str:
    """What is said before a kit takes a ring for a critical place: its chance and what may be wrong."""
    chance, name = one.chance, one.size.label
    wrong = [
        f"it would be {word} in {percent(share)}"
        for word, share in (("marginal", chance.marginal), ("too loose or too tight", chance.will_not))
        if share >= 0.005
    ]
    lines = [f"{name} seals in {percent(chance.seals)} of the standard joints that the old ring may have come from"]
    lines[0] += f"; {' and '.join(wrong)}." if wrong else "."
    if one.why:
        lines.append(f"It {one.why}.")
    return " ".join(lines)


NOT_JUDGED: Final = "Whether this ring seals there was not judged: only its size is known."
MANUAL: Final = (
    "Its rubber and pressure were not judged. The machine's manual says which ring belongs here: it goes first."
)


def at_stake_of(decision: Decision) -> str | None:
    """Where the best ring will not do, in a sentence; None where nothing is at stake."""
    best = decision.best
    if best is not None and decision.waits is not None:
        if_so = [
            f"{looks_words(one.looks)} ({percent(one.share)} likely), {one.ring.label} "
            f"{'goes in' if one.seals >= SURE else 'comes nearest'} ({percent(one.seals)}): "
            f"{best.size.label} would seal in {percent(one.else_seals)}"
            for one in decision.waits.others
        ]
        return f"If it is {'; if '.join(if_so)}."
    if best is None or best.chance.seals >= SURE:
        return None
    if decision.wanted.groove is not None:
        return "Look at the groove again, or at the next size: none of these is sure to seal in it."
    parts = best.why.split("; ")
    bad = [f"does not go {part.removeprefix('not ')}" for part in parts if part.startswith("not where")]
    some = [f"goes only {part}" for part in parts if part.startswith("in some")]
    thin = [f"is {part}" for part in parts if part.startswith("marginal")]
    where = " and ".join(bad + some + thin)
    said = f"{best.size.label} {where}." if where else f"{best.size.label} is marginal in some of these grooves."
    ask = " A port's thread tells its ring: kitwright port." if decision.wanted.joint == "port" else ""
    return said + ask


def here_of(decision: Decision) -> str | None:
    """How the rings in question went at this very place before, in one line; None where nobody said."""
    book, here = decision.ranking.posterior.book, decision.wanted.here
    found = dict.fromkeys(went for one in decision.to_fit for went in orings.ran.last_by_compound(here, one.size, book))
    return f"{'; '.join(one.words for one in found)}." if found else None


def to_fit_of(decision: Decision, limit: int) -> tuple[ToFit, ...]:
    """The rings that could go in, best first."""
    return tuple(_one(one) for one in decision.to_fit[:limit])


def next_of(step: NextStep | None) -> Next | None:
    """What to do next."""
    if step is None:
        return None
    return Next(
        step.step.value,
        None if step.dimension is None else step.dimension.value,
        None if step.tool is None else step.tool.value,
        step.words,
        round(step.now, 4),
        round(step.then, 4),
    )


def _one(one: Fitting) -> ToFit:
    return ToFit(
        standard=one.size.series.value,
        designation=one.size.designation,
        name=one.size.label,
        id_mm=round(one.size.id_mm, 4),
        cross_section_mm=round(one.size.cross_section_mm, 4),
        seals=round(one.chance.seals, 4),
        marginal=round(one.chance.marginal, 4),
        why=one.why,
        standing=one.size.standing.value,
        on_shelf=None if one.on_shelf is None else rows_of(one.on_shelf),
        left_out=rows_of(one.left_out),
    )


def rows_of(rows: Sequence[ShelfRing]) -> tuple[OnShelf, ...]:
    """Where rings lie, for an answer."""
    return tuple(OnShelf(row.bin, row.free, row.elastomer, row.hardness, row.item) for row in rows)
