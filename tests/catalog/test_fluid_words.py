"""What a person calls a fluid: one fluid, or a question with its choices. A figure is never guessed at."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.orings.fluid_words import UnknownFluidError, WhichFluidError, fluid_called
from catalog.orings.rubber_tables import fluids, rows_of


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("DOT 5", "SILICONE_BRAKE"),  # 49 CFR 571.116: DOT 5 is silicone based, DOT 5.1 is not
        ("dot5", "SILICONE_BRAKE"),
        ("DOT-5 brake fluid", "SILICONE_BRAKE"),
        ("DOT 5.1", "GLYCOL_BRAKE"),
        ("dot5,1", "GLYCOL_BRAKE"),
        ("brake fluid DOT 5.1", "GLYCOL_BRAKE"),
        ("DOT 3", "GLYCOL_BRAKE"),
        ("dot 3/4", "GLYCOL_BRAKE"),
        ("DOT 4 synthetic", "GLYCOL_BRAKE"),
        ("mineral brake oil", "MINERAL_BRAKE"),
        ("ISO 7308", "MINERAL_BRAKE"),
        ("DEF", "AUS32"),
        ("aus 32", "AUS32"),
        ("diesel exhaust fluid", "AUS32"),
        ("diesel", "DIESEL"),
        ("biodiesel", "B100"),
        ("E10", "PETROL_E10"),
        ("e 85", "E85"),
        ("gasoline", "PETROL_E10"),
        ("propane", "LPG"),
        ("R-12", "R12_MINERAL"),
        ("r134a pag", "R134A_PAG"),
        ("hm_hv", "HM_HV"),
        ("HLP", "HM_HV"),
        ("hydraul mineral", "HM_HV"),
        ("gl 5", "GL5"),
        ("hot water", "STEAM"),
        ("polyol ester", "HFDU"),
    ],
)
def test_one_fluid(text: str, code: str) -> None:
    assert fluid_called(text).code == code


@pytest.mark.parametrize(
    ("text", "some"),
    [
        ("brake fluid", {"GLYCOL_BRAKE", "SILICONE_BRAKE", "MINERAL_BRAKE"}),
        ("DOT", {"GLYCOL_BRAKE", "SILICONE_BRAKE", "MINERAL_BRAKE"}),
        ("synthetic", {"ENGINE", "HEES", "HFDU", "GLYCOL_BRAKE"}),
        ("oil synthetic", {"ENGINE", "HEES", "HFDU", "GLYCOL_BRAKE"}),
        ("hydraulic", {"HM_HV", "HFA", "HFDR", "HETG", "HEPG"}),
        ("oil", {"HM_HV", "ENGINE", "MINERAL_BRAKE"}),
        ("refrigerant", {"R12_MINERAL", "R134A_PAG", "R134A_POE"}),
        ("R134a", {"R134A_PAG", "R134A_POE"}),
        ("gas", {"PETROL_E10", "LPG"}),
        ("glycol", {"COOLANT", "GLYCOL_BRAKE", "HFC"}),
        ("grease", {"GREASE_MIN", "GREASE_SIL"}),
    ],
)
def test_several_fluids_are_asked_about(text: str, some: set[str]) -> None:
    with pytest.raises(WhichFluidError) as problem:
        fluid_called(text)
    assert some <= {row.code for row in problem.value.question.choices}
    assert all(row.name in str(problem.value) for row in problem.value.question.choices)


@pytest.mark.parametrize("text", ["DOT 6", "dot 51", "dot 5 glycol", "E1", "B1", "honey", "", "   ", "R1234yf", "5"])
def test_no_fluid(text: str) -> None:
    with pytest.raises(UnknownFluidError):
        fluid_called(text)


def test_every_name_and_word_means_its_own_fluid_alone() -> None:
    """No word stands for two fluids, and none that is asked about is also an answer."""
    for row in fluids().values():
        for text in (row.code, row.name, *row.words):
            assert fluid_called(text) is row, text
            assert fluid_called(text.upper()) is row, text


def test_every_question_names_fluids_there_are() -> None:
    for row in rows_of("words"):
        assert row["question"].endswith((".", "?"))
        for text in row["words"].split(";"):
            with pytest.raises(WhichFluidError):
                fluid_called(text)


@given(st.text(max_size=60))
def test_any_text_is_a_fluid_or_a_sentence(text: str) -> None:
    found, said = None, ""
    try:
        found = fluid_called(text)
    except (WhichFluidError, UnknownFluidError) as problem:
        said = str(problem)
    assert found is not None or said.isprintable()
    assert (found is None) is bool(said)
