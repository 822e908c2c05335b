"""What a bolt carries: stress area, proof stress, proof and ultimate load.

Classes of ISO 898-1 and grades of SAE J429 have a proof stress. Stainless classes (ISO 3506-1) have none: their 0.2 %
stress stands in its place; the old Japanese strength marks (4T, 7T) have a yield point. Every answer says which.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from functools import cache
from math import pi
from types import MappingProxyType
from typing import NamedTuple

from catalog.because import Because
from catalog.compare import at_least, at_most
from catalog.fasteners.sizes import MM_PER_INCH, System, Thread, rows
from catalog.publications import named
from catalog.quantity.display import format_force, format_stress
from catalog.quantity.errors import excerpt
from catalog.quantity.typed import significant as figures
from catalog.standing import Standing

MPA_PER_KSI = 6.894757293168361  # exact: 1000 lbf/in², NIST SP 811


class Limit(StrEnum):
    """What a class says a bolt bears without lasting stretch."""

    PROOF = "proof"
    STRAIN = "0.2"
    YIELD = "yield"

    @property
    def stress(self) -> str:
        """The stress by name: `proof stress`, `0.2 % yield stress`, `yield point`."""
        return {Limit.PROOF: "proof stress", Limit.STRAIN: "0.2 % yield stress", Limit.YIELD: "yield point"}[self]

    @property
    def load(self) -> str:
        """The load by name: `proof load`, `0.2 % yield load`, `yield load`."""
        return {Limit.PROOF: "proof load", Limit.STRAIN: "0.2 % yield load", Limit.YIELD: "yield load"}[self]


class Strength(NamedTuple):
    """A property class or grade over one range of diameters: stresses in MPa, diameters in mm.

    `proof_mpa` is the stress that `limit` names: only ISO 898-1 and SAE J429 print a proof stress.
    """

    name: str
    over_mm: float
    up_to_mm: float
    tensile_mpa: float
    yield_mpa: float
    proof_mpa: float
    source: str
    standing: Standing
    note: str
    limit: Limit = Limit.PROOF
    standard: str = ""

    @property
    def stainless(self) -> bool:
        """Whether it is austenitic stainless steel, whose threads seize when they run dry."""
        return self.standard == "ISO 3506-1"

    @property
    def label(self) -> str:
        """The class as a person says it: `class 8.8`, `grade 5`, `stainless A2-70`, `7T`."""
        if self.stainless:
            return f"stainless {self.name}"
        return self.name if self.standard != "ISO 898-1" else f"class {self.name}"


class ProofLoad(NamedTuple):
    """What a bolt of a class bears without lasting stretch, N. `table`: whose printed figure it is, else none.

    A figure that no table prints is stress area × stress.
    """

    newtons: float
    grade: Strength
    designation: str
    area_mm2: float
    table: tuple[str, Standing] | None

    @property
    def printed(self) -> bool:
        """Whether a table prints it."""
        return self.table is not None

    @property
    def limit(self) -> Limit:
        """Whether it is a proof load, or what stands in its place."""
        return self.grade.limit

    @property
    def because(self) -> Because:
        """The figure in words, with its source."""
        grade, load = self.grade, self.limit.load.capitalize()
        if self.table is not None:
            rule = f"{load} of {self.designation} {grade.label} as printed: {format_force(self.newtons)}"
            return Because(rule, *self.table)
        none = "" if self.limit is Limit.PROOF else f"; {grade.standard} gives no proof load"
        rule = (
            f"{load} of {self.designation} {grade.label}: {figures(self.area_mm2)} mm² × "
            f"{format_stress(grade.proof_mpa)} {self.limit.stress} = {format_force(self.newtons)}{none}"
        )
        return Because(rule, grade.source, grade.standing)


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
    """Metric classes: ISO 898-1 (8.8 has two rows, split at 16 mm), stainless of ISO 3506-1, old JIS marks."""
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
            Limit(row["limit"]),
            row["standard"],
        )
        for row in rows("property_classes.csv")
    )


@cache
def sae_grades() -> tuple[Strength, ...]:
    """SAE J429 grades 1 to 8.2 in metric units. The first row of a grade holds its smallest size."""
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
            Limit.PROOF,
            "SAE J429",
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
    wanted = _folded(name)
    known = [row for row in table if _folded(row.name) == wanted]
    if not known:
        names = ", ".join(dict.fromkeys(row.name for row in table))
        kind = "SAE grade" if inch else "property class"
        mark = " A bare 4 or 7 on the head of a Japanese bolt is 4T or 7T." if wanted in ("4", "7") and not inch else ""
        raise ValueError(
            f"{thread.designation} takes a {kind}, and {excerpt(name)} is none: type one of {names}.{mark}"
        )
    # In order of size, so that the row that ends at a diameter comes before the one that starts there.
    for row in known:
        if at_least(thread.diameter_mm, row.over_mm) and at_most(thread.diameter_mm, row.up_to_mm):
            return row
    low, high = known[0].over_mm, known[-1].up_to_mm
    raise ValueError(
        f"{known[0].name} has no {thread.designation}: it covers {low:g} to {high:g} mm. Read the head mark again."
    )


def _folded(name: str) -> str:
    """A class as it is compared: `Class 8,8` is 8.8, `SAE grade 5` is 5, `A2 - 70` is a270."""
    text = "".join(name.lower().replace(",", ".").replace("-", "").split())
    for lead in ("sae", "class", "grade", "gr.", "gr", "stainless", "jis"):
        text = text.removeprefix(lead)
    return text


@cache
def _printed() -> Mapping[tuple[str, str], tuple[float, str, Standing]]:
    return MappingProxyType(
        {
            (row["designation"], row["property_class"]): (
                float(row["proof_load_n"]), named(row["source"]), Standing(row["standing"]),
            )
            for row in rows("proof_loads.csv")
        }
    )  # fmt: skip


def proof_load(name: str, thread: Thread) -> ProofLoad:
    """What a bolt bears without lasting stretch. The printed table of ISO 898-1 wins; else stress area × stress.

    Raises ValueError as `strength` does.
    """
    grade, area = strength(name, thread), stress_area(thread)
    if printed := _printed().get((thread.designation, grade.name)):
        return ProofLoad(printed[0], grade, thread.designation, area, printed[1:])
    return ProofLoad(area * grade.proof_mpa, grade, thread.designation, area, None)


def proof_load_n(name: str, thread: Thread) -> float:
    """`proof_load` in N."""
    return proof_load(name, thread).newtons


def ultimate_load_n(name: str, thread: Thread) -> float:
    """Least load in N that breaks a bolt of this class: stress area × tensile strength (ISO 898-1, clause 9.1)."""
    return stress_area(thread) * strength(name, thread).tensile_mpa
