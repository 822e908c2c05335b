"""What can be asked of a fluid, and what this shop says of fluids itself.

May it be used where another is asked, do its measured figures fit, how thick is it, what is a class?
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final, NamedTuple

import models
import tui
from catalog import fluids
from tui.answers.fluid import (
    FluidClasses,
    FluidFigures,
    StandInAnswer,
    class_of,
    classes_of,
    figures_of,
    own_class_of,
    stand_in_answer,
)
from tui.answers.own_fluids import (
    OwnClassNamed,
    OwnRules,
    OwnRuleSaid,
    OwnTakenIn,
    OwnWithdrawn,
    OwnWritten,
    named_of,
    rule_of,
)
from tui.fields.field import FieldError, under
from tui.fields.fluids import (
    AT,
    CODE,
    CONDITION,
    FIGURES,
    HAVE,
    INDEX,
    KIND,
    LEAST,
    LOOKUP,
    MOST,
    NEED,
    OWN_HAVE,
    OWN_NEED,
    POINTS,
    RULES,
    SAYS,
    SHARE,
    SOURCE,
    TAKEN_IN,
    WHICH,
    WRITTEN,
)
from tui.fields.words import shown
from tui.operations.operation import Operation
from tui.operations.viscosity import viscosity

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from sqlmodel import Session

    from catalog.fluids.classes import FluidClass
    from catalog.fluids.rules import Rule
    from catalog.fluids.shop_rules import ShopBook
    from models.acts import Act
    from tui.answers.answer import Answer
    from tui.fields.fluids import Own
    from tui.operations.operation import Bench, Then, Values
    from tui.workshop import Workshop

HELP = "may this fluid stand in for that; viscosity; classes and grades"
DESCRIPTION = """\
Four questions about a fluid. May it be used where another is asked? Do the
figures that were measured of it fit? How thick is it at a temperature, what is
its index, what does a blend give? What does a class or grade say?

examples:
  kitwright fluid --have UTTO --need ISO-L-HM
  kitwright fluid --have "API GL-5" --need "API GL-4"
  kitwright fluid --have "API CK-4" --have 15W-40 --need "API CI-4" --need 10W-40
  kitwright fluid --have "lithium complex grease" --need "lithium grease"
  kitwright fluid --need "DOT 4" --figures dry=232C wet=157C
  kitwright fluid --need "DOT 4" --figures dry=160C state=used
  kitwright fluid --figures urea=32.5 density=1090
  kitwright fluid --figures freezes=-20C coldest=-25C
  kitwright fluid --need "VG 46" --figures v40=52 new=46
  kitwright fluid --points 46@40C 6.8@100C --at -10C --least 10 --most 1000
  kitwright fluid --points 32@40 5.4@100 --points 68@40 8.7@100 --share 40%
  kitwright fluid --points 46@40 --index 100 --at 100C
  kitwright fluid --class "wet brake"
  kitwright fluid --class 80W-90
  kitwright fluid rules list
"""
EPILOG = """\
--have is what the label claims, --need what the machine's manual asks; repeat both.
A rule may hold one way only. Without a rule the answer is no, and so is a way over two
cautions: they never add up to a permission. Over an old grease, --need is the old one.
--figures takes NAME=VALUE, with --need where a class or grade is asked:
  brake fluid dry, wet, state=used; AUS 32 urea, density, refraction, biuret;
  two-stroke lubricity, torque, detergency, skirt, smoke, blocking; motorcycle dfi, sfi, sti,
  edition=2006; coolant glycol, freezes, coldest, base=pg, sold=prediluted; grease
  penetration; oil in use v40 or v100, new. A temperature without a unit is in
  °C, or in what `kitwright units` says.
The shop's own rules count too, and are said to be its own: kitwright fluid rules --help.
--rules FILE adds more of them: a CSV file with required,offered,kind,condition.
A point is VISCOSITY@TEMPERATURE, in mm²/s (the same number as cSt) and °C; 150SUS@100F
is read as Saybolt seconds at that temperature.
exit codes: 0 yes or with care, or an answer; 1 no, outside the limits asked, or no such
  class; 2 wrong options.
"""
GROUPS = {
    "rules": (
        "the shop's own rules and classes",
        """\
What this shop says itself of fluids: its own stand-in rules and its own classes. Every answer
that rests on one says that it is this shop's own. A rule of the tables that says never stands
whatever the shop says.

examples:
  kitwright fluid rules list
  kitwright fluid rules add --need UTTO --have ORCHARD-1 --kind allowed --if "sprayers only"
  kitwright fluid rules class ORCHARD-1 --says "the co-op's own mix"
  kitwright fluid rules remove 3
  kitwright fluid rules import rules.csv
  kitwright fluid rules export rules.csv
""",
    )
}
MOST_BYTES: Final = 2_000_000
ASK_ONE: Final = (
    "ask one thing: --have and --need (may I use it), --figures (do its figures fit), "
    "--points (how thick is it), or --class (what is it)"
)


class Shop(NamedTuple):
    """What a shop says of fluids itself: its rules as the catalog takes them, and its classes by their key."""

    rules: tuple[Rule, ...] = ()
    classes: Mapping[str, tuple[str, str]] = {}


def shop_of(book: ShopBook) -> Shop:
    """What the shop's book says."""
    return Shop(book.rules, {fluids.classes.key(one.code): (one.code, one.description) for one in book.classes})


def own_book(bench: Bench) -> Shop:
    """What this shop says itself. A question never makes a workshop: where there is none, it says nothing."""
    place = None if bench.place is None else bench.place()
    if isinstance(place, Path) and not place.is_file():
        return Shop()

    def look(session: Session) -> Shop:
        return shop_of(models.fluid_rules.book(session))

    return bench.look(look)


# May it be used?


def asked_back(text: str, shop: Shop) -> str:
    """The question about a word with several meanings, which is asked back, never guessed; "" where it means one."""
    found = None if fluids.classes.key(text) in shop.classes else fluids.ambiguous.which(text)
    return "" if found is None else found.question


def stands_in(values: Values, bench: Bench, shop: Shop | None = None) -> StandInAnswer:
    """May what the label claims be used where that is asked? `shop`: what it says itself, where that is known already.

    Raises `FieldError`.
    """
    have, need = values[HAVE.name], values[NEED.name]
    if not have or not need:
        raise FieldError(
            "give both sides: --have UTTO (what the label claims) and --need ISO-L-HM (what is asked)", "-"
        )
    more = () if not values[RULES.name] else _rules_of(values[RULES.name])
    shop = own_book(bench) if shop is None else shop
    for field in (HAVE, NEED):
        for text in values[field.name]:
            if question := asked_back(text, shop):
                raise FieldError(question, field.flag)
    rules = (*shop.rules, *more)
    verdict, answers = fluids.stand_in.meets(have, need, own_rules=rules)
    ruled = {fluids.classes.key(code) for rule in rules for code in (rule.offered, rule.required)}
    named = {code: says for code, (_, says) in shop.classes.items()}
    return stand_in_answer(have, need, verdict, answers, own=named, ruled=ruled)


def _rules_of(path: str) -> tuple[Rule, ...]:
    """The rules of a file of the shop's own. Raises `FieldError`."""
    file = Path(path)
    try:
        if file.is_file() and file.stat().st_size > MOST_BYTES:
            most = f"{MOST_BYTES // 1_000_000} MB"
            raise FieldError(f"{shown(path, 200)} is larger than {most}; that is not a rules file", RULES.flag)
        return fluids.shop_rules.read_shop_rules(file)
    except FieldError:
        raise
    except fluids.shop_rules.ShopRulesError as problem:
        more = f" ({len(problem.problems) - 1} more)" if len(problem.problems) > 1 else ""
        raise FieldError(f"{' '.join(problem.problems[0].split())}{more}", RULES.flag) from problem
    except (OSError, ValueError) as problem:
        raise FieldError(f"{shown(path, 200)} cannot be read", RULES.flag) from problem


# Do its figures fit?


def figures_fit(values: Values, bench: Bench) -> FluidFigures:
    """Whether what was measured fits whichever requirement it speaks of. Raises `FieldError`."""
    temperature = bench.units.temperature
    try:
        return figures_of(
            fluids.by_figures.judge_needs(values[FIGURES.name], values[NEED.name], bare_temperature=temperature)
        )
    except ValueError as problem:
        raise FieldError(str(problem), FIGURES.flag) from problem


# What is a class?


def _classes(text: str, bench: Bench) -> FluidClasses:
    """Look the text up, best first; the shop's own classes after those of the tables."""
    asked = fluids.ambiguous.which(text)
    # Of a word with several meanings those come first that it may be.
    may_be = () if asked is None else tuple(one for one in map(fluids.classes.get, asked.codes) if one is not None)
    listed: Sequence[FluidClass] = (*may_be, *(one for one in fluids.classes.find(text) if one not in may_be))
    words = [fluids.classes.key(word) for word in text.split()]
    own = [
        own_class_of(code, says)
        for code, says in own_book(bench).classes.values()
        if all(word in fluids.classes.key(f"{code}{says}") for word in words)
    ]
    return classes_of(text, asked, (*map(class_of, listed), *own))


def _fluid(values: Values, bench: Bench) -> Answer:
    """Answer whichever of the four was asked."""
    figures, points, lookup = values[FIGURES.name], values[POINTS.name], values[LOOKUP.name]
    sides = bool(values[HAVE.name] or values[NEED.name]) and not figures
    if sum(map(bool, (sides, points, lookup, figures))) != 1:
        raise FieldError(ASK_ONE, "-")
    if figures:
        if values[HAVE.name]:
            raise FieldError("--figures judges what was measured; ask --have in a question of its own", "-")
        return figures_fit(values, bench)
    if sides:
        return stands_in(values, bench)
    return viscosity(values) if points else _classes(lookup, bench)


FLUID = Operation(
    area="fluid",
    name="fluid",
    label="Fluid",
    help=HELP,
    fields=(
        *under("may I use it", HAVE, NEED, RULES),
        *under("do its figures fit", FIGURES),
        *under("how thick is it", POINTS, INDEX, AT, LEAST, MOST, SHARE),
        LOOKUP,
    ),
    answers=_fluid,
    looks=True,
    examples=(
        "fluid --have UTTO --need ISO-L-HM",
        'fluid --have "API CK-4" --have 15W-40 --need "API CI-4" --need 10W-40',
        'fluid --need "DOT 4" --figures dry=232C wet=157C',
        "fluid --points 46@40C 6.8@100C --at -10C --least 10 --most 1000",
        "fluid --points 32@40 5.4@100 --points 68@40 8.7@100 --share 40%",
        'fluid --class "wet brake"',
    ),
)


# What this shop says itself


def _listed() -> Callable[..., OwnRules]:

    def look(session: Session) -> OwnRules:
        rules, classes = models.fluid_rules.listed(session), models.fluid_rules.classes(session)
        return OwnRules(tuple(map(rule_of, rules)), tuple(map(named_of, classes)))

    return look


def _withdraw() -> Callable[..., str]:

    def change(session: Session, act: Act, *, which: Own) -> str:
        if not which.code:
            gone = models.fluid_rules.remove(session, act, which.number)
            return f"{gone.offered} where {gone.required} is asked: {gone.kind}"
        known = models.fluid_rules.classes(session)
        found = next(
            (one for one in known if fluids.classes.key(one.said.code) == fluids.classes.key(which.code)), None
        )
        if found is None:
            raise models.errors.NotFoundError(
                f"This shop has no class {shown(which.code)}.", "See: kitwright fluid rules list"
            )
        models.fluid_rules.remove_class(session, act, found.class_id)
        return f"the class {found.said.code}"

    return change


def _withdrawn(then: Then) -> OwnWithdrawn:
    return OwnWithdrawn(then.result)


def _import(workshop: Workshop, values: Values) -> OwnTakenIn:
    text = models.outside.small_text(values[TAKEN_IN.name], 4 * models.fluid_rules.MOST_CHARACTERS)
    taken = workshop.change(lambda session, act: models.fluid_rules.take_in(session, act, text))
    return OwnTakenIn(**taken._asdict())


def _export(workshop: Workshop, values: Values) -> OwnWritten:
    where, book = values[WRITTEN.name], workshop.read(models.fluid_rules.book)
    text = models.fluid_rules.to_csv(book)
    if where != "-":
        try:
            tui.saving.save(where, text.encode())
        except tui.saving.SaveError as fault:
            raise FieldError(str(fault), "-") from fault
    return OwnWritten(len(book.written) + len(book.classes), where, text)


SAY = 'fluid rules add --need "VG 46" --have "VG 68" --kind caution --if "summer only"'
NAME = 'fluid rules class ORCHARD-1 --says "the co-op\'s own mix"'
RULE_LIST = Operation(
    area="fluid",
    name="rules list",
    label="Own rules",
    help="the rules and classes that stand",
    about="List the shop's own rules and classes, with who said each and when.",
    fields=(),
    question=_listed,
    examples=("fluid rules list",),
)
RULE_ADD = Operation(
    area="fluid",
    name="rules add",
    label="Say a rule",
    help="say a rule",
    about="""\
Say a rule: may what the label claims be used where that is asked?
A cell may list classes separated by ; or name a group such as @engine.

kinds: upgrade or allowed (yes), caution (with care, under --if), partial (for part of
the duty), downgrade (no), lacks or never (never).""",
    fields=(OWN_NEED, OWN_HAVE, KIND, CONDITION, SOURCE),
    change=lambda: models.fluid_rules.add,
    answer=lambda then: OwnRuleSaid(rule_of(then.result)),
    examples=(SAY,),
)
RULE_CLASS = Operation(
    area="fluid",
    name="rules class",
    label="Name a class",
    help="name a class of the shop's own",
    about="Name a class of the shop's own, such as a mix it makes.",
    fields=(CODE, SAYS),
    change=lambda: models.fluid_rules.add_class,
    answer=lambda then: OwnClassNamed(named_of(then.result)),
    examples=(NAME,),
)
RULE_REMOVE = Operation(
    area="fluid",
    name="rules remove",
    label="Withdraw",
    help="withdraw a rule or a class",
    about="Withdraw a rule by its number in the list, or a class by its code. It stays on\nrecord.",
    fields=(WHICH,),
    change=_withdraw,
    answer=_withdrawn,
    examples=("fluid rules remove ORCHARD-1",),
    before=(NAME,),
)
RULE_IMPORT = Operation(
    area="fluid",
    name="rules import",
    label="Take in rules",
    help="take in a CSV file",
    about="Take in rules and classes from CSV: required,offered,kind,condition and, if\n"
    "wanted, source. All of it, or nothing.",
    fields=(TAKEN_IN,),
    does=_import,
    examples=("fluid rules import rules.csv",),
    before=(SAY, "fluid rules export rules.csv"),
)
RULE_EXPORT = Operation(
    area="fluid",
    name="rules export",
    label="Write rules",
    help="write a CSV file",
    about="Write the shop's own rules and classes as CSV, for another shop to take in.",
    fields=(WRITTEN,),
    does=_export,
    examples=("fluid rules export rules.csv",),
)

OPERATIONS = (FLUID, RULE_LIST, RULE_ADD, RULE_CLASS, RULE_REMOVE, RULE_IMPORT, RULE_EXPORT)
