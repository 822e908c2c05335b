"""Sizes as printed by somebody else than the publication the row was built from; the source stands beside each."""

import pytest

from catalog.orings.names import find
from catalog.orings.sizes import RingSize, Series, inch_table, load
from catalog.standing import Standing


def ring(name: str) -> RingSize:
    size = find(name)
    assert size is not None, name
    return size


# A public CAD library's short AS568 table (identifies -214 as 0.984 × 0.139 in); our rows come from GEOC and PKBR.
@pytest.mark.parametrize(
    ("dash", "id_mm", "width_mm"),
    [
        ("010", 6.07, 1.78),
        ("012", 9.25, 1.78),
        ("014", 12.42, 1.78),
        ("016", 15.60, 1.78),
        ("018", 18.77, 1.78),
        ("020", 21.95, 1.78),
        ("110", 9.19, 2.62),
        ("112", 12.37, 2.62),
        ("115", 17.12, 2.62),
        ("120", 25.07, 2.62),
        ("210", 18.64, 3.53),
        ("214", 24.99, 3.53),
        ("218", 31.34, 3.53),
        ("222", 37.69, 3.53),
        ("325", 37.47, 5.33),
    ],
)
def test_as568_in_a_cad_library(dash: str, id_mm: float, width_mm: float) -> None:
    printed = inch_table()[dash]
    assert (printed.id_mm, printed.cross_section_mm) == (id_mm, width_mm)


# A distributor's "AS568 O-Ring Size Chart" (globaloring.com/as568-size-chart) prints the ID range of each hundred in
# inches. Its 400 group starts with extended sizes that AS568 does not have, so only the upper end is compared.
@pytest.mark.parametrize(
    ("hundred", "smallest", "largest"),
    [("0", 0.029, 5.239), ("1", 0.049, 9.737), ("2", 0.171, 17.955), ("3", 0.412, 25.940), ("9", 0.185, 2.337)],
)
def test_as568_ranges_in_a_distributors_chart(hundred: str, smallest: float, largest: float) -> None:
    ids = [row.id_in for row in inch_table().values() if row.designation[0] == hundred]
    assert (min(ids), max(ids)) == (smallest, largest)


def test_as568_400_group_ends_where_the_distributors_chart_ends() -> None:
    assert max(row.id_in for row in inch_table().values() if row.designation[0] == "4") == 25.940


# Two parts lists in public projects: an industrial supplier's -012 and -016 in inches; a wind turbine model's
# "ISO 3601-1 214A" and "222A" and a parts index's "ISO3601-1-014A-12,42x1,78" in millimetres.
def test_as568_in_parts_lists() -> None:
    assert (inch_table()["012"].id_in, inch_table()["012"].cross_section_in) == (0.364, 0.070)
    assert (inch_table()["016"].id_in, inch_table()["016"].cross_section_in) == (0.614, 0.070)
    assert (inch_table()["214"].id_in, inch_table()["214"].cross_section_in) == (0.984, 0.139)
    assert ring("24.99x3.53").label == "AS568-214"
    assert ring("37.69x3.53").label == "AS568-222"
    assert ring("12.42x1.78").label == "AS568-014"


# GBEX (catalog/data/SOURCES.md) prints AS568-260 as 164.69 × 3.53.
def test_as568_260_in_a_modelling_note() -> None:
    assert (inch_table()["260"].id_mm, inch_table()["260"].cross_section_mm) == (164.69, 3.53)


# IMD (catalog/data/SOURCES.md): the ring of a 7/16-20 port is 0.351 × 0.072 in.
def test_as568_904_on_a_port_page() -> None:
    assert (inch_table()["904"].id_in, inch_table()["904"].cross_section_in) == (0.351, 0.072)


# VALQ, a seal maker's groove page; these rows also stand in JIS1, which was read against JIS B 2401-1:2012.
@pytest.mark.parametrize(
    ("name", "id_mm", "id_tol_mm", "width_mm", "width_tol_mm"),
    [
        ("P320", 319.5, 2.33, 8.4, 0.15),
        ("P355", 354.5, 2.54, 8.4, 0.15),
        ("P400", 399.5, 2.82, 8.4, 0.15),
        ("G25", 24.4, 0.25, 3.1, 0.10),
        ("G60", 59.4, 0.53, 3.1, 0.10),
        ("G100", 99.4, 0.85, 3.1, 0.10),
        ("G145", 144.4, 1.16, 3.1, 0.10),
        ("G150", 149.3, 1.19, 5.7, 0.13),
        ("G180", 179.3, 1.40, 5.7, 0.13),
    ],
)
def test_jis_on_a_seal_makers_page(
    name: str, id_mm: float, id_tol_mm: float, width_mm: float, width_tol_mm: float
) -> None:
    size = ring(name)
    assert (size.id_mm, size.id_tol_mm) == (id_mm, id_tol_mm)
    assert (size.cross_section_mm, size.cross_section_tol_mm) == (width_mm, width_tol_mm)


# JIS1: the rows below were recalled from memory first and then found printed, the same in every figure.
@pytest.mark.parametrize(
    ("name", "id_mm", "id_tol_mm", "width_mm", "width_tol_mm"),
    [
        ("P3", 2.8, 0.14, 1.9, 0.08),
        ("P10A", 9.8, 0.17, 2.4, 0.09),
        ("P22", 21.8, 0.24, 2.4, 0.09),
        ("P22A", 21.7, 0.24, 3.5, 0.10),
        ("P25", 24.7, 0.25, 3.5, 0.10),
        ("P48", 47.7, 0.44, 3.5, 0.10),
        ("P48A", 47.6, 0.44, 5.7, 0.13),
        ("P135", 134.6, 1.09, 5.7, 0.13),
        ("P150A", 149.5, 1.19, 8.4, 0.15),
        ("P209", 208.5, 1.61, 8.4, 0.15),
        ("G135", 134.4, 1.08, 3.1, 0.10),
        ("G230", 229.3, 1.73, 5.7, 0.13),
        ("G300", 299.3, 2.20, 5.7, 0.13),
    ],
)
def test_jis_read_against_the_standard(
    name: str, id_mm: float, id_tol_mm: float, width_mm: float, width_tol_mm: float
) -> None:
    size = ring(name)
    assert size.standing is Standing.PUBLISHED
    assert (size.id_mm, size.id_tol_mm) == (id_mm, id_tol_mm)
    assert (size.cross_section_mm, size.cross_section_tol_mm) == (width_mm, width_tol_mm)


# A rubber shop's drawing program in a public repository: P-10, P-20 and G-30 with ID, width and width tolerance.
# (Its ID tolerances are house values, so they are not compared.)
def test_jis_in_a_rubber_shops_drawings() -> None:
    assert (ring("P10").id_mm, ring("P10").cross_section_mm, ring("P10").cross_section_tol_mm) == (9.8, 1.9, 0.08)
    assert (ring("P20").id_mm, ring("P20").cross_section_mm, ring("P20").cross_section_tol_mm) == (19.8, 2.4, 0.09)
    assert ring("G30").id_mm == 29.4


# The Japanese encyclopedia article on O-rings (Wikipedia, as quoted by weblio.jp, August 2021): P from ID 2.8 to
# 399.5 mm, widths 1.9 to 8.4 mm.
def test_jis_p_range_in_an_encyclopedia() -> None:
    rows = [size for size in load(Series.JIS) if size.designation[0] == "P"]
    assert (min(size.id_mm for size in rows), max(size.id_mm for size in rows)) == (2.8, 399.5)
    assert (min(size.cross_section_mm for size in rows), max(size.cross_section_mm for size in rows)) == (1.9, 8.4)


# KYOT, a university's table of JIS B 2401-1991: which V numbers are 4 mm wide, which 6 mm.
def test_jis_v_widths_in_a_university_table() -> None:
    widths = {
        4.0: (15, 24, 34, 40, 55, 70, 85, 100, 120, 150, 175),
        6.0: (225, 275, 325, 380, 430),
    }
    for width, numbers in widths.items():
        assert all(ring(f"V{number}").cross_section_mm == width for number in numbers)


# ERRA, the erratum printed with JIS B 2401-1991.
def test_jis_v480_is_as_corrected() -> None:
    assert ring("V480").id_mm == 475.0


# The maker's catalogue DLSE lists what it stocks as ID × width; these rows of ours were recalled from memory.
@pytest.mark.parametrize(
    "name", ["16x2.65", "43.7x2.65", "41.2x3.55", "58x3.55", "77.5x3.55", "103x3.55", "106x3.55", "165x3.55"]
)
def test_metric_sizes_that_somebody_sells(name: str) -> None:
    # 165 × 3.55: GBEX, named there as GB/T 3452.1-2005.
    assert ring(name).series is Series.METRIC


# A seal maker's comparison of standards (precixinc.com/engineering/compare.htm) lists the widths of ISO 3601.
def test_metric_widths_in_a_comparison_of_standards() -> None:
    assert {size.cross_section_mm for size in load(Series.METRIC)} == {1.8, 2.65, 3.55, 5.3, 7.0}


# ISO 3, preferred numbers, series R40 (figures from memory). The metric IDs are built on it: between the smallest and
# the largest ID of a width no R40 number may be missing, from 4.5 mm up.
R40_LOW = (1, 1.06, 1.12, 1.18, 1.25, 1.32, 1.4, 1.5, 1.6, 1.7, 1.8, 1.9, 2, 2.12, 2.24, 2.36, 2.5, 2.65, 2.8, 3)
R40_HIGH = (3.15, 3.35, 3.55, 3.75, 4, 4.25, 4.5, 4.75, 5, 5.3, 5.6, 6, 6.3, 6.7, 7.1, 7.5, 8, 8.5, 9, 9.5)


@pytest.mark.parametrize("width", [1.8, 2.65, 3.55, 5.3, 7.0])
def test_metric_ids_leave_out_no_preferred_number(width: float) -> None:
    # The second (aerospace) class takes every other number only.
    general = [size for size in load(Series.METRIC) if "aerospace" not in size.note]
    ids = {size.id_mm for size in general if size.cross_section_mm == width}
    preferred = {round(number * decade, 2) for number in R40_LOW + R40_HIGH for decade in (1, 10, 100)}
    assert {number for number in preferred if max(4.5, min(ids)) <= number <= max(ids)} <= ids


# DLSE stocks these ID × width pairs; the R sizes of ours with the same figures were recalled from memory.
@pytest.mark.parametrize(
    ("name", "id_mm", "width_mm"),
    [
        ("R3", 4.2, 1.9),
        ("R5", 5.7, 1.9),
        ("R6", 7.2, 1.9),
        ("R7", 8.9, 1.9),
        ("R9", 10.5, 2.7),
        ("R10", 12.1, 2.7),
        ("R12", 15.1, 2.7),
        ("R19", 24.6, 3.6),
    ],
)
def test_r_sizes_that_somebody_sells(name: str, id_mm: float, width_mm: float) -> None:
    assert (ring(name).id_mm, ring(name).cross_section_mm) == (id_mm, width_mm)


# ROYM (roymech.org, O_Rings): 0545-30 is a ring of ID 54.5 and width 3.0; BS 4518 has six widths.
def test_bs4518_in_an_engineering_reference() -> None:
    assert (ring("0545-30").id_mm, ring("0545-30").cross_section_mm) == (54.5, 3.0)
    assert {size.cross_section_mm for size in load(Series.BS4518)} == {1.6, 2.4, 3.0, 4.1, 5.7, 8.4} - {4.1}


# TOTR prints each BS 4518 size in inches too, to three decimals.
@pytest.mark.parametrize(
    ("name", "width_in", "id_in"),
    [
        ("0031-16", 0.063, 0.122),
        ("0101-16", 0.063, 0.398),
        ("0191-16", 0.063, 0.752),
        ("0251-16", 0.063, 0.988),
        ("0371-16", 0.063, 1.461),
        ("0036-24", 0.094, 0.142),
        ("0046-24", 0.094, 0.181),
    ],
)
def test_bs4518_in_inches(name: str, width_in: float, id_in: float) -> None:
    assert round(ring(name).cross_section_mm / 25.4, 3) == width_in
    assert round(ring(name).id_mm / 25.4, 3) == id_in


# Errors seen in public tables (SOURCES.md): our rows must not have them.
def test_known_wrong_rows_are_not_ours() -> None:
    assert not [
        size
        for size in load(Series.JIS)
        if size.designation[0] == "G" and size.id_mm < 149 and size.cross_section_mm != 3.1
    ]
    assert ring("P22A").id_mm == 21.7
    assert ring("P25").id_mm == 24.7
    assert (ring("P18").id_mm, ring("P20").id_mm, ring("P48").id_mm) == (17.8, 19.8, 47.7)
    assert ring("P52").cross_section_mm == 5.7
    assert ring("AS568-325").id_mm != ring("AS568-222").id_mm
    assert inch_table()["240"].id_mm != inch_table()["242"].id_mm == 101.19
    assert min(size.id_mm for size in load(Series.METRIC) if size.cross_section_mm == 7.0) == 109
    assert find("21x2.65") is None
    assert find("21.2x2.65") is not None
    assert not [size for size in load(Series.METRIC) if size.cross_section_mm == 5.0]
