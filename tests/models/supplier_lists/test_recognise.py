"""Golden readings of free text. Sizes are held to the published tables; which text means what is common practice."""

from __future__ import annotations

import pytest

from models.supplier_lists.recognise import recognise

# SAE AS568: 214 is 24.99 × 3.53 mm (0.984 × 0.139 in), 112 is 12.37 × 2.62, 011 is 7.65 × 1.78.
# JIS B 2401: P22A is 21.7 × 3.5. BS 4518: 0245-30 is 24.5 × 3.0.
RINGS = [
    ("ORING 24,99X3,53 N70", "as568:214", "NBR", 70, 0.8),
    ("ORING NBR 75 X 3,55", "metric:75x3.55", "NBR", None, 0.95),
    ("ORING NBR 70 25X3,55", "metric:25x3.55", "NBR", 70, 0.95),
    ("O-Ring 24.99 x 3.53 mm FKM 75", "as568:214", "FKM", 75, 0.95),
    ("O RING AS568-214 EPDM", "as568:214", "EPDM", None, 0.95),
    ("AS568A 112 ring NBR 90", "as568:112", "NBR", 90, 0.95),
    ("O-RING -011 V75", "as568:011", "FKM", 75, 0.8),
    ("O-RING 0.984X0.139 IN", "as568:214", "", None, 0.95),
    ("O-ring JIS P22A HNBR 70 Shore A", "jis:P22A", "HNBR", 70, 0.95),
    ("Joint torique 25x3,55 NBR", "metric:25x3.55", "NBR", None, 0.95),
    ("O-RING 3,53X24,99", "as568:214", "", None, 0.76),
    ("BS 4518 0245-30 O-RING", "bs4518:0245-30", "", None, 0.95),
    ("O-RING 24,990X3,530", "as568:214", "", None, 0.57),
    # Trade fractions, as AS568 size charts print them beside the actual figures.
    ("O-RING 5 X 5-1/2 X 1/4 NBR 70", "as568:429", "NBR", 70, 0.85),
    ('O-RING 1" X 1-1/4" X 1/8"', "as568:214", "", None, 0.85),
    ("O-RING 1 X 1/8 IN V75", "as568:214", "FKM", 75, 0.7),
    # Each dimension by its name, in either order of name and figure.
    ("O-ring ID 24.99mm CS 3.53mm NBR 70", "as568:214", "NBR", 70, 0.95),
    ("O-ring 24.99 ID x 3.53 CS", "as568:214", "", None, 0.95),
    ("O-ring 0.984 in ID x 0.139 in W V75", "as568:214", "FKM", 75, 0.8),
    ('O-ring 1" x 1/8" nitrile', "as568:214", "NBR", None, 0.7),
    # The families by their names in words, as ISO 1629 spells them.
    ("O-ring 24.99 x 3.53 hydrogenated nitrile 70", "as568:214", "HNBR", 70, 0.9),
    ("O-ring 24.99 x 3.53 ethylene propylene", "as568:214", "EPDM", None, 0.9),
    ("O-ring 24.99 x 3.53 fluorocarbon 75", "as568:214", "FKM", 75, 0.85),
    ("O-ring 24.99 x 3.53 polyurethane 90", "as568:214", "AU/EU", 90, 0.85),
    ("O-ring 24.99 x 3.53 chloroprene", "as568:214", "CR", None, 0.9),
    # JIS B 2401's classes: 1A nitrile 70, 1B nitrile 90, 4D fluorocarbon (from memory).
    ("JIS P22A 1A", "jis:P22A", "NBR", 70, 0.8),
    ("O-ring P22A 1B", "jis:P22A", "NBR", 90, 0.75),
    ("JIS P22A 4D", "jis:P22A", "FKM", 70, 0.8),
    ("Seal 25x3", "stock:25x3", "", None, 0.4),
]


@pytest.mark.parametrize(("text", "size", "rubber", "hardness", "confidence"), RINGS)
def test_rings(text: str, size: str, rubber: str, hardness: int | None, confidence: float) -> None:
    found = recognise(text)
    assert found.ring is not None
    assert (found.ring.size_key, found.ring.rubber, found.ring.hardness_shore_a) == (size, rubber, hardness)
    assert found.confidence_ppm == round(confidence * 1_000_000)
    assert all(one.text and one.why for one in found.readings)


@pytest.mark.parametrize(
    "text",
    [
        "Quad ring 24.99x3.53 NBR 70",
        "Quad-ring AS568-214",
        "X-RING 25x3.55",
        "X ring JIS P22A",
        "4-lobed ring 25 x 3.55",
    ],
)
def test_a_ring_of_four_lobes_is_no_o_ring(text: str) -> None:
    assert recognise(text).ring is None
    assert recognise(text, "AS568-214").ring is None


@pytest.mark.parametrize(
    "text",
    [
        "Copper washer 14 x 18 x 1.5",
        "Washer 18x1.5 copper",
        "Sealing washer 1/4 14,2 X 2",
        "Shaft seal 25 x 35 x 7",
        "Shaft seal 25 x 35x7",
        "Seal 25 × 35 × 7 NBR",
    ],
)
def test_a_washer_and_three_figures_are_no_o_ring(text: str) -> None:
    """Seen: the last two of a washer's three figures became a ring of 18 x 1.5, and Enter put it on a kit."""
    assert recognise(text).ring is None


def test_an_o_ring_with_a_washer_is_an_o_ring() -> None:
    found = recognise("O-ring 24.99x3.53 NBR 70 with washer").ring
    assert found is not None
    assert found.size_key is not None


def test_a_named_width_is_never_taken_for_the_id() -> None:
    found = recognise("O-ring ID 3.53 CS 24.99").ring
    assert found is None or found.id_100nm == 35_300


def test_a_ring_of_no_standard_size_keeps_its_dimensions() -> None:
    found = recognise("O-RING 26,3X3,5 NBR")
    assert found.ring_columns[:3] == (None, 263_000, 35_000)
    assert "no standard size" in found.readings[0].why


def test_the_lists_decimal_mark_settles_a_comma_with_three_digits() -> None:
    assert recognise("O-RING 24,990X3,530", mark=",").confidence_ppm == 950_000


def test_a_code_is_read_as_a_ring_only_where_the_name_says_ring() -> None:
    assert recognise("O-ring NBR 70", "24,99X3,53").ring_columns[0] == "as568:214"
    assert recognise("Clamp", "24,99X3,53").ring is None


# ISO 261: M10 × 1.25 is a fine thread. ASME B1.1: 3/8-16 is UNC. NIST SP 811: 1 US gal = 3.785 411 784 L.
@pytest.mark.parametrize(
    ("text", "thread", "confidence"),
    [
        ("CAP SCREW M10X1,25X40", "M10x1.25", 0.95),
        ("Hex bolt M12x40 8.8", "M12", 0.85),
        ("BOLT 3/8-16 UNC X 1", "3/8-16 UNC", 0.95),
        ("Plug G 1/2", "G 1/2", 0.8),
        ("Adapter 1/4 NPT", "NPT 1/4", 0.95),
        ("Nipple 1/2 BSP", "G 1/2", 0.6),
    ],
)
def test_threads(text: str, thread: str, confidence: float) -> None:
    found = recognise(text)
    assert found.thread is not None
    assert found.thread.designation == thread
    assert found.readings[0].confidence == confidence


@pytest.mark.parametrize(
    ("text", "microlitres"),
    [
        ("HYD OIL 5GAL", round(5 * 3_785_411.784)),
        ("Engine oil 15W-40 20L", 20_000_000),
        ("UTTO 4X5L", 20_000_000),
        ("Gear oil 0,5 l", 500_000),
        ("Cleaner 400ML", 400_000),
        ("ATF 1 QT", 946_353),
    ],
)
def test_volumes(text: str, microlitres: int) -> None:
    found = recognise(text)
    assert found.volume is not None
    assert (found.volume.volume_ul, found.ring) == (microlitres, None)


@pytest.mark.parametrize(
    "text",
    ["", "Gasket NBR", "V-belt A-45", "Pump kit 4626", "Key 8x7x40", "5W-30", "Valve 10 L/min", "Bearing 6205-2RS",
     "Ring spanner 13", "SPRING 214", "ISO 9001", "9**9**9", "x" * 100_000, "1x" * 1000, "\0 5 \ud800"],
)  # fmt: skip
def test_what_says_nothing_is_not_read(text: str) -> None:
    assert recognise(text).readings == ()
