"""How far a row of any table can be trusted: one scale for the whole catalog."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from typing import Final


class Standing(StrEnum):
    """How far a row can be trusted, best first.

    `PUBLISHED`: somebody printed it and we compared. `CHECKED`: written from memory, and a second, independent source
    agrees. `INFERRED`: follows from published limits or definitions. `SHOP`: entered by this shop. `PRACTICE`: what the
    trade does, without a source. `MEMORY`: nobody here has seen it in print.
    """

    PUBLISHED = "published"
    CHECKED = "checked"
    INFERRED = "inferred"
    SHOP = "shop"
    PRACTICE = "practice"
    MEMORY = "memory"

    @property
    def words(self) -> str:
        """The standing as a person reads it: `unchecked row`."""
        return _WORDS[self]

    @property
    def word(self) -> str:
        """The standing in one word, for a narrow column: `unchecked`."""
        return _WORD[self]

    @property
    def trust(self) -> int:
        """0 for the best standing, rising as trust falls."""
        return _ORDER.index(self)


_WORDS: Final = {
    Standing.PUBLISHED: "published",
    Standing.CHECKED: "checked against a second source",
    Standing.INFERRED: "follows from published limits or definitions",
    Standing.SHOP: "entered by this shop",
    Standing.PRACTICE: "common practice, no source",
    Standing.MEMORY: "unchecked row",
}
_WORD: Final = {
    Standing.PUBLISHED: "published",
    Standing.CHECKED: "checked",
    Standing.INFERRED: "inferred",
    Standing.SHOP: "own",
    Standing.PRACTICE: "practice",
    Standing.MEMORY: "unchecked",
}
_ORDER: Final = tuple(Standing)


def weakest(standings: Iterable[Standing]) -> Standing:
    """The least trusted of several: an answer is worth no more than the weakest row it rests on."""
    return max(standings, key=lambda one: one.trust)
