"""What a medium holds back: mesh and opening (ASTM E11), beta ratio and efficiency (ISO 16889)."""

from __future__ import annotations

import csv
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import NamedTuple

from catalog.publications import named
from catalog.quantity.errors import excerpt
from catalog.standing import Standing

TABLES = files("catalog") / "data" / "filters"


def rows(name: str) -> list[dict[str, str]]:
    """The rows of one table in `catalog/data/filters`, by column name."""
    return list(csv.DictReader((TABLES / name).read_text(encoding="utf-8").splitlines()))


class Sieve(NamedTuple):
    """A sieve of ASTM E11: its number, its opening in µm, and the opening of the older series where that differed."""

    mesh: str
    opening_um: float
    older_opening_um: float | None
    source: str
    standing: Standing


@cache
def sieves() -> tuple[Sieve, ...]:
    """The sieves of the table, coarse to fine."""
    return tuple(
        Sieve(
            row["mesh"],
            float(row["opening_um"]),
            float(row["older_opening_um"]) if row["older_opening_um"] else None,
            named(row["source"]),
            Standing(row["standing"]),
        )
        for row in rows("sieves.csv")
    )


def opening_um(mesh: str | int) -> float:
    """Opening of a sieve number in µm (ASTM E11). ValueError names the nearest numbers where the table has none."""
    wanted = str(mesh).strip().lower().removeprefix("no.").removesuffix("mesh").strip()
    for sieve in sieves():
        if sieve.mesh == wanted:
            return sieve.opening_um
    shown = excerpt(str(mesh).strip())
    try:
        number = float(wanted)
    except ValueError:
        raise ValueError(f"{shown} is not a mesh: type a sieve number such as 60 or 100.") from None
    whole = [sieve for sieve in sieves() if sieve.mesh.isdigit()]
    near = sorted(sorted(whole, key=lambda sieve: abs(float(sieve.mesh) - number))[:2], key=lambda s: float(s.mesh))
    raise ValueError(
        f"ASTM E11 has no {shown} mesh: the nearest are "
        f"{' and '.join(f'{sieve.mesh} ({sieve.opening_um:g} µm)' for sieve in near)}. Type one, or the opening."
    )


def nearest_sieve(opening: float) -> tuple[Sieve, float]:
    """The sieve whose opening is nearest, and how far off the opening is from it, in percent of the sieve's."""
    if not opening > 0:
        raise ValueError(f"An opening of {opening:g} µm cannot be: type micrometres above 0.")
    sieve = min(sieves(), key=lambda one: abs(one.opening_um - opening) / one.opening_um)
    return sieve, 100 * (opening / sieve.opening_um - 1)


def efficiency_pct(beta: float) -> float:
    """Share of particles held back, percent, from the beta ratio: 100 (1 - 1/β) (ISO 16889)."""
    if not beta >= 1:
        raise ValueError(f"A beta ratio of {beta:g} cannot be: it starts at 1, which holds nothing back.")
    return 100 * (1 - 1 / beta)


USUAL_RATIOS = (2, 4, 5, 10, 16, 20, 25, 40, 50, 75, 100, 200, 500, 1000, 2000, 4000)
"""Beta ratios that data sheets print (common practice, no source)."""


class MediumKind(StrEnum):
    """How a medium is described: by sieve number, by a micrometre rating, or only as woven wire."""

    MESH = "mesh"
    RATED = "rated"
    WIRE_CLOTH = "wire cloth"


class Medium(NamedTuple):
    """A filter medium. `size_um`: opening of a mesh or cloth, or the rating. `beta`: None for a nominal rating."""

    kind: MediumKind
    size_um: float | None
    beta: float | None
    label: str

    @property
    def woven(self) -> bool:
        """A sieve with an opening one can see, as against a rated depth or pleat medium."""
        return self.kind is not MediumKind.RATED


def mesh(number: str | int) -> Medium:
    """A mesh by sieve number: `mesh(60)` is 250 µm."""
    text = str(number).strip().lower().removesuffix("mesh").strip()
    return Medium(MediumKind.MESH, opening_um(text), None, f"{text} mesh")


def rated(size_um: float, beta: float | None = None) -> Medium:
    """A medium rated in µm: with its beta ratio, or nominal (None), which says little."""
    if not size_um > 0:
        raise ValueError(f"A rating of {size_um:g} µm cannot be: type micrometres above 0.")
    if beta is not None:
        efficiency_pct(beta)
    return Medium(MediumKind.RATED, size_um, beta, f"{size_um:g} µm " + (f"β {beta:g}" if beta else "nominal"))


def wire_cloth(size_um: float | None = None) -> Medium:
    """Woven wire, opening unknown or in µm."""
    label = "wire cloth" if size_um is None else f"wire cloth, {size_um:g} µm"
    return Medium(MediumKind.WIRE_CLOTH, size_um, None, label)
