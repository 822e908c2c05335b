"""Words with several meanings are asked back."""

from __future__ import annotations

import pytest

from catalog.fluids import classes, tables
from catalog.fluids.ambiguous import which


@pytest.mark.parametrize(
    ("text", "among"),
    [
        ("synthetic", "ISO-L-HEES"),
        ("Synthetic Oil", "ISO-L-HS"),
        ("brake fluid", "DOT 5"),
        ("DOT", "DOT 5.1"),
        ("grease", "lithium grease"),
        ("calcium grease", "calcium sulfonate grease"),
        ("antifreeze", "coolant OAT"),
        ("gear oil", "API GL-5"),
        ("tractor oil", "STOU"),
    ],
)
def test_a_word_with_several_meanings_asks_which(text: str, among: str) -> None:
    found = which(text)
    assert found is not None
    assert among in found.codes
    assert len(found.codes) > 1
    assert found.question.endswith("type which.")


@pytest.mark.parametrize("text", ["DOT 5", "UTTO", "HLP", "15W-40", "gravy", "lithium grease"])
def test_a_class_a_grade_and_an_unknown_word_are_not_asked_back(text: str) -> None:
    assert which(text) is None


def test_dot_5_is_silicone_and_nothing_else() -> None:
    # FMVSS 116: silicone, at least 70 % siloxane (S48).
    found = classes.get("DOT 5")
    assert found is not None
    assert found.code == "DOT 5"
    assert "silicone" in found.description


def test_no_word_of_the_table_is_a_class_and_every_code_is_one() -> None:
    for row in tables.rows("ambiguous"):
        assert all(classes.get(word) is None for word in tables.several(row["words"])), row
        for code in tables.several(row["codes"]):
            found = classes.get(code)
            assert found is not None, code
            assert found.code == code
