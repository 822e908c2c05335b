"""A shop's own table of ring sizes: the priced standard it owns, or a maker's list. What does it say of our rows?

A row that says the same as one of ours *confirms* it, one that says something else of the same size *corrects* it, and
any other is a *new* size. It speaks of one of ours where the table is named as the standard is (`jis`, `AS568`), where
the row has the standard in its name (`JIS P22A`), or, of the metric sizes, which are called by their dimensions, where
all four figures are the same.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from functools import cache
from typing import Final, NamedTuple

from catalog.orings.names import find, in_full, series_called
from catalog.orings.sizes import RingSize, Series, by_key, load, title
from catalog.standing import Standing

AS_PRINTED_MM: Final = 0.0051
"""Figures this near are the same: lists print two decimals of a millimetre, our inch sizes are exact."""
BY_DIMENSIONS: Final = (Series.METRIC, Series.STOCK)
LONGEST: Final = 50
"""The longest name of a size with its table's before it."""


class OwnRow(NamedTuple):
    """A row of a shop's own table, in mm."""

    designation: str
    id_mm: float
    id_tol_mm: float
    cross_section_mm: float
    cross_section_tol_mm: float


class OwnTable(NamedTuple):
    """A table of the shop's own: what it is called, where it is from, and its rows in order."""

    title: str
    source: str
    rows: tuple[OwnRow, ...]


class Word(StrEnum):
    """What a row says of our tables."""

    CONFIRMS = "confirms"
    CORRECTS = "corrects"
    NEW = "new"


class Comparison(NamedTuple):
    """What a row says: the size as it is matched from now on, and the one of ours that it speaks of."""

    word: Word
    size: RingSize
    ours: RingSize | None


def told(table: OwnTable) -> tuple[Comparison, ...]:
    """What each row of a table says, in order."""
    standard = series_called(table.title)
    return tuple(_told(table, row, standard) for row in table.rows)


def own_sizes(tables: Iterable[OwnTable]) -> tuple[RingSize, ...]:
    """The rows of all tables as they are matched; of two that speak of one size the later holds.

    A confirmed row that was compared with a published table before stays as it is.
    """
    said = {one.size.key: one.size for table in tables for one in told(table)}
    return tuple(size for size in said.values() if size.standing is Standing.SHOP)


def full_name(table_title: str, designation: str) -> str:
    """What a size of a shop's own table is called: the table's name, then its own."""
    standard = series_called(table_title)
    return f"{title(standard) if standard is not None else table_title} {designation}"


def _told(table: OwnTable, row: OwnRow, standard: Series | None) -> Comparison:
    ours = _named(row.designation, standard) or _with_figures(row)
    cited = f"{table.title}: {table.source}" if table.source else table.title
    if ours is None:
        name = full_name(table.title, row.designation)
        return Comparison(Word.NEW, RingSize(Series.OWN, name, *row[1:], cited, Standing.SHOP, ""), None)
    if _same(ours, row):
        if ours.standing.trust < Standing.SHOP.trust and ours.standing is not Standing.INFERRED:
            return Comparison(Word.CONFIRMS, ours, ours)
        confirmed = ours._replace(cited=cited, standing=Standing.SHOP, remark="confirmed by a table of this shop")
        return Comparison(Word.CONFIRMS, confirmed, ours)
    was = (
        f"corrected by a table of this shop; ours has ID {ours.id_mm:.4g} ± {ours.id_tol_mm:.4g} mm, "
        f"width {ours.cross_section_mm:.4g} ± {ours.cross_section_tol_mm:.4g} mm"
    )
    corrected = RingSize(ours.series, ours.designation, *row[1:], cited, Standing.SHOP, was)
    return Comparison(Word.CORRECTS, corrected, ours)


def _named(designation: str, standard: Series | None) -> RingSize | None:
    """The size of ours that a row names, if it names one."""
    if standard is None:
        return in_full(designation)
    found = by_key(f"{standard}:{designation}") or find(designation)
    return found if found is not None and found.series is standard else None


def _with_figures(row: OwnRow) -> RingSize | None:
    """The metric size with these figures, if there is one."""
    near = _by_figures().get((round(row.id_mm, 2), round(row.cross_section_mm, 2)))
    return near if near is not None and _same(near, row) else None


@cache
def _by_figures() -> dict[tuple[float, float], RingSize]:
    return {
        (round(size.id_mm, 2), round(size.cross_section_mm, 2)): size
        for series in reversed(BY_DIMENSIONS)
        for size in load(series)
    }


def _same(ours: RingSize, row: OwnRow) -> bool:
    pairs = (
        (ours.id_mm, row.id_mm),
        (ours.id_tol_mm, row.id_tol_mm),
        (ours.cross_section_mm, row.cross_section_mm),
        (ours.cross_section_tol_mm, row.cross_section_tol_mm),
    )
    return all(abs(one - other) <= AS_PRINTED_MM for one, other in pairs)
