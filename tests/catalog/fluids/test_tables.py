"""Every row of the fluid tables against figures written out here from the standards, not read from our files."""

from __future__ import annotations

import csv
import re
from fractions import Fraction

import pytest

from catalog.fluids import classes, grades, packs, properties, rules, tables, viscosity_index
from catalog.fluids.grades import Scale
from catalog.fluids.tables import TABLES
from catalog.standing import Standing

# The chart's rows hang on a chart, and a word that is asked back claims nothing.
LINKED = ("ambiguous", "grease_chart")
NAMES = sorted(path.stem for path in TABLES.glob("*.csv") if path.stem not in LINKED)

# ISO 3448: grade and midpoint in mm²/s at 40 °C; limits are the midpoint ± 10 % (published pages S29, S30).
ISO_3448 = {
    2: "2.2",
    3: "3.2",
    5: "4.6",
    7: "6.8",
    **{n: str(n) for n in (10, 15, 22, 32, 46, 68, 100, 150, 220, 320, 460, 680, 1000, 1500, 2200, 3200)},
}

# SAE J300 (January 2015; pages S32, S33): W grade, cranking mPa·s at °C, pumping °C, minimum at 100 °C.
J300_WINTER = {
    "0W": (6200, -35, -40, 3.8),
    "5W": (6600, -30, -35, 3.8),
    "10W": (7000, -25, -30, 4.1),
    "15W": (7000, -20, -25, 5.6),
    "20W": (9500, -15, -20, 5.6),
    "25W": (13000, -10, -15, 9.3),
}
# SAE J300: grade, minimum and (exclusive) maximum at 100 °C, HTHS minimum at 150 °C.
J300_HOT = [
    ("8", 4.0, 6.1, 1.7),
    ("12", 5.0, 7.1, 2.0),
    ("16", 6.1, 8.2, 2.3),
    ("20", 6.9, 9.3, 2.6),
    ("30", 9.3, 12.5, 2.9),
    ("40", 12.5, 16.3, 3.5),
    ("40", 12.5, 16.3, 3.7),
    ("50", 16.3, 21.9, 3.7),
    ("60", 21.9, 26.1, 3.7),
]
# SAE J306 (February 2019; page S29).
J306_WINTER = {"70W": (-55, 3.8), "75W": (-40, 3.8), "80W": (-26, 8.5), "85W": (-12, 11.0)}
J306_HOT = [
    ("65", 3.8, 5.0),
    ("70", 5.0, 6.5),
    ("75", 6.5, 8.5),
    ("80", 8.5, 11.0),
    ("85", 11.0, 13.5),
    ("90", 13.5, 18.5),
    ("110", 18.5, 24.0),
    ("140", 24.0, 32.5),
    ("190", 32.5, 41.0),
    ("250", 41.0, None),
]
# NLGI numbers, worked penetration in 0.1 mm (ASTM D217; page S51).
NLGI = {
    "000": (445, 475),
    "00": (400, 430),
    "0": (355, 385),
    "1": (310, 340),
    "2": (265, 295),
    "3": (220, 250),
    "4": (175, 205),
    "5": (130, 160),
    "6": (85, 115),
}
# FMVSS 116 boiling points, dry and wet, °C (pages S47, S48).
DOT = {"DOT 3": (205, 140), "DOT 4": (230, 155), "DOT 5": (260, 180), "DOT 5.1": (260, 180)}

# ASTM D2270-10 Table X2.1 (copy V2): range of Y, then L = a Y² + b Y + c and H = d Y² + e Y + f.
X2_1 = [
    (2.0, 3.8, 1.14673, 1.7576, -0.109, 0.84155, 1.5521, -0.077),
    (3.8, 4.4, 3.38095, -15.4952, 33.196, 0.78571, 1.7929, -0.183),
    (4.4, 5.0, 2.5000, -7.2143, 13.812, 0.82143, 1.5679, 0.119),
    (5.0, 6.4, 0.10100, 16.6350, -45.469, 0.04985, 9.1613, -18.557),
    (6.4, 7.0, 3.35714, -23.5643, 78.466, 0.22619, 7.7369, -16.656),
    (7.0, 7.7, 0.01191, 21.4750, -72.870, 0.79762, -0.7321, 14.610),
    (7.7, 9.0, 0.41858, 16.1558, -56.040, 0.05794, 10.5156, -28.240),
    (9.0, 12.0, 0.88779, 7.5527, -16.600, 0.26665, 6.7015, -10.810),
    (12.0, 15.0, 0.76720, 10.7972, -38.180, 0.20073, 8.4658, -22.490),
    (15.0, 18.0, 0.97305, 5.3135, -2.200, 0.28889, 5.9741, -4.930),
    (18.0, 22.0, 0.97256, 5.2500, -0.980, 0.24504, 7.4160, -16.730),
    (22.0, 28.0, 0.91413, 7.4759, -21.820, 0.20323, 9.1267, -34.230),
    (28.0, 40.0, 0.87031, 9.7157, -50.770, 0.18411, 10.1015, -46.750),
    (40.0, 55.0, 0.84703, 12.6752, -133.310, 0.17029, 11.4866, -80.620),
    (55.0, 70.0, 0.85921, 11.1009, -83.190, 0.17130, 11.3680, -76.940),
]


@pytest.mark.parametrize("row", grades.limits(Scale.ISO), ids=lambda row: f"VG {row.grade}")
def test_iso_grade_is_its_midpoint_within_ten_percent(row: grades.Limits) -> None:
    middle = Fraction(ISO_3448[int(row.grade)])
    assert row.kv_min == float(middle * Fraction(9, 10))
    assert row.kv_max == float(middle * Fraction(11, 10))
    assert row.holds(row.kv_min)
    assert row.holds(row.kv_max)


def test_iso_table_has_every_grade_once() -> None:
    assert [int(row.grade) for row in grades.limits(Scale.ISO)] == list(ISO_3448)


def test_j300_is_the_published_table() -> None:
    winter = {
        row.grade: (row.cold_max, row.cold_temp_c, row.pump_temp_c, row.kv_min)
        for row in grades.limits(Scale.ENGINE)
        if row.winter
    }
    assert winter == J300_WINTER
    assert {row.pump_max for row in grades.limits(Scale.ENGINE) if row.winter} == {60_000}
    hot = [(row.grade, row.kv_min, row.kv_max, row.hths_min) for row in grades.limits(Scale.ENGINE) if not row.winter]
    assert hot == J300_HOT


def test_j306_is_the_published_table() -> None:
    rows = grades.limits(Scale.GEAR)
    assert {row.grade: (row.cold_temp_c, row.kv_min) for row in rows if row.winter} == J306_WINTER
    assert {row.cold_max for row in rows if row.winter} == {150_000}
    assert [(row.grade, row.kv_min, row.kv_max) for row in rows if not row.winter] == J306_HOT
    # Abstract of SAE J306:2005 (S31): grades 110 and 190 were cut out of 90 and 140.
    assert {row.grade: row.before_2005 for row in rows if row.before_2005} == {"90": 24.0, "140": 41.0}


def test_nlgi_and_brake_fluid_tables_are_the_published_ones() -> None:
    assert {row.grade: (row.min_penetration, row.max_penetration) for row in classes.grease_grades()} == NLGI
    assert {row.grade: (row.dry_boiling_min_c, row.wet_boiling_min_c) for row in classes.brake_fluids()} == DOT
    assert [row.grade for row in classes.brake_fluids() if row.silicone] == ["DOT 5"]
    # FMVSS 116 viscosity limits, from memory and marked so.
    assert [row.max_cst_minus_40 for row in classes.brake_fluids()] == [1500, 1800, 900, 900]
    assert {row.viscosity_standing for row in classes.brake_fluids()} == {Standing.MEMORY}


@pytest.mark.parametrize("row", tables.rows("viscosity_index"), ids=lambda row: row["kv100"])
def test_every_row_of_l_and_h_lies_on_the_standards_own_curves(row: dict[str, str]) -> None:
    y, low, high = float(row["kv100"]), float(row["l"]), float(row["h"])
    fits = [fit for fit in X2_1 if fit[0] <= y <= fit[1]]
    # The fits agree with the table within 0.12 %; a slipped digit would be tens of times that.
    assert any(
        abs(a * y * y + b * y + c - low) < 0.0013 * low and abs(d * y * y + e * y + f - high) < 0.0013 * high
        for _, _, a, b, c, d, e, f in fits
    )


def test_l_and_h_rows_read_in_a_second_copy() -> None:
    # ASTM D2270 Table 1, copy V2, rows picked across its range.
    seen = {
        2.0: (7.994, 6.394),
        2.7: (13.00, 10.25),
        3.5: (20.09, 15.66),
        4.4: (30.48, 22.92),
        5.0: (40.23, 28.49),
        5.1: (41.99, 29.46),
        6.4: (65.18, 42.14),
        7.0: (78.00, 48.57),
        7.8: (95.43, 57.31),
        8.8: (118.5, 68.79),
        8.9: (120.9, 69.94),
        10.0: (147.7, 82.87),
        11.9: (199.0, 106.7),
        15.0: (296.5, 149.7),
        19.8: (483.9, 226.2),
        19.9: (488.6, 227.7),
        20.2: (501.5, 233.0),
        24.4: (704.2, 309.4),
        30.0: (1023, 421.7),
        45.0: (2152, 780.9),
        60.5: (3734, 1238),
        70.0: (4905, 1558),
    }
    assert {y: viscosity_index.reference_oils(y) for y in seen} == pytest.approx(seen)


def test_l_and_h_steps() -> None:
    # ASTM D2270 Table 1: steps of 0.1 to 20, 0.2 to 30, 0.5 to 70.
    at = [float(row["kv100"]) for row in tables.rows("viscosity_index")]
    wanted = [n / 10 for n in range(20, 201)] + [n / 10 for n in range(202, 301, 2)] + [n / 2 for n in range(61, 141)]
    assert at == wanted


def test_pack_sizes_are_exact() -> None:
    # NIST SP 811: one US gallon is 231 in³, one inch 25.4 mm; 128 fl oz to the gallon.
    gallon = 231 * Fraction("25.4") ** 3
    unit = {"qt": gallon / 4, "gal": gallon, "fl oz": gallon / 128, "L": Fraction(1_000_000)}
    for pack in packs.usual_packs():
        amount, name = pack.name.split(" ", 1)
        assert pack.volume == Fraction(amount) * unit[name], pack.name
        assert pack.standing is Standing.MEMORY


def test_rough_equivalents() -> None:
    # Quick reference S108, as read.
    seen = [(row["iso_vg"], row["sae_engine"], row["sae_gear"]) for row in tables.rows("rough_equivalents")]
    assert seen == [
        ("32", "10W", ""),
        ("46", "15W", ""),
        ("68", "20W", ""),
        ("100", "30", ""),
        ("150", "40", ""),
        ("220", "50", "90"),
        ("320", "", "140"),
        ("460", "", "140"),
    ]


@pytest.mark.parametrize("name", NAMES)
def test_every_row_has_a_known_source_and_standing(name: str) -> None:
    known = set(re.findall(r"^\| ([SV]\d+) \|", (TABLES / "SOURCES.md").read_text(encoding="utf-8"), re.MULTILINE))
    for row in tables.rows(name):
        standing = Standing(row["standing"])
        keys = re.findall(r"[SV]\d+", row["source"])
        assert set(keys) <= known, row
        # A row from memory, or of the trade's practice, has no page behind it; any other has one.
        assert bool(keys) is (standing not in (Standing.MEMORY, Standing.PRACTICE)), row
        assert standing is not Standing.PRACTICE or row["source"] == "common practice, no source", row


@pytest.mark.parametrize("name", NAMES)
def test_no_row_has_too_few_or_too_many_cells(name: str) -> None:
    with (TABLES / f"{name}.csv").open(encoding="utf-8", newline="") as handle:
        widths = {len(cells) for cells in csv.reader(handle)}
    assert len(widths) == 1


def test_every_row_of_the_grease_chart_hangs_on_a_chart() -> None:
    charts = {row["chart"] for row in tables.rows("grease_charts")}
    assert {row["chart"] for row in tables.rows("grease_chart")} == charts
    for name in LINKED:
        with (TABLES / f"{name}.csv").open(encoding="utf-8", newline="") as handle:
            assert len({len(cells) for cells in csv.reader(handle)}) == 1


def test_properties_speak_of_classes_once_and_in_words() -> None:
    codes = [code for row in tables.rows("properties") for code in tables.several(row["codes"])]
    assert len(codes) == len(set(codes))
    # Every spec class is there; a thickener is judged by the charts.
    spec = {fluid["code"] for fluid in tables.rows("classes") if fluid["family"] != "grease thickener"}
    assert set(codes) == spec
    for row in tables.rows("properties"):
        has, needs = tables.several(row["has"]), tables.several(row["needs"])
        assert {*has, *needs} <= set(properties.WORDS), row
        # What a class is asked for, it brings itself.
        assert set(needs) <= set(has), row


def test_limits_of_figures_are_the_published_ones() -> None:
    # ISO 22241-1 (S53, V38), JASO M345:2004 (V34), JASO T903:2016 (S43, S44).
    limits = {row["figure"]: (row["least"], row["most"]) for row in tables.rows("aus32")}
    assert limits == {
        "urea": ("31.8", "33.2"), "density": ("1087.0", "1093.0"), "refraction": ("1.3814", "1.3843"),
        "biuret": ("", "0.3"),
    }  # fmt: skip
    least = {
        row["grade"]: [row[f"{name}_min"] for name in ("lubricity", "torque", "detergency", "smoke", "blocking")]
        for row in tables.rows("jaso_m345")
    }
    assert least == {
        "FB": ["95", "98", "85", "45", "45"], "FC": ["95", "98", "95", "85", "90"],
        "FD": ["95", "98", "125", "85", "90"],
    }  # fmt: skip
    clutch = {
        row["grade"]: [row[f"{name}_min"] for name in ("dfi", "sfi", "sti")]
        for row in tables.rows("jaso_t903")
        if row["edition"] == "2016"
    }
    assert clutch == {
        "MA": ["1.35", "1.45", "1.40"], "MA1": ["1.35", "1.45", "1.40"], "MA2": ["1.50", "1.60", "1.60"],
    }  # fmt: skip


def test_rules_speak_only_of_classes_in_the_catalog_and_once() -> None:
    codes = {fluid.code for fluid in classes.all_classes()}
    pairs = [(rule.required, rule.offered) for rule in rules.built_in()]
    assert {code for pair in pairs for code in pair} <= codes
    assert len(pairs) == len(set(pairs))
    assert all(rule.condition for rule in rules.built_in())


def test_gear_and_engine_numbers_never_coincide() -> None:
    # SAE chose the numbers so; `grades.parse` relies on it.
    engine = {row.grade for row in grades.limits(Scale.ENGINE)}
    gear = {row.grade for row in grades.limits(Scale.GEAR)}
    assert not engine & gear
