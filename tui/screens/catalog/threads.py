"""The threads as rows: diameter, pitch, stress area, wrench."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from catalog import fasteners, seals
from tui.screens.catalog.reference import Entry, Fact, entry

if TYPE_CHECKING:
    from catalog.fasteners.sizes import Thread

MM2_PER_IN2 = 645.16
GROUPS = (
    ("metric", "metric"), ("UNC, UNF", "unified"), ("BSPP (G)", "bspp"), ("BSPT (R)", "bspt"), ("NPT", "npt"),
    ("BSW, BSF", "whitworth"), ("BA", "ba"),
)  # fmt: skip
PIPE = ("bspp", "bspt", "npt")
FORMULAS = {
    "metric": "ISO 898-1 clause 9.1.6, by formula",
    "unified": "ASME B1.1, by formula",
}


@cache
def entries() -> tuple[Entry, ...]:
    """Every thread, by diameter."""
    return tuple(_entry(one) for one in fasteners.sizes.all_threads())


def _entry(one: Thread) -> Entry:
    system = str(one.system)
    source, standing = one.source, str(one.standing)
    bolt = f"bolt {_both(one.major_low_mm, one.major_high_mm)} over the crests"
    nut = f"nut {_both(one.minor_low_mm, one.minor_high_mm)} across the crests"
    shape = f"{one.flank_angle_deg:g}° flanks{', tapered 1 in 16' if one.tapered else ''}"
    facts = [Fact(one.designation, f"{bolt}; {nut}; {shape}.", source, standing)]
    area_mm2 = fasteners.strength.stress_area(one) if system in FORMULAS else None
    if area_mm2 is not None:
        said = f"{area_mm2:.2f} mm² = {area_mm2 / MM2_PER_IN2:.4f} in²."
        facts.append(Fact("stress area", said, FORMULAS[system], "published"))
    sizes = fasteners.wrench.hexes(one)
    plugs = fasteners.wrench.drain_plug_hexes(one)
    facts += [_wrench("wrench", f"{size.wrench} ({size.standard}).", size.source, size.standing) for size in sizes]
    facts += [
        _wrench("drain plug", f"{size.wrench}. {size.note}".strip(), size.source, size.standing) for size in plugs
    ]
    facts += [
        Fact(
            "washer", f"{each.label} mm under a plug ({each.kind.words}, {each.standard}).", each.source, each.standing
        )
        for each in seals.washers.washers_for(one)
    ]
    if system in PIPE:
        facts.append(Fact("stress area", "none: no standard gives a pipe thread one.", source, standing))
    per_inch = 25.4 / one.pitch_mm
    figures = (
        f"{one.diameter_mm:.2f} mm = {one.diameter_mm / 25.4:.3f} in, pitch {one.pitch_mm:.4g} mm = {per_inch:.4g} tpi"
    )
    wrench = sizes[0].wrench if sizes else ""
    metric = (f"{one.diameter_mm:.2f}", f"{one.pitch_mm:.4g}", "" if area_mm2 is None else f"{area_mm2:.2f}")
    inch = (
        f"{one.diameter_mm / 25.4:.3f}", f"{per_inch:.4g}", "" if area_mm2 is None else f"{area_mm2 / MM2_PER_IN2:.4f}",
    )  # fmt: skip
    family = f"{one.system} {one.series}"
    return entry(one.designation, system, family, figures, facts, standing, metric=metric, inch=inch, more=wrench)


def wrench(of: Entry) -> str:
    """The first wrench of a row, for its column."""
    return next((fact.sentence.split(" (")[0] for fact in of.facts if fact.name == "wrench"), "")


def _wrench(name: str, sentence: str, source: str, standing: object) -> Fact:
    return Fact(name, sentence, source, str(standing))


def _both(low_mm: float, high_mm: float) -> str:
    return f"{low_mm:.2f} to {high_mm:.2f} mm = {low_mm / 25.4:.3f} to {high_mm / 25.4:.3f} in"
