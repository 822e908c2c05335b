"""`kitwright fill`: the tally against exact volumes, over-fill, packs, and input that cannot be used."""

from __future__ import annotations

import pytest

from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms, validator
from tui.fields.units import Units, keep


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


LITRE = 1_000_000
MARKS = ("--low", "11 qt", "--full", "12 qt")
US_QUART_UL = 946_353  # NIST SP 811: 231 in³ / 4 is 946 352.946 mm³


# Common practice, no source: 6 qt and 5 qt stand exactly at an 11 qt low mark.
def test_6_and_5_quarts_stand_at_the_11_quart_mark(kitwright: CommandLine) -> None:
    ended = kitwright("fill", *MARKS, "--poured", "6 qt", "5 qt", "--json")
    assert (ended.code, ended.json["state"]) == (0, "at the low mark")
    assert ended.json["to_full_ul"] == US_QUART_UL
    assert ended.json["to_low_ul"] == 0


# Common practice, no source: 11 to 12 US quarts is within a quarter of a gallon of 3 gallons; 3 gallons are 12 quarts.
def test_three_gallons_stand_at_the_12_quart_mark(kitwright: CommandLine) -> None:
    assert kitwright("fill", *MARKS, "--poured", "3 gal", "--json").json["state"] == "at the full mark"


def test_over_fill_is_called_by_how_much(kitwright: CommandLine) -> None:
    ended = kitwright("fill", "--low", "10.4L", "--full", "11.4L", "--poured", "12L")
    assert ended.code == 1
    assert "OVER-FILLED by 0.60 L (0.63 US qt)" in ended.out


def test_several_units_add_up_exactly(kitwright: CommandLine) -> None:
    """NIST SP 811: a US gallon is 3.785411784 L, an imperial gallon 4.54609 L."""
    answer = kitwright("fill", "--full", "20 L", "--poured", "1 gal", "1 imp gal", "500 mL", "--json").json
    assert answer["held_ul"] == 3_785_412 + 4_546_090 + 500_000


def test_clean_fluid_poured_back_counts_and_the_rest_is_handed_in(kitwright: CommandLine) -> None:
    words = ("--full", "7.6 L", "--drained", "7 L", "--reused", "2 L", "--poured", "5 L")
    answer = kitwright("fill", *words, "--json").json
    assert (answer["poured_ul"], answer["reused_ul"], answer["to_dispose_ul"]) == (7 * LITRE, 2 * LITRE, 5 * LITRE)
    assert answer["to_full_ul"] == 600_000


def test_what_stayed_in_counts_where_it_is_known(kitwright: CommandLine) -> None:
    words = ("fill", "--full", "12 L", "--held", "12 L", "--drained", "9 L", "--poured", "9 L")
    assert kitwright(*words, "--json").json["state"] == "at the full mark"
    assert "drained empty" not in kitwright(*words).out
    assert "drained empty" in kitwright("fill", "--full", "12 L", "--poured", "9 L").out


def test_one_mark_is_enough_whichever_it_is(kitwright: CommandLine) -> None:
    low = kitwright("fill", "--low", "12 L", "--poured", "9 L", "--json")
    assert low.json == kitwright("fill", "--full", "12 L", "--poured", "9 L", "--json").json
    assert (low.code, low.json["low_ul"], low.json["full_ul"]) == (1, 12 * LITRE, 12 * LITRE)


def test_one_mark_is_called_neither_low_nor_full(kitwright: CommandLine) -> None:
    for poured, said in (
        ("9 L", "Below the mark: it holds"),
        ("12 L", "At the mark: it holds"),
        ("13 L", "Over the mark"),
    ):
        told = kitwright("fill", "--full", "12 L", "--poured", poured).out
        assert told.startswith(said)
        assert "low mark" not in told


def test_an_option_given_again_adds_up_and_commas_part_volumes(kitwright: CommandLine) -> None:
    once = kitwright("fill", *MARKS, "--poured", "6 qt", "2.5 qt", "--drained", "3 qt", "--reused", "2 qt", "--json")
    again = ("--poured", "6 qt", "--reused", "2 qt", "--drained", "1 qt", "--poured", "2.5 qt", "--drained", "2 qt")
    assert kitwright("fill", *MARKS, *again, "--json").json == once.json
    one_word = ("--poured", "6 qt, 2,5 qt; 2 qt reused", "--drained", "3 qt")
    assert kitwright("fill", *MARKS, *one_word, "--json").json == once.json
    assert once.json["fresh_ul"] == 8_044_000  # 8.5 × 946 352.946


def test_the_usual_packs_are_taken_where_none_are_named(kitwright: CommandLine) -> None:
    quarts = kitwright("fill", "--full", "12 qt", "--poured", "11 qt", "--json").json["open"]
    assert quarts["usual"]
    assert [(one["pack"], one["count"]) for one in quarts["full"]["packs"]] == [("1 qt", 1)]
    litres = kitwright("fill", "--full", "12 L", "--poured", "11 L")
    assert "To open for the mark: 1 × 1 L; nothing left over." in litres.out
    assert kitwright("fill", "--full", "300000 L", "--json").json["open"] is None


# 7.6 L from 5 L and 1 L packs is 5 + 1 + 1 + 1 = 8 L; by arithmetic.
def test_packs_to_open_leave_the_least_over(kitwright: CommandLine) -> None:
    answer = kitwright("fill", "--full", "7.6 L", "--packs", "5 L", "1 L", "--json").json["open"]["full"]
    assert [(one["pack"], one["count"]) for one in answer["packs"]] == [("5 L", 1), ("1 L", 3)]
    assert answer["left_over_ul"] == 400_000


def test_packs_that_run_out_say_what_is_short(kitwright: CommandLine) -> None:
    words = ("fill", "--full", "3 gal", "--packs", "1 gal=2", "1 qt=1")
    answer = kitwright(*words, "--json").json["open"]["full"]
    assert answer["missing_ul"] == 2_839_059  # 3 × 946 352.946
    assert "all there is" in kitwright(*words).out


@pytest.mark.parametrize(
    "words",
    [
        MARKS,
        (*MARKS, "--poured", "6 qt", "--poured", "5.5 qt"),
        (*MARKS, "--packs", "1 gal", "1 qt"),
        ("--full", "12L", "--held", "12L", "--drained", "5L", "--reused", "5L"),
        (*MARKS, "--poured", "14 qt", "--packs", "1 qt"),
        (*MARKS, "--packs", "1 qt=0"),
    ],
)
def test_every_answer_conforms_to_the_schema(kitwright: CommandLine, words: tuple[str, ...]) -> None:
    ended = kitwright("fill", *words, "--json")
    conforms("fill", ended.json)
    assert ended.code in (0, 1)


def test_the_schema_refuses_a_changed_answer(kitwright: CommandLine) -> None:
    answer = kitwright("fill", *MARKS, "--json").json
    answer["state"] = "nearly"
    assert not validator("fill").is_valid(answer)


def test_a_bare_volume_is_in_the_benchs_unit_and_the_answer_says_which(kitwright: CommandLine) -> None:
    assert "12.00 L (12.68 US qt" in kitwright("fill", "--full", "12", "--poured", "1").out
    keep(Units(volume="US qt"))
    assert "11.36 L" in kitwright("fill", "--full", "12", "--poured", "1").out


def test_the_text_gives_both_units_and_cautions(kitwright: CommandLine) -> None:
    lines = kitwright("fill", *MARKS, "--poured", "6 qt", "5 qt").out.splitlines()
    assert lines[0] == "At the low mark: it holds 11.00 US qt, 2.75 US gal (10.41 L)"
    assert any("Fill to between the marks" in line for line in lines)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "--full is missing"),
        (("--full", "12 mm"), "--full"),
        (("--full", "-12 qt"), "--full"),
        (("--full", "0 qt"), "above zero"),
        (("--full", "1e9 qt"), "--full"),
        (("--full", "x" * 100_000), "--full"),
        (("--full", "12 qt\x1b[31m"), "--full"),
        (("--low", "13 qt", "--full", "12 qt"), "smaller volume"),
        (("--full", "12 qt", "--held", "1 qt", "2 qt"), "one word too many"),
        ((*MARKS, "--poured", "six"), "--poured"),
        ((*MARKS, "--poured", *["1 qt"] * 201), "--poured: that is 201 pours; type 200 at most"),
        ((*MARKS, "--poured", *["1 qt"] * 101, "--reused", *["1 qt"] * 100), "--reused: that is 201 pours"),
        ((*MARKS, "--held", "5 qt", "--drained", "6 qt"), "More was drained"),
        ((*MARKS, "--reused", "6 qt"), "poured back"),
        ((*MARKS, "--packs", "1 qt=many"), "--packs"),
        ((*MARKS, "--packs", "0 qt"), "holds nothing"),
        ((*MARKS, "--packs", *["1 qt"] * 13), "--packs: that is 13 sizes of pack; type 12 at most"),
        (("--full", "9000000 L", "--packs", "1 mL", "3 mL"), "--packs"),
    ],
)
def test_input_that_cannot_be_used_is_told_in_a_sentence(
    kitwright: CommandLine, words: tuple[str, ...], told: str
) -> None:
    ended = kitwright("fill", *words)
    assert (ended.code, ended.out) == (2, "")
    assert told in ended.err
    assert "Traceback" not in ended.err
    assert len(ended.err) < 400
    assert "\x1b" not in ended.err
