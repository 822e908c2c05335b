"""Which rubber may meet a fluid, how long a ring may lie on the shelf, and what its look is worth."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, ClassVar, Final, Literal

from catalog import orings
from tui.answers.advice import ADVICE, cautions
from tui.answers.answer import Answer, said
from tui.answers.reasons import Reason, Standing, Suitability, reasons_of
from tui.commands.output import table

if TYPE_CHECKING:
    from catalog.orings import elastomer, shelf_age
    from catalog.orings.rubber_tables import FluidRow

Family = Literal[
    "NBR", "HNBR", "EPDM", "FKM", "CR", "ACM", "AEM", "VMQ", "FVMQ", "AU/EU", "PTFE", "SBR", "NR", "IIR"
]  # fmt: skip
About = Literal["fluid", "fluid_temperature", "together", "temperature", "recovery", "motion", "extrusion"]
ABOUT: Final[Mapping[str, str]] = MappingProxyType(
    {"fluid_temperature": "heat of the fluid", "together": "both cautions", "recovery": "springing back"}
)
"""What a point is about, where its word alone does not say it."""
COMPOUNDS: Final = "Compounds of one family differ: the ring's data sheet decides. Test if in doubt."


@dataclass(frozen=True)
class Fluid:
    """A fluid of the tables. `words`: what else it goes by; typed, each means this fluid alone.

    `note`: what its base may be besides, or what else to mind; null where there is nothing.
    """

    code: str
    name: str
    words: tuple[str, ...]
    note: str | None


@dataclass(frozen=True)
class Point:
    """One judged point of a rubber, with its source and how far that is trusted."""

    about: About
    suitability: Suitability
    text: str
    source: str
    standing: Standing

    @property
    def name(self) -> str:
        """What it is about."""
        return ABOUT.get(self.about, self.about)

    @property
    def sourced(self) -> str:
        """Its source, and how far that is trusted where the source does not say so itself."""
        return Reason(self.text, self.source, self.standing).sourced

    @property
    def words(self) -> str:
        """It with its source, in one line."""
        return f"{self.text} [{self.sourced}]"


@dataclass(frozen=True)
class RubberVerdict:
    """A family judged for the service. `rating`: 1 good to 4 unsuitable, null where the tables have none.

    `reasons`: worst first; `because`: those that decided.
    """

    family: Family
    suitability: Suitability
    rating: Literal[1, 2, 3, 4] | None
    reasons: tuple[Point, ...]
    because: tuple[Reason, ...]


@dataclass(frozen=True)
class RubberService:
    """What the ring meets. `temperature_given`: without one it is judged at 20 °C alone."""

    coldest_c: float
    hottest_c: float
    temperature_given: bool
    pressure_bar: float | None
    gap_mm: float | None
    hardness_shore_a: int
    moving: bool

    @property
    def at_room_alone(self) -> str:
        """That nobody said how warm it gets; "" where somebody did."""
        return "" if self.temperature_given else "No temperature was given: judged at 20 °C alone."


@dataclass(frozen=True)
class ShelfAge:
    """A ring's age on the shelf. `last_day`: null without limit; `cured_note`: why the printed date counts so.

    `last_day_inspected`: where an inspection may grant `extension_years` more.
    """

    family: Family
    rule: Literal["ISO 2230", "SAE ARP5316"]
    group: str
    years: int | None
    extension_years: int | None
    cured: date
    cured_note: str | None
    last_day: date | None
    last_day_inspected: date | None
    today: date
    in_life: bool
    source: str
    standing: Standing
    note: str

    def lines(self) -> list[str]:
        """The answer, the rule, what an inspection would grant."""
        name = f"{self.family} cured {self.cured}"
        if self.last_day is None:
            lines = [f"{name}: no end of shelf life under {self.rule}"]
        elif self.in_life:
            lines = [f"{name}: in its life until {self.last_day} under {self.rule}"]
        else:
            lines = [f"{name}: EXPIRED, its last day was {self.last_day} under {self.rule}. Take it out of the bin."]
        if self.cured_note:
            lines.append(f"Counted from {self.cured}: {self.cured_note}.")
        years = "unlimited" if self.years is None else f"{self.years} years from cure"
        group = f", group {self.group}" if len(self.group) == 1 else ""
        told = Reason(f"{self.rule}{group}: {years}", self.source, self.standing)
        lines.append(f"Rule: {told.words}.")
        if self.note:
            lines.append(f"Note: {self.note}.")
        if self.last_day_inspected is not None:
            more = f"{self.extension_years} years more, until {self.last_day_inspected}"
            lines.append(f"An inspection that finds it good grants {more}.")
        return [*lines, "This holds for a ring kept cool, dark, dry, in its bag and not stretched."]


@dataclass(frozen=True)
class Look:
    """What a look at a ring tells of its rubber: no family, ever."""

    families: tuple[()]
    text: str


@dataclass(frozen=True)
class RubberAnswer(Answer):
    """Rubber families for a service, a ring's shelf age, what a look is worth: whichever was asked, null otherwise.

    `at_hottest`: the fluid that takes over from `fluid` at the hottest, null where none does; `freezing`: that water
    freezes so cold. `allowed`: best first; `not_known`: not offered, for no rating is in the tables; `never`: must not
    be used.
    """

    SCHEMA: ClassVar[str] = "kitwright.rubber/2"

    fluid: Fluid | None
    service: RubberService | None
    allowed: tuple[RubberVerdict, ...] | None
    not_known: tuple[RubberVerdict, ...] | None
    never: tuple[RubberVerdict, ...] | None
    age: ShelfAge | None
    look: Look | None
    because: tuple[Reason, ...]
    caution: str
    at_hottest: Fluid | None = None
    freezing: Reason | None = None
    understood: tuple[Any, ...] = said(())
    """What was read of the service, by name: each a function that says it in both families of units."""

    @property
    def found(self) -> bool:
        """Whether some family may be used and the ring is in its life. A look alone names no rubber."""
        if self.fluid is None and self.age is None:
            return False
        return (self.fluid is None or bool(self.allowed)) and (self.age is None or self.age.in_life)

    @property
    def judged(self) -> tuple[RubberVerdict, ...]:
        """Every family that was judged, best first."""
        return (*(self.allowed or ()), *(self.not_known or ()), *(self.never or ()))

    def words(self) -> list[str]:
        """What a look is worth, the age, the families, each with its reasons."""
        lines: list[str] = []
        if self.look is not None:
            lines += [self.look.text, ""]
        if self.age is not None:
            lines += [*self.age.lines(), ""]
        lines += self._families()
        lines += cautions("burnt-fkm") if self.look is not None or self.fluid is not None else []
        return [*lines, COMPOUNDS, self.caution]

    def _families(self) -> list[str]:
        if self.fluid is None or self.service is None:
            return []
        allowed, not_known, never = self.allowed or (), self.not_known or (), self.never or ()
        lines = [f"{self.met}: {self.headline}"]
        if self.freezing is not None:
            lines.append(self.freezing.words)
        if self.fluid.note:
            lines.append(self.fluid.note)
        for one in allowed:
            lines += ["", f"{one.family}: {one.suitability}", *(f"  {point.words}" for point in one.reasons)]
        if not_known:
            lines += ["", f"Not known, ask the ring's maker: {', '.join(one.family for one in not_known)}"]
            lines += [f"  {one.reasons[0].words}" for one in not_known]
        if never:
            lines += ["", f"Never here: {', '.join(one.family for one in never)}"]
            lines += [f"  {one.reasons[0].words}" for one in never]
        told = [f"{name} {words()}" for name, words in self.understood]
        motion, alone = "moving" if self.service.moving else "standing still", self.service.at_room_alone
        understood = f"Understood: {'; '.join([*told, motion])}."
        return [*lines, "", f"{understood} {alone} Add --from and --to." if alone else understood]

    @property
    def met(self) -> str:
        """`In hot water over 80 °C, steam`: what the ring meets at its hottest; "" where no fluid was asked."""
        worst = self.at_hottest or self.fluid
        return "" if worst is None else f"In {worst.name}"

    @property
    def headline(self) -> str:
        """The families that may be used, or what none means."""
        if self.allowed:
            return ", ".join(f"{one.family} ({one.suitability})" for one in self.allowed)
        if len(self.judged) > 1:
            return "no family may be used"
        if self.not_known:
            return f"nothing is known of {self.not_known[0].family}; ask the ring's maker"
        return "it is not to be used"


@dataclass(frozen=True)
class RubberFluids(Answer):
    """The fluids that a rubber can be judged in."""

    SCHEMA: ClassVar[str] = "kitwright.rubber-fluids/2"

    fluids: tuple[Fluid, ...]

    def words(self) -> list[str]:
        """A table: code, name, and what else to type."""
        return table(("code", "fluid", "or type"), [(one.code, one.name, ", ".join(one.words)) for one in self.fluids])


# From the catalog's records


def fluid_of(row: FluidRow) -> Fluid:
    """A fluid of the catalog as answers tell it."""
    return Fluid(row.code, row.name, tuple(row.words), row.note or None)


def age_of(
    life: shelf_age.ShelfLife, cured: date, why: str, last: date | None, inspected: date | None, today: date
) -> ShelfAge:
    """A ring's age as answers tell it: its life, the day it counts from and why, its last days, and what day it is."""
    return ShelfAge(
        family=life.family.value,
        rule=life.rule.value,
        group=life.group,
        years=life.years,
        extension_years=life.extension_years,
        cured=cured,
        cured_note=why or None,
        last_day=last,
        last_day_inspected=inspected,
        today=today,
        in_life=last is None or today <= last,
        source=life.source,
        standing=life.standing.value,
        note=life.note,
    )


def _verdict_of(one: elastomer.RubberVerdict) -> RubberVerdict:
    return RubberVerdict(
        family=one.family.value,
        suitability=one.suitability.value,
        rating=one.rating,  # type: ignore[arg-type]
        reasons=tuple(
            Point(point.about, point.suitability.value, point.text, point.source, point.standing.value)  # type: ignore[arg-type]
            for point in one.reasons
        ),
        because=reasons_of(one.because),
    )


def _verdicts(found: Iterable[elastomer.RubberVerdict]) -> tuple[RubberVerdict, ...]:
    return tuple(map(_verdict_of, found))


def _extremes(row: FluidRow, service: RubberService) -> tuple[Fluid | None, Reason | None]:
    """What takes over at the hottest, and what happens at the coldest."""
    hottest = orings.elastomer.at_hottest(row.code, service.hottest_c)
    ice = orings.elastomer.freezing(row.code, service.coldest_c)
    return (None if hottest.code == row.code else fluid_of(hottest)), (None if ice is None else reasons_of([ice])[0])


def rubber_answer(
    choice: elastomer.FamilyChoice | None,
    service: RubberService | None = None,
    age: ShelfAge | None = None,
    look: elastomer.LookAnswer | None = None,
    *,
    because: Sequence[Reason] = (),
    understood: Sequence[tuple[str, Callable[[], str]]] = (),
) -> RubberAnswer:
    """Whatever was asked, as an answer. `because`: the rules behind the age."""
    over, ice = (None, None) if choice is None or service is None else _extremes(choice.fluid, service)
    return RubberAnswer(
        fluid=None if choice is None else fluid_of(choice.fluid),
        service=service,
        allowed=None if choice is None else _verdicts(choice.allowed),
        not_known=None if choice is None else _verdicts(choice.not_known),
        never=None if choice is None else _verdicts(choice.never),
        age=age,
        look=None if look is None else Look((), look.text),
        because=(
            *(() if choice is None else reasons_of(choice.because)),
            *because,
            *(() if look is None else reasons_of(look.because)),
        ),
        caution=ADVICE,
        at_hottest=over,
        freezing=ice,
        understood=tuple(understood),
    )
