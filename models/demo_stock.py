"""What lies on the demo workshop's shelf: an orchard co-op's stores, invented."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from models.words import Kind

LITRE = 1_000_000


class Ring(NamedTuple):
    """A ring in an assortment box and how many there are."""

    size_key: str
    rubber: str
    hardness_shore_a: int
    bin_code: str
    pieces: int


class Thing(NamedTuple):
    """Anything else on the shelf: how much (pieces or microlitres), and its lot where it has one."""

    kind: Kind
    name: str
    spec_class: str
    spec_grade: str
    bin_code: str
    quantity: int
    lot_code: str = ""
    expires_on: date | None = None
    cure_minutes: int | None = None


BINS = (
    ("Box 1", "inch rings, NBR"),
    ("Box 2", "inch rings, HNBR and FKM"),
    ("Box 3", "metric rings"),
    ("Box 4", "JIS rings"),
    ("Drawer F1", "elements, spin-on"),
    ("Drawer F2", "elements, drop-in"),
    ("Drum 1", "under the lean-to"),
    ("Drum 2", "under the lean-to"),
    ("Shelf O", "jugs"),
    ("Shelf S", "sealants and cleaners"),
    ("Tray B", "bolts and washers"),
    ("Cupboard", "rags, gloves, absorbent"),
)

_INCH = {
    "006": 12, "008": 12, "010": 20, "011": 18, "012": 20, "013": 14, "014": 16, "015": 9, "016": 10, "017": 0,
    "018": 8, "110": 20, "111": 14, "112": 16, "113": 11, "114": 12, "115": 7, "116": 10, "117": 4, "118": 8,
    "120": 6, "206": 10, "208": 9, "210": 8, "211": 6, "212": 8, "213": 3, "214": 11, "215": 2, "216": 6,
    "218": 5, "220": 4, "222": 5, "225": 2, "228": 1, "320": 3, "325": 4, "330": 2, "910": 6, "912": 4,
}  # fmt: skip
_JIS = {"P10": 10, "P12": 9, "P15": 7, "P18": 6, "P20": 8, "P22": 1, "P24": 4, "G25": 5, "G30": 4, "G40": 0}
_METRIC = {"10.6x2.65": 8, "14x2.65": 6, "20x2.65": 9, "25x3.55": 5, "30x3.55": 4, "40x3.55": 2}

RINGS = (
    *(Ring(f"as568:{dash}", "NBR", 70, "Box 1", pieces) for dash, pieces in _INCH.items() if pieces),
    Ring("as568:116", "HNBR", 70, "Box 2", 6),
    Ring("as568:214", "HNBR", 70, "Box 2", 5),
    Ring("as568:216", "HNBR", 70, "Box 2", 2),
    Ring("as568:222", "HNBR", 70, "Box 2", 4),
    Ring("as568:113", "FKM", 75, "Box 2", 3),
    Ring("as568:210", "FKM", 75, "Box 2", 2),
    *(Ring(f"jis:{name}", "NBR", 70, "Box 4", pieces) for name, pieces in _JIS.items() if pieces),
    *(Ring(f"metric:{name}", "NBR", 70, "Box 3", pieces) for name, pieces in _METRIC.items()),
)

THINGS = (
    Thing(Kind.FILTER, "Spin-on element, return line", "spin-on 1-12 UN, 10 µm", "", "Drawer F1", 3),
    Thing(Kind.FILTER, "Spin-on element, engine oil", "spin-on 3/4-16 UNF, 20 µm", "", "Drawer F1", 4),
    Thing(Kind.FILTER, "Suction strainer, drop-in", "drop-in 90 × 140 mm, 150 µm", "", "Drawer F2", 1),
    Thing(Kind.FLUID, "UTTO, drum", "UTTO", "10W-30", "Drum 1", 146 * LITRE, "D-2611"),
    Thing(Kind.FLUID, "STOU, drum", "STOU", "10W-40", "Drum 2", 61 * LITRE, "D-2603"),
    Thing(Kind.FLUID, "Hydraulic oil, jug", "HM", "ISO VG 46", "Shelf O", 19 * LITRE),
    Thing(Kind.FLUID, "Engine oil, jug", "API CK-4", "15W-40", "Shelf O", 15 * LITRE),
    Thing(
        Kind.SEALANT, "Flange sealant, 24 h cure", "oil-proof flange sealant", "", "Shelf S", 2,
        "S-77", date(2031, 5, 31), 24 * 60,
    ),
    Thing(
        Kind.SEALANT, "Flange sealant, old tube", "oil-proof flange sealant", "", "Shelf S", 1,
        "S-41", date(2025, 6, 30), 24 * 60,
    ),
    Thing(Kind.CONSUMABLE, "Brake and parts cleaner", "parts cleaner", "", "Shelf S", 5),
    Thing(Kind.CONSUMABLE, "Rags, lint-free", "rags", "", "Cupboard", 40),
    Thing(Kind.CONSUMABLE, "Nitrile gloves, pair", "gloves", "", "Cupboard", 60),
    Thing(Kind.FASTENER, "Hex bolt M10 × 1.5 × 30", "M10 × 1.5 × 30", "8.8", "Tray B", 18),
    Thing(Kind.FASTENER, "Copper washer 14 × 18", "copper washer 14 × 18", "", "Tray B", 9),
)  # fmt: skip
