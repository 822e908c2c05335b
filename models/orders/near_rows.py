"""Rows of suppliers' lists near what is asked for: found for all short lines together, in a few statements."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterable, Iterator, Sequence
from functools import lru_cache
from typing import Final, NamedTuple

from sqlmodel import Session, col, select

from catalog.fluids import classes
from catalog.fluids.rules import Rule
from catalog.fluids.stand_in import may_use
from models.inventory import item_figures
from models.inventory.item_figures import ItemFigures
from models.orders.shorts import Asked
from models.orders.what_it_is import Known, fluid, known_by_their_text
from models.qualify.fluids import Able
from models.qualify.wanted import Thing
from models.rows import ROWS_AT_ONCE
from models.search.asking import Asking
from models.search.list_queries import ListQueries
from models.search.terms import typed, typed_words
from models.supplier_lists.listing import ListedRow, best_read_first, fluids_listed, naming, ring_offers
from models.supplier_lists.read_fluid import claims_of
from models.tables import Item, ListRow, RowItem
from models.words import Kind

LEAST_SURE_PPM: Final = 500_000
"""A ring's size read with less confidence than even is not offered."""
MOST_ROWS: Final = 300
"""Of one text, or of one reading of fluids; what the lists have beyond that is not looked at, and the line says so."""
REFUSED_LOOKED_AT: Final = 3
"""Readings of fluids that can't serve and are looked at none the less, to say what was tried."""
_COPIED: Final = ListedRow._fields[1:]


class NearRow(NamedTuple):
    """A row near a line, and what it is; `figures`: of the item it was said to be before, `item_id`.

    `alike`: rows that say the same of themselves are judged once.
    """

    row: ListedRow
    known: Known
    item_id: int | None
    figures: ItemFigures
    alike: Hashable = None


class Near(NamedTuple):
    """What is near one line; what was not looked at, in words; how many more can't serve."""

    rows: list[NearRow]
    crowded: list[str]
    more_refused: int = 0


_NOTHING: Final = ItemFigures()


class NearRows:
    """Finds what the lists have for many lines; a line's own is asked of it then, without the database."""

    def __init__(self, session: Session, lines: Sequence[Asked]) -> None:
        self._session = session
        self._said = _Said(session, lines)
        by_kind: defaultdict[Kind, list[Asked]] = defaultdict(list)
        for asked in lines:
            by_kind[asked.sought.need.kind].append(asked)
        fluids = by_kind.pop(Kind.FLUID, [])
        self._rings = self._read_as_rings(by_kind.pop(Kind.RING, []))
        self._fluids = _Fluids(session, fluids)
        worded = [asked for some in by_kind.values() for asked in some]
        read = [asked for asked in fluids if _is_known(asked.sought.need.spec_class)]
        worded += [asked for asked in fluids if not _is_known(asked.sought.need.spec_class)]
        self._texts = _Texts(session, [text for asked in worded for text in _texts(asked)])
        # Its words may stand apart ("ATF fluid, type A"); then no class was read there.
        self._apart = _Texts(session, [asked.sought.need.spec_class for asked in read], unread=True)

    def near(self, asked: Asked) -> Near:
        """Rows said before to be an item near it, then rows whose text says so."""
        rows = list(self._said.near(asked))
        found = self._read(asked)
        return found._replace(rows=[*rows, *(one for one in found.rows if one.row.row_id not in self._said.ids)])

    def _read(self, asked: Asked) -> Near:
        need = asked.sought.need
        if need.kind is Kind.RING:
            listed = (one for size in dict.fromkeys(asked.sought.called) for one in self._rings.get(size, ()))
            return Near(list(_known(sorted(listed, key=best_read_first), asked)), [])
        if need.kind is Kind.FLUID and _is_known(need.spec_class):
            found = self._fluids.near(asked)
            rows, _ = self._apart.rows([need.spec_class])
            return found._replace(rows=[*found.rows, *_known(rows, asked)])
        rows, crowded = self._texts.rows(_texts(asked))
        return Near(list(_known(rows, asked)), crowded)

    def _read_as_rings(self, lines: Sequence[Asked]) -> dict[str, list[ListedRow]]:
        sizes = sorted({size for asked in lines for size in asked.sought.called})
        found: defaultdict[str, list[ListedRow]] = defaultdict(list)
        for one in ring_offers(self._session, sizes, least_ppm=LEAST_SURE_PPM) if sizes else ():
            found[one.size_key or ""].append(one)
        return found


def _known(rows: Iterable[ListedRow], asked: Asked) -> Iterator[NearRow]:
    return (_read(row, known) for row, known in known_by_their_text(rows, asked.sought.need))


def _read(row: ListedRow, known: Known) -> NearRow:
    item = known.item
    alike = item.size_key, item.rubber, item.hardness_shore_a, item.spec_class, item.spec_grade, known.claims
    return NearRow(row, known, None, _NOTHING, alike)


def _is_known(spec_class: str) -> bool:
    """Whether the catalog knows the class, so that rows were read for it as their list was taken over."""
    found = classes.get(spec_class)
    return found is not None and not found.family.startswith("viscosity grade")


class _Said:
    """Rows said before to be items of the shop's."""

    def __init__(self, session: Session, lines: Sequence[Asked]) -> None:
        kinds = {asked.sought.need.kind for asked in lines}
        pairs = session.exec(select(RowItem.row_id, Item).join(Item, col(Item.id) == col(RowItem.item_id))).all()
        self.ids = frozenset(row_id for row_id, _ in pairs)
        near = [(row_id, item) for row_id, item in pairs if item.kind in kinds]
        self._figures = item_figures.of(session, {item.id for _, item in near if item.id is not None}) if near else {}
        self._rows = rows_by_id(session, [row_id for row_id, _ in near])
        self._by_kind: defaultdict[Kind, list[tuple[int, Item]]] = defaultdict(list)
        for row_id, item in near:
            self._by_kind[item.kind].append((row_id, item))

    def near(self, asked: Asked) -> Iterator[NearRow]:
        """Those whose item is near what is asked for, and that are listed now."""
        need, sizes = asked.sought.need, asked.sought.called
        for row_id, item in self._by_kind.get(need.kind, ()):
            if asked.short.item_id is not None:
                is_near = item.id == asked.short.item_id
            else:
                is_near = need.kind is not Kind.RING or asked.sought.groove is not None or item.size_key in sizes
            row = self._rows[row_id]
            if is_near and row.withdrawn_list_id is None:
                figures = self._figures.get(item.id or 0, _NOTHING)
                yield NearRow(row, Known(_thing(item), figures.claims, ""), item.id, figures)


def _thing(item: Item) -> Thing:
    return Thing(
        item.id or 0,
        item.kind,
        item.name,
        item.size_key,
        item.rubber,
        item.hardness_shore_a,
        item.spec_class,
        item.spec_grade,
        item.cure_minutes,
        item.class_folded,
        item.grade_folded,
        item.counted_in,
    )


class _Fluids:
    """Rows that name fluid classes, by what they name: each way of naming is judged once, not each row."""

    def __init__(self, session: Session, lines: Sequence[Asked]) -> None:
        self._counts = fluids_listed(session) if lines else {}
        self._claims = {kept: claims_of(kept) for kept in self._counts}
        self._near = {asked.key: self._split(asked) for asked in lines if _is_known(asked.sought.need.spec_class)}
        read = {kept for able, refused in self._near.values() for kept in (*able, *refused[:REFUSED_LOOKED_AT])}
        self._rows = naming(session, read, most=MOST_ROWS)

    def _split(self, asked: Asked) -> tuple[list[str], list[str]]:
        """What may serve a line and what is near and can't, each with what names the class itself first."""
        need, able = asked.sought.need, Able(asked.sought)
        codes = stand_ins(need.spec_class, asked.sought.own_rules)
        good: list[tuple[int, str]] = []
        bad: list[tuple[int, str]] = []
        for kept, claims in self._claims.items():
            places = [codes[one] for one in claims if one in codes]
            if places:
                (good if able.may(claims) else bad).append((min(places), kept))
        return [kept for _, kept in sorted(good)], [kept for _, kept in sorted(bad)]

    def near(self, asked: Asked) -> Near:
        """Rows that may serve, and some that are near and can't."""
        able, refused = self._near[asked.key]
        shown = refused[:REFUSED_LOOKED_AT]
        rows = [
            _read(row, known)
            for kept in (*able, *shown)
            for row in self._rows.get(kept, ())
            if (known := fluid(row, asked.sought.need, kept)) is not None
        ]
        crowded = [
            f"more than {MOST_ROWS} rows name “{', '.join(claims_of(kept))}”, the first were looked at"
            for kept in (*able, *shown)
            if self._counts[kept] > MOST_ROWS
        ]
        more = sum(self._counts[kept] for kept in refused) - sum(len(self._rows.get(kept, ())) for kept in shown)
        return Near(rows, crowded, more)


@lru_cache(maxsize=256)
def stand_ins(asked: str, own: tuple[Rule, ...]) -> dict[str, int]:
    """The classes that can serve where one is asked for, the class itself first; `own`: the shop's rules."""
    itself = classes.get(asked)
    codes = {} if itself is None else {itself.code: 0}
    for one in classes.all_classes():
        if not one.family.startswith("viscosity grade") and may_use(one.code, asked, own_rules=own).usable:
            codes.setdefault(one.code, len(codes))
    return codes


def _texts(asked: Asked) -> tuple[str, ...]:
    """What to search for, the most telling words first."""
    need = asked.sought.need
    names: tuple[str, ...] = (need.spec_class,)
    if need.kind is Kind.FLUID:
        known = (classes.get(code) for code in stand_ins(need.spec_class, asked.sought.own_rules))
        names += tuple(name for one in known if one is not None for name in (one.code, *one.aliases))
    with_grade = (f"{name} {need.spec_grade}" for name in names if need.spec_grade)
    return tuple(dict.fromkeys((*with_grade, *names)))


class _Texts:
    """Rows that hold every word of a text, for many texts; `unread`: those in which no fluid class was read."""

    def __init__(self, session: Session, texts: Sequence[str], *, unread: bool = False) -> None:
        each = list(dict.fromkeys(texts))
        lists = ListQueries(Asking(session), None)
        words = [typed_words(typed(text)) for text in each]
        found = lists.words_each(words, MOST_ROWS + 1, unread=unread)
        self._ids = dict(zip(each, found, strict=True))
        self._rows = rows_by_id(session, sorted({row_id for ids in found for row_id in ids}))

    def rows(self, texts: Sequence[str]) -> tuple[list[ListedRow], list[str]]:
        """The rows of some texts, each once; and which words stand in more rows than were looked at."""
        ids = dict.fromkeys(row_id for text in texts for row_id in self._ids[text][:MOST_ROWS])
        crowded = [
            f"more than {MOST_ROWS} rows name “{text}”, the first were looked at"
            for text in texts
            if len(self._ids[text]) > MOST_ROWS
        ]
        return [self._rows[row_id] for row_id in ids], crowded


def rows_by_id(session: Session, row_ids: Sequence[int]) -> dict[int, ListedRow]:
    """Many rows in few queries, by id in the order given."""
    found: dict[int, ListedRow] = {}
    table = ListRow.metadata.tables["list_rows"]
    columns = [table.c[name] for name in ("id", *_COPIED)]
    for start in range(0, len(row_ids), ROWS_AT_ONCE):
        some = session.connection().execute(
            table.select().with_only_columns(*columns).where(table.c.id.in_(row_ids[start : start + ROWS_AT_ONCE]))
        )
        found |= {one[0]: ListedRow._make(one) for one in some.all()}
    return {row_id: found[row_id] for row_id in row_ids}
