"""A size by what a person calls it: a label, a dash number, `25x3.55`, a trade fraction."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from catalog.orings.fractions import sizes_called
from catalog.orings.sizes import STANDARDS, RingSize, Series, by_key, load, title


@cache
def _by_dimensions() -> Mapping[tuple[float, float], RingSize]:
    """Sizes by nominal (ID, width) to 0.01 mm. The metric series are named by these, so they come first."""
    found: dict[tuple[float, float], RingSize] = {}
    for series in (Series.METRIC, Series.STOCK, Series.JIS, Series.BS4518, Series.AFNOR, Series.AS568):
        for size in load(series):
            found.setdefault((round(size.id_mm, 2), round(size.cross_section_mm, 2)), size)
    return found


_LONGEST_NAME = 40
# What a person may put before a name, and the series it points to. Patterns are compiled when first asked for
# (re keeps them), because compiling them costs the start-up 5 ms.
_PREFIXES: tuple[tuple[str, Series], ...] = (
    (r"(?:sae)?as568[a-f]?", Series.AS568),
    (r"jis(?:b2401)?", Series.JIS),
    (r"iso3601(?:-1)?(?::?1988)?|din3771|gb/?t3452(?:\.1)?", Series.METRIC),
    (r"bs4518", Series.BS4518),
    (r"afnor|nf", Series.AFNOR),
)
_DASH = r"(?:[0-9]-)?([0-9]{1,3})"
_PAIR = r"([0-9]+(?:[.,][0-9]+)?)(?:mm)?[x×*]([0-9]+(?:[.,][0-9]+)?)(?:mm)?"
_LETTERED = r"([pgvsr])-?([0-9]+(?:\.[0-9]+)?)([a-z]?)"
_BS4518 = r"[0-9]{4}-[0-9]{2}"
_JIS_NUMBER = r"jis(?:b2401)?:?-?([0-9]+(?:\.[0-9]+)?)(a?)"


def find(name: str) -> RingSize | None:
    """The size a person names, or None: `AS568-214`, `-214`, `214`, `P22A`, `25x3.55`, `R12`, `0031-16`.

    A label or a key finds its own size. Case and spaces do not matter, and a comma may stand for the decimal point.
    An ID × width that no metric series has finds a size of another standard with that nominal ID and width. Trade
    fractions (`1 x 1/8 in`, `5 x 5-1/2 x 1/4`) find their AS568 size; where they name two, None.
    """
    if len(name) > _LONGEST_NAME:
        return None
    if (size := by_key(name)) is not None:
        return size
    if "/" in name:
        called = sizes_called(name)
        if called:
            return called[0] if len(called) == 1 else None
    text = "".join(name.split()).lower()
    for prefix, series in _PREFIXES:
        if found := re.match(prefix, text):
            size = _find_name(text[found.end() :].lstrip("-:"))
            return size if size is not None and size.series is series else None
    return _find_name(text.lstrip("-"))


def in_full(name: str) -> RingSize | None:
    """The size that is named with its standard in front, or None: `AS568-214`, `JIS P22A`, not `214`."""
    text = "".join(name.split()).lower()
    return find(name) if any(re.match(prefix, text) for prefix, _ in _PREFIXES) else None


def no_size_of(name: str) -> Series | None:
    """The standard that is named in front of a size that it does not have, or None: `AS568-999`."""
    text = "".join(name.split()).lower()
    for prefix, series in _PREFIXES:
        if (found := re.match(prefix, text)) and (rest := text[found.end() :].lstrip("-:")):
            named = re.fullmatch(rf"{_PAIR}|{_BS4518}|{_LETTERED}|(?:[0-9]-)?[0-9]+", rest) and not may_be(name)
            return series if named and find(name) is None else None
    return None


def series_called(name: str) -> Series | None:
    """The standard that goes by this name alone, or None: `jis`, `JIS B 2401`, `SAE AS568`."""
    text = "".join(name.split()).lower()
    for series in STANDARDS:
        if text in (series.value, "".join(title(series).split()).lower()):
            return series
    return next((series for prefix, series in _PREFIXES if re.fullmatch(prefix, text)), None)


def may_be(name: str) -> tuple[RingSize, ...]:
    """The sizes that a name leaves open: `jis 25` is P25, G25 or S25, each another ring. Nothing for any other text."""
    text = "".join(name.split()).lower()
    if len(name) > _LONGEST_NAME or not (number := re.fullmatch(_JIS_NUMBER, text)):
        return ()
    found = (by_key(f"{Series.JIS}:{letter}{number[1]}{number[2].upper()}") for letter in "PGVS")
    return tuple(size for size in found if size is not None)


def _find_name(text: str) -> RingSize | None:
    if pair := re.fullmatch(_PAIR, text):
        inner, width = (float(number.replace(",", ".")) for number in pair.groups())
        return _by_dimensions().get((round(inner, 2), round(width, 2)))
    if re.fullmatch(_BS4518, text):
        return by_key(f"{Series.BS4518}:{text}")
    if dash := re.fullmatch(_DASH, text):
        return by_key(f"{Series.AS568}:{dash[1].zfill(3)}")
    if lettered := re.fullmatch(_LETTERED, text.replace(",", ".")):
        series = Series.AFNOR if lettered[1] == "r" else Series.JIS
        return by_key(f"{series}:{''.join(lettered.groups()).upper()}")
    return None
