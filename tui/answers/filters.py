"""Whether a filter element fits its housing, which of a list or of the shop would, and what a medium holds back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, ClassVar, Final, Literal

import catalog
from catalog import filters
from tui.answers.advice import ADVICE, cautions
from tui.answers.answer import Answer, said
from tui.answers.money import amount, price_words
from tui.answers.reasons import Reason, Standing, reasons_of
from tui.commands.output import table

if TYPE_CHECKING:
    from catalog.filters import grade, search
    from catalog.filters.cleanliness import CountRange as Printed
    from catalog.filters.element import Element
    from catalog.filters.housing import Housing
    from models import elements

Grade = Literal["fits", "with care", "measure this", "does not"]
GRADES: Final[Mapping[Grade, str]] = MappingProxyType(
    {"fits": "fits", "with care": "with care", "measure this": "measure this", "does not": "does not fit"}
)
"""How a criterion comes out, as it is read."""
OVERALL: Final[Mapping[Grade, str]] = MappingProxyType(
    {
        "fits": "fits",
        "with care": "fits with care",
        "measure this": "not to be trusted yet, measure first",
        "does not": "does not fit",
    }
)
"""How the whole comes out, in a sentence."""
TURNED: Final = "It goes in turned end for end: the second end at the head."
MOST_NAMED: Final = 5
MOST_LETTERS: Final = 60


def both(value_mm: float | None, unit: str) -> str:
    """A length in both units; "" where it is unknown."""
    return "" if value_mm is None else catalog.quantity.both_units(value_mm, first=unit)


@dataclass(frozen=True)
class Criterion:
    """One line of the table: a sentence with the figures, and where the rule is from. Hard: a leak or a hurt."""

    name: str
    grade: Grade
    text: str
    source: str
    standing: Standing
    hard: bool

    @property
    def line(self) -> str:
        """It in a line; what must be measured says so itself."""
        word = "" if self.grade == "measure this" else f"{GRADES[self.grade]}. "
        return f"{self.name}: {word}{self.text} [{self.source}]"


@dataclass(frozen=True)
class Judged:
    """A judgement: the worst of its criteria, which stand worst first, and the way round that it holds for.

    `because`: the criteria that decided; `to_measure`: what must be measured before it is trusted.
    """

    overall: Grade
    way: Literal["as written", "turned"]
    criteria: tuple[Criterion, ...]
    because: tuple[Reason, ...]
    to_measure: tuple[str, ...]

    @property
    def usable(self) -> bool:
        """Whether it may be used."""
        return self.overall in ("fits", "with care")

    @property
    def doubts(self) -> tuple[Criterion, ...]:
        """What does not simply fit."""
        return tuple(one for one in self.criteria if one.grade != "fits")

    @property
    def worst(self) -> tuple[str, ...]:
        """The names of the criteria that came out as badly as the whole."""
        return tuple(one.name for one in self.criteria if one.grade == self.overall)


@dataclass(frozen=True)
class Sizes:
    """The sizes that were understood, mm; null where nobody measured."""

    element_od_mm: float | None
    element_length_mm: float | None
    housing_bore_mm: float | None
    housing_depth_mm: float | None

    def words(self, unit: str) -> str:
        """Those that are known, in both units."""
        named = (
            ("element OD", self.element_od_mm),
            ("length", self.element_length_mm),
            ("housing bore", self.housing_bore_mm),
            ("depth", self.housing_depth_mm),
        )
        return ", ".join(f"{name} {both(value, unit)}" for name, value in named if value is not None)


@dataclass(frozen=True)
class FilterFit(Judged, Answer):
    """An element judged in a housing. `housing`: its name, null where it has none."""

    SCHEMA: ClassVar[str] = "kitwright.filter-fit/2"

    element: str
    housing: str | None
    sizes: Sizes
    cautions: tuple[str, ...]
    unit: str = said("mm")

    @property
    def found(self) -> bool:
        """Whether it may be used."""
        return self.usable

    def words(self) -> list[str]:
        """The whole, then every criterion, worst first, then what was understood."""
        turned = ", turned end for end" if self.way == "turned" else ""
        where = f"the housing {self.housing}" if self.housing else "this housing"
        lines = [f"{self.element} in {where}: {OVERALL[self.overall]}{turned}", ""]
        lines += [f"  {one.line}" for one in self.criteria]
        if sizes := self.sizes.words(self.unit):
            lines += ["", f"Understood: {sizes}."]
        return [*lines, *self.cautions]


@dataclass(frozen=True)
class FoundElement(Judged):
    """An element of a list. `off`: the sum of its misses in units of what still fits; 0 within every limit."""

    element: str
    off: float
    od_mm: float | None
    length_mm: float | None


@dataclass(frozen=True)
class FilterSearch(Answer):
    """The elements of a list that answer to what is sought, best first. `problems`: lines that can't be read."""

    SCHEMA: ClassVar[str] = "kitwright.filter-search/2"

    candidates: int
    found_in_all: int
    found_elements: tuple[FoundElement, ...]
    problems: tuple[str, ...]
    caution: str
    any_usable: bool = said(False)
    unit: str = said("mm")

    @property
    def found(self) -> bool:
        """Whether any may be used."""
        return self.any_usable

    @property
    def refused(self) -> bool:
        """Whether a line could not be read."""
        return bool(self.problems)

    def trouble(self) -> list[str]:
        """The lines that can't be read."""
        return [f"--list: {one}" for one in self.problems]

    def words(self) -> list[str]:
        """A table, best first, and why none is better."""
        if not self.found_elements:
            return [f"None of {self.candidates} elements matches. See the near ones with --misses."]
        shown, more = self.found_elements, self.found_in_all > len(self.found_elements)
        cut = f", {len(shown)} shown" if more else ""
        rows = [
            (
                one.element,
                GRADES[one.overall],
                both(one.od_mm, self.unit),
                both(one.length_mm, self.unit),
                "turned" if one.way == "turned" else "",
            )
            for one in shown
        ]
        return [
            f"{self.found_in_all} of {self.candidates} elements, best first{cut}:",
            *table(("element", "verdict", "outside", "long", ""), rows),
            *_doubts((one.element, one) for one in shown),
            "",
            "Found by measure only. Judge it in its housing before you fit it: kitwright filter --housing …",
            self.caution,
        ]


@dataclass(frozen=True)
class Lying:
    """Where an item lies, how many are there, and how many of them are free."""

    bin: str
    on_hand: int
    free: int


@dataclass(frozen=True)
class Offer(Judged):
    """An element to be had: an item of the shop's, or a row of a supplier's list.

    `reading_confidence` (0 to 1) and `read_as`: how sure its text was read, null where it was measured. `price` is text
    in whole units of `currency`, for `price_per` packs.
    """

    where: Literal["item", "list"]
    id: int
    name: str
    kind: Literal["spin-on", "cartridge", "suction strainer", "in-line"]
    od_mm: float | None
    length_mm: float | None
    reading_confidence: float | None
    read_as: str | None
    bins: tuple[Lying, ...]
    free: int
    supplier: str | None
    number: str | None
    price: str | None
    price_per: int
    currency: str | None
    off: float | None
    housed: bool

    @property
    def place(self) -> str:
        """Where it is to be had: its bins, or that it is short, or the supplier with number and price."""
        if self.supplier:
            money = price_words(self.price, self.price_per, self.currency)
            return ", ".join(part for part in (f"{self.supplier} {self.number or ''}".rstrip(), money) if part)
        if not self.bins:
            return "SHORT: none on the shelf"
        places = ", ".join(f"{one.bin}: {one.free} free of {one.on_hand}" for one in self.bins)
        return places if self.free else f"SHORT: {places}"

    @property
    def agrees(self) -> str:
        """What it means that there is no doubt."""
        if self.housed:
            return "Every criterion is met."
        return "Every measure agrees. Measure its housing too: this is found by likeness alone."


@dataclass(frozen=True)
class FilterShop(Answer):
    """What the shop keeps and suppliers list that answers to what is sought, or fits the housing; best first.

    `do_not_fit`: how many don't, told only where asked for. `never_measured`: the shop's filters without any measure;
    `rows_without_measures`: of the lists; `more_rows_than_looked_at`: whether the lists hold more.
    """

    SCHEMA: ClassVar[str] = "kitwright.filter-shop/2"

    sought: str | None
    housing: str | None
    candidates: int
    do_not_fit: int
    found_in_all: int
    offers: tuple[Offer, ...]
    never_measured: tuple[str, ...]
    rows_without_measures: int
    more_rows_than_looked_at: bool
    cautions: tuple[str, ...]
    usable: int = said(0)
    unit: str = said("mm")

    @property
    def found(self) -> bool:
        """Whether any may be used."""
        return bool(self.usable)

    def words(self) -> list[str]:
        """A table, best first, why none is better, and what was not searched."""
        if self.offers:
            lines = [f"{self.summary}:", *self._table(), *_doubts((one.name, one) for one in self.offers)]
        else:
            does = "fits" if self.housing else "matches"
            lines = [f"None of {self.candidates} elements {does}. See --misses."]
        lines += ["", *self.untold()]
        if not self.housing:
            lines.append("Found by measure only. Add --housing to see what would fit the place it goes.")
        return [*lines, *self.cautions]

    @property
    def summary(self) -> str:
        """How many there are, and how many of them may be used."""
        cut = f", {len(self.offers)} shown" if self.found_in_all > len(self.offers) else ""
        does = "fit this housing" if self.housing else "answer to this"
        known = f"{self.usable} of them {does}" if self.usable else "each to be measured further first"
        return f"{self.found_in_all} of {self.candidates} elements, {known}, best first{cut}"

    def _table(self) -> list[str]:
        rows = [
            (one.name[:40], GRADES[one.overall], one.place, both(one.od_mm, self.unit), both(one.length_mm, self.unit))
            for one in self.offers
        ]
        return table(("element", "verdict", "where", "outside", "long"), rows)

    def untold(self) -> list[str]:
        """What was not searched, and why."""
        lines = []
        if self.never_measured:
            named = self.never_measured[:MOST_NAMED]
            more = len(self.never_measured) - len(named)
            lines.append(f"Never measured, so not searched: {', '.join(named)}{f' and {more} more' if more else ''}.")
        if self.rows_without_measures:
            rows = "1 row" if self.rows_without_measures == 1 else f"{self.rows_without_measures} rows"
            lines.append(f"Not searched, for no measure can be read there: {rows} of the lists.")
        if self.more_rows_than_looked_at:
            lines.append("The lists hold more filters than were looked at; describe more of what is sought.")
        return lines


def _doubts(named: Iterable[tuple[str, Judged]]) -> list[str]:
    """What stands against each, under its name; nothing of what simply fits."""
    lines = []
    for name, one in named:
        if one.doubts:
            lines += ["", f"{name[:MOST_LETTERS]}:", *(f"  {doubt.line}" for doubt in one.doubts)]
    return lines


@dataclass(frozen=True)
class FilterFields(Answer):
    """The fields of an element and of a housing, each with its meaning."""

    SCHEMA: ClassVar[str] = "kitwright.filter-fields/2"

    element: dict[str, str]
    housing: dict[str, str]

    def words(self) -> list[str]:
        """A table for each."""
        return [
            line
            for title, fields in (("element", self.element), ("housing", self.housing))
            for line in (*table((title, "meaning"), list(fields.items())), "")
        ]


@dataclass(frozen=True)
class MeshOpening(Answer):
    """The opening of a sieve by its number."""

    SCHEMA: ClassVar[str] = "kitwright.filter-mesh/2"

    mesh: str
    opening_um: float

    def words(self) -> list[str]:
        """Its opening, in both units."""
        return [f"{self.mesh} mesh: {opening(self.opening_um)} opening (ASTM E11). Mesh alone does not give the wire."]


@dataclass(frozen=True)
class NearestSieve(Answer):
    """The sieve whose opening is nearest, and how far off it is."""

    SCHEMA: ClassVar[str] = "kitwright.filter-opening/2"

    opening_um: float
    mesh: str
    mesh_opening_um: float
    off_pct: float

    def words(self) -> list[str]:
        """The sieve."""
        sieve = f"{self.mesh} mesh, {opening(self.mesh_opening_um)} ({self.off_pct:+.1f} % off, ASTM E11)"
        return [f"{opening(self.opening_um)}: nearest is {sieve}"]


@dataclass(frozen=True)
class BetaRatio(Answer):
    """What a beta ratio holds back."""

    SCHEMA: ClassVar[str] = "kitwright.filter-beta/2"

    beta: float
    held_back_pct: float

    def words(self) -> list[str]:
        """The share."""
        return [
            f"Beta {self.beta:g}: holds back {self.held_back_pct:.2f} % of particles of its size and larger "
            "(ISO 16889). A nominal rating cannot be turned into a beta ratio."
        ]


@dataclass(frozen=True)
class CleanlinessCode(Answer):
    """The ISO 4406 code of counted particles per mL at 4, 6 and 14 µm(c); null where none were counted."""

    SCHEMA: ClassVar[str] = "kitwright.filter-counts/2"

    code: str
    per_ml: tuple[float | None, ...]

    def words(self) -> list[str]:
        """The code."""
        return [f"ISO 4406 code {self.code} (particles per mL at 4, 6 and 14 µm(c))"]


@dataclass(frozen=True)
class CountRange:
    """Over so many particles per mL, up to so many; null without limit. `at_least`: the lower one counts too."""

    over: float
    up_to: float | None
    at_least: bool

    @property
    def words(self) -> str:
        """The range."""
        if self.up_to is None:
            return f"more than {self.over:,g}"
        return f"{'at least ' if self.at_least else ''}{self.over:,g} to {self.up_to:,g}"


@dataclass(frozen=True)
class CodeCounts(Answer):
    """What an ISO 4406 code stands for, at 4, 6 and 14 µm(c); null where it does not say."""

    SCHEMA: ClassVar[str] = "kitwright.filter-code/2"

    code: str
    per_ml: tuple[CountRange | None, ...]

    def words(self) -> list[str]:
        """Each size with its range."""
        told = "; ".join(
            f"{size} {'not stated' if one is None else one.words}"
            for size, one in zip(filters.cleanliness.SIZES, self.per_ml, strict=True)
        )
        return [f"{self.code}, particles per mL: {told} (ISO 4406)"]


def opening(micrometres: float) -> str:
    """An opening in micrometres and in inches."""
    return f"{micrometres:g} µm ({catalog.quantity.format_length(micrometres / 1000, 'in')})"


# From the catalog's and the workshop's records


def criterion_of(one: grade.Criterion) -> Criterion:
    """A criterion as answers tell it."""
    return Criterion(one.name, one.grade.value, one.sentence, one.source, one.standing.value, one.hard)


def _parts(fit: grade.Fit) -> Mapping[str, Any]:
    return {
        "overall": fit.overall.value,
        "way": fit.way.value,
        "criteria": tuple(map(criterion_of, fit.criteria)),
        "because": reasons_of(fit.because),
        "to_measure": tuple(one.name for one in fit.to_measure),
    }


def fit_of(element: Element, housing: Housing, fit: grade.Fit, unit: str = "mm") -> FilterFit:
    """An element judged in a housing, as an answer."""
    return FilterFit(
        **_parts(fit),
        element=_called(element),
        housing=housing.name or None,
        sizes=Sizes(element.od_mm, element.length_mm, housing.bore_mm, housing.depth_mm),
        cautions=(*cautions("relieve"), ADVICE),
        unit=unit,
    )


def _called(element: Element) -> str:
    return element.name or element.kind.value


def search_of(
    found: Sequence[search.Found], candidates: int, problems: Sequence[str], limit: int, unit: str = "mm"
) -> FilterSearch:
    """What a search through a list found, as an answer."""
    told = tuple(
        FoundElement(
            **_parts(one.fit),
            element=_called(one.element),
            off=round(one.off, 4),
            od_mm=one.element.od_mm,
            length_mm=one.element.length_mm,
        )
        for one in found
    )
    usable = any(one.usable for one in told)
    return FilterSearch(candidates, len(found), told[:limit], tuple(problems), ADVICE, usable, unit)


def offer_of(one: elements.Ranked) -> Offer:
    """An element to be had, as answers tell it."""
    offer = one.offer
    return Offer(
        **_parts(one.table),
        where=offer.where.value,
        id=offer.row_id,
        name=offer.name,
        kind=offer.element.kind.value,
        od_mm=offer.element.od_mm,
        length_mm=offer.element.length_mm,
        reading_confidence=offer.confidence,
        read_as=offer.read_as or None,
        bins=tuple(Lying(place.bin_code, place.on_hand, place.free) for place in offer.lying),
        free=offer.free,
        supplier=offer.supplier or None,
        number=offer.number or None,
        price=amount(offer.price_minor, offer.currency),
        price_per=offer.price_per,
        currency=offer.currency or None,
        off=None if one.found is None else round(one.found.off, 4),
        housed=one.fitted is not None,
    )


def shop_of(
    answer: elements.Answer, text: str | None, housing: Housing | None, limit: int | None = None, unit: str = "mm"
) -> FilterShop:
    """What is to be had, as an answer; all of it where no limit is given."""
    offers = tuple(map(offer_of, answer.ranked))
    return FilterShop(
        sought=text,
        housing=None if housing is None else housing.name or "given",
        candidates=answer.candidates,
        do_not_fit=answer.misses,
        found_in_all=len(offers),
        offers=offers[:limit],
        never_measured=answer.unmeasured,
        rows_without_measures=answer.unread,
        more_rows_than_looked_at=answer.cut,
        cautions=(*cautions("relieve"), ADVICE),
        usable=sum(one.usable for one in offers),
        unit=unit,
    )


def range_of(one: Printed | None) -> CountRange | None:
    """A range of the scale as answers tell it."""
    return None if one is None else CountRange(one.over, one.up_to, one.at_least)
