"""What an identification of a ring rests on: the rows, definitions and lists that decided it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from catalog.because import Because
from catalog.orings import fractions
from catalog.publications import named
from catalog.standing import Standing

if TYPE_CHECKING:
    from catalog.orings.match import Ranking
    from catalog.orings.sizes import RingSize

LEAST: Final = 0.05
"""A size less likely than this decided nothing."""
MOST: Final = 4
GEOMETRY: Final = Because("OD = ID + 2 × width, for every ring", "geometry of a ring", Standing.INFERRED)


def reasons(ranking: Ranking) -> tuple[Because, ...]:
    """The deciding rules of a ranking, the weightiest first; never empty."""
    if ranking.conflict is not None:
        return (GEOMETRY,)
    found: list[Because] = []
    if ranking.called is not None:
        name = fractions.trade_names()[ranking.called.designation]
        rule = f"{name.words} (ID × OD × width) is the trade name of {ranking.called.label}"
        found.append(Because(rule, named(fractions.CITED), Standing.INFERRED))
    if ranking.denial is not None:
        found += ranking.denial.because
    found += [
        _row(size)
        for match in ranking.matches[:MOST]
        if match.probability >= LEAST
        for size in (match.size, *match.also)
    ]
    if not found and ranking.matches:
        found.append(_row(ranking.matches[0].size))
    return tuple(found)


def _row(size: RingSize) -> Because:
    rule = (
        f"{size.label}: ID {size.id_mm:.2f} ± {size.id_tol_mm:.2f} mm, "
        f"width {size.cross_section_mm:.2f} ± {size.cross_section_tol_mm:.2f} mm"
    )
    source = "no source" if size.standing is Standing.MEMORY else size.source
    return Because(rule, source, size.standing)
