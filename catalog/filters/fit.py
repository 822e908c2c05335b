"""Would this element do in this housing? Criterion by criterion, worst first; never a score."""

from __future__ import annotations

from catalog.compare import over
from catalog.filters import ends, holding, length, screwed
from catalog.filters.element import Element, Kind
from catalog.filters.grade import OUR_RULE, PRACTICE, Criterion, Fit, Grade, Way, measure, table
from catalog.filters.housing import Housing, Where

HOSE_SLACK = 0.5


def judge(element: Element, housing: Housing, way: Way | None = None) -> Fit:
    """Judge an element in a housing. With no `way` given, both are tried where it can be turned, and the better kept.

    Hard criteria: kind, thread, a seal at each end, which way round, length, gasket, room around, collapse. Soft:
    medium, bypass, valve, flow. What was not measured is listed as `measure this` and never counts as fitting.
    """
    if housing.takes is not None and housing.takes is not element.kind:
        sentence = f"the housing takes a {housing.takes}; this is a {element.kind}."
        return table([Criterion("kind", Grade.DOES_NOT, sentence, PRACTICE)], way or Way.AS_WRITTEN)
    if way is not None:
        return table(_criteria(element, housing, way), way)
    fits = [table(_criteria(element, housing, one), one) for one in _ways(element, housing)]
    best = min(fits, key=_badness)
    if len(fits) == 2 and best.overall is not fits[1 - fits.index(best)].overall:
        best = _with_the_other_way(best, fits[1 - fits.index(best)])
    return best


def _ways(element: Element, housing: Housing) -> tuple[Way, ...]:
    """A can, a screwed strainer and an element with equal ends go in one way only."""
    if _screws_on(element, housing) or element.first == element.second:
        return (Way.AS_WRITTEN,)
    return (Way.AS_WRITTEN, Way.TURNED)


def _screws_on(element: Element, housing: Housing) -> bool:
    if element.kind is Kind.SPIN_ON:
        return True
    threaded = element.thread is not None or housing.thread is not None
    return threaded and element.kind is not Kind.CARTRIDGE


def _badness(fit: Fit) -> tuple[int, list[int]]:
    """Overall first, then the grades of all criteria from the worst."""
    return fit.overall.rank, sorted((criterion.grade.rank for criterion in fit.criteria), reverse=True)


def _with_the_other_way(fit: Fit, other: Fit) -> Fit:
    """Say on the orientation line what happens the other way round."""
    worst = other.criteria[0]
    said = [
        criterion._replace(
            sentence=f"{criterion.sentence} Turned end for end it comes out worse ({worst.name}): {worst.sentence}"
        )
        if criterion.name == "which way round"
        else criterion
        for criterion in fit.criteria
    ]
    return Fit(tuple(said), fit.way)


def _criteria(element: Element, housing: Housing, way: Way) -> list[Criterion]:
    placed = element.turned() if way is Way.TURNED else element
    found: list[Criterion | None] = [_kind(element, housing)]
    if _screws_on(element, housing):
        found.append(screwed.thread(placed, housing))
        if element.kind is Kind.SPIN_ON:
            found.append(screwed.gasket(placed, housing))
        found.append(length.room_below(placed, housing))
    elif element.kind is Kind.IN_LINE:
        found += [_hose(placed, housing, Where.HEAD), _hose(placed, housing, Where.COVER)]
        found.append(length.room_below(placed, housing))
    else:
        found += [
            ends.orientation(placed, housing),
            ends.end_seal(placed, housing, Where.HEAD),
            ends.end_seal(placed, housing, Where.COVER),
            length.length(placed, housing),
        ]
    found += [screwed.around(placed, housing), holding.collapse(placed, housing)]
    found += [holding.medium(placed, housing), holding.bypass(placed, housing)]
    if element.kind is Kind.SPIN_ON:
        found.append(holding.anti_drain_back(placed, housing))
    found.append(holding.flow(placed, housing))
    return [criterion for criterion in found if criterion is not None]


def _kind(element: Element, housing: Housing) -> Criterion:
    if housing.takes is None:
        return measure("kind", "what kind of element the housing takes", f"This one is a {element.kind}.", PRACTICE)
    return Criterion("kind", Grade.FITS, f"the housing takes a {housing.takes}, and this is one.", PRACTICE)


def _hose(element: Element, housing: Housing, where: Where) -> Criterion:
    """In-line: the stub at this end against the bore of its hose."""
    name = f"hose at the {where} end"
    stub, hose = ends.end_at(element, where).id_mm, housing.seat(where).diameter_mm
    if stub is None or hose is None:
        what = "the hose size of the stub" if stub is None else "the bore of the hose"
        return measure(name, what, "A loose hose sucks air or sprays.")
    figures = f"stub for a {stub:g} mm hose, hose bore {hose:g} mm"
    if over(abs(stub - hose), HOSE_SLACK):
        return Criterion(name, Grade.DOES_NOT, f"{figures}: it leaks, draws air or will not go on.", OUR_RULE)
    return Criterion(name, Grade.FITS, f"{figures}.", OUR_RULE)
