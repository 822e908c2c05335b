"""What fits this housing, or answers this description: the shop's filters and the suppliers' rows, best first.

Items carry an element as it was measured. Where nobody measured one, and on suppliers' lists, it is read out of the
text; such a reading never fits better than with care, and says how sure it is.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import Final, NamedTuple

from sqlalchemy import select as plain_select
from sqlmodel import Session, col, select

from catalog.filters import fit
from catalog.filters.element import Element
from catalog.filters.grade import OUR_RULE, Criterion, Fit, Grade, Way, table
from catalog.filters.housing import Housing
from catalog.filters.search import Described, Found, compare
from models.rows import in_use
from models.search.asking import Asking
from models.search.found import Where
from models.search.list_queries import ListQueries
from models.stored_text import from_text
from models.supplier_lists.read_element import WORDS, read_element
from models.supplier_lists.words import ReadingState
from models.tables import Bin, Item, ListRow, Stock, Supplier
from models.words import Kind

MOST_ROWS: Final = 10_000
"""No more rows of suppliers' lists are looked at; the answer says where there are more."""
MOST_READ: Final = 5_000
"""No more texts are read; a text without a figure near the one sought is not read at all."""
_NUMBER: Final = re.compile(r"\d{1,4}(?:[.,]\d{1,3})?")
_NEAR_MM: Final = 6.0
_CHUNK: Final = 500
_NO_HOUSING: Final = Housing()


class Lying(NamedTuple):
    """Where an item lies, and how many of it are there and free."""

    bin_code: str
    on_hand: int
    free: int


class Offered(NamedTuple):
    """An element to be had. `confidence` (0 to 1) and `read_as`: how sure its text was read; None where measured.

    A row of a supplier's list has `supplier`, `number` and a price in minor units for `price_per` packs; an item of the
    shop's its `spec_class`, where it has one.
    """

    where: Where
    row_id: int
    name: str
    element: Element
    confidence: float | None = None
    read_as: str = ""
    lying: tuple[Lying, ...] = ()
    supplier: str = ""
    number: str = ""
    price_minor: int | None = None
    price_per: int = 1
    currency: str = ""
    spec_class: str = ""

    @property
    def free(self) -> int:
        """How many are free on the shelf."""
        return sum(one.free for one in self.lying)


class Gathered(NamedTuple):
    """Everything with a geometry; names of the shop's filters without any; rows of lists that say none; more there?"""

    offers: tuple[Offered, ...]
    unmeasured: tuple[str, ...]
    unread: int
    cut: bool


class Ranked(NamedTuple):
    """One offer with its judgements: against the description, in the housing, and the table of both, worst first."""

    offer: Offered
    found: Found | None
    fitted: Fit | None
    table: Fit

    @property
    def overall(self) -> Grade:
        """The worst of all."""
        return self.table.overall


class Answer(NamedTuple):
    """What there is, best first; those that do not fit are counted in `misses` and stand here only where asked for."""

    ranked: tuple[Ranked, ...]
    candidates: int
    misses: int
    unmeasured: tuple[str, ...]
    unread: int
    cut: bool


def look(
    session: Session,
    described: Described | None = None,
    housing: Housing | None = None,
    *,
    misses: bool = False,
    lists: bool = True,
) -> Answer:
    """The shop's filters and the suppliers' rows against a description, a housing or both.

    Order: the overall word, then what must still be measured, what is free on the shelf before what is not, the shop's
    own before a supplier's, the smaller misses. Raises ValueError where nothing is asked.
    """
    described = None if described == Described() else described
    housing = None if housing == _NO_HOUSING else housing
    if described is None and housing is None:
        raise ValueError("Nothing to search by: describe the element, or measure the housing.")
    gathered = gather(session, described, lists=lists)
    ranked = sorted((_ranked(offer, described, housing) for offer in gathered.offers), key=_order)
    fitting = [one for one in ranked if one.overall is not Grade.DOES_NOT]
    return Answer(
        tuple(ranked if misses else fitting),
        len(ranked),
        len(ranked) - len(fitting),
        gathered.unmeasured,
        gathered.unread,
        gathered.cut,
    )


def gather(session: Session, described: Described | None = None, *, lists: bool = True) -> Gathered:
    """All elements there are: the shop's filters, then the suppliers' rows that speak of an element.

    With a description, rows without any figure near its diameter or length are not read.
    """
    offers, unmeasured = _items(session)
    if not lists:
        return Gathered(tuple(offers), tuple(unmeasured), 0, False)
    listed, unread, cut = _listed(session, described)
    return Gathered((*offers, *listed), tuple(unmeasured), unread, cut)


def _items(session: Session) -> tuple[list[Offered], list[str]]:
    filters = session.exec(
        select(Item).where(in_use(Item), col(Item.kind) == Kind.FILTER).order_by(col(Item.folded), col(Item.id))
    ).all()
    lying = _lying(session, [item.id or 0 for item in filters])
    offers: list[Offered] = []
    unmeasured: list[str] = []
    for item in filters:
        assert item.id is not None
        places = tuple(lying.get(item.id, ()))
        if item.element is not None:
            element = from_text(Element, item.element)
            offers.append(Offered(Where.ITEM, item.id, item.name, element, lying=places, spec_class=item.spec_class))
            continue
        # Its class says more than its name: it stands first, so that its figures are the ones that are read.
        read = read_element(f"{item.spec_class} {item.name}")
        if read is None:
            unmeasured.append(item.name)
        else:
            offers.append(
                Offered(
                    Where.ITEM, item.id, item.name, read.element, read.confidence, read.why, places,
                    spec_class=item.spec_class,
                )
            )  # fmt: skip
    return offers, unmeasured


def _lying(session: Session, item_ids: Sequence[int]) -> dict[int, list[Lying]]:
    found: defaultdict[int, list[Lying]] = defaultdict(list)
    for at in range(0, len(item_ids), _CHUNK):
        rows = session.exec(
            select(Stock, Bin)
            .join(Bin, col(Bin.id) == col(Stock.bin_id))
            .where(col(Stock.item_id).in_(item_ids[at : at + _CHUNK]), col(Stock.on_hand) > 0)
            .order_by(col(Bin.folded), col(Stock.id))
        ).all()
        for stock, place in rows:
            found[stock.item_id].append(Lying(place.code, stock.on_hand, stock.on_hand - stock.promised))
    return found


def _listed(session: Session, described: Described | None) -> tuple[list[Offered], int, bool]:
    """Rows that speak of an element and say its measures; how many say none; whether not all were looked at."""
    queries = ListQueries(Asking(session), None)
    ids: dict[int, None] = {}
    cut = False
    for word in WORDS:
        found = queries.words([word], MOST_ROWS + 1)
        cut = cut or len(found) > MOST_ROWS
        ids.update(dict.fromkeys(found[:MOST_ROWS]))
    wanted = sorted(ids)
    cut = cut or len(wanted) > MOST_ROWS
    offers: list[Offered] = []
    unread = done = 0
    for row in _rows(session, wanted[:MOST_ROWS]):
        if described is not None and not _near(described, row.name):
            continue
        if done == MOST_READ:
            cut = True
            break
        done += 1
        read = None if row.refused else read_element(row.name)
        if read is None:
            unread += 1
            continue
        offers.append(
            Offered(
                Where.LIST, row.row_id, row.name, read.element, read.confidence, read.why,
                supplier=row.supplier, number=row.number, price_minor=row.price_minor, price_per=row.price_per,
                currency=row.currency,
            )
        )  # fmt: skip
    return offers, unread, cut


class _Row(NamedTuple):
    """What is needed of a row; `refused`: a person said that what was read from its text is wrong."""

    row_id: int
    number: str
    name: str
    price_minor: int | None
    price_per: int
    currency: str
    refused: bool
    supplier: str


def _rows(session: Session, ids: Sequence[int]) -> Iterable[_Row]:
    """The rows by id, those still listed; as plain rows, since table objects would take ten times as long."""
    table = ListRow.metadata.tables["list_rows"].c
    for at in range(0, len(ids), _CHUNK):
        found = session.connection().execute(
            plain_select(
                table.id, table.number, table.name, table.price_minor, table.price_per, table.currency,
                table.reading_state == ReadingState.REFUSED, col(Supplier.name),
            )
            .join(Supplier, col(Supplier.id) == table.supplier_id)
            .where(table.id.in_(ids[at : at + _CHUNK]), table.withdrawn_list_id.is_(None))
            .order_by(table.id)
        )  # fmt: skip
        yield from (_Row(*row) for row in found)


def _near(described: Described, text: str) -> bool:
    """Whether the text has a figure near the diameter and one near the length sought, in mm or in inches.

    One of the two is enough where the text has fewer than three figures.
    """
    sought = [size for size in (described.od, described.length) if size is not None]
    figures = [float(number.replace(",", ".")) for number in _NUMBER.findall(text)]
    near = sum(
        any(
            abs(figure * scale - size.value_mm) <= _NEAR_MM + size.plus_minus_mm
            for figure in figures
            for scale in (1.0, 25.4)
        )
        for size in sought
    )
    return near >= min(len(sought), max(1, len(figures) - 1)) if sought else True


def _ranked(offer: Offered, described: Described | None, housing: Housing | None) -> Ranked:
    found = compare(described, offer.element) if described is not None else None
    fitted = fit.judge(offer.element, housing) if housing is not None else None
    criteria: list[Criterion] = []
    if found is not None:
        # The housing knows the same names; what is sought says so.
        criteria += [one._replace(name=f"{one.name}, sought") if fitted else one for one in found.fit.criteria]
    if fitted is not None:
        criteria += fitted.criteria
    if offer.confidence is not None:
        said = f"Read from its text, {offer.confidence:.0%} sure: {offer.read_as}. Measure it before you trust it."
        criteria.append(Criterion("reading", Grade.WITH_CARE, said.replace("%", " %", 1), OUR_RULE, False))
    way = fitted.way if fitted is not None else found.fit.way if found is not None else Way.AS_WRITTEN
    return Ranked(offer, found, fitted, table(criteria, way))


def _order(one: Ranked) -> tuple[int, int, bool, bool, float, str, int]:
    return (
        one.overall.rank,
        len(one.table.to_measure),
        one.offer.free == 0,
        one.offer.where is Where.LIST,
        one.found.off if one.found is not None else 0.0,
        one.offer.name.casefold(),
        one.offer.row_id,
    )
