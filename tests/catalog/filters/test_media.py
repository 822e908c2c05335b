"""Mesh, beta and cleanliness against the printed standards; the source stands beside each."""

import csv
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.filters.cleanliness import OVER_SCALE, cleanliness_code, code_counts, count_range, scale_number
from catalog.filters.media import (
    efficiency_pct,
    mesh,
    nearest_sieve,
    opening_um,
    rated,
    sieves,
    wire_cloth,
)

# ASTM E11 openings in µm, from memory of the printed table, checked apart from the file the rows came from.
E11 = {
    4: 4750, 5: 4000, 6: 3350, 7: 2800, 8: 2360, 10: 2000, 12: 1700, 14: 1400, 16: 1180, 18: 1000, 20: 850, 25: 710,
    30: 600, 35: 500, 40: 425, 45: 355, 50: 300, 60: 250, 70: 212, 80: 180, 100: 150, 120: 125, 140: 106, 170: 90,
    200: 75, 230: 63, 270: 53, 325: 45, 400: 38, 450: 32, 500: 25, 635: 20,
}  # fmt: skip


@pytest.mark.parametrize(("number", "opening"), E11.items())
def test_sieve_openings(number: int, opening: float) -> None:
    assert opening_um(number) == opening
    assert opening_um(f" {number} mesh") == opening
    assert nearest_sieve(opening)[0].mesh == str(number)


def _by_library() -> list[tuple[str, float]]:
    with (Path(__file__).parent / "sieves_by_library.csv").open(encoding="utf-8", newline="") as handle:
        return [(row["mesh"], float(row["opening_um"])) for row in csv.DictReader(handle)]


def test_every_sieve_agrees_with_a_general_library() -> None:
    """ASTM E11 as the library `fluids` 1.3.1 carries it (particle_size_distribution.ASTM_E11_sieves), read out once."""
    assert {sieve.mesh: sieve.opening_um for sieve in sieves()} == pytest.approx(dict(_by_library()))


def test_the_series_steps_by_the_fourth_root_of_two() -> None:
    """ASTM E11 is built on the fourth root of 2 (ISO 565 R 40/3 rounds it): each opening about 0.841 of the last."""
    fine = [sieve.opening_um for sieve in sieves() if sieve.opening_um >= 32]
    for wide, narrow in pairwise(fine):
        assert narrow / wide == pytest.approx(2**-0.25, rel=0.03)


def test_100_mesh_was_149_in_the_older_series() -> None:
    """From memory of the older U.S. series."""
    older = {sieve.mesh: sieve.older_opening_um for sieve in sieves()}
    assert older["100"] == 149
    assert older["60"] == 250


@pytest.mark.parametrize("typed", ["90", "61", "9999"])
def test_an_unknown_mesh_names_its_neighbours(typed: str) -> None:
    with pytest.raises(ValueError, match="the nearest are"):
        opening_um(typed)


@pytest.mark.parametrize("typed", ["", "fine", "\x1b[2J", "-"])
def test_no_mesh_at_all(typed: str) -> None:
    with pytest.raises(ValueError, match="not a mesh") as caught:
        opening_um(typed)
    assert "\x1b" not in str(caught.value)


def test_how_far_an_opening_is_from_its_sieve() -> None:
    sieve, off = nearest_sieve(149)
    assert (sieve.mesh, round(off, 1)) == ("100", -0.7)
    with pytest.raises(ValueError, match="above 0"):
        nearest_sieve(0)


# ISO 16889: published pairs (a fluid power lexicon, hawe.com: 1, 2, 75; two filter pages: 10, 5000).
@pytest.mark.parametrize(("beta", "efficiency"), [(1, 0), (2, 50), (10, 90), (75, 98.7), (5000, 99.98)])
def test_published_efficiencies(beta: float, efficiency: float) -> None:
    assert efficiency_pct(beta) == pytest.approx(efficiency, abs=0.05 if beta == 75 else 0.005)


@given(st.floats(1, 1e4), st.floats(1.001, 2))
def test_a_higher_beta_holds_back_more(beta: float, more: float) -> None:
    assert efficiency_pct(beta * more) > efficiency_pct(beta)


@pytest.mark.parametrize("value", [0.9, 0, -1, float("nan")])
def test_no_beta_under_one(value: float) -> None:
    with pytest.raises(ValueError, match="starts at 1"):
        efficiency_pct(value)


def test_media_say_what_they_are() -> None:
    assert mesh("60 mesh").label == "60 mesh"
    assert rated(10, 200).label == "10 µm β 200"
    assert rated(10).label == "10 µm nominal"
    assert wire_cloth().size_um is None
    with pytest.raises(ValueError, match="above 0"):
        rated(0)


# ISO 4406:1999, the printed class table (flipbuilder copy, page 130): more than, up to and including, per millilitre.
@pytest.mark.parametrize(
    ("number", "over", "up_to"),
    [
        (7, 0.64, 1.3),
        (8, 1.3, 2.5),
        (13, 40, 80),
        (14, 80, 160),
        (16, 320, 640),
        (18, 1300, 2500),
        (21, 10_000, 20_000),
    ],
)
def test_scale_numbers(number: int, over: float, up_to: float) -> None:
    span = count_range(number)
    assert (span.over, span.up_to) == (over, up_to)
    assert scale_number(up_to) == number
    assert scale_number(over) == number - 1


def test_the_published_example() -> None:
    """14/12/≥7: 80 to 160, 20 to 40 and 0.64 to 1.3 per millilitre (the same page)."""
    four, six, fourteen = code_counts("14/12/>=7")
    assert four is not None
    assert six is not None
    assert fourteen is not None
    assert (four.over, four.up_to, four.at_least) == (80, 160, False)
    assert (six.over, six.up_to) == (20, 40)
    assert (fourteen.over, fourteen.up_to, fourteen.at_least) == (0.64, 1.3, True)


def test_each_number_doubles_the_last() -> None:
    """ISO 4406: the step ratio is 2, rounded to two figures."""
    for number in range(2, 29):
        up_to, below = count_range(number).up_to, count_range(number - 1).up_to
        assert up_to is not None
        assert below is not None
        assert up_to / below == pytest.approx(2, rel=0.04)
        assert count_range(number).over == below


def test_codes_from_counts() -> None:
    assert cleanliness_code(1500, 400, 60) == "18/16/13"
    assert cleanliness_code(None, 400, 60) == "-/16/13"
    assert cleanliness_code(3e6, 0, 0) == ">28/0/0"
    assert code_counts("16/13")[0] is None
    assert code_counts(">28/20/*")[2] is None


@given(st.floats(0, 5e6))
def test_a_count_lies_in_its_own_range(count: float) -> None:
    number = scale_number(count)
    span = count_range(number)
    assert count <= span.up_to if span.up_to is not None else number == OVER_SCALE
    assert count > span.over or number == 0


@given(st.lists(st.integers(0, 28), min_size=3, max_size=3).map(lambda numbers: sorted(numbers, reverse=True)))
def test_codes_there_and_back(numbers: list[int]) -> None:
    tops = [count_range(number).up_to for number in numbers]
    code = cleanliness_code(*tops)
    assert code == "/".join(str(number) for number in numbers)
    assert [span and span.up_to for span in code_counts(code)] == tops


@pytest.mark.parametrize("code", ["", "18", "18/16/13/10", "a/b/c", "99/1/1", "18/16/\x1b[0m"])
def test_no_code_says_what_to_type(code: str) -> None:
    with pytest.raises(ValueError, match=r"18/16/13|runs from 0 to 28") as caught:
        code_counts(code)
    assert "\x1b" not in str(caught.value)


def test_counts_cannot_rise_with_size() -> None:
    with pytest.raises(ValueError, match="cannot rise"):
        cleanliness_code(10, 20, 5)
    with pytest.raises(ValueError, match="0 or more"):
        scale_number(-1)
