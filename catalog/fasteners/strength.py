"""What a bolt carries: stress area, proof stress and proof load (ISO 898-1 and SAE J429)."""

from __future__ import annotations

from functools import cache
from math import pi
from typing import NamedTuple

from catalog.fasteners.sizes import MM_PER_INCH, System, Thread, rows
from catalog.publications import named
from catalog.quantity.errors import excerpt
from catalog.standing import Standing

MPA_PER_KSI = 6.894757293168361  # exact: 1000 lbf/in², NIST SP 811


class Strength(NamedTuple):
    """A property class or grade over one range of diameters: stresses in MPa, diameters in mm."""

    name: str
    over_mm: float
    up_to_mm: float
    tensile_mpa: float
    yield_mpa: float
    proof_mpa: float
    source: str
    standing: Standing
    note: str


def stress_area_mm2(diameter_mm: float, pitch_mm: float) -> float:
    """Nominal stress area, mm²: (π/4)((d2 + d3)/2)², d2 = d - 0.6495 P, d3 = d - 1.2269 P (ISO 898-1, clause 9.1.6).

    Inch threads have a formula of their own: `stress_area_inch_mm2`.
    """
    if not (diameter_mm > 0 and pitch_mm > 0 and diameter_mm > 1.3 * pitch_mm):
        raise ValueError(
            f"No bolt has a diameter of {diameter_mm:g} mm and a pitch of {pitch_mm:g} mm: "
            "type the diameter over the crests and the distance from crest to crest."
        )
    pitch_diameter = diameter_mm - 0.649519 * pitch_mm
    minor_diameter = diameter_mm - 1.226869 * pitch_mm
    return pi / 4 * ((pitch_diameter + minor_diameter) / 2) ** 2


def stress_area_inch_mm2(diameter_mm: float, pitch_mm: float) -> float:
    """Tensile stress area of a unified thread, mm²: (π/4)(D - 0.9743 p)² (ASME B1.1); 1 to 2 % under the ISO figure."""
    return pi / 4 * (diameter_mm - 0.9743 * pitch_mm) ** 2


def stress_area(thread: Thread) -> float:
    """Stress area of a thread in mm², by the formula of its own standard; ValueError for a pipe thread."""
    if thread.system is System.METRIC:
        return stress_area_mm2(thread.diameter_mm, thread.pitch_mm)
    if thread.system is System.UNIFIED:
        return stress_area_inch_mm2(thread.diameter_mm, thread.pitch_mm)
    if thread.system in (System.WHITWORTH, System.BA):
        raise ValueError(
            f"{thread.designation}: the tables hold no strength of Whitworth and BA bolts; see the manual."
        )
    raise ValueError(f"{thread.designation} is a pipe thread: no standard gives it a stress area.")


@cache
def property_classes() -> tuple[Strength, ...]:
    """ISO 898-1 property classes; class 8.8 has two rows, split at 16 mm."""
    return tuple(
        Strength(
            row["property_class"],
            float(row["over_mm"]),
            float(row["up_to_mm"]),
            float(row["tensile_mpa"]),
            float(row["yield_mpa"]),
            float(row["proof_mpa"]),
            named(row["source"]),
            Standing(row["standing"]),
            row["note"],
        )
        for row in rows("property_classes.csv")
    )


@cache
def sae_grades() -> tuple[Strength, ...]:
    """SAE J429 grades 2, 5 and 8 in metric units. The first row of a grade holds its smallest size."""
    return tuple(
        Strength(
            f"grade {row['grade']}",
            float(row["over_in"]) * MM_PER_INCH,
            float(row["up_to_in"]) * MM_PER_INCH,
            float(row["tensile_ksi"]) * MPA_PER_KSI,
            float(row["yield_ksi"]) * MPA_PER_KSI,
            float(row["proof_ksi"]) * MPA_PER_KSI,
            named(row["source"]),
            Standing(row["standing"]),
            row["note"],
        )
        for row in rows("sae_grades.csv")
    )


def strength(name: str, thread: Thread) -> Strength:
    """The row of class or grade `name` (`8.8`, `class 10.9`, `grade 5`) that holds for this thread.

    Raises ValueError: class unknown, class of the other system, no such size in the class, or a pipe thread.
    """
    if thread.system in (System.WHITWORTH, System.BA):
        raise ValueError(
            f"{thread.designation}: the tables hold no strength of Whitworth and BA bolts; see the manual."
        )
    if thread.system not in (System.METRIC, System.UNIFIED):
        raise ValueError(
            f"{thread.designation} is a pipe thread: it has no property class. Follow the fitting's manual."
        )
    inch = thread.system is System.UNIFIED
    table = sae_grades() if inch else property_classes()
    wanted = name.strip().lower().replace(",", ".").removeprefix("sae").strip()
    wanted = wanted.removeprefix("class").removeprefix("grade").removeprefix("gr.").strip()
    known = [row for row in table if row.name.removeprefix("grade ") == wanted]
    if not known:
        names = ", ".join(dict.fromkeys(row.name for row in table))
        kind = "SAE grade" if inch else "property class"
        raise ValueError(f"{thread.designation} takes a {kind}, and {excerpt(name)} is none: type one of {names}.")
    # In order of size, so that the row that ends at a diameter comes before the one that starts there.
    for row in known:
        if row.over_mm <= thread.diameter_mm <= row.up_to_mm:
            return row
    low, high = known[0].over_mm, known[-1].up_to_mm
    raise ValueError(
        f"{known[0].name} has no {thread.designation}: it covers {low:g} to {high:g} mm. Read the head mark again."
    )


def proof_load_n(name: str, thread: Thread) -> float:
    """Proof load in N, what a bolt bears without lasting stretch: stress area × proof stress (ISO 898-1)."""
    grade = strength(name, thread)
    return stress_area(thread) * grade.proof_mpa
