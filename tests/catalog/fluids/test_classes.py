"""Naming and finding fluid classes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.fluids import classes
from catalog.fluids.classes import FluidClass
from catalog.fluids.greases import thickener
from catalog.standing import Standing


@pytest.mark.parametrize("fluid", classes.all_classes(), ids=lambda fluid: fluid.code)
def test_each_class_answers_to_its_code_and_aliases(fluid: FluidClass) -> None:
    for name in (fluid.code, *fluid.aliases):
        found = classes.get(name.lower())
        assert found is not None
        assert found.code == fluid.code
        assert classes.find(name)[0].code == fluid.code


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("gl4", "API GL-4"),
        ("GL 5", "API GL-5"),
        ("ci-4+", "API CI-4 PLUS"),
        ("HLP", "DIN 51524-2 HLP"),
        ("def", "AUS 32"),
        ("Tractor transmission hydraulic oil", "UTTO"),
        ("dot5.1", "DOT 5.1"),
        ("vg46", "ISO VG 46"),
        ("10w40", "SAE 10W-40"),
        ("80w-90", "SAE 80W-90 (gear)"),
        ("nlgi 2", "NLGI 2"),
    ],
)
def test_names_as_they_are_said(text: str, code: str) -> None:
    found = classes.get(text)
    assert found is not None
    assert found.code == code


def test_dot_5_and_dot_5_1_are_two_fluids() -> None:
    # 49 CFR 571.116: DOT 5 is silicone, DOT 5.1 is not.
    five, five_one = classes.get("DOT 5"), classes.get("DOT 5.1")
    assert five is not None
    assert five_one is not None
    assert five.code != five_one.code
    assert "silicone" in five.description
    assert "not silicone" in five_one.description


def test_words_find_classes_in_any_order() -> None:
    assert [fluid.code for fluid in classes.find("silicone DOT")][:1] == ["DOT 5"]
    assert {fluid.code for fluid in classes.find("wet clutch")} >= {"JASO MA", "JASO MA1", "JASO MA2"}
    assert classes.find("") == ()
    assert classes.find("no such thing") == ()


def test_jasos_three_standards_are_kept_apart() -> None:
    # JASO M355 is diesel, M345 two-stroke, T903 motorcycle (notes of the trade; M355 in page V4).
    for code, standard in (("JASO DH-2", "M355"), ("JASO FD", "M345"), ("JASO MA", "T903")):
        fluid = classes.get(code)
        assert fluid is not None
        assert standard in fluid.description


def test_memory_is_said_in_words() -> None:
    fluid = classes.get("ISO-L-HS")
    assert fluid is not None
    assert fluid.standing is Standing.MEMORY
    assert fluid.standing.words == "unchecked row"


def test_families_cover_every_class() -> None:
    assert {fluid.family for fluid in classes.all_classes()} == set(classes.families())
    assert classes.in_group("glycol brake") == ("DOT 3", "DOT 4", "DOT 5.1")
    assert classes.in_group("no such group") == ()


# What a code may begin with: an open standard or its body, or a generic word of the trade.
OPEN = (
    "ISO", "DIN", "API", "ACEA", "JASO", "DOT", "ASTM", "NLGI", "AUS", "SAE", "EG ", "HSMO",
    "HLPD", "HVLPD", "UTTO", "STOU", "ATF", "HST", "coolant",
    "retired-label THF", "high-friction powershift oil", "resource conserving", "agricultural urea solution",
)  # fmt: skip


def test_every_code_is_an_open_standard_or_a_generic_word() -> None:
    for fluid in classes.all_classes():
        assert fluid.code.startswith(OPEN) or thickener(fluid.code), fluid.code


@given(st.text(max_size=30))
def test_any_text_is_answered(text: str) -> None:
    found = classes.find(text)
    assert len({fluid.code for fluid in found}) == len(found)
