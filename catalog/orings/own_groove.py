"""A shop's own table of grooves: the standard it owns, or what a maker cuts. What does it say of our rows?

A row is the groove for one ring section, a use (face or radial) and a motion. It speaks of one of ours where its table
is named as ours is (`JIS B 2401-2`, `ISO 3601-2`) and use, motion, medium and section are the same, and the sizes where
ours tells several apart by them. Then it *confirms* ours or *corrects* it; any other row is a *new* groove of its own
table.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from typing import NamedTuple

from catalog.orings.groove_rules import row_key
from catalog.orings.own_table import AS_PRINTED_MM, Word
from catalog.orings.size_rules import folded
from catalog.orings.standard_grooves import SAME_SECTION_MM, GrooveRow, groove_rows
from catalog.orings.standard_names import bare, names_of
from catalog.standing import Standing


class OwnGrooves(NamedTuple):
    """A table of the shop's own: what it is called, where it is from, and its rows in order.

    A row's own `table`, `source` and `standing` are the table's name, "" and the shop's word.
    """

    title: str
    source: str
    rows: tuple[GrooveRow, ...]


class GrooveTold(NamedTuple):
    """What a row says: the groove as it counts from now on, and the one of ours that it speaks of."""

    word: Word
    row: GrooveRow
    ours: GrooveRow | None


def told(table: OwnGrooves) -> tuple[GrooveTold, ...]:
    """What each row of a table says, in order."""
    return tuple(_told(table, row) for row in table.rows)


def own_grooves(tables: Iterable[OwnGrooves]) -> tuple[GrooveTold, ...]:
    """What all tables say; of two rows that speak of one groove the later holds.

    A confirmed row that was compared with a published table before stays as it is, and is left out.
    """
    said = {row_key(one.row): one for table in tables for one in told(table)}
    return tuple(one for one in said.values() if one.row.standing is Standing.SHOP)


def spoken_of(row: GrooveRow) -> tuple[GrooveRow, ...]:
    """The rows of ours that a row may mean: one, none, or several where only the sizes would tell."""
    named = [
        one
        for one in groove_rows()
        if bare(row.table) in _names(one.table)
        and (one.use, sorted(one.motions), folded(one.medium)) == (row.use, sorted(row.motions), folded(row.medium))
        and abs(one.section_mm - row.section_mm) <= SAME_SECTION_MM
    ]
    exact = [one for one in named if folded(one.series) == folded(row.series)]
    return tuple(exact or (named if not row.series else ()))


def called(row: GrooveRow) -> str:
    """What a sentence calls a row: `radial static, ring 3.53 mm`, with the sizes it serves where it says them."""
    words = " ".join(filter(None, (row.use, " or ".join(row.motions), row.medium)))
    return f"{words}, ring {row.section_mm:.4g} mm{f', {row.series}' if row.series else ''}"


def figures(row: GrooveRow) -> str:
    """What a row says, for a sentence."""
    return (
        f"depth {row.depth.minimum:.4g} to {row.depth.maximum:.4g} mm, width {row.width.minimum:.4g} to "
        f"{row.width.maximum:.4g} mm"
    )


def _told(table: OwnGrooves, row: GrooveRow) -> GrooveTold:
    cited = f"{table.title}: {table.source}" if table.source else table.title
    theirs = row._replace(source=cited, standing=Standing.SHOP)
    meant = spoken_of(row)
    if len(meant) != 1:
        return GrooveTold(Word.NEW, theirs, None)
    (ours,) = meant
    if _same(ours, theirs):
        if ours.standing.trust < Standing.SHOP.trust and ours.standing is not Standing.INFERRED:
            return GrooveTold(Word.CONFIRMS, ours, ours)
        note = "confirmed by a table of this shop"
        return GrooveTold(Word.CONFIRMS, ours._replace(source=cited, standing=Standing.SHOP, note=note), ours)
    was = f"corrected by a table of this shop; ours has {figures(ours)}"
    corrected = ours._replace(
        section_tol_mm=_or(theirs.section_tol_mm, ours.section_tol_mm),
        depth=theirs.depth,
        width=theirs.width,
        width_one_backup_mm=_or(theirs.width_one_backup_mm, ours.width_one_backup_mm),
        width_two_backups_mm=_or(theirs.width_two_backups_mm, ours.width_two_backups_mm),
        clearance_max_mm=_or(theirs.clearance_max_mm, ours.clearance_max_mm),
        printed_squeeze_mm=theirs.printed_squeeze_mm,
        printed_squeeze=None,
        source=cited,
        standing=Standing.SHOP,
        note=was,
    )
    return GrooveTold(Word.CORRECTS, corrected, ours)


def _or(said: float | None, ours: float | None) -> float | None:
    return ours if said is None else said


def _same(ours: GrooveRow, theirs: GrooveRow) -> bool:
    """What a table does not print it does not contradict."""
    pairs = [
        *zip(ours.depth, theirs.depth, strict=True),
        *zip(ours.width, theirs.width, strict=True),
        (ours.section_tol_mm, theirs.section_tol_mm),
        (ours.width_one_backup_mm, theirs.width_one_backup_mm),
        (ours.width_two_backups_mm, theirs.width_two_backups_mm),
        (ours.clearance_max_mm, theirs.clearance_max_mm),
    ]
    return all(other is None or (one is not None and abs(one - other) <= AS_PRINTED_MM) for one, other in pairs)


@cache
def _names(table: str) -> frozenset[str]:
    return names_of(table)
