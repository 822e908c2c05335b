"""What each class brings by its definition and what a machine that asks for it relies on.

A rule that speaks of a group can be too wide: an oil without anti-wear additive never serves where anti-wear is asked,
whatever path leads there, and nothing crosses between oil, brake fluid, coolant, grease and reagent.
"""

from __future__ import annotations

from enum import StrEnum
from functools import cache
from typing import Final, NamedTuple

from catalog.fluids import classes, tables
from catalog.publications import named
from catalog.standing import Standing


class Sort(StrEnum):
    """What kind of fluid a class is; nothing stands in across these."""

    OIL = "oil"
    BRAKE = "brake fluid"
    COOLANT = "coolant"
    GREASE = "grease"
    REAGENT = "exhaust reagent"


class Properties(NamedTuple):
    """One class: its sort, its base (what seals and mixing hang on; empty if open), what it has and what it needs."""

    code: str
    sort: Sort
    base: str
    has: tuple[str, ...]
    needs: tuple[str, ...]
    source: str
    standing: Standing


class Lack(NamedTuple):
    """Why one class cannot do what another is asked for. `crossing`: they are fluids of different sorts."""

    reason: str
    rule: str
    source: str
    standing: Standing
    crossing: bool = False


WORDS: Final = {
    "inhibited": "rust and oxidation inhibitors",
    "anti-wear": "anti-wear additive",
    "high VI": "high viscosity index for the cold",
    "stick-slip": "stick-slip control",
    "detergent": "detergent",
    "biodegradable": "biodegradable base",
    "fire-resistant": "fire resistance",
    "manual gearbox": "test in manual gearboxes (MT-1)",
    "EP GL-4": "EP additive of GL-4 level",
    "EP GL-5": "EP additive of GL-5 level",
    "petrol engine": "test in petrol engines",
    "diesel engine": "test in diesel engines",
    "two-stroke diesel": "test in two-stroke diesels",
    "two-stroke": "make-up for two-stroke petrol engines",
    "low smoke": "low smoke",
    "FD detergency": "detergency of FD",
    "friction-modified": "fuel-saving friction modifier",
    "HTHS 3.5": "hot shear viscosity (HTHS) of 3.5 mPa·s",
    "low ash": "low ash for a particulate filter",
    "wet clutch": "friction for a wet clutch (JASO MA)",
    "wet brake": "friction modifier for wet brakes",
    "powershift": "friction of a powershift transmission",
    "ATF": "friction of an automatic transmission",
    "boils 205": "boiling point of 205 °C dry, 140 °C wet",
    "boils 230": "boiling point of 230 °C dry, 155 °C wet",
    "boils 260": "boiling point of 260 °C dry, 180 °C wet",
    "inhibited coolant": "corrosion inhibitors",
    "liner": "protection of wet liners",
    "LA": "chassis duty (LA)",
    "LB": "severe chassis duty (LB)",
    "GA": "wheel-bearing duty (GA)",
    "GB": "moderate wheel-bearing duty (GB)",
    "GC": "severe wheel-bearing duty (GC)",
    "pure urea": "purity of ISO 22241-1",
}
"""What a person reads for each property of the table."""

_ALIKE: Final = (frozenset({"mineral", "synthetic"}),)
"""Bases that mix and suit the same seals: polyalphaolefin behaves as mineral oil does."""

MOST_SAID: Final = 2
"""So many missing properties are named in the answer; `because` has them all."""

GUARDED: Final = (Sort.BRAKE, Sort.COOLANT, Sort.REAGENT)
"""Sorts that not even a shop's own rule may cross into or out of."""


@cache
def _table() -> dict[str, Properties]:
    found: dict[str, Properties] = {}
    for row in tables.rows("properties"):
        for code in tables.several(row["codes"]):
            found[code] = Properties(
                code,
                Sort(_SORTS[row["kind"]]),
                row["base"],
                tables.several(row["has"]),
                tables.several(row["needs"]),
                named(row["source"]),
                Standing(row["standing"]),
            )
    return found


_SORTS: Final = {
    "oil": Sort.OIL,
    "brake": Sort.BRAKE,
    "coolant": Sort.COOLANT,
    "grease": Sort.GREASE,
    "reagent": Sort.REAGENT,
}


@cache
def of(code: str) -> Properties | None:
    """The properties of a class by its code; of a grade or a thickener only the sort; None for a shop's own class."""
    listed = _table().get(code)
    if listed is not None:
        return listed
    known = classes.get(code)
    if known is None:
        return None
    sort = Sort.GREASE if known.family.startswith("grease") else Sort.OIL
    return Properties(known.code, sort, "", (), (), known.source, known.standing)


def lack(offered: str, required: str) -> Lack | None:
    """What keeps `offered` from serving where `required` is asked: another sort, another base, a missing property."""
    given, asked = of(offered), of(required)
    if given is None or asked is None:
        return None
    if given.sort is not asked.sort:
        reason = f"{offered} is {_a(given.sort)}, {required} {_a(asked.sort)}: never one for the other"
        rule = "nothing crosses between oil, brake fluid, coolant, grease and exhaust reagent"
        return Lack(reason, rule, "common practice, no source", Standing.PRACTICE, crossing=True)
    if given.base and asked.base and given.base != asked.base and {given.base, asked.base} not in _ALIKE:
        reason = f"{offered} has a base of {given.base}, {required} of {asked.base}: seals and mixing differ"
        rule = f"{required} has a base of {asked.base}, {offered} of {given.base}"
        return Lack(reason, rule, asked.source, max(given.standing, asked.standing, key=lambda one: one.trust))
    missing = [WORDS[one] for one in asked.needs if one not in given.has]
    if missing and (given.has or given.needs or offered in _table()):
        listed = " and ".join([", ".join(missing[:-1]), missing[-1]] if len(missing) > 1 else missing)
        brings = ", ".join(f"no {one}" for one in missing[:MOST_SAID])
        reason = f"by its definition {offered} brings {brings}; {required} relies on it"
        return Lack(reason, f"{required} relies on: {listed}", asked.source, asked.standing)
    return None


def _a(sort: Sort) -> str:
    return f"{'an' if sort.value[0] in 'aeiou' else 'a'} {sort}"
