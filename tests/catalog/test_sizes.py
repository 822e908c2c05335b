"""Reading the size tables and finding a size by the name a person types."""

import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.orings.find_sizes import picked_out
from catalog.orings.names import find, may_be
from catalog.orings.sizes import STANDARDS, RingSize, Series, all_sizes, by_key, load, title


def test_a_series_is_read_once_and_keeps_its_order() -> None:
    sizes = load(Series.AS568)
    assert [size.designation for size in sizes[:3]] == ["001", "002", "003"]
    assert load(Series.AS568) is sizes


def test_all_sizes_hold_every_series_sorted_by_id_then_width() -> None:
    sizes = all_sizes()
    assert len(sizes) == sum(len(load(series)) for series in STANDARDS)
    dimensions = [(size.id_mm, size.cross_section_mm) for size in sizes]
    assert dimensions == sorted(dimensions)


@pytest.mark.parametrize(
    ("typed", "label"),
    [
        ("AS568-214", "AS568-214"),
        ("as568a - 214", "AS568-214"),
        ("SAE AS568 214", "AS568-214"),
        ("-214", "AS568-214"),
        ("214", "AS568-214"),
        ("2-214", "AS568-214"),
        ("4", "AS568-004"),
        ("P22A", "JIS P22A"),
        ("p-22a", "JIS P22A"),
        ("JIS B 2401 P11,2", "JIS P11.2"),
        ("S22.4", "S22.4"),
        ("25x3.55", "25 × 3.55"),
        ("25,0 × 3,55 mm", "25 × 3.55"),
        ("ISO 3601-1:1988 25x3.55", "25 × 3.55"),
        ("24.99 x 3.53", "AS568-214"),
        ("24.7x3.5", "JIS P25"),
        ("1.5x1", "1.5 × 1"),
        ("R12", "R12"),
        ("0031-16", "BS 4518 0031-16"),
        ("bs4518 0545-30", "BS 4518 0545-30"),
        ("as568:214", "AS568-214"),
    ],
)
def test_a_size_answers_to_what_people_type(typed: str, label: str) -> None:
    size = find(typed)
    assert size is not None
    assert size.label == label


@pytest.mark.parametrize(
    "typed", ["", "-", "215.5", "AS568-500", "JIS 214", "P13", "25x", "x3.55", "²¹⁴", "9" * 5_000, "1e3x2", "nan x 1"]
)
def test_a_name_no_table_has_finds_nothing(typed: str) -> None:
    assert find(typed) is None


@given(st.sampled_from(all_sizes()), st.sampled_from([str, str.lower, str.upper, " {} ".format]))
def test_every_label_finds_its_own_size(size: RingSize, spelled: object) -> None:
    assert callable(spelled)
    assert find(spelled(size.label)) is size


def test_no_two_sizes_share_a_label_or_a_key() -> None:
    sizes = all_sizes()
    assert len({size.label for size in sizes}) == len({size.key for size in sizes}) == len(sizes)
    assert all(find(size.label) is by_key(size.key) is size for size in sizes)


@given(st.text(max_size=60) | st.text("0123456789-xX×.,pgvsrPGVSR asbjiso:", max_size=45))
def test_any_text_is_answered_and_nothing_is_raised(text: str) -> None:
    assert find(text) is None or isinstance(find(text), RingSize)
    assert by_key(text) is None or isinstance(by_key(text), RingSize)


def test_series_have_their_printed_names() -> None:
    assert [title(series) for series in STANDARDS] == [
        "SAE AS568",
        "JIS B 2401",
        "ISO 3601-1:1988",
        "BS 4518",
        "French R series",
        "Stocked metric sizes",
    ]


def test_the_makers_series_is_not_called_jis() -> None:
    assert find("S25") is not None
    assert all(size.label.startswith("JIS ") for size in load(Series.JIS) if size.designation[0] in "PGV")
    assert not any(size.label.startswith("JIS ") for size in load(Series.JIS) if size.designation[0] == "S")


def test_reading_the_tables_pulls_in_no_heavy_library() -> None:
    code = (
        "import sys; from catalog.orings import sizes, tolerance; sizes.all_sizes(); tolerance.table();"
        "heavy = {'numpy', 'pint', 'pydantic', 'textual', 'sqlalchemy', 'importlib.resources'};"
        "print(sorted(heavy & set(sys.modules)))"
    )
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert result.stdout.strip() == "[]"


def test_a_jis_number_without_its_letter_chooses_none_and_lists_all() -> None:
    # JIS B 2401-1: P25 is 24.7 × 3.5, G25 is 24.4 × 3.1; the makers' S25 is 24.5 × 2. Three rings, one number.
    assert find("jis 25") is None
    assert [size.designation for size in may_be("JIS 25")] == ["P25", "G25", "S25"]
    assert [size.designation for size in may_be("jis22a")] == ["P22A"]
    assert [size.designation for size in picked_out("jis 25")][:3] == ["P25", "G25", "S25"]
    assert may_be("25") == may_be("P25") == may_be("jis") == ()
