"""What may be said where no size fits: a denial only as far as the tables are complete, and what it may still be."""

from __future__ import annotations

from collections.abc import Collection
from math import sqrt
from typing import Final, NamedTuple

from catalog.because import Because
from catalog.orings.as_measured import AsMeasured, as_measured
from catalog.orings.completeness import ListState, searches_all, states_at
from catalog.orings.likelihood import Fit, settles_both
from catalog.orings.sizes import Series
from catalog.standing import Standing

COVERAGE: Final = 2.0
"""About 95 % of a normal distribution lies within this many standard deviations (JCGM 100:2008, G.1.3)."""
QUITE: Final = 0.9
NAMED: Final = 2
"""How many lists a sentence names; the reasons name them all."""
NONE_SO_WIDE: Final = Because("no list of ring sizes has this width", "our tables of ring sizes", Standing.INFERRED)


class Denial(NamedTuple):
    """The lists that have rings of this width, each with its state, and the round metric size near the readings."""

    lists: tuple[ListState, ...]
    as_measured: AsMeasured | None
    every_series: bool

    @property
    def complete(self) -> bool:
        """Whether our tables hold every size that such a ring could be: only then is it of no standard."""
        return all(one.complete for one in self.lists)

    @property
    def headline(self) -> str:
        """The answer in a few words."""
        if not self.complete:
            return "No size in our tables"
        return (
            "No standard size" if self.every_series or not self.lists else f"No size of {self._titles(complete=True)}"
        )

    def words(self, probability: float) -> str:
        """The answer in a sentence or two; `probability`: how likely it is that none of our sizes is meant."""
        start = self.headline if probability >= QUITE else f"Probably {self.headline[0].lower()}{self.headline[1:]}"
        if not self.lists:
            return f"{start} fits these readings: none is this wide."
        if self.complete:
            return f"{start} fits these readings; our tables hold every size this wide."
        lists = self._titles(complete=False)
        if self.as_measured is None:
            return f"{start} fits these readings. Our lists of {lists} are not complete."
        return (
            f"{start} fits these readings, and our lists of {lists} are not complete: "
            f"ask for {self.as_measured.label} metric before you cut cord."
        )

    @property
    def because(self) -> tuple[Because, ...]:
        """What the denial rests on: first why it may be wrong."""
        if not self.lists:
            return (NONE_SO_WIDE,)
        states = sorted(self.lists, key=lambda one: one.complete)
        extra = () if self.as_measured is None else (self.as_measured.because,)
        return (*extra, *(state.because for state in states))

    def _titles(self, *, complete: bool) -> str:
        names = list(
            dict.fromkeys(
                _SAID[one.series] if one.series is not None else one.part
                for one in self.lists
                if one.complete is complete
            )
        )
        if len(names) > NAMED:
            return f"{', '.join(names[:NAMED])} and others"
        return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


_SAID: Final = {
    Series.METRIC: "ISO metric sizes",
    Series.STOCK: "stocked metric sizes",
    Series.AFNOR: "French R sizes",
    Series.BS4518: "BS 4518 sizes",
    Series.JIS: "JIS sizes",
    Series.AS568: "AS568",
    Series.OWN: "the shop's own sizes",
}


def denial(found: Fit, id_mm: float, width_mm: float, *, width_read: bool, series: Collection[Series]) -> Denial:
    """What may be denied of a ring that the readings put at `id_mm` × `width_mm` (`found`: their fit there).

    `width_read`: whether the readings say anything of the width. `series`: those that were searched.
    """
    if settles_both(found):
        determinant = found.xx * found.yy - found.xy * found.xy
        id_pm, width_pm = COVERAGE * sqrt(found.yy / determinant), COVERAGE * sqrt(found.xx / determinant)
        near = as_measured(id_mm, id_pm, width_mm, width_pm) if Series.STOCK in series else None
        return Denial(states_at(width_mm, width_pm, series), near, searches_all(series))
    if width_read and found.yy > 0.0:
        return Denial(states_at(width_mm, COVERAGE / sqrt(found.yy), series), None, searches_all(series))
    return Denial(states_at(None, 0.0, series), None, searches_all(series))
