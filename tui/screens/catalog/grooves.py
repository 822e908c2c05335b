"""The standard grooves as rows: the ring's width, the groove's depth and width, and how each row is known."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Final

from catalog import orings
from tui.screens.catalog.reference import STANDINGS, Entry, Fact, entry

if TYPE_CHECKING:
    from catalog.orings.span import Range
    from catalog.orings.standard_grooves import GrooveRow
    from tui.workshop import Workshop

GROUPS: Final = (("plug or bore", "radial"), ("cover", "face"), ("sliding", "sliding"))
SHOP: Final = "shop"


@cache
def entries() -> tuple[Entry, ...]:
    """Every row of every table, in the tables' order."""
    return tuple(map(_groove, orings.standard_grooves.groove_rows()))


def own_entries(workshop: Workshop) -> tuple[Entry, ...] | None:
    """The grooves that are this shop's word: its own, and rows of ours it confirms or corrects. In a thread.

    None where they can't be read.
    """
    book = workshop.own_sizes()
    if book is None:
        return None
    return () if book.grooves is None else tuple(map(_groove, book.grooves.own))


def same_groove(one: Entry) -> tuple[str, str]:
    """What a groove of the shop's has in common with the one of ours that it speaks of."""
    return one.name, one.family


def own_table(one: Entry) -> str:
    """Which of the shop's own tables a groove is of, "" for none."""
    row = one.facts[0]
    return row.source.partition(":")[0] if row.standing == SHOP else ""


def _groove(one: GrooveRow) -> Entry:
    use = "face groove" if one.use == "face" else "radial groove"
    depth, width = _both(one.depth), _both(one.width)
    section = f"{one.section_mm:.2f}", f"{one.section_mm / 25.4:.3f}"
    # The fact holds them word for word: then they are told once.
    figures = (
        f"for a ring {section[0]} mm = {section[1]} in wide: "
        f"depth {depth[0]} mm = {depth[1]} in, width {width[0]} mm = {width[1]} in"
    )
    facts = [Fact("groove", f"{figures}; depth is to the mating surface.", one.source, str(one.standing))]
    with_rings = [
        f"{mm:.2f} mm = {mm / 25.4:.3f} in with {count}"
        for mm, count in ((one.width_one_backup_mm, "one back-up ring"), (one.width_two_backups_mm, "two"))
        if mm is not None
    ]
    if with_rings:
        facts.append(Fact("width", f"at least {', '.join(with_rings)}.", one.source, str(one.standing)))
    if one.clearance_max_mm is not None:
        facts.append(Fact("clearance", f"{_most(one.clearance_max_mm)}.", one.source, str(one.standing)))
    if one.note:
        facts.append(Fact("note", f"{one.note}.", one.source, str(one.standing)))
    motion = " or ".join(one.motions)
    family = "; ".join(part for part in (one.table, motion, one.medium, one.series) if part)
    return entry(
        f"{section[0]} mm {one.use}", _group(one), family, figures, facts, _known(str(one.standing)),
        metric=(depth[0], width[0]), inch=(depth[1], width[1]),
        more=" ".join((use, motion, one.source, section[1])),
    )  # fmt: skip


def _group(one: GrooveRow) -> str:
    if "static" not in one.motions:
        return "sliding"
    return one.use


def _both(value: Range) -> tuple[str, str]:
    """The limits in mm and in inches, once where they are one."""
    mm, inch = (
        [f"{end / per:.{places}f}" for end in (value.minimum, value.maximum)] for per, places in ((1.0, 2), (25.4, 3))
    )
    return " to ".join(dict.fromkeys(mm)), " to ".join(dict.fromkeys(inch))


def _most(mm: float) -> str:
    return f"at most {mm:.3g} mm = {mm / 25.4:.4f} in across the diameter" if mm else "none: metal meets metal"


def _known(standing: str) -> str:
    """The standing for the column; where the column has no word of its own for it, the next more careful one."""
    if standing == SHOP:
        return "own"
    return standing if standing in STANDINGS else {"checked": "inferred", "practice": "memory"}[standing]
