"""The threads of the trade: metric, unified, pipe, Whitworth and BA, with the limits a part is made to.

The tables stand in `catalog/data/fasteners`; where each row came from is told in `SOURCES.md` beside them.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from enum import StrEnum
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import NamedTuple

from catalog.fasteners.limits import (
    ba_external,
    ba_internal,
    metric_external,
    metric_internal,
    unified_external,
    unified_internal,
    whitworth_external,
    whitworth_internal,
)
from catalog.publications import named
from catalog.quantity.errors import excerpt
from catalog.standing import Standing

MM_PER_INCH = 25.4
TABLES = files("catalog") / "data" / "fasteners"


class System(StrEnum):
    """The family a thread belongs to. BSPP is parallel (ISO 228); BSPT (ISO 7-1) and NPT (ASME B1.20.1) are tapered.

    WHITWORTH holds BSW and BSF (BS 84, 55°), BA the small British Association screws (BS 93, 47.5°).
    """

    METRIC = "metric"
    UNIFIED = "unified"
    BSPP = "bspp"
    BSPT = "bspt"
    NPT = "npt"
    WHITWORTH = "whitworth"
    BA = "ba"


class Thread(NamedTuple):
    """One thread as made: nominal size and the limits of what a caliper meets, in mm.

    `major_*`: over the crests of a bolt or plug. `minor_*`: across the crests inside a nut or hole. On a tapered thread
    they are the smallest and largest diameter along the useful thread.
    """

    designation: str
    system: System
    series: str
    diameter_mm: float
    pitch_mm: float
    threads_per_inch: float | None
    flank_angle_deg: float
    tapered: bool
    major_low_mm: float
    major_high_mm: float
    minor_low_mm: float
    minor_high_mm: float
    source: str
    standing: Standing

    @property
    def pitch_text(self) -> str:
        """The leaf of a thread gauge that fits: `1.25 mm` or `18 tpi`."""
        if self.threads_per_inch is None:
            return f"{self.pitch_mm:g} mm"
        return f"{self.threads_per_inch:g} tpi"


def rows(name: str) -> list[dict[str, str]]:
    """The rows of one table in `catalog/data/fasteners`, by column name."""
    return list(csv.DictReader((TABLES / name).read_text(encoding="utf-8").splitlines()))


def _metric() -> list[Thread]:
    threads = []
    for row in rows("metric_threads.csv"):
        diameter, pitch = float(row["diameter_mm"]), float(row["pitch_mm"])
        # Fine threads that ISO 898-1 lists a stress area for are the ones in the bins; the rest are rare.
        rare = row["series"] == "fine" and not row["stress_area_published_mm2"]
        threads.append(
            Thread(
                row["designation"],
                System.METRIC,
                "rare fine" if rare else row["series"],
                diameter,
                pitch,
                None,
                60,
                False,
                *metric_external(diameter, pitch),
                *metric_internal(diameter, pitch),
                "ISO 261; limits by formula, ISO 965-1 6g and 6H",
                Standing.PUBLISHED,
            )
        )
    return threads


def _unified() -> list[Thread]:
    threads = []
    for row in rows("unified_threads.csv"):
        diameter_in, per_inch = float(row["diameter_in"]), float(row["threads_per_inch"])
        major_low, major_high = unified_external(diameter_in, per_inch, row["series"])
        minor_low, minor_high = unified_internal(diameter_in, per_inch)
        threads.append(
            Thread(
                row["designation"],
                System.UNIFIED,
                row["series"],
                diameter_in * MM_PER_INCH,
                MM_PER_INCH / per_inch,
                per_inch,
                60,
                False,
                major_low * MM_PER_INCH,
                major_high * MM_PER_INCH,
                minor_low * MM_PER_INCH,
                minor_high * MM_PER_INCH,
                named(row["source"]),
                Standing(row["standing"]),
            )
        )
    return threads


def _pipe() -> list[Thread]:
    systems = {"G": System.BSPP, "R": System.BSPT, "NPT": System.NPT}
    threads = []
    for row in rows("pipe_threads.csv"):
        per_inch = float(row["threads_per_inch"])
        threads.append(
            Thread(
                row["designation"],
                systems[row["form"]],
                row["form"],
                float(row["major_high_mm"]),
                MM_PER_INCH / per_inch,
                per_inch,
                int(row["flank_angle_deg"]),
                row["tapered"] == "yes",
                float(row["major_low_mm"]),
                float(row["major_high_mm"]),
                float(row["minor_low_mm"]),
                float(row["minor_high_mm"]),
                named(row["source"]),
                Standing(row["standing"]),
            )
        )
    return threads


def _whitworth() -> list[Thread]:
    threads = []
    for row in rows("whitworth_threads.csv"):
        diameter_in, per_inch = float(row["diameter_in"]), float(row["threads_per_inch"])
        major_low, major_high = whitworth_external(diameter_in, per_inch)
        minor_low, minor_high = whitworth_internal(diameter_in, per_inch)
        threads.append(
            Thread(
                row["designation"],
                System.WHITWORTH,
                row["series"],
                diameter_in * MM_PER_INCH,
                MM_PER_INCH / per_inch,
                per_inch,
                55,
                False,
                major_low * MM_PER_INCH,
                major_high * MM_PER_INCH,
                minor_low * MM_PER_INCH,
                minor_high * MM_PER_INCH,
                f"{named(row['source'])}; limits by formula: {named('W84T')}",
                Standing(row["standing"]),
            )
        )
    return threads


def _ba() -> list[Thread]:
    threads = []
    for row in rows("ba_threads.csv"):
        diameter, pitch = float(row["diameter_mm"]), float(row["pitch_mm"])
        threads.append(
            Thread(
                row["designation"],
                System.BA,
                "BA",
                diameter,
                pitch,
                None,
                47.5,
                False,
                *ba_external(diameter, pitch),
                *ba_internal(diameter, pitch),
                f"{named(row['source'])}; limits by formula, BS 93, unchecked",
                Standing(row["standing"]),
            )
        )
    return threads


@cache
def all_threads() -> tuple[Thread, ...]:
    """Every thread of every table, by diameter, then by pitch. Read once, then kept."""
    return tuple(
        sorted(
            (*_metric(), *_unified(), *_pipe(), *_whitworth(), *_ba()),
            key=lambda thread: (thread.diameter_mm, thread.pitch_mm),
        )
    )


def _plain(name: str) -> str:
    text = name.strip().lower().replace("×", "x").replace(",", ".").replace("″", "").replace('"', "")
    text = text.removeprefix("no.").removeprefix("#").replace("-unc", " unc").replace("-unf", " unf")
    text = text.replace("bspp", "g").replace("bspt", "r").replace("whitworth", "bsw")
    return "".join(text.split())


@cache
def _by_name() -> Mapping[str, Thread]:
    names: dict[str, Thread] = {}
    for thread in all_threads():
        names[_plain(thread.designation)] = thread
        if thread.system is System.UNIFIED:
            # "3/8-16" alone is enough: no two series share a size and a count.
            names.setdefault(_plain(thread.designation.rsplit(" ", 1)[0]), thread)
        if thread.system is System.METRIC and thread.series == "coarse":
            names.setdefault(_plain(f"{thread.designation}x{thread.pitch_mm:g}"), thread)
            names.setdefault(_plain(f"{thread.designation}x{thread.pitch_mm:.1f}"), thread)
        if thread.system in (System.BSPP, System.BSPT, System.NPT, System.WHITWORTH, System.BA):
            form, size = thread.designation.split(" ", 1)
            names.setdefault(_plain(f"{size} {form}"), thread)
            if thread.system is System.WHITWORTH:
                for parted in ("-", "x"):
                    names.setdefault(_plain(f"{size}{parted}{thread.threads_per_inch:g} {form}"), thread)
    return MappingProxyType(names)


def find_thread(name: str) -> Thread | None:
    """The thread of this name, or None: `M16`, `3/8-16`, `5/8-18 UNF`, `G 3/4`, `1/2 NPT`, `3/8 BSW`, `2 BA`."""
    return _by_name().get(_plain(name))


def thread_named(name: str) -> Thread:
    """As `find_thread`, but a name that is not in the tables raises ValueError with a sentence."""
    thread = find_thread(name)
    if thread is None:
        raise ValueError(
            f"No thread called {excerpt(name)} in the tables: type it like M12x1.5, 3/8-16 UNC, G 1/2, NPT 1/2 "
            "or 3/8 BSW."
        )
    return thread
