"""Fluid classes as data: what an item claims to be and what a machine requires. Nothing here names a maker."""

from __future__ import annotations

import re
from functools import cache
from typing import Final, NamedTuple

from catalog.fluids import grades, tables
from catalog.fluids.grades import Scale
from catalog.publications import named
from catalog.standing import Standing


class FluidClass(NamedTuple):
    """One spec class or grade. `groups` are the names that stand-in rules use for several classes at once."""

    code: str
    family: str
    description: str
    limits: str
    status: str
    aliases: tuple[str, ...]
    groups: tuple[str, ...]
    source: str
    standing: Standing


class BrakeFluidLimits(NamedTuple):
    """FMVSS 116 minima: boiling points in °C, dry (ERBP) and wet; viscosity in mm²/s, whose limits are from memory."""

    grade: str
    dry_boiling_min_c: float
    wet_boiling_min_c: float
    max_cst_minus_40: float
    min_cst_100: float
    silicone: bool
    source: str
    standing: Standing
    viscosity_standing: Standing


class GreaseConsistency(NamedTuple):
    """An NLGI number and its worked penetration in tenths of a millimetre (60 strokes, 25 °C, ASTM D217)."""

    grade: str
    min_penetration: int
    max_penetration: int
    source: str
    standing: Standing


@cache
def all_classes() -> tuple[FluidClass, ...]:
    """Every class and single grade in the catalog: the spec classes, then NLGI numbers, then viscosity grades."""
    listed = tuple(
        FluidClass(
            row["code"],
            row["family"],
            row["description"],
            row["limits"],
            row["status"],
            tables.several(row["aliases"]),
            tables.several(row["groups"]),
            named(row["source"]),
            Standing(row["standing"]),
        )
        for row in tables.rows("classes")
    )
    nlgi = tuple(
        FluidClass(
            f"NLGI {grease.grade}",
            "grease consistency (NLGI)",
            "grease, worked penetration in 0.1 mm (ASTM D217)",
            f"{grease.min_penetration}-{grease.max_penetration}",
            "active",
            (),
            (),
            grease.source,
            grease.standing,
        )
        for grease in grease_grades()
    )
    return listed + nlgi + tuple(_grade_classes())


def _grade_classes() -> list[FluidClass]:
    found: dict[str, FluidClass] = {}
    for scale in Scale:
        for row in grades.limits(scale):
            grade = grades.parse(f"VG {row.grade}" if scale is Scale.ISO else row.grade)
            found.setdefault(grade.label, _grade_class(grade))
    return list(found.values())


def _grade_class(grade: grades.Grade) -> FluidClass:
    row = grades.hot_limits(grade)
    # Always the grade's own limits: `SAE 40` alone is the row with the higher HTHS minimum.
    top = "" if row.kv_max is None else f" to {'' if grade.scale is Scale.ISO else 'under '}{row.kv_max:g}"
    parts = [f"{row.kv_min:g}{top or ' or more'} mm²/s at {40 if grade.scale is Scale.ISO else 100} °C"]
    if row.hths_min is not None:
        parts.append(f"HTHS at least {row.hths_min:g} mPa·s")
    cold = grades.cold_limits(grade)
    if cold is not None and cold.cold_temp_c is not None:
        parts.append(f"at most {cold.cold_max:g} mPa·s at {cold.cold_temp_c:g} °C")
    kind = {Scale.ISO: "industrial oil", Scale.ENGINE: "engine oil", Scale.GEAR: "gear oil"}[grade.scale]
    return FluidClass(
        grade.label,
        f"viscosity grade ({grade.scale})",
        f"{kind} viscosity grade",
        "; ".join(parts),
        "active",
        (grade.label.replace("ISO ", ""),) if grade.scale is Scale.ISO else (grade.label.removesuffix(" (gear)"),),
        (),
        row.source,
        row.standing,
    )


@cache
def grease_grades() -> tuple[GreaseConsistency, ...]:
    """The NLGI numbers, softest first."""
    return tuple(
        GreaseConsistency(
            row["grade"],
            int(row["min_penetration"]),
            int(row["max_penetration"]),
            named(row["source"]),
            Standing(row["standing"]),
        )
        for row in tables.rows("nlgi")
    )


@cache
def brake_fluids() -> tuple[BrakeFluidLimits, ...]:
    """The grades of FMVSS 116."""
    return tuple(
        BrakeFluidLimits(
            row["grade"],
            float(row["dry_boiling_min_c"]),
            float(row["wet_boiling_min_c"]),
            float(row["max_cst_minus_40"]),
            float(row["min_cst_100"]),
            row["silicone"] == "yes",
            named(row["source"]),
            Standing(row["standing"]),
            Standing(row["viscosity_standing"]),
        )
        for row in tables.rows("brake_fluids")
    )


_IGNORED: Final = re.compile(r"[\s\-_/]+")


def key(text: str) -> str:
    """The text without case, spaces, hyphens and slashes, so that `gl4`, `GL-4` and `GL 4` are one."""
    return _IGNORED.sub("", text).casefold()


@cache
def _by_key() -> dict[str, FluidClass]:
    index: dict[str, FluidClass] = {}
    for fluid in all_classes():
        for name in (fluid.code, *fluid.aliases):
            index.setdefault(key(name), fluid)
    # What the greases of a thickener were called once, as kept needs and claims may still say.
    for row in tables.rows("thickeners"):
        index.setdefault(key(f"thickener {row['thickener']}"), index[key(row["class"])])
    return index


def get(text: str) -> FluidClass | None:
    """The class that a text names, by code, alias or viscosity grade (multigrades too); None if it names none."""
    found = _by_key().get(key(text))
    if found is None and grades.is_grade(text):
        found = _grade_class(grades.parse(text))
    return found


def find(text: str) -> tuple[FluidClass, ...]:
    """Classes that match a text, best first: named exactly, then starting with it, then holding it anywhere.

    Several words must all be found, in any order. An empty text finds nothing.
    """
    wanted = key(text)
    if not wanted:
        return ()
    words = text.casefold().split()
    exact = get(text)
    starts: list[FluidClass] = []
    holds: list[FluidClass] = []
    for fluid in all_classes():
        if exact is not None and fluid.code == exact.code:
            continue
        names = [key(name) for name in (fluid.code, *fluid.aliases)]
        everything = " ".join((fluid.code, *fluid.aliases, fluid.description, fluid.family)).casefold()
        if any(name.startswith(wanted) for name in names):
            starts.append(fluid)
        elif any(wanted in name for name in names) or all(word in everything for word in words):
            holds.append(fluid)
    return ((exact,) if exact else ()) + tuple(starts) + tuple(holds)


def families() -> tuple[str, ...]:
    """The families in the order of the tables."""
    return tuple(dict.fromkeys(fluid.family for fluid in all_classes()))


@cache
def in_group(group: str) -> tuple[str, ...]:
    """The codes of the classes in a group; empty if there is no such group."""
    return tuple(fluid.code for fluid in all_classes() if group in fluid.groups)
