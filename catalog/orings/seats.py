"""The glands that a ring of some size sits in, when nobody has measured the groove: those that its tables print.

A joint is said by where the ring sits, as one sees it on the bench. Each kind has its standard grooves (published
groove tables, `standard_grooves`), built around the size; a port takes its own ring and no other. Not said, all kinds
count by how often a loose ring came from one.

Whoever built the machine fitted a ring that seals: a groove where the size itself is marginal, or will not seal, is the
less likely to be the one it came from (`fitted`).
"""

from __future__ import annotations

from bisect import bisect_left
from functools import cache
from typing import Final, NamedTuple, TypeAlias

from catalog.orings.fitted import FITTED
from catalog.orings.gland import verdict_of
from catalog.orings.groove import Groove, GrooveKind, Motion
from catalog.orings.groove_book import GrooveBook, built_in
from catalog.orings.joint_kind import JointKind
from catalog.orings.joints import ports
from catalog.orings.reason import Verdict
from catalog.orings.sizes import RingSize
from catalog.orings.span import Range
from catalog.orings.standard_grooves import GrooveRow, groove_for, rows_for
from catalog.standing import Standing

_KINDS: Final = {
    JointKind.PLUG: ((GrooveKind.PISTON, Motion.STATIC),),
    JointKind.BORE: ((GrooveKind.ROD, Motion.STATIC),),
    JointKind.COVER: ((GrooveKind.FACE_INSIDE, Motion.STATIC), (GrooveKind.FACE_OUTSIDE, Motion.STATIC)),
    JointKind.SHAFT: ((GrooveKind.ROD, Motion.RECIPROCATING),),
}
STRETCHES: Final = (1.44, 2.5, 3.56)
"""Percent of stretch on a root or around a groove's inside: guides ask for 0 to 5 at the worst, so nominally for 1 to
4. Three equally likely ones with the mean and the spread (0.87) of any in that range, by Chebyshev's rule: its ends and
its middle spread by 1.22. What JIS prints for its P and G sizes spreads less (0.6)."""
_STRETCHED: Final = (GrooveKind.PISTON, GrooveKind.FACE_OUTSIDE)
# A groove row for gas or vacuum only would count the face grooves of one table twice.
_LIQUID: Final = "liquid"
WORKED_OUT: Final = (-0.075, 0.0, 0.075)
"""How much deeper a groove may be, as shares of its depth, than one worked out between the rows of a table: three
equally likely ones, of a standard deviation of 6 %. Rows of one of our tables, worked out of the others where those
have no such width, are off by 4 to 8 % (32 rows, by use and motion); those that two tables print, by 1 to 2 %."""
# How far off a row's width may be, as a share, for its groove to be scaled to a width that no table has.
_SCALED: Final = 0.25


Tables: TypeAlias = frozenset[str] | GrooveBook | None
"""Which grooves there are: those of the tables named, those of a book, or those of all our tables."""


class Seat(NamedTuple):
    """A groove that a size may sit in, its share among those of the same joint, and how the size itself seals there."""

    groove: Groove
    share: float
    own: Verdict


@cache
def seats(size: RingSize, kind: JointKind, tables: Tables = None, most: int = 2) -> tuple[Seat, ...]:
    """The grooves of a joint that a ring of this size sits in; none where no table has one near its width.

    `tables`: the groove tables to use (all of ours where None), `most` how many of them a kind of groove may count; the
    ring's own standard goes first, then the shop's own. A port has no groove here: see `port_keys`.
    """
    found = []
    for groove_kind, motion in _KINDS.get(kind, ()):
        stretches = STRETCHES if groove_kind in _STRETCHED else STRETCHES[:1]
        for row in _rows(size, groove_kind, motion, tables, most):
            for stretch in stretches:
                try:
                    groove = groove_for(size, groove_kind, motion, row=row, stretch=stretch)
                except ValueError:
                    continue  # a ring so small has no such groove: its width would not fit inside
                if groove is not None:
                    found.append(groove)
    owns = [verdict_of(size, groove) for groove in found]
    total = sum(FITTED[own] for own in owns)
    return tuple(Seat(groove, FITTED[own] / total, own) for groove, own in zip(found, owns, strict=True))


@cache
def are_ours(size: RingSize, kind: JointKind, tables: GrooveBook, most: int = 2) -> bool:
    """Whether a ring of this size sits in the very grooves of our tables, whatever else the shop has."""
    return all(
        _rows(size, groove_kind, motion, tables, most) == _rows(size, groove_kind, motion, None, most)
        for groove_kind, motion in _KINDS.get(kind, ())
    )


@cache
def port_keys() -> frozenset[str]:
    """`RingSize.key` of every ring that a port of our tables takes."""
    return frozenset(port.ring.key for port in ports() if port.ring is not None)


def _of(tables: Tables) -> tuple[GrooveBook, frozenset[str] | None]:
    """The grooves there are, and the names of those tables that count, None for all."""
    return (built_in(), tables) if tables is None or isinstance(tables, frozenset) else (tables, None)


def _rows(size: RingSize, kind: GrooveKind, motion: Motion, tables: Tables, most: int) -> list[GrooveRow]:
    """One row a table, the ring's own standard first; rows between two widths where no table has this one."""
    rows: dict[str, GrooveRow] = {}
    book, named = _of(tables)
    for row in rows_for(size, kind, motion, book.rows):
        if (named is None or row.table in named) and (row.table not in rows or row.medium == _LIQUID):
            rows[row.table] = row
    if rows:
        return list(rows.values())[:most]
    between = worked_out(size.cross_section_mm, kind, motion, tables)
    return [] if between is None else [between._replace(depth=between.depth.scaled(1.0 + off)) for off in WORKED_OUT]


def worked_out(width: float, kind: GrooveKind, motion: Motion, tables: Tables) -> GrooveRow | None:
    """A groove for a width that no table has, on the line between the rows above and below it in one table."""
    best: tuple[float, GrooveRow] | None = None
    for rows in _by_section("face" if kind.is_face else "radial", motion, tables):
        at = bisect_left(rows, width, key=lambda row: row.section_mm)
        low, high = rows[max(at - 1, 0)], rows[min(at, len(rows) - 1)]
        gap = max(abs(low.section_mm - width), abs(high.section_mm - width)) / width
        if gap <= _SCALED and (best is None or gap < best[0]):
            best = gap, _mixed(low, high, width)
    return None if best is None else best[1]


@cache
def _by_section(use: str, motion: Motion, tables: Tables) -> tuple[tuple[GrooveRow, ...], ...]:
    """The rows of each table for such a groove, by the ring's width."""
    by_table: dict[str, list[GrooveRow]] = {}
    book, named = _of(tables)
    for row in book.rows:
        if row.use == use and motion in row.motions and (named is None or row.table in named):
            by_table.setdefault(row.table, []).append(row)
    return tuple(tuple(sorted(rows, key=lambda row: row.section_mm)) for rows in by_table.values())


def _mixed(low: GrooveRow, high: GrooveRow, width: float) -> GrooveRow:
    step = high.section_mm - low.section_mm
    share = min(max((width - low.section_mm) / step, 0.0), 1.0) if step > 0.0 else 0.0
    # Beyond the table's ends the row is scaled with the width.
    scale = width / (low.section_mm + share * step)

    def mix(one: Range, other: Range) -> Range:
        return Range(*(scale * (a + share * (b - a)) for a, b in zip(one, other, strict=True)))

    return low._replace(
        section_mm=width,
        section_tol_mm=None,
        depth=mix(low.depth, high.depth),
        width=mix(low.width, high.width),
        printed_squeeze_mm=None,
        printed_squeeze=None,
        standing=Standing.INFERRED,
        note="worked out between the rows above and below",
    )
