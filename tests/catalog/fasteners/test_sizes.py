"""The thread tables against printed limits and hex sizes; the source stands beside each."""

import pytest

from catalog.fasteners.sizes import System, all_threads, find_thread, thread_named
from catalog.fasteners.wrench import drain_plug_hexes, hexes, threads_for_wrench

MM = 25.4


# Crest diameters of bolts, tolerance 6g, ISO 965 table as printed by a tool maker (mastik.pt, catalogue page 711).
# The standard rounds its formulas to preferred numbers, hence 6 µm.
@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("M1.6", 1.496, 1.581),
        ("M2", 1.886, 1.981),
        ("M2.5", 2.380, 2.480),
        ("M3", 2.874, 2.980),
        ("M3.5", 3.354, 3.479),
        ("M4", 3.838, 3.978),
        ("M5", 4.826, 4.976),
        ("M6", 5.794, 5.974),
    ],
)
def test_metric_bolts_are_made_within_iso_965(name: str, low: float, high: float) -> None:
    thread = thread_named(name)
    assert thread.major_low_mm == pytest.approx(low, abs=0.006)
    assert thread.major_high_mm == pytest.approx(high, abs=0.006)


# ASME B1.1 class 2A: a mechanics handbook site (efunda.com) for 11/16; a scan of the same table for the 5/8 rows.
@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("5/8-11 UNC", 0.6113, 0.6234),
        ("5/8-18 UNF", 0.6149, 0.6236),
        # from memory: Machinery's Handbook, class 2A
        ("3/8-16 UNC", 0.3643, 0.3737),
        ("1/4-20 UNC", 0.2408, 0.2489),
    ],
)
def test_inch_bolts_are_made_within_asme_b1_1(name: str, low: float, high: float) -> None:
    thread = thread_named(name)
    assert thread.major_low_mm / MM == pytest.approx(low, abs=0.0002)
    assert thread.major_high_mm / MM == pytest.approx(high, abs=0.0002)


# ASME B1.1 class 2B minor diameters, UNC, as printed (scribd.com document 395466526).
@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("#8-32", 0.1300, 0.1390),
        ("#10-24", 0.1450, 0.1560),
        ("1/4-20", 0.1960, 0.2070),
        ("5/16-18", 0.2520, 0.2650),
        ("3/8-16", 0.3070, 0.3210),
        ("7/16-14", 0.3600, 0.3760),
        ("5/8-11", 0.5270, 0.5460),
        ("3/4-10", 0.6420, 0.6630),
        ("7/8-9", 0.7550, 0.7780),
        ("1-8", 0.8650, 0.8900),
        ("1 1/4-7", 1.0950, 1.1230),
        ("1 1/2-6", 1.3200, 1.3500),
    ],
)
def test_inch_nuts_are_made_within_asme_b1_1(name: str, low: float, high: float) -> None:
    thread = thread_named(name)
    assert thread.minor_low_mm / MM == pytest.approx(low, abs=0.0008)
    assert thread.minor_high_mm / MM == pytest.approx(high, abs=0.0008)


# ISO 724 basic minor diameter D1, from memory: a nut's crests start there.
@pytest.mark.parametrize(("name", "least"), [("M6", 4.917), ("M8", 6.647), ("M10", 8.376), ("M12", 10.106)])
def test_metric_nuts_start_at_the_basic_minor_diameter(name: str, least: float) -> None:
    assert thread_named(name).minor_low_mm == pytest.approx(least, abs=0.0006)


# ISO 228-1 and ASME B1.20.1 in a manufacturer's table (unifiedalloys.com): threads per inch and pitch diameter E1.
@pytest.mark.parametrize(
    ("size", "per_inch", "pitch_diameter_in"),
    [
        ("1/8", 27, 0.37360),
        ("1/4", 18, 0.49163),
        ("3/8", 18, 0.62701),
        ("1/2", 14, 0.77843),
        ("3/4", 14, 0.98887),
        ("1", 11.5, 1.23863),
        ("1 1/4", 11.5, 1.58338),
        ("2", 11.5, 2.29627),
    ],
)
def test_npt_crests_lie_round_the_gauge_plane(size: str, per_inch: float, pitch_diameter_in: float) -> None:
    thread = thread_named(f"NPT {size}")
    assert thread.threads_per_inch == per_inch
    # At the gauge plane the crest stands 0.4 of the pitch above the pitch line (thread height 0.8 p).
    crest = (pitch_diameter_in + 0.8 / per_inch) * MM
    assert thread.major_low_mm < crest < thread.major_high_mm


# JIS B 1180 annex: ordinary and small hexagon, a fastener trade's page (neji-trivia.jp, table 1).
JIS = {
    "M8": (13, 12), "M10": (17, 14), "M12": (19, 17), "M14": (22, 19), "M16": (24, 22), "M18": (27, 24),
    "M20": (30, 27), "M22": (32, 30), "M24": (36, 32), "M27": (41, 36), "M30": (46, 41), "M36": (55, 50),
}  # fmt: skip


@pytest.mark.parametrize(("name", "sizes"), JIS.items())
def test_hexes_of_japan_and_of_the_older_german_standard(name: str, sizes: tuple[int, int]) -> None:
    by_standard = {size.standard: size.across_flats_mm for size in hexes(thread_named(name))}
    assert by_standard["older DIN 931/933"] == sizes[0]
    assert by_standard["JIS small"] == sizes[1]


# ISO 4014 = ISO 272 across flats, from memory; M8 on 13 mm is common practice, no source.
@pytest.mark.parametrize(
    ("name", "size"),
    [("M5", 8), ("M6", 10), ("M8", 13), ("M10", 16), ("M12", 18), ("M14", 21), ("M16", 24), ("M20", 30), ("M22", 34)],
)
def test_iso_hexes(name: str, size: int) -> None:
    first = hexes(thread_named(name))[0]
    assert (first.standard, first.across_flats_mm, first.wrench) == ("ISO 4014", size, f"{size} mm")


# Flange screws IFI-111 print the same across flats as hex screws from 5/16 to 3/4 (boltport.com, IFI 111).
@pytest.mark.parametrize(
    ("name", "wrench"),
    [("5/16-18", "1/2 in"), ("3/8-16", "9/16 in"), ("7/16-14", "5/8 in"), ("1/2-13", "3/4 in"), ("5/8-11", "15/16 in")],
)
def test_inch_hexes(name: str, wrench: str) -> None:
    assert [size.wrench for size in hexes(thread_named(name))] == [wrench]


# BS 1083 table 2 (boltport.com): largest width across flats of nuts, inches; BSW and BSF alike.
@pytest.mark.parametrize(
    ("size", "flats"), [("1/4", 0.445), ("5/16", 0.525), ("3/8", 0.600), ("1/2", 0.820), ("3/4", 1.200), ("1", 1.480)]
)
def test_whitworth_hexes(size: str, flats: float) -> None:
    for series in ("BSW", "BSF"):
        (one,) = hexes(thread_named(f"{series} {size}"))
        assert one.across_flats_mm == pytest.approx(flats * 25.4, abs=0.01)
        assert "rounds the corners" in one.note


def test_a_13_mm_wrench_and_a_half_inch_one_are_mistaken_for_each_other() -> None:
    names = {designation for designation, _ in threads_for_wrench(12.8)}
    assert "M8" in names
    assert "5/16-18 UNC" in names
    assert "M10" not in names


def test_drain_plug_hexes_say_that_they_are_from_memory() -> None:
    sizes = drain_plug_hexes(thread_named("M22x1.5"))
    assert sizes[0].across_flats_mm == 27
    assert {size.standing for size in sizes} == {"memory"}
    assert drain_plug_hexes(thread_named("M5")) == ()


@pytest.mark.parametrize(
    ("typed", "designation"),
    [
        ("m16", "M16"),
        ("M16 x 2.0", "M16"),
        ("M16×2", "M16"),
        ("m20x1,5", "M20x1.5"),
        ("3/8-16", "3/8-16 UNC"),
        ("3/4-16", "3/4-16 UNF"),
        ("10-32", "#10-32 UNF"),
        ("1/2 NPT", "NPT 1/2"),
        ("g3/4", "G 3/4"),
        ("3/4 BSPP", "G 3/4"),
        ("1 1/8-16", "1 1/8-16 UN"),
    ],
)
def test_names_as_people_type_them(typed: str, designation: str) -> None:
    thread = find_thread(typed)
    assert thread is not None
    assert thread.designation == designation


@pytest.mark.parametrize("typed", ["M99", "", "M16x9", "\x1b[31mM8", "3/8-99 " * 50])
def test_an_unknown_name_says_what_to_type(typed: str) -> None:
    with pytest.raises(ValueError, match=r"type it like M12x1\.5") as caught:
        thread_named(typed)
    assert "\x1b" not in str(caught.value)
    assert len(str(caught.value)) < 160


def test_every_thread_is_whole() -> None:
    threads = all_threads()
    assert len({thread.designation for thread in threads}) == len(threads)
    for thread in threads:
        assert thread.minor_low_mm < thread.minor_high_mm < thread.major_low_mm < thread.major_high_mm
        assert thread.major_high_mm <= thread.diameter_mm + 1e-9
        assert thread.tapered == (thread.system in (System.BSPT, System.NPT))
        assert thread.source
        assert find_thread(thread.designation) == thread
