"""Where our tables hold every size there is, and where a size may be missing: what may be denied, and what may not.

"No standard size" is a statement about all sizes that exist. It may be made only where every list with rings of that
width is complete; elsewhere the answer is "no size in our tables", and what may still exist is named.
"""

from __future__ import annotations

import csv
from collections.abc import Collection
from functools import cache
from typing import Final, NamedTuple

from catalog.because import Because
from catalog.orings.sizes import STANDARDS, TABLES, Series, title
from catalog.orings.tolerance import class_b_width_tolerance_mm
from catalog.publications import named
from catalog.standing import Standing

WIDEST_IN_CLASS_B: Final = 8.4
"""Above this width in mm ISO 3601-1 gives no tolerance for a width; 0.3 mm is taken (JIS B 2401, V sizes of 10 mm)."""


class ListState(NamedTuple):
    """How complete one list is at some widths. `widths_mm`: those it has.

    `series` None: a standard that our tables lack, named by `part`.
    """

    series: Series | None
    part: str
    widths_mm: tuple[float, ...]
    complete: bool
    why: str
    source: str
    standing: Standing

    @property
    def name(self) -> str:
        """`JIS B 2401 P`, `SMS 1586`."""
        return self.part if self.series is None else f"{title(self.series)} {self.part}".strip()

    @property
    def because(self) -> Because:
        """The state as a reason."""
        source = "no source" if self.standing is Standing.MEMORY else self.source
        return Because(f"{self.name}: {self.why}", source, self.standing)

    def has(self, width_mm: float | None, width_pm_mm: float) -> bool:
        """Whether a ring measured `width_mm` ± `width_pm_mm` may be of one of these widths; None: width not known."""
        return width_mm is None or any(
            abs(width_mm - one) <= width_tolerance_mm(one) + width_pm_mm for one in self.widths_mm
        )


def width_tolerance_mm(width_mm: float) -> float:
    """The ± in mm of a width as made: ISO 3601-1 class B, and 0.3 mm above it."""
    return class_b_width_tolerance_mm(width_mm) if width_mm <= WIDEST_IN_CLASS_B else 0.3


_OWN: Final = ListState(Series.OWN, "", (), False, "they hold what the shop loaded", "this shop", Standing.SHOP)


@cache
def list_states() -> tuple[ListState, ...]:
    """Every list's state, in file order."""
    with (TABLES / "complete.csv").open(encoding="utf-8", newline="") as handle:
        return tuple(
            ListState(
                None if row["series"] == "other" else Series(row["series"]),
                row["part"],
                tuple(float(width) for width in row["widths_mm"].split()),
                row["complete"] == "yes",
                row["why"],
                named(row["source"]),
                Standing(row["standing"]),
            )
            for row in csv.DictReader(handle)
        )


def searches_all(series: Collection[Series]) -> bool:
    """Whether every series that has a table here is among these; a shop's own tables are beside them."""
    return set(STANDARDS) <= set(series)


def states_at(
    width_mm: float | None, width_pm_mm: float = 0.0, series: Collection[Series] = STANDARDS
) -> tuple[ListState, ...]:
    """The lists of these series that have rings of this width (mm, with the reading's ±), each with its state.

    The standards that our tables lack count where every series was asked. A shop's own tables are never said to be
    complete; they count only where no standard was asked.
    """
    if not set(series) & set(STANDARDS):
        return (_OWN,)
    asked = {*series, None} if searches_all(series) else set(series)
    return tuple(one for one in list_states() if one.series in asked and one.has(width_mm, width_pm_mm))
