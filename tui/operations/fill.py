"""What can be asked of a fill: how much more, how far over, and which packs to open."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Final

from catalog import fluids
from tui.answers.fill import Fill, Open, fill_of, opened_of
from tui.fields.field import FieldError, under
from tui.fields.fills import DRAINED, FULL, HELD, LET_OUT, LOW, PACKS, POURED, REUSED
from tui.operations.operation import Operation

if TYPE_CHECKING:
    from collections.abc import Sequence

    from catalog.fluids.fill import Level
    from catalog.quantity import Typed
    from tui.fields.fills import PackSize, Volume
    from tui.operations.operation import Bench, Values

HELP = "low and full marks, what was poured → how much more, which packs"
DESCRIPTION = """\
Keep the tally of a fill: what the system holds at its low and full marks, what
drained, what was poured. How much more? Over-filled by how much? Which packs to open?

examples:
  kitwright fill --low "11 qt" --full "12 qt" --poured "6 qt" "5 qt"
  kitwright fill --low "11 qt" --full "12 qt" --packs "1 gal" "1 qt"
  kitwright fill --full "7.6 L" --drained "7 L" --reused "2 L" --poured "5 L"
  kitwright fill --low 10.4L --full 11.4L --poured 12L --json
  kitwright fill --full "3 gal" --packs "5 gal=1" "1 gal=2" "1 qt"
"""
EPILOG = """\
gal, qt and pt are US measures; type imp gal, imp qt or imp pt for imperial ones.
--reused is clean fluid that was drained and poured back; it counts as poured.
--let-out is what came out again after pouring, as where it was over-filled.
A pack with a number, "1 gal=2", is one of which there are only so many; without
--packs the usual ones of the family that the marks are in are taken.
exit codes: 0 the level is between the marks or at one, 1 below the low mark or over the
  full mark, 2 wrong options.
"""
SYSTEMS: Final = {"US qt": "US", "L": "metric"}


def filled(values: Values, _: Bench) -> Fill:
    """Where the level stands, what is missing, and what to open. Raises `FieldError` for what cannot be."""
    low: Typed | None = values[LOW.name]
    full: Typed | None = values[FULL.name]
    one_mark = full or low
    if one_mark is None:
        raise FieldError("--full is missing; type what the system holds at its full mark, such as --full 12qt", "-")
    try:
        at = fluids.fill.marks((low or one_mark).to("µL"), one_mark.to("µL"))
    except ValueError as problem:
        raise FieldError(str(problem), LOW.flag) from problem
    poured: tuple[Volume, ...] = values[POURED.name]
    drained = sum((one.microlitres for one in values[DRAINED.name]), Fraction(0))
    out = sum((one.microlitres for one in values[LET_OUT.name]), Fraction(0))
    held = values[HELD.name][0].microlitres if values[HELD.name] else None
    try:
        level = fluids.fill.tally(
            at,
            [fluids.fill.Pour(one.microlitres, one.reused) for one in poured],
            drained=drained,
            held_before=held,
            let_out=out,
        )
    except ValueError as problem:
        over_drained = held is not None and drained > held
        over_reused = sum(one.microlitres for one in poured if one.reused) > drained
        flag = DRAINED.flag if over_drained else REUSED.flag if over_reused else LET_OUT.flag
        raise FieldError(str(problem), flag) from problem
    first = "US qt" if one_mark.unit.startswith("US") else "L"
    return fill_of(at, level, _packs(level, values[PACKS.name], SYSTEMS[first]), first, known=held is not None)


def _packs(level: Level, named: Sequence[PackSize], system: str) -> Open | None:
    """What to open of the packs that were named, or of the usual ones; None where those are too small for so much."""
    there = [fluids.packs.Pack(one.microlitres, one.name, one.there) for one in named] or fluids.packs.packs_of(system)
    try:
        low, full = (opened_of(fluids.packs.to_open(need, there)) for need in (level.to_low, level.to_full))
    except ValueError as problem:
        if named:
            raise FieldError(str(problem), PACKS.flag) from problem
        return None
    return Open(low, full, usual=not named)


FILL = Operation(
    area="fill",
    name="fill",
    label="Fill",
    help=HELP,
    fields=(*under("marks", LOW, FULL), *under("tally", HELD, DRAINED, POURED, LET_OUT), PACKS),
    answers=filled,
    examples=(
        'fill --low "11 qt" --full "12 qt" --poured "6 qt" "5 qt"',
        'fill --low "11 qt" --full "12 qt" --packs "1 gal" "1 qt"',
        'fill --full "7.6 L" --drained "7 L" --reused "2 L" --poured "5 L"',
        'fill --full "3 gal" --packs "5 gal=1" "1 gal=2" "1 qt"',
    ),
)

OPERATIONS = (FILL,)
