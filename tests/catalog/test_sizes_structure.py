"""What every size table must obey, so that a mistyped row cannot hide.

The rules are the standards' own: one width per group, regular ID steps, tolerances that grow with ID, inch × 25.4.
"""

import math
import re
from collections import Counter
from itertools import combinations, groupby, pairwise
from pathlib import Path

import pytest

from catalog.orings import sizes as sizes_module
from catalog.orings.names import find
from catalog.orings.size_rules import RULES, Fault, faults
from catalog.orings.sizes import STANDARDS, RingSize, Series, all_sizes, inch_table, load
from catalog.standing import Standing

DATA = Path(sizes_module.__file__).parent.parent / "data"
SOURCES = (DATA / "SOURCES.md").read_text(encoding="utf-8")

# AS568: two pages (thisoldtractor.com and heximf.com, "About the AS 568 A standard") print 369 sizes.
# BS 4518: thisoldtractor.com prints 203; the 4.1 mm section is missing here, hence 194.
ROWS = {
    Series.AS568: 369,
    Series.JIS: 260,
    Series.METRIC: 484 + 48,  # the general class, and the second (aerospace) one
    Series.BS4518: 194,
    Series.AFNOR: 90,
    Series.STOCK: 463,
}


def by_width(rows: list[RingSize] | tuple[RingSize, ...]) -> list[tuple[float, list[RingSize]]]:
    return [(width, list(group)) for width, group in groupby(rows, key=lambda size: size.cross_section_mm)]


@pytest.mark.parametrize("series", STANDARDS)
def test_each_table_is_complete(series: Series) -> None:
    assert len(load(series)) == ROWS[series]


def test_the_jis_parts_are_complete() -> None:
    parts = Counter(size.designation[0] for size in load(Series.JIS))
    assert parts == {"P": 122, "G": 46, "V": 26, "S": 66}


# The rules that a shop's own table is held to as well: `catalog.orings.size_rules`. -------------------------------


@pytest.mark.parametrize("series", STANDARDS)
def test_every_table_obeys_the_rules_that_a_shops_own_is_held_to(series: Series) -> None:
    assert faults(load(series)) == ()
    for size in load(series):
        assert size.od_mm == size.id_mm + 2 * size.cross_section_mm


# One slip of each kind in the JIS table: its row, what is mistyped there, and a piece of the sentence.
SLIPS: list[tuple[str, dict[str, float | str], str]] = [
    ("P22", {"cross_section_mm": 0.094}, "is the unit right?"),
    ("P22", {"id_mm": 21800.0}, "is the unit right?"),
    ("P22", {"id_mm": 2.4 / 10, "cross_section_mm": 21.8}, "rings have 0.5 to 5000 mm"),
    ("P3", {"id_mm": 1.9, "cross_section_mm": 5.8}, "in each other's column"),
    ("P22", {"id_tol_mm": 2.4}, "made so loosely"),
    ("P22", {"cross_section_tol_mm": 0.9}, "made so loosely"),
    ("P22", {"id_tol_mm": 0.0}, "more than 0"),
    ("P22", {"id_mm": math.nan}, "more than 0"),
    ("P22", {"designation": "p 21"}, "twice"),
    ("P22", {"id_mm": 20.8, "designation": "P22X"}, "same ID and width as P21"),
    ("P12", {"cross_section_mm": 2.6}, "stands alone in a run of 2.4 mm"),
    ("P12", {"cross_section_tol_mm": 0.12}, "but P10A has ± 0.09"),
    ("P22", {"id_mm": 20.7}, "IDs of one width must rise"),
    ("P22", {"id_tol_mm": 0.21}, "is less than"),
]


@pytest.mark.parametrize(("name", "slip", "piece"), SLIPS)
def test_a_slip_of_each_kind_is_told_of_the_row_that_has_it(
    name: str, slip: dict[str, float | str], piece: str
) -> None:
    rows = list(load(Series.JIS))
    at = next(place for place, row in enumerate(rows) if row.designation == name)
    rows[at] = rows[at]._replace(**slip)  # type: ignore[arg-type]
    found = faults(rows)
    assert [one.at for one in found] == [at]
    assert piece in found[0].why


def test_every_rule_has_a_slip_that_it_alone_tells_of() -> None:
    told: set[int] = set()
    for name, slip, _ in SLIPS:
        rows = [row._replace(**slip) if row.designation == name else row for row in load(Series.JIS)]  # type: ignore[arg-type]
        by_rule: list[list[Fault]] = [rule(rows) for rule in RULES]
        told |= {place for place, found in enumerate(by_rule) if found and not any(by_rule[:place])}
    assert told == set(range(len(RULES)))


def test_every_row_names_a_source_that_the_sources_page_explains() -> None:
    for size in all_sizes():
        assert (size.cited == "memory") == (size.standing is Standing.MEMORY), size.key
        for key in size.cited.split("+"):
            assert f"| {key} |" in SOURCES, size.key


def test_the_sources_page_counts_the_rows_from_memory() -> None:
    files = {Series.METRIC: "metric.csv", Series.AFNOR: "afnor_r.csv", Series.STOCK: "stock.csv"} | {
        Series.AS568: "as568.csv",
        Series.JIS: "jis_b2401.csv",
        Series.BS4518: "bs4518.csv",
    }
    for series, file in files.items():
        standings = Counter(size.standing for size in load(series))
        counts = (len(load(series)), standings[Standing.PUBLISHED], standings[Standing.MEMORY])
        assert f"| `{file}` | {counts[0]} | {counts[1]} | {counts[2]} |" in SOURCES
    standings = Counter(size.standing for size in all_sizes())
    assert f"| all | {len(all_sizes())} | {standings[Standing.PUBLISHED]} | {standings[Standing.MEMORY]} |" in SOURCES


def test_a_computed_tolerance_says_so() -> None:
    computed = [
        size
        for size in all_sizes()
        if size.series in {Series.METRIC, Series.BS4518, Series.AFNOR, Series.STOCK}
        or (size.series is Series.JIS and size.designation[0] == "S")
    ]
    assert all("computed, ISO 3601-1 class B" in size.note for size in computed)


@pytest.mark.parametrize("series", STANDARDS)
def test_the_tables_name_no_one(series: Series) -> None:
    # House rule: a source is a key that SOURCES.md explains, never a maker's name in the data.
    assert all(re.fullmatch(r"[A-Z0-9+]+|memory", size.cited) for size in load(series))


# AS568 ------------------------------------------------------------------------------------------------------------


def test_inches_times_25_4_are_the_printed_millimetres_to_rounding() -> None:
    for row in inch_table().values():
        for inch, printed in (
            (row.id_in, row.id_mm),
            (row.id_tol_in, row.id_tol_mm),
            (row.cross_section_in, row.cross_section_mm),
            (row.cross_section_tol_in, row.cross_section_tol_mm),
        ):
            assert abs(inch * 25.4 - printed) <= 0.005 + 1e-9, row.designation


def test_as568_is_used_in_exact_inches() -> None:
    for size in load(Series.AS568):
        row = inch_table()[size.designation]
        assert size.id_mm == pytest.approx(row.id_in * 25.4, abs=1e-9)
        assert size.id_tol_mm == pytest.approx(row.id_tol_in * 25.4, abs=1e-9)
        assert size.cross_section_mm == pytest.approx(row.cross_section_in * 25.4, abs=1e-9)
        assert size.cross_section_tol_mm == pytest.approx(row.cross_section_tol_in * 25.4, abs=1e-9)


def test_an_as568_hundred_has_one_width() -> None:
    widths = {"1": (0.103, 0.003), "2": (0.139, 0.004), "3": (0.210, 0.005), "4": (0.275, 0.006)}
    for row in inch_table().values():
        if expected := widths.get(row.designation[0]):
            assert (row.cross_section_in, row.cross_section_tol_in) == expected, row.designation
        elif "004" <= row.designation <= "050":
            assert (row.cross_section_in, row.cross_section_tol_in) == (0.070, 0.003), row.designation


# Above 15 in the standard moves from x.984 to x.955 (and back steps by whole and half inches): the only odd steps.
_KNOWN_ODD_STEPS = {"281", "384", "391", "460", "471"}


@pytest.mark.parametrize("hundred", "1234")
def test_as568_ids_go_up_in_regular_steps_that_only_grow(hundred: str) -> None:
    rows = [row for row in inch_table().values() if row.designation[0] == hundred]
    last = 0.0
    for before, after in pairwise(rows):
        step = after.id_in - before.id_in
        nominal = min((1 / 32, 1 / 16, 1 / 8, 1 / 4, 1 / 2, 1.0), key=lambda choice: abs(choice - step))
        allowed = 0.03 if before.designation in _KNOWN_ODD_STEPS else 0.0021
        assert abs(step - nominal) <= allowed, before.designation
        assert nominal >= last, before.designation
        last = nominal


@pytest.mark.parametrize("hundred", "012349")
def test_as568_tolerances_never_fall_as_ids_rise(hundred: str) -> None:
    rows = [row for row in inch_table().values() if row.designation[0] == hundred]
    for before, after in pairwise(rows):
        assert after.id_in > before.id_in, after.designation
        assert after.id_tol_in >= before.id_tol_in, after.designation


# JIS, ISO, BS, R ---------------------------------------------------------------------------------------------------


def test_a_jis_number_minus_its_id_is_one_figure_per_width() -> None:
    gaps = {("P", 1.9): 0.2, ("P", 2.4): 0.2, ("P", 3.5): 0.3, ("P", 5.7): 0.4, ("P", 8.4): 0.5}
    gaps |= {("G", 3.1): 0.6, ("G", 5.7): 0.7, ("S", 1.5): 0.5, ("S", 2.0): 0.5}
    for size in load(Series.JIS):
        if size.designation[0] != "V":
            number = float(size.designation[1:].rstrip("A"))
            gap = gaps[size.designation[0], size.cross_section_mm]
            assert number - size.id_mm == pytest.approx(gap, abs=1e-6), size.designation


def test_a_v_ring_is_smaller_than_its_number_by_half_millimetres_that_only_grow() -> None:
    rows = [size for size in load(Series.JIS) if size.designation[0] == "V"]
    gaps = [float(size.designation[1:]) - size.id_mm for size in rows]
    assert gaps == sorted(gaps)
    assert all(gap * 2 == round(gap * 2) for gap in gaps)
    widths = [(11, 4.0, 0.10), (5, 6.0, 0.15), (10, 10.0, 0.30)]
    assert [(size.cross_section_mm, size.cross_section_tol_mm) for size in rows] == [
        (width, tolerance) for count, width, tolerance in widths for _ in range(count)
    ]


def test_one_jis_id_has_one_tolerance_whatever_the_letter() -> None:
    # P and G are published rows, V is recalled: V's ID tolerance must lie between those of the P and G rings around it.
    known = [size for size in load(Series.JIS) if size.designation[0] in "PG"]
    for size in load(Series.JIS):
        if size.designation[0] == "V" and size.id_mm < 399:
            below = max((other for other in known if other.id_mm <= size.id_mm), key=lambda other: other.id_mm)
            above = min((other for other in known if other.id_mm >= size.id_mm), key=lambda other: other.id_mm)
            assert below.id_tol_mm - 0.02 <= size.id_tol_mm <= above.id_tol_mm + 0.02, size.designation


def test_the_r_series_goes_up_in_small_steps_within_five_widths() -> None:
    # The steps are of 0.7 to 0.9 mm, then 1.5 to 1.8 mm, then 1/8 in: from memory, as the whole series is.
    groups = by_width(load(Series.AFNOR))
    assert [(width, len(rows)) for width, rows in groups] == [(1.9, 9), (2.7, 7), (3.6, 13), (5.33, 25), (6.99, 36)]
    for (_, rows), smallest, largest in zip(groups[:3], (0.7, 1.5, 1.5), (0.9, 1.8, 1.8), strict=True):
        for before, after in pairwise(rows):
            assert smallest - 1e-6 <= after.id_mm - before.id_mm <= largest + 1e-6, after.designation


def test_the_large_r_sizes_are_as568_ones_in_two_runs_without_a_gap() -> None:
    # From memory: R28 is -325 and R52 -349, R53 is -425 and R88 -460; the counts of the two runs agree (25 and 36).
    printed = inch_table()
    for size in load(Series.AFNOR):
        if (number := int(size.designation[1:].rstrip("A"))) >= 28:
            dash = str(number + (325 - 28 if number <= 52 else 425 - 53))
            row = printed[dash]
            assert (size.id_mm, size.cross_section_mm) == (row.id_mm, row.cross_section_mm), size.designation
            assert dash in size.note


def test_the_second_class_has_no_size_of_the_first_and_says_what_it_is() -> None:
    second = [size for size in load(Series.METRIC) if "aerospace" in size.note]
    first = {(size.id_mm, size.cross_section_mm) for size in load(Series.METRIC)} - {
        (size.id_mm, size.cross_section_mm) for size in second
    }
    assert Counter(size.cross_section_mm for size in second) == {1.8: 16, 2.65: 14, 3.55: 17, 5.3: 1}
    assert len(first) == 484
    assert all(size.standing is Standing.MEMORY for size in second)


def test_a_bs4518_number_says_id_and_width() -> None:
    for size in load(Series.BS4518):
        assert size.designation == f"{round(size.id_mm * 10):04d}-{round(size.cross_section_mm * 10):02d}"


@pytest.mark.parametrize("series", [Series.METRIC, Series.STOCK])
def test_a_metric_designation_says_id_and_width(series: Series) -> None:
    for size in load(series):
        inner, width = size.designation.split("x")
        assert (float(inner), float(width)) == (size.id_mm, size.cross_section_mm)


def test_the_metric_widths_are_five_with_one_tolerance_each() -> None:
    widths = {(size.cross_section_mm, size.cross_section_tol_mm) for size in load(Series.METRIC)}
    assert widths == {(1.8, 0.08), (2.65, 0.09), (3.55, 0.10), (5.3, 0.13), (7.0, 0.15)}


# Look-alikes: computed once when the tables were collected (SOURCES.md), computed again here from the shipped rows. --


def _overlap(one: RingSize, other: RingSize) -> bool:
    return (
        abs(one.id_mm - other.id_mm) <= one.id_tol_mm + other.id_tol_mm + 1e-9
        and abs(one.cross_section_mm - other.cross_section_mm)
        <= one.cross_section_tol_mm + other.cross_section_tol_mm + 1e-9
    )


def _each_nominal_in_the_others_band(one: RingSize, other: RingSize) -> bool:
    return (
        abs(one.id_mm - other.id_mm) <= min(one.id_tol_mm, other.id_tol_mm) + 1e-9
        and abs(one.cross_section_mm - other.cross_section_mm)
        <= min(one.cross_section_tol_mm, other.cross_section_tol_mm) + 1e-9
    )


def test_245_as568_sizes_have_a_metric_look_alike_and_147_of_them_cannot_be_told_apart() -> None:
    metric = [size for size in load(Series.METRIC) if "aerospace" not in size.note]
    assert sum(any(_overlap(size, other) for other in metric) for size in load(Series.AS568)) == 245
    assert (
        sum(any(_each_nominal_in_the_others_band(size, other) for other in metric) for size in load(Series.AS568))
        == 147
    )


def test_24_as568_sizes_have_a_jis_look_alike() -> None:
    jis = [size for size in load(Series.JIS) if size.designation[0] in "PGV"]
    assert sum(any(_overlap(size, other) for other in jis) for size in load(Series.AS568)) == 24


def test_no_two_as568_sizes_of_one_width_overlap_and_others_at_most_touch() -> None:
    pairs = [pair for pair in combinations(load(Series.AS568), 2) if _overlap(*pair)]
    assert not [pair for pair in pairs if pair[0].cross_section_mm == pair[1].cross_section_mm]
    for one, other in pairs:
        gap = abs(one.cross_section_mm - other.cross_section_mm)
        assert gap == pytest.approx(one.cross_section_tol_mm + other.cross_section_tol_mm, abs=1e-9)
        assert other.designation[0] == "9"


def test_214_has_the_look_alikes_that_mislead_people() -> None:
    ring = find("AS568-214")
    assert ring is not None
    others = {size.label for size in all_sizes() if size.series in {Series.METRIC, Series.JIS} and _overlap(ring, size)}
    assert others >= {"25 × 3.55", "JIS P25", "JIS P25.5"}
