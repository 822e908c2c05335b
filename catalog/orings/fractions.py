"""AS568 rings by their trade fractions: `1 × 1/8 in` is -214, `5 × 5-1/2 × 1/4 in` is -429.

A fraction is a name, not a reading: the charts print, beside the actual figures, a nominal ID, OD and width in
fractions of an inch, which are those of the old groove. A ring "1/8 wide" measures 0.139 in. The width's fraction goes
with the hundred of the dash number (an AS568 size chart prints 1/16, 3/32, 1/8, 3/16 and 1/4 for the five); the ID's is
the next one above the actual ID; the OD is ID + 2 × width. So they are derived here, not written down.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import cache
from types import MappingProxyType
from typing import Final, NamedTuple

from catalog.orings.evidence import Dimension, Evidence, Tool
from catalog.orings.sizes import MM_PER_INCH, RingSize, Series, by_key, inch_table

WIDTHS: Final[Mapping[str, Fraction]] = MappingProxyType(
    {"0": Fraction(1, 16), "1": Fraction(3, 32), "2": Fraction(1, 8), "3": Fraction(3, 16), "4": Fraction(1, 4)}
)
"""Nominal width in inches by the first digit of the dash number. The 900 sizes are called by their tube, not so."""
# What the actual ID lies below its nominal, in inches, by group; read off the step pattern of the table.
_BELOW: Final = {"0": 0.011, "1": 0.013, "2": 0.016, "3": 0.025, "4": 0.025}
# The five smallest follow no step (from memory): nominal ID and width.
_SMALLEST: Final = {
    "001": (Fraction(1, 32), Fraction(1, 32)),
    "002": (Fraction(3, 64), Fraction(3, 64)),
    "003": (Fraction(1, 16), Fraction(1, 16)),
    "004": (Fraction(5, 64), Fraction(1, 16)),
    "005": (Fraction(3, 32), Fraction(1, 16)),
}
_LARGE_IN: Final = 15.5  # from here up the steps are of half an inch and the actual ID is up to 0.06 in less
CITED: Final = "FRACCHART"


class TradeName(NamedTuple):
    """The nominal fractions of an AS568 size, in inches."""

    id_in: Fraction
    width_in: Fraction

    @property
    def od_in(self) -> Fraction:
        """Nominal outside diameter in inches."""
        return self.id_in + 2 * self.width_in

    @property
    def words(self) -> str:
        """`1 × 1-1/4 × 1/8 in` (ID × OD × width)."""
        return f"{_mixed(self.id_in)} × {_mixed(self.od_in)} × {_mixed(self.width_in)} in"


def _mixed(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    return f"{whole}-{rest}" if whole else str(rest)


@cache
def trade_names() -> Mapping[str, TradeName]:
    """The trade fractions of each AS568 size by its dash number, the 900 sizes left out."""
    found = {}
    for dash, row in inch_table().items():
        if dash in _SMALLEST:
            found[dash] = TradeName(*_SMALLEST[dash])
        elif dash[0] in WIDTHS:
            step = 2 if row.id_in > _LARGE_IN else 32
            below = 0.045 if row.id_in > _LARGE_IN else _BELOW[dash[0]]
            found[dash] = TradeName(Fraction(round((row.id_in + below) * step), step), WIDTHS[dash[0]])
    return MappingProxyType(found)


@cache
def _by_pair() -> Mapping[tuple[Fraction, Fraction], str]:
    return MappingProxyType({(name.id_in, name.width_in): dash for dash, name in trade_names().items()})


def _size(id_in: Fraction, width_in: Fraction) -> RingSize | None:
    dash = _by_pair().get((id_in, width_in))
    return by_key(f"{Series.AS568}:{dash}") if dash else None


_LONGEST: Final = 60


def sizes_called(text: str) -> tuple[RingSize, ...]:
    """The AS568 sizes that trade fractions name: `1 x 1/8`, `1" x 1-1/4" x 1/8"`, `5 × 5-1/2 × 1/4 in`.

    Two figures are ID × width, width × ID or ID × OD; three also have the OD. Where the order leaves it open all that
    fit come back; nothing for a text that is no such name. At least one figure must be a fraction.
    """
    if "/" not in text or len(text) > _LONGEST:
        return ()
    plain = re.sub(r"(?:\b|(?<=\d))(?:inch(?:es)?|in|id|od|c/s|cs)\b\.?|[\"”″]|''", " ", text.lower().replace("⁄", "/"))
    figures = [_figure(part) for part in re.split(r"\s*(?:[x×*]|\bby\b)\s*", plain.strip())]
    known = [figure for figure in figures if figure is not None]
    if len(known) != len(figures) or not 2 <= len(known) <= 3:
        return ()
    return _distinct(_of_two(*known) if len(known) == 2 else _of_three(*known))


def _figure(text: str) -> Fraction | None:
    found = re.fullmatch(r"(?:(\d{1,2})(?:\s*-\s*|\s+))?(\d{1,2})/(\d{1,2})|(\d{1,2})", text.strip())
    if found is None:
        return None
    whole, top, bottom, alone = found.groups()
    if alone:
        return Fraction(int(alone))
    if not int(bottom):
        return None
    return int(whole or 0) + Fraction(int(top), int(bottom))


def _of_two(first: Fraction, second: Fraction) -> Iterable[RingSize | None]:
    yield _size(first, second)
    yield _size(second, first)
    if second > first:
        yield _size(first, (second - first) / 2)


def _of_three(*figures: Fraction) -> Iterable[RingSize | None]:
    od = max(figures)
    first, second = [one for at, one in enumerate(figures) if at != figures.index(od)]
    for inner, width in ((first, second), (second, first)):
        if inner + 2 * width == od:
            yield _size(inner, width)


def _distinct(sizes: Iterable[RingSize | None]) -> tuple[RingSize, ...]:
    return tuple(dict.fromkeys(size for size in sizes if size is not None))


# A reading counts as a fraction where it is a whole number of sixty-fourths to a millionth of an inch: what was typed
# as one, or as its exact decimals; a caliper's 25.40 and 3.18 mm are not.
_SIXTY_FOURTHS: Final = 64
_EXACT_IN: Final = 1e-6


def called_by(evidence: Evidence) -> tuple[RingSize, ...]:
    """The AS568 sizes that the readings name, where all of them are trade fractions; nothing where they are not.

    ID and width, ID and OD, OD and width, or all three. A micrometer's reading and one with its own ± were measured.
    """
    given: dict[Dimension, Fraction] = {}
    for reading in evidence.readings:
        sixty_fourths = reading.value_mm / MM_PER_INCH * _SIXTY_FOURTHS
        if (
            reading.tool in (Tool.MICROMETER, Tool.STATED)
            or reading.dimension in given
            or reading.dimension not in (Dimension.ID, Dimension.OD, Dimension.WIDTH)
            or abs(sixty_fourths - round(sixty_fourths)) > _EXACT_IN * _SIXTY_FOURTHS
        ):
            return ()
        given[reading.dimension] = Fraction(round(sixty_fourths), _SIXTY_FOURTHS)
    if len(given) < 2:
        return ()
    inner, outer, width = given.get(Dimension.ID), given.get(Dimension.OD), given.get(Dimension.WIDTH)
    if inner is None and outer is not None and width is not None:
        inner = outer - 2 * width
    elif width is None and inner is not None and outer is not None:
        width = (outer - inner) / 2
    if inner is None or width is None or (outer is not None and inner + 2 * width != outer):
        return ()
    return _distinct([_size(inner, width)])
