"""What may stand in for what. Sources are the keys of `SOURCES.md` beside the tables."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.fluids import classes, rules
from catalog.fluids.grade_check import Verdict
from catalog.fluids.rules import Rule, RuleKind
from catalog.fluids.stand_in import may_use, meets
from catalog.standing import Standing

YES, CARE, NO = Verdict.YES, Verdict.WITH_CARE, Verdict.NO

WORTH: dict[RuleKind, tuple[Verdict, ...]] = {
    RuleKind.UPGRADE: (YES,),
    RuleKind.ALLOWED: (YES,),
    RuleKind.CAUTION: (CARE,),
    RuleKind.PARTIAL: (CARE,),
    RuleKind.DOWNGRADE: (NO,),
    RuleKind.LACKS: (NO,),
    RuleKind.NEVER: (NO,),
}


@pytest.mark.parametrize("kind", list(RuleKind))
def test_every_rule_gives_the_answer_of_its_kind(kind: RuleKind) -> None:
    mine = [rule for rule in rules.built_in() if rule.kind is kind]
    assert mine
    for rule in mine:
        answer = may_use(rule.offered, rule.required)
        assert answer.verdict in WORTH[kind], rule
        assert answer.steps, rule
        assert answer.reason, rule


@pytest.mark.parametrize(
    ("offered", "required", "verdict", "words"),
    [
        # Hydraulic oil, ASTM D6158 scope (S35): HH < HL < HM < HV.
        ("HM", "HL", YES, "inhibitors of HL"),
        ("HV", "HL", YES, "thins less"),
        ("HL", "HM", NO, "anti-wear"),
        ("HM", "HV", CARE, "weather"),
        # API gear levels (S36, S37).
        ("GL-5", "GL-4", CARE, "yellow metal"),
        ("GL-4", "GL-5", NO, "hypoid"),
        ("MT-1", "GL-1", YES, "replace GL-1"),
        # API diesel categories: CK-4 may be licensed as CJ-4 to CH-4 (S39); CI-4 for CD to CH-4 (S42).
        ("CK-4", "CJ-4", YES, ""),
        ("CK-4", "CI-4", YES, ""),
        ("CK-4", "CH-4", YES, ""),
        ("CI-4", "CD", YES, ""),
        ("CI-4", "CG-4", YES, ""),
        ("CJ-4", "CF-4", YES, "sulfur"),
        ("FA-4", "CK-4", NO, "HTHS"),
        ("FA-4", "CI-4", NO, "backward"),
        ("CK-4", "FA-4", CARE, "permits"),
        ("CF-4", "CF", NO, "different lines"),
        # API petrol categories: the latest includes the earlier ones (S41).
        ("SN", "SJ", YES, "wet clutch"),
        ("SH", "SP", NO, "obsolete"),
        # JASO (S44, S46).
        ("MA2", "MA", YES, ""),
        ("MB", "MA", NO, "slips"),
        ("RC", "MA2", NO, "slip"),
        # Brake fluid (S47, S48, S61).
        ("DOT 4", "DOT 3", YES, "mix"),
        ("DOT 5.1", "DOT 4", YES, "mix"),
        ("DOT 3", "DOT 4", NO, "boils"),
        ("DOT 5", "DOT 4", NO, "silicone"),
        ("DOT 5.1", "DOT 5", NO, "different chemistry"),
        ("HSMO", "DOT 4", NO, "rubber cups"),
        ("UTTO", "DOT 3", NO, "rubber cups"),
        ("CI-4", "DOT 4", NO, "rubber cups"),
        ("HM", "DOT 5.1", NO, "rubber cups"),
        ("DOT 4", "HSMO", NO, "nitrile"),
        # Tractor fluids (S54 to S57).
        ("HM", "UTTO", NO, "wet brakes"),
        ("UTTO", "STOU", CARE, "never the engine"),
        ("STOU", "UTTO", CARE, "wet brakes"),
        ("UTTO", "CI-4", NO, "not an engine oil"),
        ("powershift oil", "UTTO", NO, "friction"),
        ("UTTO", "powershift oil", NO, "friction"),
        ("retired-label THF", "UTTO", NO, "retired"),
        ("CI-4", "ATF", NO, "seals"),
        # Coolant (S50, S62).
        ("D6210 I-FF", "D3306 I", YES, "D3306"),
        ("D3306 I", "D6210 I-FF", NO, "liners"),
        ("D3306 I", "D3306 III", CARE, "dilute"),
        # Grease: the chart of 1990 (V31) says incompatible; two of its compatible soaps, purged (S63).
        ("polyurea grease", "lithium complex grease", NO, "incompatible"),
        ("lithium complex grease", "lithium grease", YES, "purge"),
        # Reagent (S52).
        ("farm urea", "DEF", NO, "catalyst"),
    ],
)
def test_answers_of_the_trade(offered: str, required: str, verdict: Verdict, words: str) -> None:
    answer = may_use(offered, required)
    assert answer.verdict is verdict
    assert words in " ".join((answer.reason, *answer.conditions))
    assert answer.source
    assert answer.standing is not None


@pytest.mark.parametrize(
    ("offered", "required"), [("API CD", "API CE"), ("ACEA E4", "ACEA E7"), ("NLGI 6", "NLGI 2"), ("x 1", "y 2")]
)
def test_what_nothing_speaks_of_is_a_no(offered: str, required: str) -> None:
    answer = may_use(offered, required)
    assert answer.verdict is NO
    assert "no rule lets" in answer.reason
    assert answer.steps == ()
    assert answer.standing is None


CODES = [fluid.code for fluid in classes.all_classes()]


@given(st.sampled_from(CODES) | st.text(min_size=1, max_size=12).filter(str.strip))
def test_a_class_stands_in_for_itself(code: str) -> None:
    # The chart of 1990 calls two clay greases borderline, alone among the thickeners.
    assert may_use(code, code).verdict is (CARE if code == "clay grease" else YES)


@given(st.sampled_from(CODES), st.sampled_from(CODES))
def test_a_path_leads_from_the_offered_class_to_the_required_one(offered: str, required: str) -> None:
    answer = may_use(offered, required)
    blocked = {(rule.required, rule.offered) for rule in rules.built_in() if rule.kind in rules.BLOCKING}
    if answer.usable and answer.steps:
        assert answer.steps[0].offered == offered
        assert answer.steps[-1].required == required
        assert all(one.required == two.offered for one, two in zip(answer.steps, answer.steps[1:], strict=False))
        line = [offered, *(rule.required for rule in answer.steps)]
        assert not any((after, before) in blocked for n, before in enumerate(line) for after in line[n + 1 :])
        assert (answer.verdict is CARE) is any(
            rule.kind in (RuleKind.CAUTION, RuleKind.PARTIAL) for rule in answer.steps
        )
        if len(answer.steps) > 1:
            assert all(rule.kind in rules.PASSING for rule in answer.steps)
    if (required, offered) in blocked:
        assert answer.verdict is NO


def own(required: str, offered: str, kind: RuleKind, condition: str = "as our own test showed") -> Rule:
    return Rule(required, offered, kind, condition, "shop rule", Standing.SHOP)


LETTERS = st.sampled_from("ABCDEF")


@given(
    st.lists(st.tuples(LETTERS, LETTERS, st.sampled_from([RuleKind.UPGRADE, RuleKind.CAUTION])), max_size=20),
    LETTERS,
    LETTERS,
    st.sampled_from([RuleKind.NEVER, RuleKind.LACKS]),
)
def test_a_never_blocks_whatever_else_leads_there(
    edges: list[tuple[str, str, RuleKind]], offered: str, required: str, kind: RuleKind
) -> None:
    if offered == required:
        return
    known = [own(f"class {a}", f"class {b}", which) for a, b, which in edges if a != b]
    known.append(own(f"class {required}", f"class {offered}", kind))
    answer = may_use(f"class {offered}", f"class {required}", own_rules=known)
    assert answer.verdict is NO
    assert answer.steps[0].kind is kind


def test_a_shop_cannot_lift_a_built_in_never() -> None:
    lift = [own("DOT 4", "DOT 5", RuleKind.ALLOWED), own("DOT 4", "my fluid", RuleKind.ALLOWED)]
    detour = [*lift, own("my fluid", "DOT 5", RuleKind.ALLOWED)]
    assert may_use("DOT 5", "DOT 4", own_rules=detour).verdict is NO


def test_a_block_in_the_middle_of_a_path_closes_it() -> None:
    known = [
        own("class B", "class A", RuleKind.ALLOWED),
        own("class C", "class B", RuleKind.ALLOWED),
        own("class D", "class C", RuleKind.ALLOWED),
    ]
    assert may_use("class A", "class D", own_rules=known).verdict is YES
    known.append(own("class C", "class A", RuleKind.NEVER))
    assert may_use("class A", "class D", own_rules=known).verdict is NO
    # A may not act as C, but B still may.
    assert may_use("class B", "class D", own_rules=known).verdict is YES


def test_a_caution_on_the_way_taints_the_whole_path() -> None:
    known = [own("class B", "class A", RuleKind.CAUTION, "only in winter"), own("class C", "class B", RuleKind.UPGRADE)]
    answer = may_use("class A", "class C", own_rules=known)
    assert answer.verdict is CARE
    assert "only in winter" in answer.conditions
    assert "class B" in answer.reason


def test_the_path_with_fewer_cautions_wins_over_the_shorter_one() -> None:
    known = [
        own("class C", "class A", RuleKind.CAUTION, "careful"),
        own("class B", "class A", RuleKind.ALLOWED),
        own("class C", "class B", RuleKind.ALLOWED),
    ]
    assert may_use("class A", "class C", own_rules=known).verdict is YES


def test_a_partial_rule_never_leads_on() -> None:
    known = [own("class B", "class A", RuleKind.PARTIAL, "half of it"), own("class C", "class B", RuleKind.UPGRADE)]
    assert may_use("class A", "class B", own_rules=known).verdict is CARE
    assert may_use("class A", "class C", own_rules=known).verdict is NO


def test_a_shops_own_direct_rule_overrules_a_downgrade_and_says_whose_it_is() -> None:
    answer = may_use("DOT 3", "DOT 4", own_rules=[own("DOT 4", "DOT 3", RuleKind.CAUTION, "yard trailer only")])
    assert answer.verdict is CARE
    assert answer.steps[0].own
    assert answer.standing is Standing.SHOP


def test_long_chains_of_shop_rules_are_answered_quickly_and_do_not_loop() -> None:
    ring = [own(f"c{n}", f"c{m}", RuleKind.ALLOWED) for n in range(12) for m in range(12) if n != m]
    assert may_use("c0", "c11", own_rules=ring).verdict is YES
    assert may_use("c0", "elsewhere", own_rules=ring).verdict is NO


def test_an_item_with_several_claims_gets_its_best_answer_and_a_reason_for_each() -> None:
    answer = may_use(["API GL-5", "API GL-4"], "GL-4")
    assert answer.verdict is YES
    assert {one.offered: one.verdict for one in answer.per_claim} == {"API GL-4": YES, "API GL-5": CARE}
    # A tractor fluid that also meets HM: what HM lacks, UTTO supplies.
    assert may_use(["HM", "UTTO"], "UTTO").verdict is YES
    assert may_use(["CK-4", "CH-4"], "CK-4").verdict is YES


def test_a_claim_that_does_harm_overrules_the_other_claims() -> None:
    # STOU could serve with care, but high-friction oil makes the brakes chatter (S54).
    assert may_use(["STOU", "powershift oil"], "UTTO").verdict is NO
    # The label claims the very class, and also one that must not be there: ask.
    answer = may_use(["UTTO", "powershift oil"], "UTTO")
    assert answer.verdict is CARE
    assert any("also claims" in condition for condition in answer.conditions)


@pytest.mark.parametrize(("offered", "required"), [("", "UTTO"), ([], "UTTO"), ("UTTO", "  ")])
def test_a_missing_class_is_asked_for(offered: str | list[str], required: str) -> None:
    with pytest.raises(ValueError, match="class is missing"):
        may_use(offered, required)


def test_an_item_meets_class_and_grade_together() -> None:
    verdict, answers = meets(["API CI-4", "15W-40"], ["API CD", "SAE 40"])
    assert verdict is YES
    assert [answer.required for answer in answers] == ["API CD", "SAE 40"]
    assert meets(["API CI-4", "15W-40"], ["API CD", "10W-40"])[0] is NO
    verdict, answers = meets(["UTTO"], ["UTTO", "10W-30"])
    assert verdict is NO
    assert "states no viscosity grade" in answers[1].reason
    with pytest.raises(ValueError, match="Nothing is required"):
        meets("UTTO", [])


def test_grades_are_compared_within_may_use() -> None:
    assert may_use("10W-30", "SAE 30").verdict is YES
    assert may_use("SAE 110", "SAE 90").verdict is CARE
    assert may_use("80W-90", "15W-40").verdict is NO
    # An oil never stands in for a grease, whatever its grade.
    assert may_use("SAE 140", "NLGI 00").verdict is NO
