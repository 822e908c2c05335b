"""Every ordered pair of the catalog's classes against what must never happen, and directions checked by hand.

The invariants and the expectations are written out here, not read from the tables they test.
"""

from __future__ import annotations

from functools import cache

import pytest

from catalog.fluids import classes, rules
from catalog.fluids.grade_check import Verdict
from catalog.fluids.rules import RuleKind
from catalog.fluids.stand_in import Answer, Refusal, may_use, meets
from catalog.standing import Standing
from tests.catalog.fluids.directions import DIRECTIONS, Direction

YES, CARE, NO = Verdict.YES, Verdict.WITH_CARE, Verdict.NO


@cache
def every_pair() -> tuple[Answer, ...]:
    """The answer for each ordered pair of two different classes."""
    codes = [one.code for one in classes.all_classes()]
    return tuple(may_use(offered, required) for offered in codes for required in codes if offered != required)


def usable() -> list[Answer]:
    return [one for one in every_pair() if one.usable]


FAMILY = {one.code: one.family for one in classes.all_classes()}


def sort_of(code: str) -> str:
    """Brake, coolant, grease, reagent or oil, by the family's words alone."""
    family = FAMILY[code]
    for word, sort in (("brake", "brake"), ("coolant", "coolant"), ("grease", "grease"), ("SCR", "reagent")):
        if word in family:
            return sort
    return "oil"


def test_nothing_crosses_between_brake_fluid_coolant_grease_oil_and_reagent() -> None:
    assert [(one.offered, one.required) for one in usable() if sort_of(one.offered) != sort_of(one.required)] == []


def careful(one: Answer) -> list[str]:
    return [rule.kind for rule in one.steps if rule.kind in (RuleKind.CAUTION, RuleKind.PARTIAL)]


def test_two_cautions_never_permit_and_one_is_never_a_plain_yes() -> None:
    for one in usable():
        assert len(careful(one)) <= 1, one
        assert one.steps == () or (one.verdict is CARE) is (len(careful(one)) == 1), one


def test_a_path_of_two_cautions_is_told_apart_and_shown() -> None:
    tired = [one for one in every_pair() if one.refusal is Refusal.TWO_CAUTIONS]
    assert tired
    for one in tired:
        assert one.verdict is NO
        assert len(careful(one)) >= 2
        assert one.steps[0].offered == one.offered
        assert one.steps[-1].required == one.required
        assert one.reason.startswith("No rule permits")


def test_every_answer_says_what_decided_it() -> None:
    for one in every_pair():
        assert one.because, one
        assert all(why.rule and why.source for why in one.because), one
        assert not any(why.source == "memory" for why in one.because), one
        assert (one.refusal is None) is one.usable, one


def test_a_never_or_lacks_rule_blocks() -> None:
    answers = {(one.offered, one.required): one for one in every_pair()}
    for rule in rules.built_in():
        if rule.kind in (RuleKind.NEVER, RuleKind.LACKS):
            assert answers[rule.offered, rule.required].verdict is NO, rule


# What each of these classes is asked for, by its definition: ISO 11158, ASTM D6158, API 1560, S41, S42, FMVSS 116,
# ASTM D6210, JASO T903 and the descriptions of UTTO and ATF: the classes that need it, and all that have it.
ANTI_WEAR_HYDRAULIC = {"ISO-L-HM", "ISO-L-HV", "ISO-L-HG", "DIN 51524-2 HLP", "DIN 51524-3 HVLP"}
NO_ANTI_WEAR = {
    "ISO-L-HH", "ISO-L-HL", "ISO-L-HR", "DIN 51524-1 HL", "API SA", "API SB", "API CA", "API CB", "API GL-1",
    "resource conserving", "JASO FB", "JASO FC", "JASO FD", "retired-label THF",
}  # fmt: skip
HAVE = {
    "wet brake": ({"UTTO", "STOU"}, {"UTTO", "STOU"}),
    "EP of GL-5": ({"API GL-5", "API GL-6"}, {"API GL-5", "API GL-6"}),
    "EP of GL-4": ({"API GL-4"}, {"API GL-4", "API GL-5", "API GL-6", "UTTO", "STOU"}),
    "wet clutch": ({"JASO MA", "JASO MA1", "JASO MA2"}, {"JASO MA", "JASO MA1", "JASO MA2"}),
    "automatic transmission": ({"ATF"}, {"ATF"}),
    "powershift": ({"high-friction powershift oil"}, {"high-friction powershift oil"}),
    "liner": (
        {f"ASTM D6210 Type {n}-FF" for n in ("I", "II", "III", "IV")},
        {f"ASTM D6210 Type {n}-FF" for n in ("I", "II", "III", "IV")},
    ),
    "260 °C": ({"DOT 5.1"}, {"DOT 5.1"}),
    "silicone": ({"DOT 5"}, {"DOT 5"}),
    "mineral brake": ({"HSMO"}, {"HSMO"}),
    "two-stroke": ({"JASO FB", "JASO FC", "JASO FD"}, {"JASO FB", "JASO FC", "JASO FD"}),
    "low ash": (
        {"JASO DH-2", "JASO DL-1", "ACEA E6", "ACEA E8", "API CJ-4"},
        {"JASO DH-2", "JASO DL-1", "ACEA E6", "ACEA E8", "ACEA E9", "ACEA E11", "API CJ-4", "API CK-4"},
    ),
    "HTHS 3.5": (
        {"API CK-4", "API CJ-4", "API CI-4", "API CI-4 PLUS", "ACEA E7", "ACEA E9"},
        {
            "API CK-4", "API CJ-4", "API CI-4", "API CI-4 PLUS", "ACEA E4", "ACEA E6", "ACEA E7", "ACEA E8", "ACEA E9",
            "ACEA E11", "ACEA A3/B4", "ACEA C3", "ACEA C4",
        },
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", list(HAVE))
def test_no_required_property_is_lost(what: str) -> None:
    needing, having = HAVE[what]
    for one in usable():
        if one.required in needing and not any(rule.kind is RuleKind.PARTIAL for rule in one.steps):
            assert one.offered in having, one


def test_what_has_no_anti_wear_never_serves_where_anti_wear_is_asked() -> None:
    asked = ANTI_WEAR_HYDRAULIC | {"HST oil", "UTTO", "API GL-3", "API GL-4"}
    assert [
        (one.offered, one.required) for one in usable() if one.required in asked and one.offered in NO_ANTI_WEAR
    ] == []


def test_petrol_and_diesel_categories_never_serve_for_each_other() -> None:
    # API categories: S for spark ignition, C for compression ignition (S41, S42).
    for one in usable():
        letters = one.offered[:5], one.required[:5]
        assert letters not in (("API S", "API C"), ("API C", "API S")), one


# Looser before stricter, by the standards' own order (S36, S41, S42, S47, D6158, V9).
ORDERS = (
    ("ISO-L-HH", "ISO-L-HL", "ISO-L-HM"),
    ("ISO-L-HL", "ISO-L-HR", "ISO-L-HV"),
    ("DIN 51524-1 HL", "DIN 51524-2 HLP"),
    ("API GL-1", "API GL-2", "API GL-3", "API GL-4", "API GL-5"),
    tuple(f"API S{letter}" for letter in "ABCDEFGHJLMNPQ"),
    ("API CA", "API CB", "API CC", "API CD", "API CE", "API CF-4", "API CG-4", "API CH-4", "API CI-4", "API CI-4 PLUS",
     "API CJ-4", "API CK-4"),
    ("DOT 3", "DOT 4", "DOT 5.1"),
    ("JASO FB", "JASO FC", "JASO FD"),
    ("NLGI LA", "NLGI LB", "NLGI GC-LB"),
    ("NLGI GA", "NLGI GB", "NLGI GC", "NLGI GC-LB"),
    ("ASTM D3306 Type I", "ASTM D6210 Type I-FF"),
    ("ASTM D3306 Type III", "ASTM D6210 Type III-FF"),
)  # fmt: skip


@pytest.mark.parametrize("order", ORDERS, ids=lambda order: f"{order[0]} to {order[-1]}")
def test_a_looser_class_never_stands_in_for_a_stricter_one(order: tuple[str, ...]) -> None:
    for place, looser in enumerate(order):
        for stricter in order[place + 1 :]:
            assert may_use(looser, stricter).verdict is NO, (looser, stricter)


def test_bases_that_do_not_mix_never_serve_for_each_other() -> None:
    mineral = {one.code for one in classes.all_classes() if "mineral hydraulic" in one.groups}
    others = {f"ISO-L-{one}" for one in ("HETG", "HEES", "HEPG", "HFAE", "HFAS", "HFB", "HFC", "HFDR", "HFDU")}
    for one in usable():
        assert not (one.offered in mineral and one.required in others), one
        assert not (one.offered in others and one.required in mineral), one
        assert not {one.offered, one.required} <= others, one


def test_every_permitting_rule_of_the_tables_holds_by_the_properties_too() -> None:
    """A rule that the properties refuse would be dead: the two tables must agree."""
    for rule in rules.built_in():
        if rule.kind in rules.PASSING:
            assert may_use(rule.offered, rule.required).usable, rule


@pytest.mark.parametrize("direction", DIRECTIONS, ids=lambda one: f"{one.offered} for {one.required}")
def test_directions_checked_by_hand(direction: Direction) -> None:
    answer = may_use(direction.offered, direction.required)
    assert answer.verdict is direction.verdict, answer.reason
    if direction.refusal is not None:
        assert answer.refusal is direction.refusal, answer.reason


def test_there_are_enough_directions_and_each_says_who_says_so() -> None:
    assert len(DIRECTIONS) >= 60
    assert len({(one.offered, one.required) for one in DIRECTIONS}) == len(DIRECTIONS)
    assert all(one.source for one in DIRECTIONS)


def own(required: str, offered: str, kind: RuleKind) -> rules.Rule:
    return rules.Rule(required, offered, kind, "as this shop tried", "shop rule", Standing.SHOP)


def test_a_shops_two_cautions_do_not_permit_either_but_its_direct_rule_may() -> None:
    chain = [own("B", "A", RuleKind.CAUTION), own("C", "B", RuleKind.CAUTION)]
    answer = may_use("A", "C", own_rules=chain)
    assert answer.refusal is Refusal.TWO_CAUTIONS
    assert [rule.offered for rule in answer.steps] == ["A", "B"]
    assert may_use("A", "C", own_rules=[*chain, own("C", "A", RuleKind.CAUTION)]).verdict is CARE
    # One of the shop's upon one of the tables are two as well.
    assert may_use("my fluid", "HST oil", own_rules=[own("ISO-L-HM", "my fluid", RuleKind.CAUTION)]).verdict is NO


def test_a_remark_on_an_upgrade_is_carried_along_and_never_counted() -> None:
    chain = [own("B", "A", RuleKind.UPGRADE), own("C", "B", RuleKind.ALLOWED), own("D", "C", RuleKind.CAUTION)]
    assert may_use("A", "C", own_rules=chain).verdict is YES
    answer = may_use("A", "D", own_rules=chain)
    assert answer.verdict is CARE
    assert answer.conditions == ("as this shop tried",)


def test_a_shops_direct_rule_may_supply_a_property_but_never_crosses_into_brakes() -> None:
    assert may_use("API SA", "HM", own_rules=[own("ISO-L-HM", "API SA", RuleKind.CAUTION)]).verdict is CARE
    # An oil in an old steering box that asks for semi-fluid grease is the shop's to say.
    assert may_use("SAE 140", "NLGI 00", own_rules=[own("NLGI 00", "SAE 140 (gear)", RuleKind.CAUTION)]).verdict is CARE
    for brake in ("DOT 4", "HSMO", "AUS 32", "EG 50 vol %"):
        lifted = [own(brake, "API GL-1", RuleKind.ALLOWED)]
        assert may_use("API GL-1", brake, own_rules=lifted).refusal is Refusal.NEVER
    # Along a path the property is still lost.
    detour = [own("my mix", "API SA", RuleKind.ALLOWED), own("ISO-L-HM", "my mix", RuleKind.ALLOWED)]
    assert may_use("API SA", "HM", own_rules=detour).refusal is Refusal.LACKS


def test_several_requirements_are_judged_each_on_its_own_and_the_worst_counts() -> None:
    # Two answers with one caution each are two questions, not one path of two cautions.
    verdict, answers = meets(["API GL-5", "UTTO"], ["API GL-4", "ISO-L-HM"])
    assert verdict is CARE
    assert [one.verdict for one in answers] == [CARE, CARE]
    verdict, answers = meets(["ISO-L-HV"], ["ISO-L-HL", "HST oil", "API CI-4"])
    assert [one.verdict for one in answers] == [YES, CARE, NO]
    assert verdict is NO


def test_a_missing_thickener_or_number_is_asked_for() -> None:
    _, (answer,) = meets(["NLGI 2", "GC-LB"], ["polyurea grease"])
    assert answer.refusal is Refusal.NOT_STATED
    assert "states no thickener" in answer.reason
    _, (answer,) = meets(["GC-LB"], ["NLGI 2"])
    assert "states no NLGI number" in answer.reason
    verdict, _ = meets(["NLGI 2", "GC-LB", "lithium complex grease"], ["NLGI 2", "NLGI GC", "lithium grease"])
    assert verdict is YES
