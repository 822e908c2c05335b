"""Filter media as rows: sieves by number and opening, beta ratios, ISO 4406 numbers; and the threads of spin-ons."""

from __future__ import annotations

from functools import cache

import catalog
from catalog import filters
from tui.screens.catalog.reference import Entry, Fact, entry

UM_PER_INCH = 25_400
GROUPS = (("mesh", "mesh"), ("beta ratio", "beta"), ("cleanliness", "iso4406"), ("spin-on threads", "thread"))


@cache
def entries() -> tuple[Entry, ...]:
    """Sieves, ratios, cleanliness numbers, threads."""
    return (*_sieves(), *_ratios(), *_numbers(), *_threads())


def _sieves() -> list[Entry]:
    found = []
    for one in filters.media.sieves():
        source, standing = one.source, str(one.standing)
        said = [Fact(f"{one.mesh} mesh", f"Opening {_opening(one.opening_um)}.", source, standing)]
        if one.older_opening_um:
            older = f"The older series had {_opening(one.older_opening_um)}."
            said.append(Fact("older series", older, "memory", "memory"))
        found.append(
            entry(
                f"{one.mesh} mesh",
                "mesh",
                "sieve (ASTM E11)",
                f"{one.opening_um:g} µm",
                said,
                standing,
                metric=(f"{one.opening_um:g} µm",),
                inch=(f"{one.opening_um / UM_PER_INCH:.4f} in",),
            )
        )
    return found


def _ratios() -> list[Entry]:
    found = []
    for beta in filters.media.USUAL_RATIOS:
        held = filters.media.efficiency_pct(beta)
        said = f"Of {beta:g} particles of the size, {beta - 1:g} stay behind: {held:.4g} % held back, one goes through."
        fact = Fact(f"β {beta:g}", said, "ISO 16889, 100 (1 − 1/β), by formula", "published")
        need = Fact(
            "to know with it", "The particle size: β10(c) = 200 is 200 at 10 µm and over.", "ISO 16889", "published"
        )
        found.append(
            entry(
                f"β {beta:g}",
                "beta",
                "beta ratio (ISO 16889)",
                f"{held:.4g} % held back",
                [fact, need],
                "published",
                metric=(f"{held:.4g} %",),
                inch=("",),
                more=f"beta {beta:g}",
            )
        )
    return found


def _numbers() -> list[Entry]:
    found = []
    for number in range(filters.cleanliness.OVER_SCALE):
        span = filters.cleanliness.count_range(number)
        count = f"over {span.over:g} to {span.up_to:g} per mL"
        if number == 0:
            count = f"up to {span.up_to:g} per mL"
        said = (
            f"{count}, counted at {', '.join(filters.cleanliness.SIZES)}: the three numbers of a code such as 18/16/13."
        )
        fact = Fact(f"number {number}", said, "4406", "published")
        each = span.up_to or 0.0
        ounce = f"to {each * 29.5735295625:.4g} per US fl oz"
        found.append(
            entry(
                f"ISO 4406 {number}",
                "iso4406",
                "cleanliness (ISO 4406)",
                count,
                [fact],
                "published",
                metric=(f"to {each:,.7g} / mL",),
                inch=(ounce,),
                more=f"{number} code",
            )
        )
    return found


def _threads() -> list[Entry]:
    found = []
    for thread, use, standing in filters.screwed.spin_on_threads():
        per_inch = 25.4 / thread.pitch_mm
        metric = f"{thread.diameter_mm:.2f} × {thread.pitch_mm:.3g} mm"
        inch = f"{thread.diameter_mm / 25.4:.3f} in × {per_inch:.3g}"
        said = f"A thread of spin-on filters, {metric} = {inch} to the inch. {use}".strip()
        fact = Fact(
            thread.label, said, catalog.publications.named("SPIN") if standing == "published" else "memory", standing
        )
        found.append(
            entry(
                thread.label,
                "thread",
                "spin-on thread",
                f"{metric} = {inch} to the inch",
                [fact],
                standing,
                metric=(metric,),
                inch=(inch,),
                more=use,
            )
        )
    return found


def _opening(micrometres: float) -> str:
    return f"{micrometres:g} µm = {micrometres / 1000:.4g} mm = {micrometres / UM_PER_INCH:.4f} in"
