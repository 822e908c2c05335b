"""Propose what each column of a file holds, from its header and from what stands in it, with how sure that is."""

from __future__ import annotations

import re
from collections.abc import Sequence
from statistics import fmean
from typing import Final, NamedTuple

from catalog.gtin import is_valid
from models.errors import InvalidInputError
from models.supplier_lists import headings
from models.supplier_lists.figures import FigureError, likely_mark, pack
from models.supplier_lists.layout import Column, Layout
from models.supplier_lists.line import Line
from models.supplier_lists.source import Source
from models.supplier_lists.words import Field
from models.words import Unit

SURE: Final = 0.5
"""Below this a column is proposed as ignored; a person says what it is."""
_HEADER_LINES: Final = 20
_PRICE: Final = re.compile(r"(?:[A-Z]{3}|[€$£])?\s*\d[\d.,' ]*[.,]\d{2,4}\s*(?:[A-Z]{3}|[€$£])?")
_FIGURE: Final = re.compile(r"(?:[A-Z]{3}|[€$£])?\s*\d[\d.,' ]*\s*(?:[A-Z]{3}|[€$£])?")
_CODE: Final = re.compile(r"\S{2,40}")
_UNIT: Final = re.compile(r"[A-Za-z]{1,6}\.?")
_CURRENCY: Final = re.compile(r"[A-Z]{3}")


class Guess(NamedTuple):
    """What one column is taken for: the field, how sure (0 to 1), the reason in words, and cells to show beside it."""

    at: int
    header: str
    field: Field
    confidence: float
    why: str
    from_packs: int | None
    examples: tuple[str, ...]


class Proposal(NamedTuple):
    """All guesses, the decimal mark with how sure that is, the line of the headers (0: none) and the headers."""

    guesses: tuple[Guess, ...]
    mark: str
    mark_confidence: float
    header_line: int
    headers: tuple[str, ...]

    @property
    def layout(self) -> Layout:
        """The proposal as a layout, for a person to confirm or to correct."""
        columns = tuple(
            Column(guess.at, guess.header, guess.field, guess.from_packs)
            for guess in self.guesses
            if guess.field is not Field.IGNORE
        )
        return Layout(columns, self.mark, self.header_line)


def propose(source: Source) -> Proposal:
    """Look at the first 200 lines. Raises `InvalidInputError` for a file without rows."""
    sample = [line for line in source.sample() if not line.broken]
    if not sample:
        raise InvalidInputError(f"{source.file.name} has no rows.", "Ask the supplier for the list again.")
    header_at = _header(sample)
    header_line = 0 if header_at is None else sample[header_at].number
    rows = sample if header_at is None else sample[header_at + 1 :]
    width = max(len(line.cells) for line in sample)
    headers = _padded([] if header_at is None else sample[header_at].cells, width)
    columns = [[_padded(row.cells, width)[at].strip() for row in rows] for at in range(width)]
    guesses = _settle([_candidates(headers[at], columns[at]) for at in range(width)])
    prices = [cell for at, guess in enumerate(guesses) if guess.field in _MONEY for cell in columns[at]]
    mark, sure = (".", 1.0) if source.is_workbook else likely_mark(prices)
    if sure <= 0.5 and source.delimiter == ";":
        mark, sure = ",", 0.6  # where the comma is the decimal mark, the semicolon parts the cells
    shown = tuple(
        Guess(at, headers[at], *guess, tuple(cell for cell in columns[at] if cell)[:3])
        for at, guess in enumerate(guesses)
    )
    return Proposal(shown, mark, sure, header_line, tuple(headers))


_MONEY: Final = (Field.PRICE, Field.PRICE_FROM)


class _Choice(NamedTuple):
    field: Field
    confidence: float
    why: str
    from_packs: int | None = None


_NOTHING: Final = _Choice(Field.IGNORE, 0.0, "nothing speaks for it")


def _padded(cells: Sequence[str], width: int) -> list[str]:
    return [*(cell.strip() for cell in cells), *[""] * (width - len(cells))]


def _header(sample: Sequence[Line]) -> int | None:
    """Which line holds the headers: the one with most known names, unless it is full of figures."""
    best, best_known = None, 0
    for at, line in enumerate(sample[:_HEADER_LINES]):
        named = [headings.named(cell) for cell in line.cells]
        known = sum(1 for one in named if one is not None)
        figures = sum(1 for cell in line.cells if _FIGURE.fullmatch(cell.strip()))
        steps = sum(1 for one in named if one is not None and one.field is Field.PRICE_FROM)
        if known > max(best_known, figures - steps) and known >= min(2, len(line.cells)):
            best, best_known = at, known
    return best


def _candidates(header: str, cells: Sequence[str]) -> list[_Choice]:
    """Everything the column might be, most likely first."""
    found: dict[Field, _Choice] = {}
    named = headings.named(header)
    if named is not None:
        found[named.field] = _Choice(named.field, named.confidence, f"its header is “{header}”", named.from_packs)
    filled = [cell for cell in cells if cell]
    for choice in _by_content(filled) if filled else []:
        before = found.get(choice.field)
        if before is not None:
            sure = 1 - (1 - before.confidence) * (1 - choice.confidence * 0.5)
            found[choice.field] = before._replace(confidence=round(sure, 3), why=f"{before.why}, and {choice.why}")
        elif named is None:
            found[choice.field] = choice
    return sorted(found.values(), key=lambda choice: -choice.confidence)


def _by_content(cells: Sequence[str]) -> list[_Choice]:
    share = _shares(cells)
    found = []
    if share["gtin"] > 0.9:
        found.append(_Choice(Field.GTIN, 0.9, "its check digits are right"))
    if share["price"] > 0.8:
        found.append(_Choice(Field.PRICE, 0.7 * share["price"], "it holds amounts with decimals"))
    if share["code"] > 0.9 and share["different"] > 0.95 and share["digit"] > 0.6 and share["price"] < 0.5:
        found.append(_Choice(Field.NUMBER, 0.65, "every cell is a short code of its own"))
    length = fmean(len(cell) for cell in cells)
    if length >= 8 and share["spaced"] > 0.5:
        found.append(_Choice(Field.NAME, min(0.8, 0.5 + length / 100), "it holds words"))
    if share["currency"] > 0.9:
        found.append(_Choice(Field.CURRENCY, 0.8, "it holds codes like EUR"))
    elif share["unit"] > 0.9 and share["different"] < 0.3:
        found.append(_Choice(Field.UNIT, 0.55, "it holds few short words"))
    if share["volume"] > 0.5:
        found.append(_Choice(Field.PACK, 0.6, "it holds volumes"))
    return found


def _shares(cells: Sequence[str]) -> dict[str, float]:
    count = len(cells)
    tests = {
        "gtin": lambda cell: is_valid(cell),
        "price": lambda cell: _PRICE.fullmatch(cell) is not None,
        "code": lambda cell: _CODE.fullmatch(cell) is not None,
        "digit": lambda cell: any(letter.isdigit() for letter in cell),
        "spaced": lambda cell: " " in cell,
        "currency": lambda cell: _CURRENCY.fullmatch(cell) is not None,
        "unit": lambda cell: _UNIT.fullmatch(cell) is not None,
        "volume": _is_volume,
    }
    shares = {name: sum(1 for cell in cells if test(cell)) / count for name, test in tests.items()}
    return shares | {"different": len(set(cells)) / count}


def _is_volume(cell: str) -> bool:
    try:
        return pack(cell, "", ".")[1] is Unit.MICROLITRE
    except FigureError:
        return False


def _settle(candidates: Sequence[Sequence[_Choice]]) -> list[_Choice]:
    """Give each field to the column that is surest of it; price breaks may be several."""
    settled = [_NOTHING] * len(candidates)
    taken: set[tuple[Field, int | None]] = set()
    ranked = sorted(
        ((choice.confidence, -at, choice) for at, choices in enumerate(candidates) for choice in choices), reverse=True
    )
    for _, place, choice in ranked:
        at, key = -place, (choice.field, choice.from_packs)
        if settled[at] is _NOTHING and key not in taken and choice.confidence >= SURE:
            settled[at] = choice
            taken.add(key)
    return settled
