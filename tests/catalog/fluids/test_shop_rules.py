"""A shop's own stand-in rules from CSV."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog.fluids.grade_check import Verdict
from catalog.fluids.rules import RuleKind
from catalog.fluids.shop_rules import ShopRulesError, read_shop_rules
from catalog.fluids.stand_in import may_use

GOOD = """required,offered,kind,condition,source
UTTO,orchard blend,allowed,"sprayers only, not the crawler",bench note 4

vg 46,VG 68,caution,summer only,
"""


def test_rules_are_read_and_marked_as_the_shops_own() -> None:
    found = read_shop_rules(GOOD)
    assert [(rule.required, rule.offered, rule.kind) for rule in found] == [
        ("UTTO", "orchard blend", RuleKind.ALLOWED),
        ("ISO VG 46", "ISO VG 68", RuleKind.CAUTION),
    ]
    assert all(rule.own for rule in found)
    assert found[0].condition == "sprayers only, not the crawler"
    assert [rule.source for rule in found] == ["bench note 4", "shop rule"]
    assert may_use("orchard blend", "UTTO").verdict is Verdict.NO
    assert may_use("orchard blend", "UTTO", own_rules=found).verdict is Verdict.YES
    assert may_use("VG 68", "VG 46").verdict is Verdict.NO
    assert may_use("VG 68", "VG 46", own_rules=found).verdict is Verdict.WITH_CARE


def test_a_file_saved_by_a_spreadsheet(tmp_path: Path) -> None:
    path = tmp_path / "rules.csv"
    path.write_bytes("\ufeffRequired;Offered;Kind;Condition\r\nHST oil;20W-50;Caution;as its plate says\r\n".encode())
    (rule,) = read_shop_rules(path)
    assert (rule.required, rule.offered) == ("HST oil", "SAE 20W-50")


def test_a_group_stands_for_its_classes() -> None:
    found = read_shop_rules("required,offered,kind,condition\n@glycol brake,mystery jug,never,nobody knows\n")
    assert [rule.required for rule in found] == ["DOT 3", "DOT 4", "DOT 5.1"]


def test_every_problem_is_told_with_its_line() -> None:
    text = (
        "required,offered,kind,condition\n"
        "UTTO,blend,perhaps,\n"
        ",blend,allowed,\n"
        "UTTO,blend,caution,\n"
        "UTTO,UTTO,allowed,\n"
        "@nothing,blend,allowed,\n"
        "UTTO,blend,allowed,a,b\n"
        "UTTO,blend,allowed,fine\n"
        "\n"
        "utto,blend,never,\n"
    )
    with pytest.raises(ShopRulesError) as caught:
        read_shop_rules(text)
    told = caught.value.problems
    assert [problem.split(":")[0] for problem in told] == [f"Line {n}" for n in (2, 3, 4, 5, 6, 7, 10)]
    for problem, words in zip(
        told,
        (
            "not a kind of rule",
            "empty",
            "condition",
            "stands in for itself",
            "no group",
            "5 columns",
            "already on line 8",
        ),
        strict=True,
    ):
        assert words in problem


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "Line 1: the file is empty"),
        ("\n\n", "Line 1: the file is empty"),
        ("required,offered,kind\nUTTO,x,allowed\n", "column condition is missing"),
    ],
)
def test_a_file_without_its_first_line_is_refused(text: str, words: str) -> None:
    with pytest.raises(ShopRulesError, match=words):
        read_shop_rules(text)


def test_a_file_that_is_not_text_or_not_there(tmp_path: Path) -> None:
    path = tmp_path / "rules.csv"
    path.write_bytes(b"required,offered,kind,condition\nUTTO,\xff\xfe,allowed,\n")
    with pytest.raises(ShopRulesError, match="Line 2: the file is not UTF-8"):
        read_shop_rules(path)
    with pytest.raises(ShopRulesError, match=r"absent\.csv cannot be read"):
        read_shop_rules(tmp_path / "absent.csv")
