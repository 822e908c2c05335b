"""Which fluid a word means: a code, a name, a word of the trade, or a question where it means several."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import cache
from types import MappingProxyType
from typing import Final, NamedTuple

from catalog.orings.rubber_tables import FluidRow, fluids, rows_of
from catalog.quantity.errors import excerpt

# A class and its number are one word, so that `DOT 5` is never a part of `DOT 5.1`, nor `E1` of `E10`.
_CLASS: Final = re.compile(r"\b(dot|gl|aus|r|e|b)\s+(?=\d)")
_COMMA: Final = re.compile(r"(?<=\d),(?=\d)")
_NOT_A_WORD: Final = re.compile(r"[^\w.%]+|_|(?<!\d)\.|\.(?!\d)")


class Question(NamedTuple):
    """A word that several fluids go by: what to ask, and the fluids."""

    ask: str
    choices: tuple[FluidRow, ...]


class WhichFluidError(ValueError):
    """The word means several fluids. `question` holds what to ask and the choices."""

    def __init__(self, text: str, question: Question) -> None:
        listed = "; ".join(f"{row.code} ({row.name})" for row in question.choices)
        super().__init__(f"{excerpt(text)} could be several fluids. {question.ask} Type one of: {listed}")
        self.question = question


class UnknownFluidError(ValueError):
    """No fluid goes by that."""


def fluid_called(text: str) -> FluidRow:
    """The fluid meant by a code (`HM_HV`), a trade word (`DOT 5.1`) or words of its name, which may be cut short.

    Raises WhichFluidError where several are meant, UnknownFluidError where none is.
    """
    known = fluids()
    code = text.strip().upper().replace(" ", "_").replace("-", "_")
    if code in known:
        return known[code]
    typed = _split(text)
    if (named := _names().get(typed)) is not None:
        return known[named]
    if (asked := _questions().get(frozenset(typed))) is not None:
        raise WhichFluidError(text, asked)
    found = [row for row in known.values() if typed and all(_stands_in(word, _words_of(row.code)) for word in typed)]
    if len(found) == 1:
        return found[0]
    if found:
        raise WhichFluidError(text, Question("Which one?", tuple(found)))
    raise UnknownFluidError(f"{excerpt(text)} is not a fluid known here.")


def _split(text: str) -> tuple[str, ...]:
    words = " ".join(_NOT_A_WORD.sub(" ", _COMMA.sub(".", text.casefold())).split())
    return tuple(_CLASS.sub(r"\1", words).split())


def _stands_in(word: str, words: Iterable[str]) -> bool:
    """Whether a typed word is one of these, or the beginning of one. A figure must be whole."""
    if any(sign.isdigit() for sign in word) or len(word) < 3:
        return word in words
    return any(one.startswith(word) for one in words)


@cache
def _words_of(code: str) -> frozenset[str]:
    row = fluids()[code]
    return frozenset(word for text in (row.code, row.name, *row.words) for word in _split(text))


@cache
def _names() -> Mapping[tuple[str, ...], str]:
    """Every name and trade word, taken apart, with its fluid's code."""
    return MappingProxyType({_split(text): row.code for row in fluids().values() for text in (*row.words, row.name)})


@cache
def _questions() -> Mapping[frozenset[str], Question]:
    found = {}
    for row in rows_of("words"):
        question = Question(row["question"], tuple(fluids()[code] for code in row["choices"].split(";")))
        found.update({frozenset(_split(words)): question for words in row["words"].split(";")})
    return MappingProxyType(found)
