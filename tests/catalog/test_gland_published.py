"""Glands against print: handbook rows, groove tables, worked examples. The source stands beside each check."""

from __future__ import annotations

import pytest

from catalog.orings import standard_grooves as tables
from catalog.orings.figures import figures, section_fill, squeeze_range
from catalog.orings.gland import Sealing, assess
from catalog.orings.groove import GrooveKind, Motion, piston
from catalog.orings.names import find
from catalog.orings.sizes import RingSize, Series, load
from catalog.orings.span import between, span
from catalog.orings.verdict import Verdict
from catalog.standing import Standing

# W, ±, depth least and most, squeeze least and most in inches and in percent.
Row = tuple[float, float, float, float, float, float, float, float]
# Handbook radial glands for AS568 rings (static, then moving); the static half is also printed in S01, the moving half
# is from memory.
HANDBOOK: tuple[Row, ...] = (
    (0.070, 0.003, 0.050, 0.052, 0.015, 0.023, 22, 32),
    (0.103, 0.003, 0.081, 0.083, 0.017, 0.025, 17, 24),
    (0.139, 0.004, 0.111, 0.113, 0.022, 0.032, 16, 23),
    (0.210, 0.005, 0.170, 0.173, 0.032, 0.045, 15, 21),
    (0.275, 0.006, 0.226, 0.229, 0.040, 0.055, 15, 20),
    (0.070, 0.003, 0.055, 0.057, 0.010, 0.018, 15, 25),
    (0.103, 0.003, 0.088, 0.090, 0.010, 0.018, 10, 17),
    (0.139, 0.004, 0.121, 0.123, 0.012, 0.022, 9, 16),
    (0.210, 0.005, 0.185, 0.188, 0.017, 0.030, 8, 14),
    (0.275, 0.006, 0.237, 0.240, 0.029, 0.044, 11, 16),
)
# "Seal types and gland design", a seal maker's handbook (fdocument.pub, S02): moving, then static radial.
GUIDE: tuple[Row, ...] = (
    (0.070, 0.003, 0.055, 0.057, 0.010, 0.018, 15, 25),
    (0.103, 0.003, 0.087, 0.090, 0.010, 0.019, 10, 18),
    (0.139, 0.004, 0.119, 0.123, 0.012, 0.024, 9, 17),
    (0.210, 0.005, 0.183, 0.188, 0.017, 0.032, 8.5, 15),
    (0.275, 0.006, 0.234, 0.240, 0.029, 0.047, 10.5, 17),
    (0.070, 0.003, 0.050, 0.055, 0.012, 0.023, 18, 32),
    (0.103, 0.003, 0.080, 0.086, 0.014, 0.026, 14, 25),
    (0.139, 0.004, 0.110, 0.116, 0.019, 0.033, 14, 23),
    (0.210, 0.005, 0.170, 0.176, 0.029, 0.045, 14, 21),
    (0.275, 0.006, 0.225, 0.235, 0.034, 0.056, 13, 20),
)


@pytest.mark.parametrize("row", HANDBOOK + GUIDE)
def test_printed_squeeze_is_the_worst_case(row: Row) -> None:
    width, tolerance, shallow, deep, least, most, least_pct, most_pct = row
    section, depth = span(width, tolerance), between(shallow, deep)
    squeeze = squeeze_range(section, depth)
    assert round(section.minimum * squeeze.minimum / 100, 3) == pytest.approx(least)
    assert round(section.maximum * squeeze.maximum / 100, 3) == pytest.approx(most)
    # Percent is printed to 1 or ½, on the worst section or now and then on the nominal one.
    for printed, worst, inches in ((least_pct, squeeze.minimum, least), (most_pct, squeeze.maximum, most)):
        assert min(abs(printed - worst), abs(printed - 100 * inches / width)) <= 0.5


def test_published_tables_print_the_worst_case() -> None:
    """Every row that prints a squeeze (S01, S02/S04, S20). Rows in inches hold exactly, mm ones to ± 0.011 mm."""
    rows = [row for row in tables.groove_rows() if row.printed_squeeze_mm and row.printed_squeeze]
    assert len(rows) == 20 + 24 + 7
    for row in rows:
        assert row.printed_squeeze_mm is not None
        assert row.printed_squeeze is not None
        least, most = row.printed_squeeze_mm
        # The eight-section guide prints no ±: AS568's, class by class.
        tolerance = row.section_tol_mm or {1.02: 0.08, 1.27: 0.08, 1.52: 0.08, 1.78: 0.08, 2.62: 0.08}.get(
            row.section_mm, {3.53: 0.1, 5.33: 0.13, 6.99: 0.15}.get(row.section_mm, 0.0)
        )
        section = span(row.section_mm, tolerance)
        squeeze = squeeze_range(section, row.depth)
        near = 1e-9 if row.table == "AS568 handbook" else 0.0115
        assert section.minimum - row.depth.maximum == pytest.approx(least, abs=near), row
        assert section.maximum - row.depth.minimum == pytest.approx(most, abs=near), row
        assert squeeze.minimum == pytest.approx(row.printed_squeeze[0], abs=1.0), row
        assert squeeze.maximum == pytest.approx(row.printed_squeeze[1], abs=1.0), row


# The general metric table of a distributor (orings.co.uk/o-ring-housing, S03): width, depth moving, depth static,
# groove width radial, depth axial, groove width axial. Tolerances printed: +0.25, +0.1 and +0.2.
GENERAL = (
    (1.0, None, 0.70, 1.40, 0.70, 1.40),
    (1.78, 1.45, 1.30, 2.40, 1.30, 2.60),
    (2.62, 2.25, 2.00, 3.60, 2.00, 3.80),
    (3.53, 3.10, 2.70, 4.80, 2.70, 5.00),
    (4.0, 3.50, 3.10, 5.20, 3.10, 5.30),
    (5.33, 4.70, 4.30, 7.10, 4.30, 7.30),
    (5.7, 5.00, 4.60, 7.20, 4.60, 7.40),
    (6.99, 6.10, 5.80, 9.50, 5.80, 9.70),
)


@pytest.mark.parametrize("general", GENERAL)
def test_general_metric_table(general: tuple[float, float | None, float, float, float, float]) -> None:
    section, moving, static, radial, axial, axial_width = general

    def only(kind: GrooveKind, motion: Motion) -> tables.GrooveRow | None:
        rows = tables.standard_grooves(section, kind, motion)
        return next((row for row in rows if row.table == "Metric housing table"), None)

    row = only(GrooveKind.PISTON, Motion.STATIC)
    assert row is not None
    assert (row.depth.minimum, row.width.minimum, row.width.maximum) == (static, radial, radial + 0.25)
    face = only(GrooveKind.FACE_INSIDE, Motion.STATIC)
    assert face is not None
    assert face.depth == pytest.approx((axial, axial + 0.05, axial + 0.1))
    assert face.width.minimum == axial_width
    slides = only(GrooveKind.ROD, Motion.RECIPROCATING)
    assert (None if slides is None else slides.depth.minimum) == moving


# Worked examples with published answers.
def test_a1_static_radial() -> None:  # S13: 17.8 %
    assert squeeze_range(span(3.53), span(2.90)).nominal == pytest.approx(17.8, abs=0.05)


def exact(ring: RingSize) -> RingSize:
    return ring._replace(id_tol_mm=0.0, cross_section_tol_mm=0.0)


def test_a2_valve_seal() -> None:  # S06: S 6.21 %, R 4.04 %, width 5.09, squeeze 17.4 %, 20.75 % ignoring stretch
    ring = find("58x5.3")
    assert ring is not None
    found = figures(exact(ring), piston(span(61.6), span(7.0), bore=span(70)))
    assert found.stretch is not None
    assert found.stretch.nominal == pytest.approx(6.21, abs=0.005)
    assert found.width_loss.nominal == pytest.approx(4.04, abs=0.006)
    assert found.section_mm.nominal == pytest.approx(5.09, abs=0.005)
    assert found.squeeze.nominal == pytest.approx(17.4, abs=0.05)
    assert squeeze_range(span(5.3), span(4.2)).nominal == pytest.approx(20.75, abs=0.01)
    # Computed, not published: fill by section 75.0 % with the free ring, 69.2 % with the stretched one.
    assert section_fill(span(5.3), span(4.2), span(7.0)).nominal == pytest.approx(75.0, abs=0.05)
    assert section_fill(found.section_mm, span(4.2), span(7.0)).nominal == pytest.approx(69.1, abs=0.1)


def test_a3_jis_g25() -> None:  # S20: groove 25 (0/−0.1), bore 30 (+0.1/0): 0.70 / 0.40 mm, 21.85 / 13.3 %
    ring = find("G25")
    assert ring is not None
    groove = tables.groove_for(ring, GrooveKind.PISTON)
    assert groove is not None
    assert groove.inner == pytest.approx((24.9, 25, 25))
    assert groove.outer == pytest.approx((30, 30, 30.1))
    section = span(ring.cross_section_mm, ring.cross_section_tol_mm)
    squeeze = squeeze_range(section, figures(ring, groove).depth_mm)
    assert squeeze.minimum == pytest.approx(13.3, abs=0.05)
    assert squeeze.maximum == pytest.approx(21.85, abs=0.05)
    assert groove.width is not None
    row = next(row for row in tables.standard_grooves(3.1, GrooveKind.PISTON) if row.table == tables.JIS_TABLE)
    assert (groove.width.minimum, row.width_one_backup_mm, row.width_two_backups_mm) == (4.1, 5.6, 7.3)


def test_a4_fill() -> None:  # computed from S01's row: 66.0 / 71.5 / 77.4 %
    fill = section_fill(span(0.139, 0.004), between(0.111, 0.113), between(0.187, 0.192))
    assert fill == pytest.approx((66.0, 71.5, 77.4), abs=0.1)


@pytest.mark.parametrize(
    ("width", "tolerance", "shallow", "deep", "least", "most", "least_pct", "most_pct"),
    [
        (0.070, 0.003, 0.050, 0.054, 0.013, 0.023, 19, 32),  # A5, S01
        (0.103, 0.003, 0.087, 0.090, 0.010, 0.019, 10, 18),  # A6, S02
        (0.103, 0.003, 0.087, 0.089, 0.011, 0.019, 11, 17.9),  # A7, S81
    ],
)
def test_a5_to_a7(
    width: float,
    tolerance: float,
    shallow: float,
    deep: float,
    least: float,
    most: float,
    least_pct: float,
    most_pct: float,
) -> None:
    section = span(width, tolerance)
    squeeze = squeeze_range(section, between(shallow, deep))
    assert section.minimum - deep == pytest.approx(least)
    assert section.maximum - shallow == pytest.approx(most)
    assert squeeze.minimum == pytest.approx(least_pct, abs=0.6)
    assert squeeze.maximum == pytest.approx(most_pct, abs=0.6)


def test_a8_and_a9() -> None:
    assert squeeze_range(span(2.62), span(2.096)).nominal == pytest.approx(20.0)  # S82: 20 % of 2.62 is 2.10 deep
    assert squeeze_range(span(2.0), span(1.5)).nominal == pytest.approx(25.0)  # S83


def test_jis_trap_radial_depth_is_not_the_face_depth() -> None:
    """NOTES: radial (D − d)/2 is 1.5 2.0 3.0 5.0 7.5 and 2.5 5.0; face H is 1.4 1.8 2.7 4.6 6.9 and 2.4 4.6."""
    radial, face = {}, {}
    for row in tables.groove_rows():
        if row.table == tables.JIS_TABLE and row.medium == "":
            key = (row.series[0], row.section_mm)
            if row.use == tables.RADIAL:
                radial[key] = row.depth.minimum
            else:
                face[key] = row.depth.nominal
    assert [radial["P", w] for w in (1.9, 2.4, 3.5, 5.7, 8.4)] == [1.5, 2.0, 3.0, 5.0, 7.5]
    assert [radial["G", w] for w in (3.1, 5.7)] == [2.5, 5.0]
    assert [face["P", w] for w in (1.9, 2.4, 3.5, 5.7, 8.4)] == pytest.approx([1.4, 1.8, 2.7, 4.6, 6.9])
    assert [face["G", w] for w in (3.1, 5.7)] == pytest.approx([2.4, 4.6])


@pytest.mark.parametrize("kind", [GrooveKind.PISTON, GrooveKind.ROD])
def test_every_jis_ring_seals_in_its_own_groove(kind: GrooveKind) -> None:
    """JIS B 2401-2, all P and G sizes: P moving and static, G static. 3 rows published (S20), the rest from memory."""
    judged = 0
    for ring in load(Series.JIS):
        if tables.jis_diameter(ring) is None:
            continue
        motions = (Motion.STATIC,) if ring.designation[0] == "G" else (Motion.STATIC, Motion.RECIPROCATING)
        for motion in motions:
            groove = tables.groove_for(ring, kind, motion)
            assert groove is not None
            sealing = assess(ring, groove)
            assert sealing.verdict is Verdict.SEALS, (ring.label, motion, sealing.reasons[0].text)
            judged += 1
    assert judged == 2 * 122 + 46


# Rows that do not come out "seals", each with the figure that decides. Listed, not loosened.
NO_ROOM = "fill"
TOO_LITTLE = "squeeze_mm"
OUT_OF_BAND = "squeeze"
EXCEPTIONS = {
    # Vacuum grooves are filled to 86–94 % on purpose: nothing in them swells the rubber (S01).
    ("AS568 handbook", "face", "static", "gas or vacuum", 1.778): NO_ROOM,
    ("AS568 handbook", "face", "static", "gas or vacuum", 2.6162): NO_ROOM,
    ("AS568 handbook", "face", "static", "gas or vacuum", 3.5306): NO_ROOM,
    ("AS568 handbook", "face", "static", "gas or vacuum", 5.334): NO_ROOM,
    ("AS568 handbook", "face", "static", "gas or vacuum", 6.985): NO_ROOM,
    # A ± of 0.08 mm on so thin a section leaves less than 0.2 mm of squeeze at the worst (S25).
    ("Eight-section guide", "radial", "static", "", 1.02): TOO_LITTLE,
    ("Eight-section guide", "face", "static", "", 1.02): TOO_LITTLE,
    ("Eight-section guide", "radial", "reciprocating", "", 1.02): TOO_LITTLE,
    ("Eight-section guide", "radial", "reciprocating", "", 1.27): TOO_LITTLE,
    ("Metric housing table", "face", "static", "", 1.0): TOO_LITTLE,
    ("Metric housing table", "radial", "reciprocating", "", 1.5): TOO_LITTLE,
    # 5.6 % nominal less the ring's ± and its loss to 2 % stretch: 1.8 %, under the 2 % allowed in air.
    ("Metric moving table", "radial", "pneumatic", "", 6.99): OUT_OF_BAND,
}
# The same for rows from memory: the standard's own moving grooves squeeze harder than the handbooks' 20 %.
MEMORY_EXCEPTIONS = {
    ("GB/T 3452.3 (ISO 3601-2 family)", "radial", "reciprocating", "", 2.65): OUT_OF_BAND,
    ("GB/T 3452.3 (ISO 3601-2 family)", "radial", "reciprocating", "", 3.55): OUT_OF_BAND,
    ("GB/T 3452.3 (ISO 3601-2 family)", "radial", "pneumatic", "", 1.8): OUT_OF_BAND,
    ("GB/T 3452.3 (ISO 3601-2 family)", "radial", "pneumatic", "", 2.65): OUT_OF_BAND,
    ("JIS B 2401-2", "face", "static", "vacuum flange", 10.0): NO_ROOM,
}


def _typical(row: tables.GrooveRow) -> RingSize:
    """A ring of the row's section, 20 sections across, so that its diameter plays no part; class B's ± where none."""
    tolerance = row.section_tol_mm or {3.0: 0.09, 3.53: 0.1, 5.33: 0.13, 6.99: 0.15, 10.0: 0.3}.get(
        row.section_mm, 0.08
    )
    return RingSize(
        Series.STOCK, "typical", row.section_mm * 20, 0.0, row.section_mm, tolerance, "", Standing.MEMORY, ""
    )


# Radial rows that print a clearance seal with the part in the middle and turn marginal pushed over by it: of a typical
# ring, on a piston and on a rod. The rest of the 26 seal either way, but for the three listed above. None fails.
PUSHED_OVER = {
    ("AS568 handbook", "reciprocating", 1.778): (GrooveKind.PISTON, GrooveKind.ROD),
    ("AS568 handbook", "reciprocating", 2.6162): (GrooveKind.PISTON, GrooveKind.ROD),
    ("AS568 handbook", "reciprocating", 3.5306): (GrooveKind.PISTON,),
    ("AS568 handbook", "reciprocating", 5.334): (GrooveKind.PISTON,),
    ("Eight-section guide", "static", 1.27): (GrooveKind.PISTON, GrooveKind.ROD),
    ("Eight-section guide", "reciprocating", 1.52): (GrooveKind.PISTON, GrooveKind.ROD),
    ("Eight-section guide", "reciprocating", 2.62): (GrooveKind.PISTON, GrooveKind.ROD),
    ("Eight-section guide", "reciprocating", 3.53): (GrooveKind.PISTON,),
    ("Eight-section guide", "reciprocating", 5.33): (GrooveKind.PISTON,),
}


def _judged(row: tables.GrooveRow, *, centred: bool) -> list[Sealing]:
    kinds = (
        (GrooveKind.FACE_INSIDE, GrooveKind.FACE_OUTSIDE) if row.use == "face" else (GrooveKind.PISTON, GrooveKind.ROD)
    )
    found = []
    for kind in kinds:
        for motion in row.motions:
            ring = _typical(row)
            groove = tables.groove_for(ring, kind, motion, row=row)
            assert groove is not None
            found.append(assess(ring, groove._replace(centred=centred and row.use == "radial")))
    return found


def _key(row: tables.GrooveRow) -> tuple[str, str, str, str, float]:
    return (row.table, row.use, str(row.motions[0]), row.medium, round(row.section_mm, 6))


def test_every_row_of_every_table_seals_or_is_listed() -> None:
    left: dict[tuple[str, str, str, str, float], set[str]] = {}
    for row in tables.groove_rows():
        bad = [one for one in _judged(row, centred=True) if one.verdict is not Verdict.SEALS]
        for one in bad:
            assert one.verdict is Verdict.MARGINAL, (row, one.reasons[0])
            about = {reason.about for reason in one.reasons if reason.verdict is not Verdict.SEALS}
            left.setdefault(_key(row), set()).update(about)
    listed = EXCEPTIONS | MEMORY_EXCEPTIONS
    assert set(left) == set(listed), set(left) ^ set(listed)
    for key, about in left.items():
        assert listed[key] in about, (key, about)


def test_a_tables_own_gland_at_its_own_clearance_is_never_without_contact() -> None:
    rows = [row for row in tables.groove_rows() if row.use == "radial" and row.clearance_max_mm]
    assert len(rows) == 26
    turned: dict[tuple[str, str, float], list[GrooveKind]] = {}
    for row in rows:
        for centred, pushed in zip(_judged(row, centred=True), _judged(row, centred=False), strict=True):
            assert pushed.groove.pushed_mm == row.clearance_max_mm
            assert pushed.squeeze.minimum > 0
            assert pushed.verdict is not Verdict.WILL_NOT
            if pushed.verdict is not centred.verdict:
                key = (row.table, str(row.motions[0]), round(row.section_mm, 6))
                turned.setdefault(key, []).append(pushed.groove.kind)
    assert {key: tuple(kinds) for key, kinds in turned.items()} == PUSHED_OVER
    sealed = [row for row in rows if all(one.verdict is Verdict.SEALS for one in _judged(row, centred=True))]
    assert len(sealed) == 23


def test_published_first_and_counts() -> None:
    rows = tables.groove_rows()
    published = [row for row in rows if row.standing is Standing.PUBLISHED]
    assert (len(rows), len(published)) == (190, 151)
    found = tables.standard_grooves(3.53, GrooveKind.PISTON, Motion.RECIPROCATING)
    assert found[-1].standing is Standing.MEMORY
    assert found[0].standing is Standing.PUBLISHED
    assert tables.standard_grooves(3.53, GrooveKind.PORT) == ()
