"""The filter elements that the shop has and its suppliers list, as rows: kind, thread, outline, seal, what is free."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Final, NamedTuple

import models
from tui import answers
from tui.screens.catalog.reference import OWN, Entry, Fact, entry

if TYPE_CHECKING:
    from catalog.filters.element import Element, End
    from models.elements import Offered
    from tui.workshop import Workshop

GROUPS: Final = (
    ("spin-on", "spin-on"), ("cartridge", "cartridge"), ("strainer", "suction strainer"), ("in-line", "in-line"),
    ("not measured", "?"),
)  # fmt: skip
SHORT_KIND: Final = {"suction strainer": "strainer", "?": "?"}


class ElementEntry(NamedTuple):
    """An element: its lines, its geometry (None where nobody measured it), and the class that a kit asks for."""

    said: Entry
    element: Element | None
    asked: str
    price: str = ""

    @property
    def name(self) -> str:
        """What it is called."""
        return self.said.name

    @property
    def text(self) -> str:
        """What a filter looks through."""
        return self.said.text

    @property
    def group(self) -> str:
        """Its kind."""
        return self.said.group


class Known(tuple[ElementEntry, ...]):
    """All of them. `cut`: the suppliers' lists have more than is read."""

    cut: bool = False


def own_entries(workshop: Workshop) -> Known:
    """The shop's filters, then the suppliers' rows that say an element's measures; called in a thread."""
    gathered = workshop.read(models.elements.gather)
    found = Known((
        *(_entry(one) for one in gathered.offers),
        *(_unmeasured(name) for name in gathered.unmeasured),
    ))  # fmt: skip
    found.cut = gathered.cut
    return found


def load() -> tuple[ElementEntry, ...]:
    """No standard lists elements: all are the shop's and its suppliers'."""
    return ()


def _entry(one: Offered) -> ElementEntry:
    element = one.element
    kind = str(element.kind)
    facts = []
    if one.confidence is None:
        source, standing = "measured in this shop", OWN
    else:
        source, standing = f"read from its text, {one.confidence * 100:.0f} % sure", ""
    outline = outline_words(element)
    if outline:
        facts.append(Fact("outside Ø × length", f"{outline}.", source, standing))
    if element.thread is not None:
        facts.append(Fact("thread", f"{element.thread.label}.", source, standing))
    if sealing := seal_words(element):
        facts.append(Fact("gasket" if element.gasket.id_mm else "ends", f"{sealing}.", source, standing))
    if element.medium is not None:
        facts.append(Fact("medium", f"{element.medium.label}.", source, standing))
    if one.read_as:
        facts.append(Fact("read as", f"{one.read_as}.", "measure it before you trust it", ""))
    if one.supplier:
        facts.append(Fact("listed", f"{one.supplier}, {one.number}, {_price(one)}.", "the supplier's list", ""))
    said = entry(
        one.name, kind, kind, outline or "outline not known", facts, OWN if one.confidence is None else "inferred",
        more=" ".join((*_found_by(element), one.supplier, one.number)),
    )  # fmt: skip
    return ElementEntry(said, element, one.spec_class or one.name, _price(one) if one.supplier else "")


def _unmeasured(name: str) -> ElementEntry:
    fact = Fact("measures", "not measured, and its name gives no size.", "", "entered by this shop")
    return ElementEntry(entry(name, "?", "filter", "not measured", [fact], OWN), None, name)


def _price(one: Offered) -> str:
    return (
        answers.money.price_words(answers.money.amount(one.price_minor, one.currency), one.price_per, one.currency)
        or "no price"
    )


def _found_by(element: Element) -> Iterable[str]:
    """Every figure as it is typed: in mm, to the whole mm, in inches; the thread; how the ends are."""
    ends = (element.first, element.second)
    sizes = (element.od_mm, element.length_mm, element.gasket.id_mm, element.gasket.od_mm, *(end.id_mm for end in ends))
    for size in sizes:
        if size is not None:
            yield f"{size:g} {size:.0f} {size / 25.4:.3f} {size / 25.4:.2f}"
    if element.thread is not None:
        yield element.thread.label
    if element.medium is not None:
        yield element.medium.label
    yield ends_words(element)


def ends_words(element: Element) -> str:
    """How its ends are: `open both ends`, `open one end`; empty where nobody looked."""
    passing = [end.passes for end in (element.first, element.second) if end.form is not None]
    if len(passing) == 2:
        return "open both ends" if all(passing) else "open one end" if any(passing) else "closed ends"
    return "open end" if any(passing) else ""


def seal_words(element: Element) -> str:
    """What seals it, with sizes: a can's gasket, an element's ends."""
    ring = element.gasket
    if ring.id_mm and ring.od_mm:
        return f"{ring.id_mm:g} × {ring.od_mm:g} mm = {ring.id_mm / 25.4:.3f} × {ring.od_mm / 25.4:.3f} in"
    words = [_end(end) for end in (element.first, element.second) if end.form is not None]
    return "; ".join(words)


def _end(end: End) -> str:
    size = f" {end.id_mm:g} mm = {end.id_mm / 25.4:.3f} in" if end.id_mm else ""
    return f"{end.form}{size}{f', {end.seal}' if end.seal else ''}"


def seal_cell(element: Element, unit: str) -> str:
    """The same for a narrow column, in one unit."""
    ring = element.gasket
    if ring.id_mm and ring.od_mm:
        return f"{size_of(ring.id_mm, unit)} × {size_of(ring.od_mm, unit)}"
    bores = sorted({size_of(end.id_mm, unit) for end in (element.first, element.second) if end.id_mm})
    return " ".join((ends_words(element).removesuffix(" ends").removesuffix(" end"), "/".join(bores))).strip()


def outline_words(element: Element) -> str:
    """Outside diameter × length in both units; empty where neither is known."""
    if element.od_mm is None and element.length_mm is None:
        return ""
    mm, inch = (f"{size_of(element.od_mm, unit)} × {size_of(element.length_mm, unit)} {unit}" for unit in ("mm", "in"))
    return f"{mm} = {inch}"


def size_of(size_mm: float | None, unit: str) -> str:
    """A length in one unit, without its name."""
    if size_mm is None:
        return "?"
    return f"{size_mm / 25.4:.2f}" if unit == "in" else f"{size_mm:g}"
