"""The fluid classes and grades as rows: what each is, its limits, what it may stand in for."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import models
from catalog import fluids
from tui.screens.catalog.reference import OWN, Entry, Fact, both_temperatures, entry

if TYPE_CHECKING:
    from catalog.fluids.classes import BrakeFluidLimits, FluidClass
    from catalog.fluids.rules import Rule
    from catalog.standing import Standing
    from tui.workshop import Workshop

# What a person says, and how the family begins in the tables.
GROUPS = (
    ("engine", "engine oil"), ("gear", "gear"), ("hydraulic", "hydraulic"), ("tractor", "tractor"),
    ("grease", "grease"), ("coolant", "coolant"), ("brake", "brake"), ("DEF", "SCR"), ("grades", "viscosity grade"),
)  # fmt: skip

OWN_CLASS = "this shop's own class"
OWN_RULE = "this shop's own rule"


@cache
def entries() -> tuple[Entry, ...]:
    """Every class and single grade, in the order of the tables."""
    serves: dict[str, list[Rule]] = {}
    for rule in fluids.rules.built_in():
        serves.setdefault(rule.offered, []).append(rule)
    brakes = {one.grade: one for one in fluids.classes.brake_fluids()}
    return tuple(_entry(one, serves.get(one.code, []), brakes.get(one.code)) for one in fluids.classes.all_classes())


def own_entries(workshop: Workshop) -> tuple[Entry, ...]:
    """The classes of the shop's own, oldest first, marked so, with what its own rules say of them; called in a thread.

    Of no group: they are listed where all are.
    """
    classes, rules = workshop.read(
        lambda session: (models.fluid_rules.classes(session), models.fluid_rules.rules(session))
    )
    found = []
    for one in classes:
        code, said = one.said.code, one.said.description
        facts = [Fact(code, f"{said.rstrip('.')}.", f"{OWN_CLASS}, {one.who}, {one.at:%Y-%m-%d}", OWN)]
        mine = fluids.classes.key(code)
        facts += [
            Fact(f"{rule.offered} where {rule.required} is asked", _ruled(rule), OWN_RULE, OWN)
            for rule in rules
            if mine in (fluids.classes.key(rule.offered), fluids.classes.key(rule.required))
        ]
        found.append(entry(code, "", OWN_CLASS, said, facts, OWN))
    return tuple(found)


def _ruled(rule: Rule) -> str:
    return f"{rule.kind}{f', if {rule.condition}' if rule.condition else ''}."


def _entry(one: FluidClass, serves: list[Rule], brake: BrakeFluidLimits | None) -> Entry:
    words = one.standing.words
    group = next((begins for _, begins in GROUPS if one.family.startswith(begins)), "")
    also = f" Also called {', '.join(one.aliases)}." if one.aliases else ""
    facts = [Fact(one.code, f"{one.description}.{also}", one.source, words)]
    if one.limits and brake is None:
        facts.append(Fact("limits", f"{both_temperatures(one.limits)}.", one.source, words))
    if brake is not None:
        facts += _brake(brake)
    if one.status != "active":
        facts.append(Fact("status", f"{one.status}.", one.source, words))
    facts += _served(serves)
    facts += _brings(one.code)
    more = " ".join((*one.aliases, *one.groups, one.status))
    figures = f"{one.description}; {one.limits}" if group == "viscosity grade" else one.description
    return entry(one.code, group, one.family, figures, facts, str(one.standing), more=f"{more} {one.limits}")


def _brake(one: BrakeFluidLimits) -> list[Fact]:
    boils = f"boils at {one.dry_boiling_min_c:g} °C or above dry, {one.wet_boiling_min_c:g} °C or above wet"
    base = "silicone base: never mix it with the others" if one.silicone else "not silicone"
    thick = f"at most {one.max_cst_minus_40:g} mm²/s at -40 °C, at least {one.min_cst_100:g} mm²/s at 100 °C"
    return [
        Fact("boiling", f"{both_temperatures(boils)}; {base}.", one.source, one.standing.words),
        Fact(
            "viscosity",
            f"{both_temperatures(thick)}.",
            _seen(one.source, one.viscosity_standing),
            one.viscosity_standing.words,
        ),
    ]


def _seen(source: str, standing: Standing) -> str:
    """The source where the figure was seen in it."""
    return "memory" if standing == "memory" else source


def _brings(code: str) -> list[Fact]:
    """What the class brings by its definition; of a thickener, what the charts say of mixing it."""
    name = fluids.greases.thickener(code)
    if name is not None:
        by_rating: dict[str, list[str]] = {}
        for other in fluids.greases.heats():
            rating = fluids.greases.mixing(name, other).rating
            if rating is not None and other != name:
                by_rating.setdefault(str(rating), []).append(other)
        said = "; ".join(f"{rating} with {', '.join(others)}" for rating, others in sorted(by_rating.items()))
        entries = [entry for other in fluids.greases.heats() for entry in fluids.greases.mixing(name, other).entries]
        sources = ";".join(dict.fromkeys(entry.source for entry in entries if entry.source != "memory"))
        words = max((entry.standing for entry in entries), key=lambda one: one.trust).words if entries else ""
        if not said:
            return []
        return [Fact("mixing", f"{said}, by the worst chart: {fluids.greases.PURGE}.", sources or "memory", words)]
    found = fluids.properties.of(code)
    if found is None or not found.has:
        return []
    listed = ", ".join(fluids.properties.WORDS[one] for one in found.has)
    return [Fact("brings", f"{listed}.", found.source, found.standing.words)]


def _served(rules: list[Rule]) -> list[Fact]:
    """Where it may stand in and where never, in a line each; the conditions stand in Judge."""
    found = []
    for name, kinds, end in (
        ("may stand in for", fluids.rules.PASSING, " Conditions: Judge, Fluid."),
        ("never in place of", fluids.rules.BLOCKING, ""),
    ):
        ruled = [rule for rule in rules if rule.kind in kinds]
        if ruled:
            where = ", ".join(dict.fromkeys(rule.required for rule in ruled))
            source = "; ".join(
                dict.fromkeys(part for rule in ruled for part in rule.source.split("; ") if part != "memory")
            )
            weakest = max((rule.standing for rule in ruled), key=list(type(ruled[0].standing)).index)
            found.append(Fact(name, f"{where}.{end}", source, weakest.words))
    return found
