"""What lies on the demo workshop's shelf: an orchard co-op's stores, invented."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from catalog.filters.element import NO_BYPASS, Element, Gasket, thread_size
from catalog.filters.element import Kind as Sort
from catalog.filters.housing import BypassPlace, Duty, GasketLand, Housing
from catalog.filters.housing import Position as Sits
from catalog.filters.media import rated
from catalog.orings.groove import Groove, face_inside
from catalog.orings.span import span
from models.inventory.item_figures import ItemFigures
from models.words import Kind

LITRE = 1_000_000
GALLON = 3_785_412
"""1 US gallon, 231 cubic inches, in whole microlitres."""
PAIL = "Hydraulic oil, 5 gal pail"


class Ring(NamedTuple):
    """A ring in an assortment box and how many there are."""

    size_key: str
    rubber: str
    hardness_shore_a: int
    bin_code: str
    pieces: int


class Thing(NamedTuple):
    """Anything else on the shelf: how much (pieces or microlitres), its lot where it has one, and what it claims."""

    kind: Kind
    name: str
    spec_class: str
    spec_grade: str
    bin_code: str
    quantity: int
    lot_code: str = ""
    expires_on: date | None = None
    cure_minutes: int | None = None
    figures: ItemFigures = ItemFigures()


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

RETURN_CAN = Element(
    Sort.SPIN_ON, "", 93, 142, thread=thread_size("1-12"), gasket=Gasket(62, 71, 5), medium=rated(10, 200),
    bypass=NO_BYPASS, anti_drain_back=False, collapse_bar=10, flow_l_min=90,
)  # fmt: skip
ENGINE_CAN = Element(
    Sort.SPIN_ON, "", 76, 85, thread=thread_size("3/4-16"), gasket=Gasket(56, 65, 5), medium=rated(20, 75),
    anti_drain_back=True, collapse_bar=10,
)  # fmt: skip
RETURN_HEAD = Housing(
    Sort.SPIN_ON, "return line head", 190, 120, thread=thread_size("1-12"), gasket_land=GasketLand(60, 74, 0.0),
    medium=rated(10, 200), bypass=BypassPlace.HOUSING, bypass_opens_bar=1.7, position=Sits.HANGING, duty=Duty.RETURN,
    max_differential_bar=2, flow_l_min=60,
)  # fmt: skip
INLET_GROOVE: Groove = face_inside(span(31.8, 0.05), span(2.8, 0.05), span(4.8, 0.1), label="pump inlet flange")

EXPIRED = ("jis:P22", 6, "P22 bag", date(2017, 11, 15))
"""A bag of rings found at the back of a drawer: size, pieces, lot, and the day of cure printed on it."""
FULL_BOX = {"Box 1": 10, "Box 4": 6}
"""What a full assortment box holds of each of its sizes."""
EMPTY_PLACES = {"Box 1": ("as568:017",), "Box 4": ("jis:G40",)}
"""Sizes a full box holds that have run out: they are items without stock."""

THINGS = (
    Thing(
        Kind.FILTER, "Spin-on element, return line", "spin-on 1-12 UNF, 10 µm", "", "Drawer F1", 3,
        figures=ItemFigures(element=RETURN_CAN),
    ),
    Thing(
        Kind.FILTER, "Spin-on element, engine oil", "spin-on 3/4-16 UNF, 20 µm", "", "Drawer F1", 4,
        figures=ItemFigures(element=ENGINE_CAN),
    ),
    Thing(Kind.FILTER, "Suction strainer, drop-in", "drop-in 90 × 140 mm, 150 µm", "", "Drawer F2", 1),
    Thing(
        Kind.FLUID, "UTTO, drum", "UTTO", "10W-30", "Drum 1", 146 * LITRE, "D-2611",
        figures=ItemFigures(("API GL-4",), container=208 * LITRE),
    ),
    Thing(
        Kind.FLUID, "STOU, drum", "STOU", "10W-40", "Drum 2", 61 * LITRE, "D-2603",
        figures=ItemFigures(("API CF-4",), container=208 * LITRE),
    ),
    Thing(
        Kind.FLUID, PAIL, "HM", "ISO VG 68", "Shelf O", 5 * GALLON, "P-19",
        figures=ItemFigures(container=5 * GALLON),
    ),
    Thing(Kind.FLUID, "Hydraulic oil, jug", "HM", "ISO VG 46", "Shelf O", 19 * LITRE),
    Thing(Kind.FLUID, "Engine oil, jug", "API CK-4", "15W-40", "Shelf O", 15 * LITRE),
    Thing(
        Kind.SEALANT, "Flange sealant, 24 h cure", "oil-proof flange sealant", "", "Shelf S", 2,
        "S-77", date(2031, 5, 31), 24 * 60, ItemFigures(("oil", "fuel", "water")),
    ),
    Thing(
        Kind.SEALANT, "Flange sealant, old tube", "oil-proof flange sealant", "", "Shelf S", 1,
        "S-41", date(2025, 6, 30), 24 * 60, ItemFigures(("oil", "fuel", "water")),
    ),
    Thing(Kind.CONSUMABLE, "Brake and parts cleaner", "parts cleaner", "", "Shelf S", 5),
    Thing(Kind.CONSUMABLE, "Rags, lint-free", "rags", "", "Cupboard", 40),
    Thing(Kind.CONSUMABLE, "Nitrile gloves, pair", "gloves", "", "Cupboard", 60),
    Thing(Kind.FASTENER, "Hex bolt M10 × 1.5 × 30", "M10 × 1.5 × 30", "8.8", "Tray B", 18),
    Thing(Kind.FASTENER, "Copper washer 14 × 18", "copper washer 14 × 18", "", "Tray B", 9),
)  # fmt: skip
