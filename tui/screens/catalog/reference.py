"""A row of a reference table: what it says, line by line with source and standing, and the text it is found by."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

from catalog.standing import Standing

# A temperature in degrees Celsius, so that the other unit can stand behind it.
_CELSIUS = re.compile(r"(?<![\d.])([-−]?\d+(?:\.\d+)?) ?°C")


class Fact(NamedTuple):
    """One thing a table says: of what, in a sentence, by which source, and how far that can be trusted in words."""

    name: str
    sentence: str
    source: str
    standing: str

    @property
    def standing_words(self) -> str:
        """How far it can be trusted, as a person reads it."""
        if is_memory(self.standing):
            return Standing.MEMORY.words
        return Standing(self.standing).words if self.standing in frozenset(Standing) else self.standing

    @property
    def own_source(self) -> str:
        """The source, unless it only says that there is none."""
        return "" if self.source in ("memory", Standing.MEMORY.words) else self.source


class Entry(NamedTuple):
    """A row: its name, the group the list can be cut down to, its family, its figures in both units, its facts.

    `metric` and `inch` are what stands in the columns, the session's unit first; `figures` is all in one sentence.
    `standing` is a word for the column; `text` is what a filter looks through, in lower case.
    """

    name: str
    group: str
    family: str
    metric: tuple[str, ...]
    inch: tuple[str, ...]
    figures: str
    standing: str
    text: str
    facts: tuple[Fact, ...]


OWN = "own"
"""The standing of what the shop says itself."""
STANDINGS = {**{str(standing): standing.word for standing in Standing}, OWN: OWN}
"""How far a row can be trusted, by the tables' own key, as its column says it."""


def entry(
    name: str, group: str, family: str, figures: str, facts: Iterable[Fact], standing: str, *,
    metric: tuple[str, ...] = (), inch: tuple[str, ...] = (), more: str = "",
) -> Entry:  # fmt: skip
    """A row with the text it is found by. `standing`: a key of `catalog.standing`, or `own`.

    Whoever types “unchecked” finds each row in which any figure is unchecked.
    """
    said = tuple(facts)
    word = STANDINGS[standing]
    partly = "unchecked" if any(is_memory(f"{fact.standing} {fact.sentence}") for fact in said) else ""
    text = f" {name} {family} {figures} {' '.join((*metric, *inch))} {word} {partly} {more} ".lower()
    return Entry(name, group, family, metric, inch, figures, word, text, said)


def is_memory(standing: str) -> bool:
    """Whether these words, or this key, say that nobody saw the figure in print."""
    return "memory" in standing or Standing.MEMORY.word in standing


def both_temperatures(text: str) -> str:
    """The text with °F behind every °C."""
    return _CELSIUS.sub(lambda found: f"{found[0]} ({_fahrenheit(found[1])} °F)", text)


def _fahrenheit(celsius: str) -> str:
    return f"{float(celsius.replace('−', '-')) * 9 / 5 + 32:.0f}"
