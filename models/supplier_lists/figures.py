"""Numbers as suppliers write them: prices with their currency, packs with their unit, days. Exact, or refused.

The decimal mark belongs to the whole list, not to one cell: `1.234` is a thousand in one list and one and a bit in
another. So every reader here is told the mark, and a cell that does not agree with it is refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Final, NamedTuple

from catalog.quantity import Kind, QuantityError, parse
from models.purchasing.money import decimals
from models.words import Unit

MARKS: Final = (".", ",")
LARGEST_MINOR: Final = 10**15
MOST_PACKED: Final = 10**12
MOST_EXTRA_DECIMALS: Final = 6
_SIGNS: Final = {"€": "EUR", "£": "GBP"}
_PIECES: Final = frozenset(
    (
        *("", "each", "ea", "e", "pc", "pcs", "piece", "pieces", "stk", "st", "stück", "stueck", "pce", "pièce"),
        *("pièces", "ud", "unit", "units", "no", "nos", "x"),
    )
)
_NO_PRICE: Final = frozenset(
    (
        *("on request", "on application", "price on request", "p.o.a.", "poa", "por", "call", "ask", "tba", "n/a"),
        *("auf anfrage", "a.a.", "sur demande", "a consultar", "su richiesta", "-", "–", "—"),
    )
)
"""What a list says in place of a price (common practice, no source): none is given."""
_PACKET: Final = r"(?:pk|pkt|pack|packet|package|pkg|bag|box|beutel|packung|sachet|bolsa)s?\.?"
_IN_PACKS: Final = re.compile(
    rf"(?P<each>\d[\d.,]*)\s*(?:pcs?|ea|each|pieces)?\.?\s*(?:/|per|a)\s*{_PACKET}|{_PACKET}\s*(?:of|à|/)?\s*(?P<of>\d[\d.,]*)",
    re.IGNORECASE,
)
_MONEY: Final = re.compile(
    r"(?P<before>[A-Za-z]{3}|[€$£¥])?\s*(?P<number>\d[\d.,'’\s]*)(?:,-|\.-)?\s*(?P<after>[A-Za-z]{3}|[€$£¥])?"
)
_PLAIN: Final = {mark: re.compile(rf"(\d{{1,12}})(?:[{mark}](\d{{1,9}}))?") for mark in MARKS}
_GROUPED: Final = {
    ".": re.compile(r"(\d{1,3}(?:(?P<gap>[,'’\s])\d{3})(?:(?P=gap)\d{3})*)(?:\.(\d{1,9}))?"),
    ",": re.compile(r"(\d{1,3}(?:(?P<gap>[.'’\s])\d{3})(?:(?P=gap)\d{3})*)(?:,(\d{1,9}))?"),
}
_LEADING_NUMBER: Final = re.compile(r"(\d[\d.,]*)\s*(\D.*)?")


class FigureError(ValueError):
    """A cell that can't be read; the text is one sentence."""


class Price(NamedTuple):
    """So many minor units for so many packs: 3.45 a hundred is (345, 100), exactly."""

    minor: int
    per: int


def price(text: str, mark: str, currency: str, per: int = 1) -> Price | None:
    """Read a price for `per` packs; None for an empty cell, or words for none. Raises FigureError.

    A price finer than the currency's minor unit is kept exactly, for more packs: 0.0345 EUR is 345 cents a hundred.
    """
    if not text or text.strip().casefold() in _NO_PRICE:
        return None
    plain = _PLAIN[mark].fullmatch(text)
    if plain is not None:
        whole, part = plain.groups()
    else:
        whole, part = _money(text, mark, currency)
    places = decimals(currency)
    part = (part or "").rstrip("0")
    extra = len(part) - places
    if extra <= 0 and per == 1:
        return Price(int(whole + part.ljust(places, "0")), 1)
    if extra <= 0:
        return _in_range(Price(int(whole + part.ljust(places, "0")), per), text)
    if extra > MOST_EXTRA_DECIMALS:
        raise FigureError(f"the price {_shown(text)} has more decimals than any price; round it")
    return _in_range(Price(int(whole + part), per * 10**extra), text)


def _in_range(found: Price, text: str) -> Price:
    """The price in its shortest form, so that one price is written in one way: 300 for 100 packs is 3 for one."""
    minor, per = found
    while per % 10 == 0 and minor % 10 == 0:
        minor, per = minor // 10, per // 10
    found = Price(minor, per)
    if found.minor > LARGEST_MINOR or found.per > MOST_PACKED:
        raise FigureError(f"the price {_shown(text)} is too large")
    return found


def _money(text: str, mark: str, currency: str) -> tuple[str, str | None]:
    found = _MONEY.fullmatch(text)
    if found is None:
        raise FigureError(f"{_shown(text)} is not a price; write it like 12{mark}50")
    for said in (found["before"], found["after"]):
        if said and (_SIGNS.get(said) or (said.upper() if said.isalpha() else currency)) != currency:
            raise FigureError(f"the price {_shown(text)} is not in {currency}; give the list's currency, or a column")
    number = found["number"].strip()
    match = _PLAIN[mark].fullmatch(number)
    if match is not None:
        return match[1], match[2]
    grouped = _GROUPED[mark].fullmatch(number)
    if grouped is None:
        other = "comma" if mark == "." else "point"
        raise FigureError(f"{_shown(text)} does not fit this list, whose decimals follow a {_named(mark)}, no {other}")
    return re.sub(r"\D", "", grouped[1]), grouped[3]


def _named(mark: str) -> str:
    return "point" if mark == "." else "comma"


@lru_cache(maxsize=4096)
def pack(text: str, unit: str, mark: str) -> tuple[int, Unit]:
    """Read what one pack holds, from its own cell and a cell with the unit: pieces, or microlitres. Raises FigureError.

    `100`, `100 pcs`, `10/pk`, `bag of 50`, `5 gal`, `4 x 5 L` (20 litres), `20` with the unit `L`. Nothing at all is
    one piece.
    """
    text, unit = text.strip(), unit.strip()
    packed = _IN_PACKS.fullmatch(text)
    if packed is not None:
        text = packed["each"] or packed["of"]
    if not text:
        text = "1"
    times, found = 1, re.fullmatch(r"(\d{1,6})\s*[xX×*]\s*(\d.*)", text)
    if found is not None:
        times, text = int(found[1]), found[2]
    number = _LEADING_NUMBER.fullmatch(text)
    if number is None:
        raise FigureError(f"{_shown(text)} is not what a pack holds; write it like 100 or 5 gal")
    said = (number[2] or unit).strip()
    if said.casefold().rstrip(".") in _PIECES:
        return _pieces(times, number[1], mark, text), Unit.EACH
    return _volume(times, number[1].replace(mark, ".") if mark == "," else number[1], said), Unit.MICROLITRE


def _pieces(times: int, number: str, mark: str, text: str) -> int:
    plain, grouped = _PLAIN[mark].fullmatch(number), _GROUPED[mark].fullmatch(number)
    whole, part = (
        (plain[1], plain[2]) if plain else (re.sub(r"\D", "", grouped[1]), grouped[3]) if grouped else ("", "")
    )
    if not whole or (part or "").strip("0"):
        raise FigureError(f"a pack of {_shown(text)} is not a whole number of pieces")
    count = times * int(whole)
    if not 0 < count <= MOST_PACKED:
        raise FigureError(f"a pack of {_shown(text)} can't be; write a number from 1 up")
    return count


def _volume(times: int, number: str, unit: str) -> int:
    try:
        each = parse(f"{number} {unit}"[:60], kind=Kind.VOLUME, bare_unit="L").to("µL")
    except QuantityError as problem:
        raise FigureError(f"the pack is not understood: {str(problem).rstrip('.')}") from problem
    count = round(Fraction(each) * times)
    if not 0 < count <= MOST_PACKED:
        raise FigureError(f"a pack of {_shown(number + ' ' + unit)} can't be")
    return count


def whole(text: str, what: str, *, least: int, most: int) -> int:
    """Read a whole number between two others, `3` or `3 days` or `3.0`. Raises FigureError naming `what`."""
    found = re.fullmatch(r"(\d{1,12})(?:[.,]0+)?\s*[A-Za-z.]*", text.strip())
    if found is None or not least <= int(found[1]) <= most:
        raise FigureError(f"{_shown(text)} is not {what}; write a whole number from {least} up")
    return int(found[1])


def from_number(value: float) -> str:
    """A spreadsheet's number as text with a point. Fifteen digits: what the spreadsheet itself shows and keeps."""
    shown = Decimal(f"{value:.15g}")
    return str(int(shown)) if shown == shown.to_integral_value() else f"{shown.normalize():f}"


def likely_mark(cells: Iterable[str]) -> tuple[str, float]:
    """The decimal mark of a column of prices, and how sure that is (0.5: nothing speaks for either)."""
    votes = dict.fromkeys(MARKS, 0)
    for cell in cells:
        found = _MONEY.fullmatch(cell)
        number = found["number"].strip() if found is not None else ""
        point, comma = number.rfind("."), number.rfind(",")
        if point >= 0 and comma >= 0:
            votes["." if point > comma else ","] += 1
        elif max(point, comma) >= 0:
            mark = "." if point >= 0 else ","
            if number.count(mark) > 1:
                votes["," if mark == "." else "."] += 1
            elif len(number) - number.rfind(mark) != 4 or number.startswith("0"):
                votes[mark] += 1
    best = max(MARKS, key=lambda mark: votes[mark])
    total = sum(votes.values())
    return best, 0.5 if not total else round(votes[best] / total * min(0.99, 0.7 + total / 50), 3)


def _shown(text: str) -> str:
    clean = "".join(letter if letter.isprintable() else "?" for letter in text[:30])
    return f"'{clean}'" if len(text) <= 30 else f"'{clean}…'"
