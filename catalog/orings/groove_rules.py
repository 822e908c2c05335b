"""What every table of grooves must obey, ours and a shop's own, so that a mistyped row cannot hide.

The rules are the trade's own: a groove is shallower than its ring is thick and wider than that; a face stands still; a
thicker ring never has the shallower or narrower groove; back-up rings only add width; a printed squeeze is the ring
less the depth. The bounds of what is plausible are this project's own, no source: wide of every row of our tables (the
tests hold all of them to the same rules).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from math import isfinite
from typing import Final

from catalog.orings.groove import Motion
from catalog.orings.size_rules import LEAST_WIDTH_MM, MOST_WIDTH_MM, SAME_MM, Fault, first_faults, folded
from catalog.orings.standard_grooves import FACE, RADIAL, GrooveRow

DEPTH: Final = (0.55, 1.0)
"""A groove's depth over its ring's width: ours have 0.70 to 0.94."""
WIDTH: Final = (1.0, 2.2)
"""A groove's width over its ring's: ours have 1.12 to 1.70."""
LOOSE: Final = 0.4
"""A groove's width is held to within this share of the ring's: ours to 0.25; a depth to within half of that."""
CLEARANCE: Final = 0.2
SQUEEZE_MM: Final = 0.05
"""A printed squeeze is that of the printed depth to within this: tables round, and some print none of the ring's ±."""


def faults(rows: Sequence[GrooveRow]) -> tuple[Fault, ...]:
    """The rows that break a rule, in order, each with the first rule it breaks."""
    return first_faults(rows, RULES)


def implausible(rows: Sequence[GrooveRow]) -> list[Fault]:
    """Rows with a figure that no groove has, most often one in the other unit or in the other's column."""
    return [Fault(at, why) for at, row in enumerate(rows) if (why := _implausible(row))]


def _implausible(row: GrooveRow) -> str:
    section = row.section_mm
    given = (section, *row.depth, *row.width, *filter(None, (row.width_one_backup_mm, row.width_two_backups_mm)))
    if not all(isfinite(figure) and figure > 0.0 for figure in given):
        return "every dimension must be more than 0."
    if not LEAST_WIDTH_MM <= section <= MOST_WIDTH_MM:
        return (
            f"ring section {section:.4g} mm: rings have {LEAST_WIDTH_MM:g} to {MOST_WIDTH_MM:g} mm; is the unit right?"
        )
    if row.use not in (FACE, RADIAL):
        return "type face or radial as its use."
    if row.use == FACE and row.motions != (Motion.STATIC,):
        return "a face groove stands still: type static as its motion."
    if not DEPTH[0] * section <= row.depth.minimum or not row.depth.maximum < DEPTH[1] * section:
        return (
            f"depth {row.depth.minimum:.4g} to {row.depth.maximum:.4g} mm with a ring {section:.4g} mm thick: a groove "
            f"has {DEPTH[0] * section:.3g} to {DEPTH[1] * section:.3g}. Depth is to the mating surface."
        )
    if not WIDTH[0] * section < row.width.minimum or not row.width.maximum <= WIDTH[1] * section:
        return (
            f"width {row.width.minimum:.4g} to {row.width.maximum:.4g} mm with a ring {section:.4g} mm thick: a groove "
            f"has {WIDTH[0] * section:.3g} to {WIDTH[1] * section:.3g}."
        )
    if row.depth.width > LOOSE / 2 * section or row.width.width > LOOSE * section:
        return "depth or width lies in limits so wide that no groove is made to them."
    if row.section_tol_mm is not None and not 0.0 < row.section_tol_mm < 0.2 * section:
        return f"ring section {section:.4g} ± {row.section_tol_mm:.4g} mm: no ring is made so loosely."
    if row.clearance_max_mm is not None and not 0.0 <= row.clearance_max_mm <= CLEARANCE * section:
        return f"clearance {row.clearance_max_mm:.4g} mm: it is a few hundredths of the ring; is the unit right?"
    widths = [one for one in (row.width_one_backup_mm, row.width_two_backups_mm) if one is not None]
    if any(after <= before for before, after in pairwise((row.width.minimum, *widths))):
        return "with back-up rings a groove is wider than without, and with two wider than with one."
    return _squeezed(row)


def _squeezed(row: GrooveRow) -> str:
    """A printed squeeze against the printed depth, where the ring's ± is printed with it."""
    if row.printed_squeeze_mm is None or row.section_tol_mm is None:
        return ""
    least = row.section_mm - row.section_tol_mm - row.depth.maximum
    most = row.section_mm + row.section_tol_mm - row.depth.minimum
    said = row.printed_squeeze_mm
    if abs(said[0] - least) <= SQUEEZE_MM and abs(said[1] - most) <= SQUEEZE_MM:
        return ""
    return (
        f"squeeze {said[0]:.4g} to {said[1]:.4g} mm, but the ring less the depth leaves {least:.3g} to {most:.3g}: "
        "look at both again."
    )


def doubles(rows: Sequence[GrooveRow]) -> list[Fault]:
    """Rows of a use, motion, medium, section and sizes that stand there already."""
    seen: set[tuple[object, ...]] = set()
    found = []
    for at, row in enumerate(rows):
        key = row_key(row)
        if key in seen:
            found.append(Fault(at, "the same groove stands there twice. Where they serve other sizes, say which."))
        seen.add(key)
    return found


def row_key(row: GrooveRow) -> tuple[object, ...]:
    """What no two rows of one table may have the same."""
    return (
        folded(row.table), row.use, tuple(sorted(row.motions)), folded(row.medium), folded(row.series),
        round(row.section_mm, 3),
    )  # fmt: skip


def uneven_sections(rows: Sequence[GrooveRow]) -> list[Fault]:
    """Rows whose ring has another tolerance than the first row of this table with this section."""
    first: dict[tuple[str, float], GrooveRow] = {}
    found = []
    for at, row in enumerate(rows):
        one = first.setdefault((folded(row.table), round(row.section_mm, 3)), row)
        said, ours = row.section_tol_mm, one.section_tol_mm
        if said is not None and ours is not None and abs(said - ours) > SAME_MM:
            found.append(Fault(at, f"ring section {row.section_mm:.4g} ± {said:.4g} mm, but before with ± {ours:.4g}."))
    return found


def unsteady_runs(rows: Sequence[GrooveRow]) -> list[Fault]:
    """Rows that are shallower or narrower than the groove of a thinner ring, for the same use."""
    found = []
    for run in _runs(rows):
        for (_, before), (at, row) in pairwise(run):
            if row.section_mm - before.section_mm <= SAME_MM:
                continue
            for what, own, other in (("depth", row.depth, before.depth), ("width", row.width, before.width)):
                if own.minimum < other.minimum or own.maximum < other.maximum:
                    why = (
                        f"{what} {own.minimum:.4g} to {own.maximum:.4g} mm, but the thinner ring of "
                        f"{before.section_mm:.4g} mm has {other.minimum:.4g} to {other.maximum:.4g}."
                    )
                    found.append(Fault(at, why))
                    break
    return found


def _runs(rows: Sequence[GrooveRow]) -> Iterator[list[tuple[int, GrooveRow]]]:
    """The rows of one table, use, motion, medium and kind of sizes (P and G apart), the thinnest ring first."""
    runs: dict[tuple[object, ...], list[tuple[int, GrooveRow]]] = {}
    for at, row in enumerate(rows):
        runs.setdefault((*row_key(row)[:4], row.series[:1]), []).append((at, row))
    for run in runs.values():
        yield sorted(run, key=lambda one: one[1].section_mm)


RULES: Final[tuple[Callable[[Sequence[GrooveRow]], list[Fault]], ...]] = (
    implausible,
    doubles,
    uneven_sections,
    unsteady_runs,
)
"""Every rule, the plainest first."""
