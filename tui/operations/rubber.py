"""What can be asked of a rubber: which may meet this fluid, is this ring still in its life, what is a look worth?"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any, Final

from catalog import orings
from tui import answers
from tui.answers.rubber import RubberAnswer, RubberFluids, RubberService, age_of, fluid_of, rubber_answer
from tui.fields.field import DEFAULT_UNITS, Asked, FieldError, under
from tui.fields.met import COLDEST, HOTTEST
from tui.fields.rubber import (
    AGE,
    CURED,
    FAMILY,
    FLUID,
    FLUIDS,
    GAP,
    HARDNESS,
    LOOK,
    MOVING,
    PRESSURE,
    RULE,
    TODAY,
)
from tui.operations.operation import Operation

if TYPE_CHECKING:
    from collections.abc import Callable

    from catalog.orings.elastomer import FamilyChoice
    from tui.answers.answer import Answer
    from tui.answers.reasons import Reason
    from tui.answers.rubber import ShelfAge
    from tui.fields.field import Field
    from tui.operations.operation import Bench, Values

HELP = "service → which rubber; cure date → is the ring still good"
DESCRIPTION = """\
Name the fluid and its temperatures; get the rubber families that may be used, best first,
and those that never may. Or give a ring's rubber and cure date; is it still in its life?

examples:
  kitwright rubber --fluid UTTO --from -20C --to 100C
  kitwright rubber --fluid "dot 3" --from -40C --to 120C --json
  kitwright rubber --fluid "mineral brake oil" --from -30C --to 80C
  kitwright rubber --fluid HM_HV --to 90C --pressure 160bar --gap 0.2mm
  kitwright rubber --fluid diesel --family FKM --to 60C
  kitwright rubber --age NBR --cured 2019-03
  kitwright rubber --age FKM --cured 2Q2014 --rule "SAE ARP5316"
  kitwright rubber --look "black, soft"
  kitwright rubber --fluids
"""
EPILOG = """\
families (ASTM D1418): NBR, HNBR, EPDM, FKM, CR, ACM, AEM, VMQ, FVMQ, AU/EU, SBR, NR, IIR, and PTFE.
a word that several fluids go by (synthetic, brake fluid, hydraulic oil) is asked back with its choices.
"not known": no rating is in the tables, so it is not offered; ask the ring's maker. Test if in doubt.
exit codes: 0 some family may be used, or the ring is in its life; 1 none, or it has
  expired, or a look alone was given; 2 wrong options, or a fluid that could be several.
"""
ROOM_C: Final = 20.0
ROOM: Final = "20 °C = 68 °F"
USUAL_HARDNESS: Final = 70


def service_of(values: Values) -> RubberService:
    """What the ring meets, from the fields of it. Raises `FieldError`."""
    coldest, hottest, pressure, gap = (values[one.name] for one in (COLDEST, HOTTEST, PRESSURE, GAP))
    if gap is not None and pressure is None:
        raise FieldError("it matters under pressure; type the pressure too, such as 160 bar", GAP.flag)
    return RubberService(
        coldest_c=ROOM_C if coldest is None else float(coldest.to("°C")),
        hottest_c=ROOM_C if hottest is None else float(hottest.to("°C")),
        temperature_given=coldest is not None or hottest is not None,
        pressure_bar=None if pressure is None else float(pressure.to("bar")),
        gap_mm=None if gap is None else gap.mm,
        hardness_shore_a=USUAL_HARDNESS if values[HARDNESS.name] is None else values[HARDNESS.name],
        moving=bool(values[MOVING.name]),
    )


def rubbers_for(values: Values, _: Bench) -> RubberAnswer:
    """Every family in the fluid that is named, or the one that is. Raises `FieldError`."""
    choice, service = _judged(values)
    return rubber_answer(choice, service, understood=_understood(values))


def _judged(values: Values) -> tuple[FamilyChoice, RubberService]:
    service, code = service_of(values), values[FLUID.name]
    asked = (code, service.coldest_c, service.hottest_c)
    pressure, gap = service.pressure_bar, service.gap_mm
    shore, moving = service.hardness_shore_a, service.moving
    try:
        if values[FAMILY.name] is None:
            return orings.elastomer.families_for(*asked, pressure, gap, shore_a=shore, moving=moving), service
        found = orings.elastomer.rubber_verdict(
            values[FAMILY.name], *asked, pressure_bar=pressure, gap_mm=gap, shore_a=shore, moving=moving
        )
    except ValueError as problem:
        # Only the order of the two can be wrong still.
        raise FieldError(str(problem), HOTTEST.flag) from problem
    return orings.elastomer.choice_of(orings.rubber_tables.fluid(code), [found]), service


def _understood(values: Values) -> tuple[tuple[str, Callable[[], str]], ...]:
    """The service as it was read, by name: each says itself in both families of units, which may load pint."""
    asked = Asked(DEFAULT_UNITS)

    def words(field: Field[Any]) -> Callable[[], str]:
        value = values[field.name]
        return (lambda: ROOM) if value is None else lambda: field.echo(value, asked)

    always = (("coldest", COLDEST), ("hottest", HOTTEST))
    given = (("pressure", PRESSURE), ("gap on diameter", GAP))
    return tuple((name, words(one)) for name, one in (*always, *(g for g in given if values[g[1].name] is not None)))


def _age(values: Values) -> tuple[ShelfAge, tuple[Reason, ...]]:
    """The ring's age, and the rule it is judged by. The clock is read here."""
    if values[CURED.name] is None:
        raise FieldError("--cured is missing; type the cure date on the bag, such as --cured 2019-03 or 1Q2019", "-")
    family, rule = values[AGE.name], values[RULE.name] or orings.shelf_age.ShelfRule.ISO_2230
    cured, today = values[CURED.name], date.today() if values[TODAY.name] is None else values[TODAY.name].day
    if cured.day > today:
        raise FieldError(f"{cured.day} lies after {today}; check the year", CURED.flag)
    life = orings.shelf_age.shelf_life(family, rule)
    try:
        last = orings.shelf_age.expires_on(cured.day, family, rule)
        inspected = (
            orings.shelf_age.expires_on(cured.day, family, rule, extended=True) if life.extension_years else None
        )
    except ValueError as problem:
        raise FieldError(str(problem), CURED.flag) from problem
    return age_of(life, cured.day, cured.why, last, inspected, today), answers.reasons.reasons_of(life.because)


def _rubber(values: Values, _: Bench) -> Answer:
    if values[FLUIDS.name]:
        return RubberFluids(tuple(map(fluid_of, orings.rubber_tables.fluids().values())))
    if values[FLUID.name] is None and values[AGE.name] is None and not values[LOOK.name]:
        raise FieldError("nothing asked; give --fluid with --from and --to, or --age with --cured, or --look", "-")
    if values[CURED.name] is not None and values[AGE.name] is None:
        raise FieldError("it needs the ring's rubber too, such as --age NBR", CURED.flag)
    return _answer(values)


def _answer(values: Values) -> RubberAnswer:
    colour, _, feel = values[LOOK.name].partition(",")
    look = orings.elastomer.identify_by_look(colour, feel) if values[LOOK.name] else None
    choice, service = (None, None) if values[FLUID.name] is None else _judged(values)
    age, because = (None, ()) if values[AGE.name] is None else _age(values)
    understood = () if choice is None else _understood(values)
    return rubber_answer(choice, service, age, look, because=because, understood=understood)


RUBBER = Operation(
    area="rubber",
    name="rubber",
    label="Rubber",
    help=HELP,
    fields=(
        *under("service", FLUID, FLUIDS, COLDEST, HOTTEST, PRESSURE, GAP, HARDNESS, MOVING, FAMILY),
        *under("shelf age", AGE, CURED, RULE, TODAY),
        LOOK,
    ),
    answers=_rubber,
    examples=(
        "rubber --fluid UTTO --from -20C --to 100C",
        'rubber --fluid "mineral brake oil" --from -30C --to 80C',
        "rubber --fluid HM_HV --to 90C --pressure 160bar --gap 0.2mm",
        "rubber --fluid diesel --family FKM --to 60C",
        "rubber --age NBR --cured 2019-03",
        'rubber --age FKM --cured 2Q2014 --rule "SAE ARP5316"',
        'rubber --look "black, soft"',
        "rubber --fluids",
    ),
)

OPERATIONS = (RUBBER,)
