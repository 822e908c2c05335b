"""The rubber tables: families, fluids, ratings, hard stops, second table of grades. See data/elastomers/SOURCES.md."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from enum import StrEnum
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

from catalog.publications import named
from catalog.standing import Standing

TABLES = Path(__file__).parent.parent / "data" / "elastomers"


class Family(StrEnum):
    """Rubber families by ASTM D1418 code, plainest and cheapest first; PTFE is none but seals beside them."""

    NBR = "NBR"
    HNBR = "HNBR"
    EPDM = "EPDM"
    FKM = "FKM"
    CR = "CR"
    ACM = "ACM"
    AEM = "AEM"
    VMQ = "VMQ"
    FVMQ = "FVMQ"
    AU_EU = "AU/EU"
    PTFE = "PTFE"
    SBR = "SBR"
    NR = "NR"
    IIR = "IIR"


class FamilyRow(NamedTuple):
    """One family: service temperatures in °C (lowest, lasting highest, highest for a short time) and what it stands."""

    family: Family
    name: str
    t_min_c: float
    t_max_c: float
    t_max_short_c: float
    ozone_weather: str
    mineral_oil: str
    water_steam: str
    note: str
    source: str
    standing: Standing


class FluidRow(NamedTuple):
    """One fluid: `t_max_c` is where its ratings end, `hotter_code` the fluid that takes over there, if any.

    `words`: what else it goes by. `t_end_c`: it boils or breaks down above (unchecked). `group` is its heading in the
    second table of grades, or empty. `note`: what its base may be besides, or what else to mind; may be empty.
    `limit_source`: who prints `t_max_c`, or `unchecked row`.
    """

    code: str
    name: str
    words: tuple[str, ...]
    mineral_based: bool
    t_max_c: float | None
    t_end_c: float | None
    hotter_code: str
    group: str
    note: str
    limit_source: str


class Rating(NamedTuple):
    """A family in a fluid: 1 good, 2 fair, 3 doubtful, 4 unsuitable."""

    number: int
    note: str
    source: str
    standing: Standing


class HardStop(NamedTuple):
    """A family that must never meet a fluid, and why."""

    why: str
    source: str
    standing: Standing


def told(source: str) -> str:
    """A source cell as a person reads it."""
    return Standing.MEMORY.words if source == "memory" else named(source)


def rows_of(name: str) -> list[dict[str, str]]:
    """All rows of one table, as text."""
    with (TABLES / f"{name}.csv").open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


@cache
def families() -> Mapping[Family, FamilyRow]:
    """Every family's row."""
    return MappingProxyType(
        {
            Family(row["code"]): FamilyRow(
                Family(row["code"]),
                row["name"],
                float(row["t_min_c"]),
                float(row["t_max_c"]),
                float(row["t_max_short_c"]),
                row["ozone_weather"],
                row["mineral_oil"],
                row["water_steam"],
                row["note"],
                told(row["source"]),
                Standing(row["standing"]),
            )
            for row in rows_of("families")
        }
    )


@cache
def fluids() -> Mapping[str, FluidRow]:
    """Every fluid by its code, such as `HM_HV` or `GLYCOL_BRAKE`."""
    return MappingProxyType(
        {
            row["code"]: FluidRow(
                row["code"],
                row["name"],
                tuple(row["words"].split(";")),
                row["mineral_based"] == "yes",
                float(row["t_max_c"]) if row["t_max_c"] else None,
                float(row["t_end_c"]) if row["t_end_c"] else None,
                row["hotter_code"],
                row["group"],
                row["note"],
                told(row["limit_source"]),
            )
            for row in rows_of("fluids")
        }
    )


@cache
def ratings() -> Mapping[tuple[str, Family], Rating]:
    """Every rating by fluid code and family."""
    return MappingProxyType(
        {
            (row["fluid"], Family(row["family"])): Rating(
                int(row["rating"]), row["note"], told(row["source"]), Standing(row["standing"])
            )
            for row in rows_of("compat")
        }
    )


@cache
def hard_stops() -> Mapping[tuple[str, Family], HardStop]:
    """Every hard stop by fluid code and family."""
    return MappingProxyType(
        {
            (row["fluid"], Family(row["family"])): HardStop(row["why"], told(row["source"]), Standing(row["standing"]))
            for row in rows_of("hard_stops")
        }
    )


def starts_at(code: str) -> float | None:
    """Where a fluid that takes over from a cooler one begins, °C; None for all others."""
    return next((row.t_max_c for row in fluids().values() if row.hotter_code == code), None)


def fluid(code: str) -> FluidRow:
    """The fluid with this code. Raises ValueError naming the codes there are."""
    if (found := fluids().get(code.strip().upper())) is None:
        raise ValueError(f"{code!r} is not a fluid code; type one of {', '.join(fluids())}.")
    return found


def family(code: str) -> Family:
    """The family with this ASTM D1418 code; AU and EU are one row. Raises ValueError naming the codes there are."""
    text = code.strip().upper()
    if text in ("AU", "EU"):
        return Family.AU_EU
    try:
        return Family(text)
    except ValueError:
        raise ValueError(f"{code!r} is not a rubber family; type one of {', '.join(Family)}.") from None


def is_family(code: str) -> bool:
    """Whether the tables know a family by this code."""
    try:
        family(code)
    except ValueError:
        return False
    return True
