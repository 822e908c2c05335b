"""Search by measurement: an element described by a few measures, against elements from the shelf or a list."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from catalog.compare import at_most
from catalog.filters.element import Bypass, Element, End, Gasket, Kind, ThreadSize
from catalog.filters.grade import OUR_RULE, Criterion, Fit, Grade, Way, measure, table
from catalog.filters.media import Medium
from catalog.filters.screwed import same_thread


class Dimension(NamedTuple):
    """A measured length and its limit of error, mm."""

    value_mm: float
    plus_minus_mm: float = 0.5


class Described(NamedTuple):
    """What is known of the element that is sought. An end whose `form` is None was not described."""

    kind: Kind | None = None
    od: Dimension | None = None
    length: Dimension | None = None
    first: End = End()
    second: End = End()
    end_plus_minus_mm: float = 0.5
    thread: ThreadSize | None = None
    gasket: Gasket = Gasket()
    medium: Medium | None = None
    bypass: Bypass | None = None

    def turned(self) -> Described:
        """The same, end for end."""
        return self._replace(first=self.second, second=self.first)

    def as_element(self, kind: Kind) -> Element:
        """An element with these measures, to be judged in a housing."""
        return Element(
            self.kind or kind,
            od_mm=self.od.value_mm if self.od else None,
            length_mm=self.length.value_mm if self.length else None,
            first=self.first,
            second=self.second,
            thread=self.thread,
            gasket=self.gasket,
            medium=self.medium,
            bypass=self.bypass,
        )


class Found(NamedTuple):
    """A candidate with its table, and the sum of its misses in units of what still fits (0: within every limit)."""

    element: Element
    fit: Fit
    off: float


# Our rule, no source, mm past the reading's own ±: what still fits, and what may do with care.
LIMITS = {
    "outside diameter": (2.0, 5.0),
    "length": (1.0, 3.0),
    "bore": (0.5, 1.5),
    "gasket inside": (1.0, 2.0),
    "gasket outside": (1.0, 2.0),
}


def _dimension(name: str, limits: str, want: Dimension, have: float | None) -> tuple[Criterion, float]:
    if have is None:
        return measure(name, f"the {name} of this item", f"{want.value_mm:g} mm is sought."), 0.0
    fits, care = LIMITS[limits]
    miss = max(abs(have - want.value_mm) - want.plus_minus_mm, 0.0)
    figures = f"{have:g} mm where {want.value_mm:g} ± {want.plus_minus_mm:g} mm is sought"
    grade = Grade.FITS if at_most(miss, fits) else Grade.WITH_CARE if at_most(miss, care) else Grade.DOES_NOT
    return Criterion(name, grade, f"{figures}: {have - want.value_mm:+.2f} mm.", OUR_RULE), miss / fits


def _end(name: str, want: End, have: End, plus_minus: float) -> list[tuple[Criterion, float]]:
    if want.form is None:
        return []
    if have.form is None:
        return [(measure(name, f"is the {name} open or closed", f"{want.form} is sought."), 0.0)]
    if have.form is not want.form:
        both_closed = not want.passes and not have.passes
        grade = Grade.WITH_CARE if both_closed or (want.passes and have.passes) else Grade.DOES_NOT
        return [(Criterion(name, grade, f"{have.form} where {want.form} is sought.", OUR_RULE), 1.0)]
    found = [(Criterion(name, Grade.FITS, f"{have.form}, as sought.", OUR_RULE), 0.0)]
    if want.id_mm is not None and want.passes:
        found.append(_dimension(f"bore of the {name}", "bore", Dimension(want.id_mm, plus_minus), have.id_mm))
    return found


def compare(described: Described, element: Element) -> Found:
    """One candidate against the description, both ways round, the better kept."""
    ways = [(Way.AS_WRITTEN, described), (Way.TURNED, described.turned())]
    return min((_compare(one, element, way) for way, one in ways), key=_order)


def _compare(want: Described, have: Element, way: Way) -> Found:
    judged: list[tuple[Criterion, float]] = []
    if want.kind is not None:
        same = have.kind is want.kind
        sentence = f"a {have.kind} where a {want.kind} is sought."
        judged.append((Criterion("kind", Grade.FITS if same else Grade.DOES_NOT, sentence, OUR_RULE), 0.0))
    if want.od:
        judged.append(_dimension("outside diameter", "outside diameter", want.od, have.od_mm))
    if want.length:
        judged.append(_dimension("length", "length", want.length, have.length_mm))
    judged += _end("first end", want.first, have.first, want.end_plus_minus_mm)
    judged += _end("second end", want.second, have.second, want.end_plus_minus_mm)
    if want.thread:
        judged.append((_thread(want.thread, have.thread), 0.0))
    for name, wanted, had in (
        ("gasket inside", want.gasket.id_mm, have.gasket.id_mm),
        ("gasket outside", want.gasket.od_mm, have.gasket.od_mm),
    ):
        if wanted is not None:
            judged.append(_dimension(name, name, Dimension(wanted), had))
    if want.medium:
        judged.append((_medium(want.medium, have.medium), 0.0))
    if want.bypass:
        judged.append((_bypass(want.bypass, have.bypass), 0.0))
    return Found(have, table([criterion for criterion, _ in judged], way), sum(off for _, off in judged))


def _thread(want: ThreadSize, have: ThreadSize | None) -> Criterion:
    if have is None:
        return measure("thread", "the thread of this item", f"{want.label} is sought.")
    same = same_thread(want, have)
    sentence = f"{have.label} where {want.label} is sought."
    return Criterion("thread", Grade.FITS if same else Grade.DOES_NOT, sentence, OUR_RULE)


def _bypass(want: Bypass, have: Bypass | None) -> Criterion:
    """Soft: whether the machine needs one in the element is judged in its housing."""
    if have is None or (want.opens_bar is not None and have.fitted and have.opens_bar is None):
        return measure("bypass", "the bypass of this item", f"{want.label} is sought.", hard=False)
    other = have.fitted is not want.fitted
    off = None not in (want.opens_bar, have.opens_bar) and have.opens_bar != want.opens_bar
    sentence = f"{have.label} where {want.label} is sought."
    return Criterion("bypass", Grade.WITH_CARE if other or off else Grade.FITS, sentence, OUR_RULE, False)


def _medium(want: Medium, have: Medium | None) -> Criterion:
    if have is None or have.size_um is None:
        return measure("medium", "the medium of this item", f"{want.label} is sought.", hard=False)
    same = (have.woven, have.size_um, have.beta) == (want.woven, want.size_um, want.beta)
    sentence = f"{have.label} where {want.label} is sought."
    return Criterion("medium", Grade.FITS if same else Grade.WITH_CARE, sentence, OUR_RULE, False)


def _order(found: Found) -> tuple[int, int, float, bool]:
    worst = found.fit.overall.rank
    return worst, len(found.fit.to_measure), found.off, found.fit.way is Way.TURNED


def rank(
    described: Described, candidates: Iterable[Element], keep: int = 50, misses: bool = False
) -> tuple[Found, ...]:
    """Candidates by how well they answer the description, best first, at most `keep`.

    Order: the overall word, then fewer unknowns, then the smaller misses. Those that do not fit are left out unless
    `misses`. ValueError where nothing is described.
    """
    if described == Described():
        raise ValueError("Nothing to search by: type at least one measure, such as “cartridge, 60 × 120, open 30”.")
    found = sorted((compare(described, element) for element in candidates), key=_order)
    return tuple(one for one in found if misses or one.fit.overall is not Grade.DOES_NOT)[:keep]
