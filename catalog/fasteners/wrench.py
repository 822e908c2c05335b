"""Which wrench a hex takes: across flats by standard, and the other way round."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from catalog.compare import at_most
from catalog.fasteners.sizes import MM_PER_INCH, Thread, rows
from catalog.publications import named
from catalog.standing import Standing


class Hex(NamedTuple):
    """A hex head or nut: whose size it is, across flats in mm, and the size as stamped on the wrench."""

    standard: str
    across_flats_mm: float
    wrench: str
    source: str
    standing: Standing
    note: str = ""


_METRIC_COLUMNS = (
    ("hex_iso_mm", "ISO 4014", "HEX"),
    ("hex_old_din_mm", "older DIN 931/933", "HEX"),
    ("hex_small_jis_mm", "JIS small", "JIS-SMALL"),
)


_WHITWORTH_HEX = (
    "A Whitworth spanner is marked with a bolt's size, not its own: BS or BSF with this bolt's, W with the size below "
    "(unchecked row). Older Whitworth heads are one size larger. A metric or AF spanner seldom fits; a loose one "
    "rounds the corners."
)


def _inches(text: str) -> float:
    """`1 1/8` as 1.125: the tables hold whole inches and fractions only."""
    total = 0.0
    for part in text.split():
        top, _, bottom = part.partition("/")
        total += int(top) / int(bottom or "1")
    return total


@cache
def _table() -> dict[str, tuple[Hex, ...]]:
    table: dict[str, tuple[Hex, ...]] = {}
    for row in rows("metric_threads.csv"):
        found = [
            Hex(standard, float(row[column]), f"{row[column]} mm", named(source), Standing.PUBLISHED)
            for column, standard, source in _METRIC_COLUMNS
            if row[column]
        ]
        table[row["designation"]] = tuple(found)
    for row in rows("unified_threads.csv"):
        if row["hex_in"]:
            size = _inches(row["hex_in"]) * MM_PER_INCH
            found = [
                Hex("BS 1768 / ASME B18.2.1", size, f"{row['hex_in']} in", named(row["hex_source"]), Standing.PUBLISHED)
            ]
            table[row["designation"]] = tuple(found)
    for row in rows("whitworth_threads.csv"):
        if row["hex_in"]:
            size = float(row["hex_in"]) * MM_PER_INCH
            found = [Hex("BS 1083", size, f"{row['hex_in']} in", named("BS1083"), Standing.PUBLISHED, _WHITWORTH_HEX)]
            table[row["designation"]] = tuple(found)
    return table


def hexes(thread: Thread) -> tuple[Hex, ...]:
    """The hex sizes a bolt or nut of this thread may have, the present standard first; empty where no table says."""
    return _table().get(thread.designation, ())


@cache
def _drain_plugs() -> dict[str, tuple[Hex, ...]]:
    plugs = {}
    for row in rows("drain_plugs.csv"):
        standing = Standing(row["standing"])
        plugs[row["designation"]] = tuple(
            Hex("drain plug, usual", float(size), f"{size} mm", named(row["source"]), standing, row["note"])
            for size in row["hex_mm_usual"].split()
        )
    return plugs


def drain_plug_hexes(thread: Thread) -> tuple[Hex, ...]:
    """The hex sizes usual on a drain plug of this thread, most usual first. From memory: measure the plug."""
    return _drain_plugs().get(thread.designation, ())


def threads_for_wrench(across_flats_mm: float, plus_minus_mm: float = 0.3) -> tuple[tuple[str, Hex], ...]:
    """Designations whose hex measures `across_flats_mm` within ±; hexes are made up to about 0.3 mm under size."""
    return tuple(
        (designation, size)
        for designation, sizes in _table().items()
        for size in sizes
        if at_most(abs(size.across_flats_mm - across_flats_mm), plus_minus_mm)
    )
