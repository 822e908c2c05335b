"""Trade fractions are names of AS568 sizes: told apart from readings, listed where two fit, never guessed."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.orings.evidence import Dimension, Evidence, Reading, Tool
from catalog.orings.fractions import called_by, sizes_called, trade_names
from catalog.orings.instruments import reading
from catalog.orings.match import rank
from catalog.orings.names import find
from catalog.orings.sizes import Series, by_key, inch_table, load


# AS568 size charts print these beside the actual figures. Recalled; only the widths were seen in print.
@pytest.mark.parametrize(
    ("dash", "words"),
    [
        ("001", "1/32 × 3/32 × 1/32 in"),
        ("004", "5/64 × 13/64 × 1/16 in"),
        ("005", "3/32 × 7/32 × 1/16 in"),
        ("006", "1/8 × 1/4 × 1/16 in"),
        ("010", "1/4 × 3/8 × 1/16 in"),
        ("028", "1-3/8 × 1-1/2 × 1/16 in"),
        ("050", "5-1/4 × 5-3/8 × 1/16 in"),
        ("102", "1/16 × 1/4 × 3/32 in"),
        ("120", "1 × 1-3/16 × 3/32 in"),
        ("178", "9-3/4 × 9-15/16 × 3/32 in"),
        ("201", "3/16 × 7/16 × 1/8 in"),
        ("214", "1 × 1-1/4 × 1/8 in"),
        ("284", "18 × 18-1/4 × 1/8 in"),
        ("309", "7/16 × 13/16 × 3/16 in"),
        ("395", "26 × 26-3/8 × 3/16 in"),
        ("429", "5 × 5-1/2 × 1/4 in"),
        ("475", "26 × 26-1/2 × 1/4 in"),
    ],
)
def test_the_fractions_of_a_chart(dash: str, words: str) -> None:
    assert trade_names()[dash].words == words


def test_every_size_but_the_900s_has_a_name_of_its_own_just_above_its_actual_id() -> None:
    names = trade_names()
    assert set(names) == {size.designation for size in load(Series.AS568) if size.designation[0] != "9"}
    assert len(set(names.values())) == len(names)
    for dash, name in names.items():
        above = float(name.id_in) - inch_table()[dash].id_in
        assert (0.0 < above <= 0.061) or dash == "005", dash
        assert name.id_in.denominator <= 64
    for before, after in pairwise(names):
        if before[0] == after[0]:
            assert names[before].id_in < names[after].id_in, after


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("5 × 5-1/2 × 1/4 in", ["AS568-429"]),
        ("1 in × 1/8 in", ["AS568-214"]),
        ('1" x 1-1/4" x 1/8"', ["AS568-214"]),
        ("1x1/8", ["AS568-214"]),
        ("1/8 x 1", ["AS568-214"]),
        ("1 1/4 by 1/8", ["AS568-218"]),
        ("1 x 1-1/4 x 1/8 inch", ["AS568-214"]),
        ("1/16 x 1/4", ["AS568-010", "AS568-102"]),
        ("63/64 x 9/64", []),
        ("1 x 1/0", []),
        ("1/8", []),
        ("1 x 2 x 3/4", []),
        ("25 x 3.5", []),
        ("G 1/8", []),
        ("1/8 x 1 x 1/8 x 1", []),
    ],
)
def test_what_a_text_of_fractions_names(text: str, names: list[str]) -> None:
    assert [size.label for size in sizes_called(text)] == names
    one = find(text)
    assert (one.label if one else None) == (names[0] if len(names) == 1 else None) or text == "25 x 3.5"


@given(st.sampled_from(sorted(trade_names())), st.booleans(), st.booleans())
def test_any_name_finds_its_ring_written_or_typed_as_readings(dash: str, with_od: bool, with_width: bool) -> None:
    name, size = trade_names()[dash], by_key(f"as568:{dash}")
    assert size is not None
    assert size in sizes_called(name.words)
    parts = [(Dimension.ID, name.id_in)]
    parts += [(Dimension.OD, name.od_in)] if with_od else []
    parts += [(Dimension.WIDTH, name.width_in)] if with_width or not with_od else []
    evidence = Evidence(tuple(reading(what, float(value) * 25.4) for what, value in parts))
    assert called_by(evidence) == (size,)
    ranking = rank(evidence)
    assert ranking.called == size
    assert ranking.found
    assert ranking.cord is None
    first = ranking.matches[0]
    assert size in (first.size, *first.also)
    assert sum(match.probability for match in ranking.matches) + ranking.none_probability <= 1.0 + 1e-9


@pytest.mark.parametrize(
    "readings",
    [
        (Reading(Dimension.ID, 25.4, 0.1, Tool.STATED), reading(Dimension.WIDTH, 3.175)),
        (reading(Dimension.ID, 25.4, Tool.MICROMETER), reading(Dimension.WIDTH, 3.175)),
        (reading(Dimension.ID, 25.4), reading(Dimension.WIDTH, 3.18)),
        (reading(Dimension.ID, 25.4),),
        (reading(Dimension.ID, 25.4), reading(Dimension.WIDTH, 3.175), reading(Dimension.WIDTH, 3.175)),
        (reading(Dimension.ID, 25.4), reading(Dimension.WIDTH, 3.175), reading(Dimension.OD, 32.0)),
        (reading(Dimension.AROUND, 25.4), reading(Dimension.WIDTH, 3.175)),
    ],
)
def test_what_was_measured_is_no_name(readings: tuple[Reading, ...]) -> None:
    assert called_by(Evidence(readings)) == ()


def test_a_name_counts_only_where_its_series_was_asked() -> None:
    evidence = Evidence((reading(Dimension.ID, 25.4), reading(Dimension.WIDTH, 3.175)))
    assert rank(evidence, series=[Series.JIS]).called is None


@given(st.text(alphabet='0123456789/x× -"in', max_size=70))
def test_no_text_breaks_it(text: str) -> None:
    for size in sizes_called(text):
        assert size.series is Series.AS568


def test_a_mixed_number_is_exact() -> None:
    assert trade_names()["429"].od_in == Fraction(11, 2)
